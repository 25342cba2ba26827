package job

import (
	"reseat/jig/units"

	_ "embed"
)

// the starter jobs are files, so that they can be read as such

//go:embed starter/mm.yaml
var starterMM []byte

//go:embed starter/in.yaml
var starterInch []byte

// Starter returns a commented job file to begin with, in the given unit. It is a
// good job as it stands. The caller may change the returned bytes.
func Starter(u units.Unit) []byte {
	if u == units.Inch {
		return append([]byte(nil), starterInch...)
	}
	return append([]byte(nil), starterMM...)
}
