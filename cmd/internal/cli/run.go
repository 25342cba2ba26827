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

	"reseat/cmd/internal/command"
	"reseat/cmd/internal/keyhelp"
	"reseat/cmd/internal/measuring"
	"reseat/cmd/internal/page"
	"reseat/cmd/internal/touching"
	"reseat/export"

	"github.com/spf13/cobra"
)

// Exit statuses.
const (
	exitHolds = 0 // done, every rule holds
	exitFails = 1 // done, but a rule fails or a measurement is out of tolerance
	exitInput = 2 // bad input or usage; nothing written
)

// A command is done in a fraction of a second and uses some megabytes: collecting
// garbage as often as a server does would only slow it down. The percentage is that of
// GOGC, which wins when it is set.
const collectPercent = 800

// Run runs the command line and returns the exit status.
func Run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	if _, set := os.LookupEnv("GOGC"); !set {
		defer debug.SetGCPercent(debug.SetGCPercent(collectPercent))
	}
	colour := command.WantsColour(stdout)
	out := &sticky{w: stdout}
	stdout = out
	wrote := false
	text, errText := &command.Fold{To: stdout, Colour: colour}, &command.Fold{To: stderr}
	root := newRoot(command.Streams{In: stdin, Out: text, Err: errText, Wrote: &wrote})
	root.SetArgs(args)
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	err := root.Execute()
	text.Flush()
	defer errText.Flush()
	if out.err != nil {
		// What was to be read never arrived; that outranks a verdict.
		err = fmt.Errorf("standard output: %w", out.err)
	}
	switch {
	case out.err != nil && wrote:
		fmt.Fprintln(errText, describe(err)+" (all files were written)")
		return exitFails
	case err == nil:
		return exitHolds
	case errors.Is(err, command.ErrFails):
		return exitFails
	default:
		fmt.Fprintln(errText, describe(err))
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

func newRoot(s command.Streams) *cobra.Command {
	root := &cobra.Command{
		Use:     "reseat",
		Version: export.Version,
		Short:   "Put a machined board back on a CNC router exactly where it was",
		Long: `reseat puts a machined board back on a CNC router exactly where it was. It designs the alignment template and its
dowel pins, writes the files that cut and print them, and reports at the machine whether the board is aligned.

Exit status: 0 done and every rule holds; 1 done, but a rule fails or a
measurement is out of tolerance; 2 bad input or usage, nothing written.

Lines have 80 characters at most; COLUMNS=120 makes them wider. Verdicts are
coloured on a terminal; NO_COLOR=1 leaves them plain.`,
		Example: `  # a commented starter job, then the whole design
  $ reseat new fingerboard.yaml
  $ reseat design fingerboard.yaml`,
		SilenceErrors: true,
		SilenceUsage:  true,
	}
	root.SetUsageTemplate(strings.NewReplacer("LocalFlags.FlagUsages", "LocalFlags.FlagUsagesWrapped 80",
		"InheritedFlags.FlagUsages", "InheritedFlags.FlagUsagesWrapped 80").Replace(root.UsageTemplate()))
	root.AddCommand(newDesignCmd(s), newSheetCmd(s), newCheckCmd(s), newNewCmd(s), measuring.NewDatum(s),
		measuring.NewLocate(s), measuring.NewZero(s), touching.New(s), newPocketCmd(s), newCouponCmd(s),
		page.NewView(s), keyhelp.New(s), newFitCmd(s), newHoleCmd(s), newReamCmd(s), newPinsCmd(s))
	help := root.HelpFunc()
	root.SetHelpFunc(func(c *cobra.Command, args []string) { // and of every command below it
		c.Long = command.Reflow(c.Long)
		help(c, args)
	})
	return root
}

// doubleClicked is what Windows shows, until Return is pressed, to who starts the program with the mouse.
const doubleClicked = `reseat is used in a terminal. Right-click in this file's folder, choose
"Open in Terminal", and type its name with a command, such as

  .\reseat view

Without a terminal, open reseat.html: it holds the same page.
`

func init() { cobra.MousetrapHelpText, cobra.MousetrapDisplayDuration = doubleClicked, 0 }

// detailer is an error with a longer form for people: source lines and carets.
type detailer interface{ Detail() string }

// describe returns what standard error shows for err.
func describe(err error) string {
	var usage *command.UsageError
	var d detailer
	switch {
	case errors.As(err, &d):
		return strings.TrimRight(d.Detail(), "\n")
	case errors.As(err, &usage) && !strings.Contains(err.Error(), "\n"):
		return "reseat: " + usage.Says + "\nrun 'reseat --help' or 'reseat COMMAND -h' for the commands and flags"
	}
	msg := err.Error()
	if strings.HasPrefix(msg, "unknown command") || strings.HasPrefix(msg, "unknown flag") ||
		strings.HasPrefix(msg, "unknown shorthand") || strings.Contains(msg, "flag needs an argument") {
		return "reseat: " + msg + "\nrun 'reseat --help' for the commands and flags"
	}
	return "reseat: " + strings.ReplaceAll(msg, "\n", "\nreseat: ") // a line to each fault
}
