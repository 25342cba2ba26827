package cli

import (
	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/jig/job"
)

func newKeysCmd(s command.Streams) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "keys",
		Short: "List the keys of a job file that can be left out, with their defaults",
		Example: `  # every key with its default and why
  $ reseat keys

  # the same for a program
  $ reseat keys --json`,
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if asJSON {
				return command.WriteRecord(s.Out, job.Defaults())
			}
			tab := command.NewTable("key", "default", "why")
			for _, d := range job.Defaults() {
				tab.Add(d.Path, d.Value, d.Why)
			}
			tab.Write(s.Out, "")
			return nil
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the keys as JSON")
	return cmd
}
