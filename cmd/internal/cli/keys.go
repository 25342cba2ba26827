package cli

import (
	"github.com/spf13/cobra"

	"reseat/jig/job"
)

func newKeysCmd(s streams) *cobra.Command {
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
				return writeRecord(s.out, job.Defaults())
			}
			tab := newTable("key", "default", "why")
			for _, d := range job.Defaults() {
				tab.add(d.Path, d.Value, d.Why)
			}
			tab.write(s.out, "")
			return nil
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the keys as JSON")
	return cmd
}
