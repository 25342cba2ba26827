package cli

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/export"
	"reseat/export/couponsheet"
	"reseat/export/dxf"
	"reseat/export/gcode"
	"reseat/export/picture"
	"reseat/export/solid"
	"reseat/fit"
	"reseat/jig/coupon"
	"reseat/jig/job"
	"reseat/jig/program"
	"reseat/jig/units"
)

type couponOptions struct {
	job, dir, part string
	noJob
	cutterMM float64
	holes    int
	dxf      dxf.Flavour
	json     bool
}

// noJob is what stands in place of a job.
type noJob struct {
	by, material, pin string
	thicknessMM       float64
}

func (o *noJob) addFlags(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&o.by, "by", "", "without a job: the process, "+list(fit.ProcessKinds()))
	f.StringVar(&o.material, "in", "", "without a job: the material, \"cast acrylic\", mdf, pla ...")
	f.Float64Var(&o.thicknessMM, "thickness-mm", 0, "without a job: the plate's thickness")
	f.StringVar(&o.pin, "pin", "", "without a job: diameter and class, 6m6 or \"1/4 in\"")
	offer(cmd, "by", strings.Split(list(fit.ProcessKinds()), ", "))
	offer(cmd, "in", materials)
}

// spec is the coupon that the flags ask for; all that are missing or wrong are told.
func (o noJob) spec(given func(string) bool) (coupon.Spec, error) {
	var faults []error
	for _, f := range ofFlags[:3] {
		if !given(f) {
			faults = append(faults, fmt.Errorf("--%s is missing; or give a job file", f))
		}
	}
	pin, err := holeOptions{pin: o.pin}.readPin()
	return coupon.Spec{By: fit.ProcessKind(strings.ToLower(strings.TrimSpace(o.by))), Material: strings.TrimSpace(o.material),
		ThicknessMM: o.thicknessMM, Pin: pin}, errors.Join(append(faults, err)...)
}

func newCouponCmd(s command.Streams) *cobra.Command {
	var o couponOptions
	cmd := &cobra.Command{
		Use:   "coupon [JOB]",
		Short: "Write the coupon of a process, and the form for its measurements",
		Long: `Writes a small test piece that measures what the process really makes: graded
holes for the pin, slots and bars along both axes. coupon.dxf cuts it,
coupon.stl prints it, coupon.nc bores it, whichever the process takes;
coupon.svg shows every mark and what to measure in which order; coupon.csv is
the form to fill in.

Process, material, thickness and pin are those of the job's template, or of
another of its parts, or are given by flags. The piece is drawn to true size,
with nothing taken off for kerf or bias. Files that you filled in or changed are
never replaced.`,
		Example: `  # the coupon of the job's template, into testdata/jobs/bouzouki-fingerboard-
  # coupon/
  $ reseat coupon testdata/jobs/bouzouki-fingerboard.yaml

  # without a job
  $ reseat coupon --by laser --in "cast acrylic" --thickness-mm 6 --pin 6m6 \
      -o mylaser`,
		RunE: func(cmd *cobra.Command, args []string) error {
			return runCoupon(s, o, args, cmd.Flags().Changed)
		},
	}
	f := cmd.Flags()
	f.StringVarP(&o.dir, "out", "o", "", "directory for the files (default: the job's name and -coupon, beside it)")
	f.StringVar(&o.part, "part", coupon.Template, "the part of the job: "+strings.Join(coupon.Parts, ", "))
	f.IntVar(&o.holes, "holes", coupon.ManyHoles, "24, or 16 for a quick one")
	o.noJob.addFlags(cmd)
	f.Float64Var(&o.cutterMM, "cutter-mm", 0, "without a job: the router's end mill (default: the usual one that is quickest)")
	f.BoolVar(&o.json, "json", false, "print what was written as JSON")
	addDXFFlag(cmd, &o.dxf)
	offer(cmd, "part", coupon.Parts)
	cmd.AddCommand(newCouponReadCmd(s))
	return cmd
}

// ofFlags are the flags that stand in place of a job.
var ofFlags = []string{"by", "in", "thickness-mm", "pin", "cutter-mm"}

const mostCutterMM = 60.0 // as the job file has it

// design makes the coupon that the command line asks for, and the job that its program
// takes cutter and feeds from: an empty one without a job.
func (o *couponOptions) design(args []string, given func(string) bool) (*coupon.Coupon, *job.Job, error) {
	switch {
	case len(args) > 1:
		return nil, nil, command.Usage("coupon wants at most one job file, got %d", len(args))
	case len(args) == 1:
		if i := slices.IndexFunc(ofFlags, given); i >= 0 {
			return nil, nil, command.Usage("--%s goes without a job: %s says it; --part chooses its part", ofFlags[i], args[0])
		}
		o.job = args[0]
		o.dir = cmp.Or(o.dir, command.DefaultDir(o.job)+"-coupon")
		j, err := job.Read(o.job)
		if err != nil {
			return nil, nil, err
		}
		c, err := coupon.ForJob(j, o.part, o.holes)
		return c, j, err
	}
	spec, err := o.spec(given)
	faults := []error{err}
	if given("part") {
		faults = append(faults, errors.New("--part is of a job; give its file"))
	}
	if given("cutter-mm") && !(o.cutterMM > 0 && o.cutterMM <= mostCutterMM) {
		faults = append(faults, fmt.Errorf("--cutter-mm %g: want over 0, up to %g", o.cutterMM, mostCutterMM))
	}
	if err := errors.Join(faults...); err != nil {
		return nil, nil, err
	}
	spec.Holes = o.holes
	o.dir = cmp.Or(o.dir, "coupon-"+filepath.Base(string(spec.By)))
	c, err := coupon.Design(spec)
	j := &job.Job{Template: job.Template{Make: job.Make{Cutter: job.Cutter{DiameterMM: o.cutterMM}}}}
	return c, j, err
}

// couponFiles is a coupon with its files and how long it takes to make.
type couponFiles struct {
	*coupon.Coupon
	bundle  export.Bundle
	program *program.Program // nil: none
	timeS   float64          // 0: not known
	timeOf  string           // what the time is reckoned from
	quicker []string         // of one that takes longer than it should: what takes how long
}

func runCoupon(s command.Streams, o couponOptions, args []string, given func(string) bool) error {
	c, j, err := o.design(args, given)
	if err != nil {
		return err
	}
	k := &couponFiles{Coupon: c}
	if err := k.make(j, o); err != nil {
		return err
	}
	if err := k.findQuicker(j, o, args, given); err != nil {
		return err
	}
	done, err := k.bundle.Write(o.dir)
	if err != nil {
		return err
	}
	*s.Wrote = true
	if o.json {
		return command.WriteRecord(s.Out, k.record(o))
	}
	k.write(s.Out, o)
	for _, name := range done.Edited {
		fmt.Fprintf(s.Out, "left as it was, changed by hand: %s\n", name)
	}
	return nil
}

// make renders every file.
func (k *couponFiles) make(j *job.Job, o couponOptions) error {
	add := func(name string, write func(io.Writer) error) error {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		k.bundle.Add(name, b.Bytes())
		return nil
	}
	var faults []error
	switch k.By {
	case fit.Print:
		print := k.Print()
		body, err := solid.Build(&print)
		if err != nil {
			return err
		}
		k.timeS = coupon.PrintingS(k.VolumeMM3())
		k.timeOf = fmt.Sprintf("%s cm3 laid solid at %g mm3/s, common practice, no source",
			units.Decimal(k.VolumeMM3()/1000, 1), coupon.LayingMM3s)
		faults = append(faults, add(coupon.PrintFile, func(w io.Writer) error {
			return solid.WriteSTL(w, body.Mesh, "coupon "+k.Checksum)
		}))
	case fit.Laser, fit.Router:
		sheet := k.Sheet()
		faults = append(faults, add(coupon.SheetFile, func(w io.Writer) error { return dxf.Write(w, &sheet, o.dxf) }))
	}
	if k.By != fit.Print && k.By != fit.Laser {
		p, err := program.Coupon(j, k.Coupon, makeOf(j, o.part), o.part)
		if err != nil {
			return err
		}
		k.program = &p
		k.timeS, k.timeOf = p.Path.Run.TimeS, "without acceleration"
		faults = append(faults, add(coupon.ProgramFile, func(w io.Writer) error {
			return gcode.Write(w, p.Path, gcode.Dialect(p.Dialect))
		}))
	}
	faults = append(faults,
		add(coupon.PictureFile, func(w io.Writer) error { return picture.WriteSVG(w, couponsheet.Draw(k.piece())) }),
		add(coupon.FormFile, func(w io.Writer) error { return coupon.Write(w, k.Form()) }))
	return errors.Join(faults...)
}

// piece is what the picture shows.
func (k *couponFiles) piece() couponsheet.Piece {
	p := couponsheet.Piece{Coupon: k.Coupon, Named: k.named(), Holds: k.holds(), Untold: k.undetermined(), Time: k.time()}
	if k.program != nil {
		p.CutterMM = k.program.Path.DiameterMM
	}
	return p
}

// mostS is how long a coupon should take to make.
var mostS = map[fit.ProcessKind]float64{fit.Print: coupon.PrintMostS, fit.Router: coupon.RouterMostS}

// findQuicker finds what makes a coupon that takes long quicker: fewer holes, another cutter.
func (k *couponFiles) findQuicker(j *job.Job, o couponOptions, args []string, given func(string) bool) error {
	if most, ok := mostS[k.By]; !ok || k.timeS <= most {
		return nil
	}
	add := func(how string, seconds float64) {
		if seconds < k.timeS {
			k.quicker = append(k.quicker, how+" takes "+duration(seconds))
		}
	}
	if k.By == fit.Router {
		p, err := program.Coupon(j, k.Coupon, job.Make{}, o.part)
		if err != nil {
			return err
		}
		add(fmt.Sprintf("an end mill of %s mm", units.Decimal(p.Path.DiameterMM, 3)), p.Path.Run.TimeS)
	}
	if k.Holes != coupon.FewHoles {
		o.holes = coupon.FewHoles
		c, _, err := o.design(args, given)
		if err != nil {
			return err
		}
		few := &couponFiles{Coupon: c}
		if err := few.make(j, o); err != nil {
			return err
		}
		add(fmt.Sprintf("--holes %d", o.holes), few.timeS)
	}
	return nil
}

// long says that a coupon takes longer than it should, and what is quicker; "": it does not.
func (k *couponFiles) long() string {
	most, ok := mostS[k.By]
	if !ok || k.timeS <= most {
		return ""
	}
	says := fmt.Sprintf("over the %s that a coupon should take", duration(most))
	if len(k.quicker) > 0 {
		says += ": " + strings.Join(k.quicker, "; ")
	}
	return says
}

// makeOf is how a job makes a part.
func makeOf(j *job.Job, part string) job.Make {
	switch {
	case part == coupon.Bed:
		return j.Bed.Make
	case part == coupon.Blank && j.Blank != nil:
		return j.Blank.Make
	}
	return j.Template.Make
}

// time says how long the piece takes to make.
func (k *couponFiles) time() string { return duration(k.timeS) }

func duration(seconds float64) string {
	switch s := int(math.Ceil(seconds)); {
	case s < 3600 && s%60 == 0:
		return fmt.Sprintf("%d min", s/60)
	case s < 3600:
		return fmt.Sprintf("%d min %d s", s/60, s%60)
	case s%3600 < 60:
		return fmt.Sprintf("%d h", s/3600)
	default:
		return fmt.Sprintf("%d h %d min", s/3600, s%3600/60)
	}
}

// named says what the coupon is of.
func (k *couponFiles) named() string {
	return fmt.Sprintf("%s, %s %s mm, pin %s", k.By, k.Material, units.Decimal(k.ThicknessMM, 2), k.Form().Pin())
}

// holds says what the piece has.
func (k *couponFiles) holds() string {
	least, most, count := math.Inf(1), 0.0, map[coupon.Kind]int{}
	for _, f := range k.Features {
		count[f.Kind]++
		if f.Kind == coupon.Hole {
			least, most = math.Min(least, f.SizeMM), math.Max(most, f.SizeMM)
		}
	}
	out := fmt.Sprintf("%d holes from %s to %s mm", count[coupon.Hole], units.Fixed(least, 2), units.Fixed(most, 2))
	if n := count[coupon.Slot]; n > 0 {
		out += fmt.Sprintf(", %d slots, %d bars", n, count[coupon.Bar])
	}
	return out
}

// A reading takes so long, found and written down. Common practice, no source.
const readingS = 20.0

func (k *couponFiles) write(w io.Writer, o couponOptions) {
	fmt.Fprintf(w, "Coupon %s: %s\n%s; %s x %s x %s mm, drawn to true size\n", k.Checksum, k.named(), k.holds(),
		units.Decimal(k.Size.X, 2), units.Decimal(k.Size.Y, 2), units.Decimal(k.PieceMM, 2))
	if k.timeS > 0 {
		fmt.Fprintf(w, "time %s, %s\n", k.time(), k.timeOf)
	}
	if p := k.program; p != nil {
		fmt.Fprintf(w, "tool: %s %s mm", p.Path.Name, units.Decimal(p.Path.DiameterMM, 3))
		if o.job != "" && p.Tool.Why != "" || p.Tool.Key != "" && p.Path.DiameterMM != o.cutterMM {
			fmt.Fprintf(w, ", %s", p.Tool.Why)
		}
		fmt.Fprintln(w)
	}
	if says := k.long(); says != "" {
		command.Paragraph(w, "", "  ", says)
	}
	if says := k.undetermined(); says != "" {
		command.Paragraph(w, "", "", says)
	}
	fmt.Fprintf(w, "\n%s:\n", o.dir)
	tab := command.NewTable("file", "what it is for")
	for _, f := range k.bundle.Files() {
		tab.Add(f.Name, map[string]string{
			coupon.SheetFile: "cut it: to true size, marks first", coupon.PrintFile: "print it: top up, solid, no scaling",
			coupon.ProgramFile: k.programSays(), coupon.PictureFile: "marks, what to measure in which order: print it 1:1",
			coupon.FormFile: fmt.Sprintf("fill it in: %d lines, about %d min", len(k.Rows()),
				int(math.Ceil(float64(len(k.Rows()))*readingS/60))),
		}[f.Name])
	}
	tab.Write(w, "  ")
}

// undetermined says what the coupon does not tell; "": it tells all.
func (k *couponFiles) undetermined() string {
	keys, why := k.Untold()
	if why == "" {
		return ""
	}
	names := make([]string, len(keys))
	for i, key := range keys {
		names[i] = named(key)
	}
	return "Not told by it: " + strings.Join(names, ", ") + "; " + why + ". The usual figures stand in."
}

func (k *couponFiles) programSays() string {
	if k.CutsStraight() {
		return "bore it: holes and slots, the piece stays in its sheet"
	}
	return "spots that lead the drill; or punch through coupon.svg, printed 1:1"
}

// record is the answer for other programs.
func (k *couponFiles) record(o couponOptions) any {
	type file struct {
		Name   string `json:"name"`
		SHA256 string `json:"sha256"`
	}
	out := struct {
		Checksum    string   `json:"checksum"`
		By          string   `json:"by"`
		Material    string   `json:"material"`
		ThicknessMM float64  `json:"thickness_mm"`
		PieceMM     float64  `json:"piece_thickness_mm"`
		Pin         string   `json:"pin"`
		Holes       int      `json:"holes"`
		Rows        int      `json:"rows"`
		LengthMM    float64  `json:"length_mm"`
		WidthMM     float64  `json:"width_mm"`
		LongestMM   float64  `json:"longest_reading_mm"`
		TimeS       float64  `json:"time_s,omitempty"`
		Quicker     []string `json:"quicker,omitempty"` // what takes how long, of one that takes long
		Untold      []string `json:"untold,omitempty"`  // quantities that no row tells
		Dir         string   `json:"dir"`
		Files       []file   `json:"files"`
	}{
		k.Checksum, string(k.By), k.Material, k.ThicknessMM, k.PieceMM, k.Form().Pin(), k.Holes, len(k.Rows()), k.Size.X, k.Size.Y,
		k.LongMM, k.timeS, k.quicker, nil, o.dir, nil,
	}
	out.Untold, _ = k.Untold()
	for _, f := range k.bundle.Files() {
		out.Files = append(out.Files, file{f.Name, f.SHA256})
	}
	return out
}
