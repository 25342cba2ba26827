package cli

import (
	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/cmd/internal/report"
	"reseat/export/record"
)

func newCheckCmd(s command.Streams) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "check JOB",
		Short: "Check the design rules; write no files",
		Example: `  # every rule with its figure and limit
  $ reseat check testdata/jobs/ukulele-printed.yaml

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
				report.Rules(s.Out, d, true)
			}
			return verdict(d)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the rules as JSON")
	return cmd
}
