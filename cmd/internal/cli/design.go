package cli

import (
	"bytes"
	"cmp"
	"io"
	"sync"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/cmd/internal/report"
	"reseat/export"
	"reseat/export/dxf"
	"reseat/export/gcode"
	"reseat/export/picture"
	"reseat/export/record"
	"reseat/export/sheet"
	"reseat/export/solid"
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
	// threeMF: also write template.3mf.
	threeMF bool
	dxf     dxf.Flavour
}

func newDesignCmd(s command.Streams) *cobra.Command {
	o := designOptions{dxf: dxf.R2000}
	cmd := &cobra.Command{
		Use:   "design JOB",
		Short: "Design the template and write all files",
		Long: `Reads the job file, works out pins, holes, window, rails and the order of work,
checks every rule and writes the files into a directory: by default the job file's
name without its ending, beside it. Prints whether the design holds, what fails and
what would do, then the set-ups in their order: file, tool, zero, steps, checks.
A rule that fails gives exit status 1; the files are still written, except a program
that it makes dangerous to run: that one is named, and why. Files that
reseat did not write are never replaced.`,
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
	addDXFFlag(cmd, &o.dxf)
	cmd.Flags().BoolVar(&o.threeMF, "3mf", false, "also write template.3mf: the printed parts with their unit and names, a file for each run of the printer")
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
	b, err := outputs(d, o)
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

// outputs renders every file in memory, so that nothing is written when one fails.
// Files that do not need each other are rendered side by side; programs, which may be
// too large to be held, as they are written.
func outputs(d *jig.Design, o designOptions) (*export.Bundle, error) {
	prints := sync.OnceValues(func() ([]printed, error) { return buildPrints(d) })
	type file struct {
		name  string
		write func(io.Writer) error
		large bool
	}
	var files []file
	add := func(name string, write func(io.Writer) error) { files = append(files, file{name, write, false}) }
	for i := range d.Sheets {
		add(d.Sheets[i].File, func(w io.Writer) error { return dxf.Write(w, &d.Sheets[i], o.dxf) })
	}
	for i := range d.Parts {
		add(d.Parts[i].File, func(w io.Writer) error {
			all, err := prints()
			if err != nil {
				return err
			}
			return solid.WriteSTL(w, all[i].solid.Mesh, d.Title)
		})
	}
	if o.threeMF {
		for _, f := range runsOf(d) {
			add(f.name, func(w io.Writer) error {
				all, err := prints()
				if err != nil {
					return err
				}
				return write3MF(w, d, all, f.run)
			})
		}
	}
	if len(d.Parts) > 0 {
		add("template.svg", func(w io.Writer) error { return picture.WriteSVG(w, platePicture(d)) })
	}
	for _, p := range d.Programs {
		write := func(w io.Writer) error { return gcode.Write(w, p.Path, gcode.Dialect(p.Dialect)) }
		files = append(files, file{p.Path.File, write, true})
	}
	add("holes.csv", func(w io.Writer) error {
		csv, err := record.HolesCSV(d)
		if err != nil {
			return err
		}
		_, err = w.Write(csv)
		return err
	})
	add("drawing.svg", func(w io.Writer) error {
		list, err := sheet.Drawing(d)
		if err != nil {
			return err
		}
		return picture.WriteSVG(w, list)
	})
	bufs, errs := make([]bytes.Buffer, len(files)), make([]error, len(files))
	var wg sync.WaitGroup
	for i, f := range files {
		if !f.large {
			wg.Go(func() { errs[i] = f.write(&bufs[i]) })
		}
	}
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	b := &export.Bundle{}
	for i, f := range files {
		if !f.large {
			b.Add(f.name, bufs[i].Bytes())
		} else if err := b.AddFunc(f.name, f.write); err != nil {
			return nil, err
		}
	}
	all, err := prints()
	if err != nil {
		return nil, err
	}
	js, err := record.DesignJSON(d, b.Files(), bodies(all))
	if err != nil {
		return nil, err
	}
	b.Add("design.json", js)
	return b, nil
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
