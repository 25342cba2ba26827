// Package cli is the command line of reseat: verbs, flags, exit statuses and
// everything that people read on the terminal.
package cli

import (
	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"
	"strings"
	"syscall"

	"github.com/spf13/cobra"
)

// Exit statuses.
const (
	exitHolds = 0 // done, every rule holds
	exitFails = 1 // done, but a rule fails or a measurement is out of tolerance
	exitInput = 2 // bad input or usage; nothing written
)

// streams are where a command reads and writes.
type streams struct {
	in       io.Reader
	out, err io.Writer
	wrote    *bool // set by a command that has written files
}

// errFails is returned by a command that has done its work and found that
// something does not hold. It has been told already.
var errFails = errors.New("a rule fails")

// A command is done in a fraction of a second and uses some megabytes: collecting
// garbage as often as a server does would only slow it down. The percentage is that of
// GOGC, which wins when it is set.
const collectPercent = 800

// Run runs the command line and returns the exit status.
func Run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	if _, set := os.LookupEnv("GOGC"); !set {
		defer debug.SetGCPercent(debug.SetGCPercent(collectPercent))
	}
	out := &sticky{w: stdout}
	stdout = out
	wrote := false
	root := newRoot(streams{stdin, stdout, stderr, &wrote})
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := root.Execute()
	if out.err != nil {
		// What was to be read never arrived; that outranks a verdict.
		err = fmt.Errorf("standard output: %w", out.err)
	}
	switch {
	case out.err != nil && wrote:
		fmt.Fprintln(stderr, describe(err)+" (all files were written)")
		return exitFails
	case err == nil:
		return exitHolds
	case errors.Is(err, errFails):
		return exitFails
	default:
		fmt.Fprintln(stderr, describe(err))
		return exitInput
	}
}

// sticky remembers the first error of a writer, so that printing need not ask
// after every line. A reader that has gone, as behind "| head", is no fault.
type sticky struct {
	w   io.Writer
	err error
}

func (s *sticky) Write(p []byte) (int, error) {
	n, err := s.w.Write(p)
	if err != nil && s.err == nil && !errors.Is(err, syscall.EPIPE) {
		s.err = err
	}
	return n, err
}

func newRoot(s streams) *cobra.Command {
	root := &cobra.Command{
		Use:   "reseat",
		Short: "Put a machined board back on a CNC router exactly where it was",
		Long: `reseat designs the alignment template and dowel pins that put a machined board
back on a CNC router exactly where it was, writes the files that cut, print and
check it, and reports on the machine whether the board is aligned.

Exit status: 0 done and every rule holds; 1 done, but a rule fails or a
measurement is out of tolerance; 2 bad input or usage, nothing written.`,
		Example: `  # a commented starter job, then the whole design
  $ reseat new fingerboard.yaml
  $ reseat design fingerboard.yaml`,
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.AddCommand(newDesignCmd(s), newCheckCmd(s), newNewCmd(s), newDatumCmd(s), newLocateCmd(s), newZeroCmd(s), newPocketCmd(s),
		newKeysCmd(s), newFitCmd(s), newHoleCmd(s), newReamCmd(s), newPinsCmd(s))
	return root
}

// oneArg refuses anything but exactly one argument and names it.
func oneArg(what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) == 1 {
			return nil
		}
		return &usageError{fmt.Sprintf("%s wants one %s, got %d: reseat %s", cmd.Name(), what, len(args), cmd.Use)}
	}
}

// usageError is a wrong command line; it is told with a hint at the help.
type usageError struct{ msg string }

func (e *usageError) Error() string { return e.msg }

// detailer is an error with a longer form for people: source lines and carets.
type detailer interface{ Detail() string }

// describe returns what standard error shows for err.
func describe(err error) string {
	var usage *usageError
	var d detailer
	switch {
	case errors.As(err, &d):
		return strings.TrimRight(d.Detail(), "\n")
	case errors.As(err, &usage) && !strings.Contains(err.Error(), "\n"):
		return "reseat: " + usage.msg + "\nrun 'reseat --help' or 'reseat COMMAND -h' for the commands and flags"
	}
	msg := err.Error()
	if strings.HasPrefix(msg, "unknown command") || strings.HasPrefix(msg, "unknown flag") ||
		strings.HasPrefix(msg, "unknown shorthand") || strings.Contains(msg, "flag needs an argument") {
		return "reseat: " + msg + "\nrun 'reseat --help' for the commands and flags"
	}
	return "reseat: " + strings.ReplaceAll(msg, "\n", "\nreseat: ") // a line to each fault
}
