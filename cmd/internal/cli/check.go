package cli

import (
	"encoding/json"
	"fmt"

	"github.com/spf13/cobra"

	"reseat/jig"
)

func newCheckCmd(s streams) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "check JOB",
		Short: "Ask the rules alone; write no file",
		Example: `  # every rule with its figure and limit
  $ reseat check testdata/jobs/ukulele-printed.yaml

  # the same for a program
  $ reseat check fingerboard.yaml --json`,
		Args: oneArg("job file"),
		RunE: func(_ *cobra.Command, args []string) error {
			d, err := readDesign(args[0])
			if err != nil {
				return err
			}
			if asJSON {
				if err := writeRulesJSON(s, d); err != nil {
					return err
				}
			} else {
				writeRules(s.out, d, true)
			}
			return verdict(d)
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the rules as JSON")
	return cmd
}

// ruleJSON has the keys of design.json's rules.
type ruleJSON struct {
	ID    string  `json:"id"`
	Level string  `json:"level"`
	Value float64 `json:"value"`
	Limit float64 `json:"limit"`
	Unit  string  `json:"unit"`
	Says  string  `json:"says"`
}

func writeRulesJSON(s streams, d *jig.Design) error {
	out := struct {
		Title string     `json:"title"`
		Rules []ruleJSON `json:"rules"`
	}{Title: d.Title, Rules: []ruleJSON{}}
	for _, r := range d.Rules {
		out.Rules = append(out.Rules, ruleJSON{r.ID, string(r.Level), r.Value, r.Limit, r.Unit, r.Says})
	}
	data, err := json.MarshalIndent(out, "", "  ")
	if err != nil {
		return fmt.Errorf("check: %w", err)
	}
	_, err = s.out.Write(append(data, '\n'))
	return err
}
