package cli

import (
	"cmp"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/cmd/internal/outputs"
	"reseat/cmd/internal/report"
	"reseat/export/dxf"
	"reseat/export/record"
	"reseat/jig"
	"reseat/jig/job"
)

type designOptions struct {
	job  string
	dir  string
	json bool
	full bool // every table and every step on the terminal
	// schema: print what design.json looks like, and design nothing.
	schema bool
	files  outputs.Options
}

func newDesignCmd(s command.Streams) *cobra.Command {
	o := designOptions{files: outputs.Options{DXF: dxf.R2000}}
	cmd := &cobra.Command{
		Use:   "design JOB",
		Short: "Design the template and write all files",
		Long: `Reads the job file, works out pins, holes, window, rails and the order of work,
checks every rule and writes the files into a directory: by default the job
file's name without its ending, beside it. Prints whether the design holds, what
fails and what would do, then the set-ups in their order: file, tool, zero,
steps, checks. A rule that fails gives exit status 1; the files are still
written, except a program that it makes dangerous to run: that one is named, and
why. Files that reseat did not write are never replaced.`,
		Example: `  # write the files beside the job, into testdata/jobs/bouzouki-fingerboard/
  $ reseat design testdata/jobs/bouzouki-fingerboard.yaml

  # every step, table and rule on the terminal
  $ reseat design fingerboard.yaml --full

  # cut files for an old controller, or for a program that loses polylines
  $ reseat design fingerboard.yaml --dxf r12
  $ reseat design fingerboard.yaml --dxf lines-arcs

  # elsewhere, with the design record on standard output for another program
  $ reseat design fingerboard.yaml -o out --json`,
		Args: func(cmd *cobra.Command, args []string) error {
			switch {
			case !o.schema:
				return command.OneArg("job file")(cmd, args)
			case len(args) > 0:
				return command.Usage("--schema takes no job file; it is the same for every job")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if o.schema {
				data, err := record.Schema()
				if err == nil {
					_, err = s.Out.Write(data)
				}
				return err
			}
			o.job = args[0]
			o.dir = cmp.Or(o.dir, command.DefaultDir(o.job))
			return runDesign(s, o)
		},
	}
	cmd.Flags().StringVarP(&o.dir, "out", "o", "", "directory for the files (default: the job's name, beside it)")
	addDXFFlag(cmd, &o.files.DXF)
	cmd.Flags().Var(&o.files.Paper, "paper", "what the sheet and the drawing are printed on: a4 or letter")
	cmd.Flags().BoolVar(&o.files.TrueSize, "true-size", false, "the sheet also has the plate at 1:1, in tiles to check by")
	cmd.Flags().Var(&o.files.Bars, "bars", "the tiles' two 100 mm bars as measured on paper, such as 99.4x100.1: they are "+
		"drawn anew so that this printer makes them true")
	cmd.Flags().BoolVar(&o.files.PNG, "png", false, "also write drawing.png: the drawing in pixels")
	cmd.Flags().BoolVar(&o.files.ThreeMF, "3mf", false, "also write template.3mf: the printed parts with their unit and names, a file for each run of the printer")
	cmd.Flags().BoolVar(&o.full, "full", false, "print every step, table, note and rule, and list the files")
	cmd.Flags().BoolVar(&o.schema, "schema", false, "print the JSON Schema of design.json; takes no job")
	cmd.Flags().BoolVar(&o.json, "json", false, "print design.json instead of the summary")
	return cmd
}

// addDXFFlag adds --dxf to a command that writes DXF.
func addDXFFlag(cmd *cobra.Command, as *dxf.Flavour) {
	cmd.Flags().Var(as, "dxf", "r2000 (polylines), r12 (old controllers and cutters) or lines-arcs (no polylines)")
}

func runDesign(s command.Streams, o designOptions) error {
	d, err := readDesign(o.job)
	if err != nil {
		return err
	}
	b, err := outputs.Render(d, o.files)
	if err != nil {
		return err
	}
	done, err := b.Write(o.dir)
	if err != nil {
		return err
	}
	*s.Wrote = true
	if o.json {
		if _, err := s.Out.Write(b.Data("design.json")); err != nil {
			return err
		}
	} else {
		report.Design(s.Out, d, o.dir, done, o.full)
		if m := outputs.Unlettered(d); m != "" {
			command.Paragraph(s.Out, "note: ", "    ", m)
		}
	}
	return holding(d)
}

// readDesign takes the job file to a design.
func readDesign(path string) (*jig.Design, error) {
	j, err := job.Read(path)
	if err != nil {
		return nil, err
	}
	return jig.Build(j)
}

// holding turns failed rules into the exit status.
func holding(d *jig.Design) error {
	for _, r := range d.Rules {
		if r.Level == jig.Fail {
			return command.ErrFails
		}
	}
	return nil
}
