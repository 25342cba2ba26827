// Package keyhelp is reseat keys, the verb that explains the keys of a job file.
package keyhelp

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/jig/job"
	"reseat/jig/spelling"
	"reseat/jig/units"
)

// New explains the keys of a job file.
func New(s command.Streams) *cobra.Command {
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "keys [KEY]...",
		Short: "Explain the keys of a job file: meaning, unit, default and why",
		Long: `Explains the keys of a job file: what each means, what it takes, what the job
has without it and why. With a key, only that one and those below it. A
default's figure is followed by the mark of its source: standard, web, derived,
recalled, or practice (common practice, no source).`,
		Example: `  # every key
  $ reseat keys

  # the gluing rails, and how the template is made
  $ reseat keys rails template.make

  # every key with the name "cutter"
  $ reseat keys cutter`,
		ValidArgsFunction: func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
			return paths(job.Keys()), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(_ *cobra.Command, args []string) error {
			list, err := chosen(job.Keys(), args)
			if err != nil {
				return err
			}
			if asJSON {
				return command.WriteRecord(s.Out, list)
			}
			for i, k := range list {
				if i > 0 && !strings.ContainsAny(k.Path, ".[") {
					fmt.Fprintln(s.Out)
				}
				write(s.Out, k)
			}
			return nil
		},
	}
	cmd.Flags().BoolVar(&asJSON, "json", false, "print the keys as JSON")
	return cmd
}

func paths(list []job.Key) []string {
	var out []string
	for _, k := range list {
		out = append(out, k.Path)
	}
	return out
}

// chosen keeps the keys that were asked for, with those below them, in the order of the
// job file. A name that is no path stands for every key of that name.
func chosen(list []job.Key, args []string) ([]job.Key, error) {
	if len(args) == 0 {
		return list, nil
	}
	var out []job.Key
	found := make([]bool, len(args))
	for _, k := range list {
		asked := false
		for i, a := range args {
			a = strings.Trim(a, ".:")
			rest, ok := strings.CutPrefix(k.Path, a)
			if ok && (rest == "" || strings.ContainsAny(rest[:1], ".[")) || strings.HasSuffix(k.Path, "."+a) {
				found[i], asked = true, true
			}
		}
		if asked {
			out = append(out, k)
		}
	}
	if i := slices.Index(found, false); i >= 0 {
		says := fmt.Sprintf("no key %q", args[i])
		if near := spelling.Nearest(args[i], paths(list)); near != "" {
			says += fmt.Sprintf("; did you mean %s?", near)
		}
		return nil, command.Usage("%s (reseat keys lists them all)", says)
	}
	return out, nil
}

func write(w io.Writer, k job.Key) {
	head := k.Path + ": " + Takes(k)
	switch {
	case k.Required:
		head += "; required"
	case k.Default != "":
		head += "; default: " + k.Default
	}
	command.Paragraph(w, "", "  ", head)
	command.Paragraph(w, "    ", "    ", k.Meaning)
	why := k.Why
	if k.Mark != "" {
		why += " (" + k.Mark + ")"
	}
	if why != "" {
		command.Paragraph(w, "    Why: ", "    ", why)
	}
}

// Takes tells what a key can hold.
func Takes(k job.Key) string {
	span := fmt.Sprintf("%s to %s", units.Short(k.Least), units.Short(k.Most))
	if k.Unit != "" {
		span += " " + k.Unit
	}
	switch k.Kind {
	case "choice":
		return strings.Join(k.Words, ", ")
	case "number":
		return span
	case "count":
		return "a whole number of " + span
	case "length", "crown":
		return "a length of " + span
	case "width":
		return "a length of " + span + ", or {start: .., end: ..}"
	case "cutter":
		return "a diameter of " + span + ", or a section (any cutter)"
	case "figure":
		return span + ", or a section (any figure)"
	case "text":
		return "one line of text"
	case "place":
		return "[u, v]"
	case "corner":
		return "[u, v], or a section"
	case "outline":
		return "a list, or a section"
	case "datum":
		return "two places, or a layer"
	case "dot":
		return "the number of a fret, or a section"
	case "file":
		return "the name of a file"
	case "date":
		return "a date: 2026-11-29"
	case "some":
		return "a section"
	}
	return "a " + k.Kind
}
