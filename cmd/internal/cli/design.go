package cli

import (
	"bytes"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

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
	// threeMF: also write template.3mf.
	threeMF bool
}

func newDesignCmd(s streams) *cobra.Command {
	var o designOptions
	cmd := &cobra.Command{
		Use:   "design JOB",
		Short: "Work out everything and write every file",
		Long: `Reads the job file, works out pins, holes, window and rails, checks every rule
and writes the files into a directory: by default the job file's name without its
ending, beside it. A rule that fails gives exit status 1; the files are still
written. Files that reseat did not write are never replaced.`,
		Example: `  # write the files beside the job, into testdata/jobs/bouzouki-fingerboard/
  $ reseat design testdata/jobs/bouzouki-fingerboard.yaml

  # elsewhere, with the design record on standard output for another program
  $ reseat design fingerboard.yaml -o out --json`,
		Args: oneArg("job file"),
		RunE: func(_ *cobra.Command, args []string) error {
			o.job = args[0]
			if o.dir == "" {
				o.dir = defaultDir(o.job)
			}
			return runDesign(s, o)
		},
	}
	cmd.Flags().StringVarP(&o.dir, "out", "o", "", "directory for the files (default: the job's name, beside it)")
	cmd.Flags().BoolVar(&o.threeMF, "3mf", false, "also write template.3mf: the printed parts with their unit and names")
	cmd.Flags().BoolVar(&o.json, "json", false, "print design.json instead of the summary")
	return cmd
}

// defaultDir is the job file's name without its ending, beside it. A name that is
// all ending, or has none, gets one of its own.
func defaultDir(jobFile string) string {
	name := filepath.Base(jobFile)
	stem := strings.TrimSuffix(name, filepath.Ext(name))
	if stem == "" || stem == name {
		stem = strings.TrimPrefix(name, ".") + "-files"
	}
	return filepath.Join(filepath.Dir(jobFile), stem)
}

func runDesign(s streams, o designOptions) error {
	d, err := readDesign(o.job)
	if err != nil {
		return err
	}
	b, d, err := outputs(d, o)
	if err != nil {
		return err
	}
	done, err := b.Write(o.dir)
	if err != nil {
		return err
	}
	*s.wrote = true
	if o.json {
		if _, err := s.out.Write(b.Data("design.json")); err != nil {
			return err
		}
	} else {
		writeSummary(s.out, d)
		writeFiles(s.out, o.dir, done)
	}
	return verdict(d)
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
// The design comes back with what reading the printed parts again found.
func outputs(d *jig.Design, o designOptions) (*export.Bundle, *jig.Design, error) {
	b := &export.Bundle{}
	render := func(name string, write func(io.Writer) error) error {
		var buf bytes.Buffer
		if err := write(&buf); err != nil {
			return err
		}
		b.Add(name, buf.Bytes())
		return nil
	}
	for i := range d.Sheets {
		sh := &d.Sheets[i]
		if err := render(sh.File, func(w io.Writer) error { return dxf.Write(w, sh) }); err != nil {
			return nil, nil, err
		}
	}
	prints, err := buildPrints(d)
	if err != nil {
		return nil, nil, err
	}
	bodies := map[string]record.Body{}
	for _, p := range prints {
		if err := render(p.part.File, func(w io.Writer) error { return solid.WriteSTL(w, p.solid.Mesh, d.Title) }); err != nil {
			return nil, nil, err
		}
	}
	d = readBack(d, b, prints, bodies)
	if o.threeMF {
		if err := render("template.3mf", func(w io.Writer) error { return write3MF(w, d, prints) }); err != nil {
			return nil, nil, err
		}
	}
	if err := render("template.svg", func(w io.Writer) error { return picture.WriteSVG(w, platePicture(d)) }); err != nil {
		return nil, nil, err
	}
	for _, p := range d.Programs {
		if err := b.AddFunc(p.Path.File, func(w io.Writer) error { return gcode.Write(w, p.Path, gcode.Dialect(p.Dialect)) }); err != nil {
			return nil, nil, err
		}
	}
	csv, err := record.HolesCSV(d)
	if err != nil {
		return nil, nil, err
	}
	b.Add("holes.csv", csv)
	list, err := sheet.Drawing(d)
	if err != nil {
		return nil, nil, err
	}
	if err := render("drawing.svg", func(w io.Writer) error { return picture.WriteSVG(w, list) }); err != nil {
		return nil, nil, err
	}
	js, err := record.DesignJSON(d, b.Files(), bodies)
	if err != nil {
		return nil, nil, err
	}
	b.Add("design.json", js)
	return b, d, nil
}

// verdict turns failed rules into the exit status.
func verdict(d *jig.Design) error {
	for _, r := range d.Rules {
		if r.Level == jig.Fail {
			return errFails
		}
	}
	return nil
}
