package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/export"
	"reseat/jig/job"
	"reseat/jig/units"
)

func newNewCmd(s command.Streams) *cobra.Command {
	var inch bool
	cmd := &cobra.Command{
		Use:   "new FILE",
		Short: "Write a commented starter job; never overwrites",
		Example: `  # a job in millimetres, then the design of it
  $ reseat new fingerboard.yaml
  $ reseat design fingerboard.yaml

  # a job in inches
  $ reseat new dulcimer.yaml --inch`,
		Args: command.OneArg("file name"),
		RunE: func(_ *cobra.Command, args []string) error {
			unit := units.MM
			if inch {
				unit = units.Inch
			}
			if err := export.WriteNew(args[0], job.Starter(unit)); err != nil {
				return err
			}
			fmt.Fprintf(s.Out, "wrote %s: edit it, then\n  $ reseat design %s\n", args[0], command.ShellWord(args[0]))
			return nil
		},
	}
	cmd.Flags().BoolVar(&inch, "inch", false, "lengths in inches")
	return cmd
}
