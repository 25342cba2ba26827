package export_test

import (
	"fmt"
	"os"
	"path/filepath"

	"reseat/export"
)

// A file that the user put into the directory is not replaced, and nothing else
// is written either.
func ExampleBundle_Write() {
	dir, err := os.MkdirTemp("", "reseat")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(dir)
	if err := export.WriteNew(filepath.Join(dir, "bed.dxf"), []byte("my own drawing")); err != nil {
		fmt.Println(err)
		return
	}
	var b export.Bundle
	b.Add("template.dxf", []byte("0\nEOF\n"))
	b.Add("bed.dxf", []byte("0\nEOF\n"))
	_, err = b.Write(dir)
	if foreign, ok := err.(*export.ForeignError); ok {
		fmt.Println(foreign.Files[0])
	}
	_, err = os.Stat(filepath.Join(dir, "template.dxf"))
	fmt.Println("template.dxf written:", err == nil)
	// Output:
	// bed.dxf was not written by reseat
	// template.dxf written: false
}
