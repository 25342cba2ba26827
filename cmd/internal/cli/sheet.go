package cli

import (
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/export/dxf"
	"reseat/fit"
	"reseat/jig"
	"reseat/jig/coupon"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/stock"
	"reseat/jig/units"
)

type sheetOptions struct {
	jobs               []string
	stock, gap, margin string
	out                string
	noTurn, json       bool
	coupon             bool
	dxf                dxf.Flavour
}

func newSheetCmd(s command.Streams) *cobra.Command {
	o := sheetOptions{dxf: dxf.R2000}
	cmd := &cobra.Command{
		Use:   "sheet JOB[:COUNT]... --stock WIDTHxHEIGHT",
		Short: "Lay the plates of several jobs out on sheets of stock",
		Long: `Designs every job and lays their plates out on as few sheets of stock as it can: a DXF for each sheet, its
lower left at X0 Y0, one part after the other, the outline of each last. Each part is engraved with the name of its
job. Parts of another material or thickness go onto sheets of their own; so do parts with the kerf applied where
others have it not. Kerfs may differ: the file says which part has which.

With --coupon the test piece of each job's process lies beside its plate (of a routed plate in thinner sheet). Cut
it with the plates, fill in the form that "reseat coupon JOB" writes, and the next plates are drawn for your machine.

Tells the number of sheets, the least that there could be, the waste, and the largest offcut. Printed plates are
left out. A job with a rule that fails is laid out all the same and named; the exit status is then 1. Files that
reseat did not write are never replaced.`,
		Example: `  # two plates of one job and one of another from one sheet
  $ reseat sheet fingerboard.yaml:2 neck.yaml --stock 700x400 --gap 6

  # plates with the test piece that measures the machine
  $ reseat sheet fingerboard.yaml --coupon --stock 600x400

  # plywood, with the grain along the plates as they are drawn, in inches
  $ reseat sheet neck.yaml --stock 24inx48in --margin 1/2in --no-turn \
      -o plywood.dxf`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return command.Usage("sheet wants at least one job file: reseat sheet JOB... --stock 600x400")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			o.jobs = args
			return runSheet(s, o)
		},
	}
	f := cmd.Flags()
	f.StringVar(&o.stock, "stock", "", "size of a sheet of stock, along X and Y: 600x400, 24inx16in")
	f.StringVar(&o.gap, "gap", "6", "least distance of two parts")
	f.StringVar(&o.margin, "margin", "10", "least distance from the stock's edge")
	f.BoolVar(&o.noTurn, "no-turn", false, "leave parts as they are drawn: the grain runs one way")
	f.StringVarP(&o.out, "out", "o", "sheet.dxf", "DXF file; of several sheets sheet-1.dxf, sheet-2.dxf ...")
	f.BoolVar(&o.coupon, "coupon", false, "add the coupon of each job's process, to be cut with the plates")
	addDXFFlag(cmd, &o.dxf)
	f.BoolVar(&o.json, "json", false, "print the layout as JSON")
	return cmd
}

// inputErrors are all that is wrong with what was given.
type inputErrors []error

func (e inputErrors) Error() string { return errors.Join(e...).Error() }

// Detail describes each; the hint at the help follows once.
func (e inputErrors) Detail() string {
	var out []string
	hint := ""
	for _, err := range e {
		says, more, _ := strings.Cut(describe(err), "\nrun 'reseat")
		if more != "" {
			hint = "\nrun 'reseat" + more
		}
		out = append(out, says)
	}
	return strings.Join(out, "\n") + hint
}

func runSheet(s command.Streams, o sheetOptions) error {
	room, faults := o.room()
	items, failing, more := readParts(o.jobs, o.coupon)
	faults = append(faults, more...)
	if dir, name := filepath.Split(o.out); !sheetFile().MatchString(name) {
		faults = append(faults, command.Usage("-o %s: want a file name of letters, digits, - and _ that ends in .dxf, "+
			"such as %s",
			o.out, filepath.Join(dir, "sheet.dxf")))
	}
	if len(faults) > 0 {
		return inputErrors(faults)
	}
	batches, err := stock.Batches(room, items)
	if err != nil {
		return describeParts(err, room, items)
	}
	if err := tooNear(room, batches); err != nil {
		return err
	}
	plan, err := writeSheets(room, batches, o)
	if err != nil {
		return err
	}
	*s.Wrote = true
	if o.json {
		if err := command.WriteRecord(s.Out, plan); err != nil {
			return err
		}
	} else {
		plan.print(s.Out, filepath.Dir(o.out), failing)
	}
	if len(failing) > 0 {
		return command.ErrFails
	}
	return nil
}

// sheetFile matches names that can be numbered and are one file in any directory.
var sheetFile = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`(?i)^[A-Z0-9_][A-Z0-9._-]{0,99}\.dxf$`)
})

// room reads the sizes that were given, all of them.
func (o sheetOptions) room() (r stock.SheetSize, faults []error) {
	r.NoTurn = o.noTurn
	length := func(flag, text string, to *float64) {
		var err error
		if *to, err = units.ParseLength(text, units.MM); err != nil {
			faults = append(faults, command.Usage("--%s: %v", flag, err))
		}
	}
	length("gap", o.gap, &r.Gap)
	length("margin", o.margin, &r.Margin)
	w, h, ok := strings.Cut(strings.ToLower(strings.ReplaceAll(o.stock, "×", "x")), "x")
	switch {
	case o.stock == "":
		faults = append(faults, command.Usage("sheet wants the size of the stock: --stock 600x400"))
	case !ok:
		faults = append(faults, command.Usage("--stock %q: want width x height, such as 600x400 or 24inx16in", o.stock))
	default:
		length("stock", w, &r.Width)
		length("stock", h, &r.Height)
	}
	if len(faults) == 0 {
		if err := r.Check(); err != nil {
			faults = append(faults, err)
		}
	}
	return r, faults
}

// counted is a job file with how many plates of it are wanted.
var counted = regexp.MustCompile(`^(.+):(\d+)$`)

// mostCopies of one plate; with more the parts alone would not be laid out in a second.
const mostCopies = 1000

// readParts designs every job and returns the parts that were asked for, the jobs in which
// a rule fails, and all that is wrong.
func readParts(args []string, coupons bool) (items []stock.Item, failing []string, faults []error) {
	pieces := map[string]bool{}    // checksums of the coupons that are there
	paths := map[string][]string{} // of jobs whose files have the same name
	for _, arg := range args {
		path, n := arg, 1
		if m := counted.FindStringSubmatch(arg); m != nil {
			var err error
			path = m[1]
			if n, err = strconv.Atoi(m[2]); err != nil || n < 1 || n > mostCopies {
				faults = append(faults, command.Usage("%s: want 1 to %d plates", arg, mostCopies))
				continue
			}
		}
		j, err := job.Read(path)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		if j.Template.Make.By == "print" {
			faults = append(faults, fmt.Errorf("%s: its plate is printed (template.make.by: print) and none for stock; leave "+
				"it out", path))
			continue
		}
		d, err := jig.Judged(j)
		if err != nil {
			faults = append(faults, err)
			continue
		}
		if holding(d) != nil {
			failing = append(failing, path)
		}
		name := filepath.Base(command.DefaultDir(path))
		if !slices.Contains(paths[name], path) {
			paths[name] = append(paths[name], path)
		}
		if k := slices.Index(paths[name], path); k > 0 {
			name += fmt.Sprintf(" %d", k+1)
		}
		for range n {
			items = append(items, stock.Item{Name: name, Drawn: d.Sheets[0],
				CutMM: math.Max(d.Template.KerfMM, j.Template.Make.Cutter.DiameterMM)})
		}
		if !coupons {
			continue
		}
		c, err := coupon.ForJob(j, coupon.Template, coupon.ManyHoles)
		switch {
		case err != nil:
			faults = append(faults, err)
		case c.By != fit.Laser && c.By != fit.Router:
			faults = append(faults, fmt.Errorf("%s: the coupon of its process (%s) is not cut from a drawing; leave out --coupon "+
				"and write it by reseat coupon %s", path, c.By, command.ShellWord(path)))
		case !pieces[c.Checksum]:
			pieces[c.Checksum] = true
			items = append(items, stock.Item{Name: "coupon " + c.Checksum, Drawn: c.Sheet(),
				CutMM: j.Template.Make.Cutter.DiameterMM})
		}
	}
	return items, failing, faults
}

// describeParts tells parts that are too large by their names.
func describeParts(err error, room stock.SheetSize, items []stock.Item) error {
	var large *stock.TooLargeError
	if !errors.As(err, &large) {
		return err
	}
	var out inputErrors
	seen := map[string]bool{}
	for _, p := range large.Parts {
		it := items[p.Part]
		if seen[it.Name] {
			continue
		}
		seen[it.Name] = true
		var by []string
		for _, side := range []struct {
			mm   float64
			axis string
		}{{p.By.X, "X"}, {p.By.Y, "Y"}} {
			if side.mm > 0 {
				by = append(by, units.Decimal(math.Ceil(side.mm*10)/10, 1)+" mm along "+side.axis)
			}
		}
		says := fmt.Sprintf("%s: its plate of %s mm is too large for a stock of %s mm with margins of %s mm: by %s",
			it.Name, across(it.Drawn.Size), across(geom.Vec{X: room.Width, Y: room.Height}), units.Decimal(room.Margin, 3),
			strings.Join(by, " and "))
		if p.Turns {
			says += "; turned by a quarter it would go: leave out --no-turn"
		} else {
			says += "; larger stock or a smaller --margin takes it"
		}
		out = append(out, errors.New(says))
	}
	return out
}

func across(size geom.Vec) string {
	return units.Decimal(size.X, 2) + " x " + units.Decimal(size.Y, 2)
}

// leastLeftMM is the least material between two cuts; nearer ones burn or break through. Common
// practice, no source.
const leastLeftMM = 1.0

// tooNear refuses a gap that a cutter does not pass without cutting into the next part.
func tooNear(room stock.SheetSize, batches []stock.Batch) error {
	var out inputErrors
	for _, b := range batches {
		if need := math.Max(b.CutMM, leastLeftMM); room.Gap < need {
			out = append(out, command.Usage("--gap %s: the cut round a part of %s is %s mm wide and would run into the next; "+
				"want at least %s",
				units.Short(room.Gap), b.Material, units.Decimal(b.CutMM, 3), units.Decimal(need, 3)))
		}
	}
	if out == nil {
		return nil
	}
	return out
}
