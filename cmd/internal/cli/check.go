package cli

import (
	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/cmd/internal/report"
	"reseat/export/record"
)

func newCheckCmd(s command.Streams) *cobra.Command {
	var asJSON, full bool
	cmd := &cobra.Command{
		Use:   "check JOB",
		Short: "Check the design rules; write no files",
		Long: `Reads the job file and checks every rule. Prints whether the design holds, then
what fails and what would do, and what warns. A rule that fails gives exit
status 1.`,
		Example: `  # does it hold, and what does not
  $ reseat check testdata/jobs/ukulele-printed.yaml

  # every rule with its figure and limit, and every table
  $ reseat check testdata/jobs/ukulele-printed.yaml --full

  # the same for a program
  $ reseat check fingerboard.yaml --json`,
		Args: command.OneArg("job file"),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := readDesign(args[0])
			if err != nil {
				return err
			}
			if asJSON {
				data, err := record.RulesJSON(d)
				if err != nil {
					return err
				}
				if _, err := s.Out.Write(data); err != nil {
					return err
				}
			} else {
				report.Check(s.Out, d, full)
			}
			return holding(d)
		},
	}
	cmd.Flags().BoolVar(&full, "full", false, "print every rule and table")
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the rules as JSON")
	return cmd
}
