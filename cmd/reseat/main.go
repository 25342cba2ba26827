// Command reseat puts a machined board back on a CNC router exactly where it was.
package main

import (
	"os"

	"reseat/cmd/internal/cli"
)

func main() { os.Exit(cli.Run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)) }
