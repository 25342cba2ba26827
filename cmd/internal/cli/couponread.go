package cli

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"reseat/cmd/internal/command"
	"reseat/export"
	"reseat/export/couponsheet"
	"reseat/export/picture"
	"reseat/jig/calibration"
	"reseat/jig/coupon"
	"reseat/jig/estimate"
	"reseat/jig/job"
	"reseat/jig/process"
	"reseat/jig/units"
	"reseat/jig/verdict"
)

type couponReadOptions struct {
	noJob
	out, on, who string
	json         bool
}

func newCouponReadCmd(s command.Streams) *cobra.Command {
	var o couponReadOptions
	cmd := &cobra.Command{
		Use:   "read [JOB] FORM",
		Short: "Tell what the process makes from the coupon's filled form",
		Long: `Reads the form that coupon wrote, filled in, and tells what the process makes: kerf or edge, bias, spread, taper,
position, scale, and the size that a pin meets in a hole, each with its 95 % interval, as lines for the job. With -o
it writes a process file, which a job takes by make: {from: FILE}, and a picture beside it. A form of another coupon
is refused. An outlier is named and left out. A coupon that was written without a job is read without one, by the
same flags.

good: all that the job's design needs was measured; inconclusive: something was not, and the row that would tell it
is named; outlier: a row contradicts the others. Exit status 0
good, 1 otherwise, 2 bad input.`,
		Example: `  # what the form tells
  $ reseat coupon read testdata/jobs/bouzouki-fingerboard.yaml \
      testdata/readings/bouzouki-coupon.csv

  # as a process file, with the picture mylaser.process.svg
  $ reseat coupon read job.yaml coupon.csv -o mylaser.process.yaml \
      --on 2026-11-29 --measured-by "the shop"

  # of a coupon that was written without a job
  $ reseat coupon read --by laser --in "cast acrylic" --thickness-mm 6 \
      --pin 6m6 mylaser/coupon.csv`,
		Args: func(cmd *cobra.Command, args []string) error {
			flagged := slices.IndexFunc(ofFlags, cmd.Flags().Changed)
			switch {
			case len(args) == 2 && flagged >= 0:
				return command.Usage("--%s goes without a job: %s says it", ofFlags[flagged], args[0])
			case len(args) == 2 || len(args) == 1 && flagged >= 0:
				return nil
			}
			return command.Usage("coupon read wants a job file and a filled form, or the coupon's flags and a form; got %s",
				units.Count(len(args), "argument"))
		},
		RunE: func(cmd *cobra.Command, args []string) error { return runCouponRead(s, o, args, cmd.Flags().Changed) },
	}
	f := cmd.Flags()
	f.StringVarP(&o.out, "out", "o", "", "write the process file here, NAME"+process.Ending+", and its picture beside it")
	f.StringVar(&o.on, "on", "", "the day that it was measured on, such as 2026-11-29")
	f.StringVar(&o.who, "measured-by", "", "who measured it")
	f.BoolVar(&o.json, "json", false, "print the answer as JSON")
	o.noJob.addFlags(cmd)
	return cmd
}

// largestForm bounds a form in bytes, as coupon.Read does.
const largestForm = 1 << 20

// couponAnswer is what a form tells, and what it is of.
type couponAnswer struct {
	calibration.Result
	file     process.File
	rows     []coupon.Row
	part     string // of the job, whose process it is
	form     string // as named
	verdicts []verdict.Verdict
}

func runCouponRead(s command.Streams, o couponReadOptions, args []string, given func(string) bool) error {
	if o.out != "" && !strings.HasSuffix(o.out, process.Ending) {
		return command.Usage("--out %s: a process file's name ends in %s", o.out, process.Ending)
	}
	if _, err := time.Parse(time.DateOnly, o.on); o.on != "" && err != nil {
		return command.Usage("--on %s: want a day, such as 2026-11-29", o.on)
	}
	if o.who = strings.Join(strings.Fields(o.who), " "); o.who != "" && !process.IsName(o.who) {
		return command.Usage("--measured-by wants a name of at most %d characters that print", process.MostName)
	}
	a, err := readCoupon(o, args, given)
	if err != nil {
		return err
	}
	if o.out != "" {
		if err := a.save(s, o.out); err != nil {
			return err
		}
	}
	if o.json {
		err = command.WriteJSON(s.Out, a.record(o.out))
	} else {
		a.write(s.Out, o.out)
	}
	if err == nil && verdict.All(a.verdicts) != verdict.Good {
		err = command.ErrFails
	}
	return err
}

// readCoupon reads the form, last of args, and the job where one stands before it, and estimates.
func readCoupon(o couponReadOptions, args []string, given func(string) bool) (*couponAnswer, error) {
	form := args[len(args)-1]
	design, parts, err := o.coupons(args, given)
	if err != nil {
		return nil, err
	}
	data, err := command.ReadRegular(form, largestForm)
	if err != nil {
		return nil, err
	}
	f, err := coupon.Read(form, data)
	if err != nil {
		return nil, err
	}
	c, part, err := couponOf(design, parts, f)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", form, err)
	}
	spec := estimate.Options{By: string(c.By), ThicknessMM: c.PieceMM, PinMinMM: c.Pin.MinMM, PinMaxMM: c.Pin.MaxMM,
		Features: map[string]estimate.Feature{}}
	for _, of := range c.Features {
		spec.Features[of.ID] = estimate.Feature{X: of.At.X, Y: of.At.Y, Round: of.Kind == coupon.Hole, SizeMM: of.SizeMM}
	}
	a := &couponAnswer{rows: f.Rows, part: part, form: form}
	if a.Result, err = estimate.Process(f.Rows, spec); err != nil {
		return nil, fmt.Errorf("%s: %w", form, err)
	}
	a.file = process.File{
		By: string(c.By), Material: c.Material, ThicknessMM: c.ThicknessMM, Pin: f.Pin(), Coupon: c.Checksum,
		MeasuredOn: o.on,
		MeasuredBy: o.who,
	}
	if c.PieceMM != c.ThicknessMM {
		a.file.PieceMM = c.PieceMM
	}
	for _, q := range process.Quantities {
		for _, v := range a.Quantities {
			if v.Key == q.Key {
				a.file.Estimates = append(a.file.Estimates, process.Estimate{Key: v.Key, Value: v.Value, Low: v.Low, High: v.High,
					Determined: v.Determined})
			}
		}
	}
	untold, why := c.Untold()
	for i, q := range a.Quantities {
		if slices.Contains(untold, q.Key) && !q.Determined {
			a.Quantities[i].Says = why
		}
	}
	a.judge(untold)
	return a, nil
}

// coupons are those that a form may be of: of any part of the job, or the one that the flags ask
// for.
func (o couponReadOptions) coupons(args []string, given func(string) bool) (
	design func(part string, holes int) (*coupon.Coupon, error), parts []string, err error,
) {
	if len(args) == 1 {
		spec, err := o.spec(given)
		return func(_ string, holes int) (*coupon.Coupon, error) {
			spec.Holes = holes
			return coupon.Design(spec)
		}, []string{coupon.Template}, err
	}
	j, err := job.Read(args[0])
	return func(part string, holes int) (*coupon.Coupon, error) { return coupon.ForJob(j, part, holes) }, coupon.Parts, err
}

// couponOf finds the coupon that a form is of: that of any of the parts, of either number of
// holes. Of none it is told against the first.
func couponOf(design func(string, int) (*coupon.Coupon, error), parts []string, f coupon.Form) (*coupon.Coupon, string, error) {
	var first error
	for _, part := range parts {
		for _, holes := range []int{coupon.ManyHoles, coupon.FewHoles} {
			c, err := design(part, holes)
			if err == nil {
				if err = coupon.Match(c, f); err == nil || c.Checksum == f.Checksum {
					return c, part, err
				}
			}
			if first == nil {
				first = err
			}
		}
	}
	return nil, "", first
}

// needed are the quantities that a design of a process rests on.
var needed = map[string][]string{
	"laser":  {calibration.Kerf, calibration.Bias, calibration.Spread, calibration.Taper, calibration.Position},
	"router": {calibration.Edge, calibration.Bias, calibration.Spread, calibration.Position},
	"print":  {calibration.Edge, calibration.Bias, calibration.Spread, calibration.Position},
	"drill":  {calibration.PinSize, calibration.Spread, calibration.Position},
	"ream":   {calibration.PinSize, calibration.Spread, calibration.Position},
}

// judge says whether the readings belong together, and whether they tell what is needed, but for
// what no row of the coupon tells.
func (a *couponAnswer) judge(untold []string) {
	rows := verdict.Verdict{Of: "readings", Word: verdict.Good, Reasons: []string{}, Remedy: []string{}}
	for _, x := range a.Outliers {
		rows = rows.Because(verdict.Outlier, fmt.Sprintf("line %d, %s: %s", x.Line, x.ID, x.Says))
		rows.Lines = append(rows.Lines, x.Line)
	}
	if rows.Lines != nil {
		rows.Remedy = append(rows.Remedy, "Measure those again, correct them in "+a.form+" and run this again. "+
			"The figures are without them.")
	}
	complete := verdict.Verdict{Of: "process", Word: verdict.Good, Reasons: []string{}, Remedy: []string{}}
	for _, q := range a.Quantities {
		if _, ok := a.file.Estimate(q.Key); !ok && slices.Contains(needed[a.file.By], q.Key) && !slices.Contains(untold,
			q.Key) {
			complete = complete.Because(verdict.Inconclusive, named(q.Key)+" is not told: "+q.Says)
		}
	}
	if complete.Word != verdict.Good {
		complete.Remedy = append(complete.Remedy, "Fill in the rows that are named and run this again; until then the "+
			"usual figure stands in.")
	}
	a.verdicts = []verdict.Verdict{rows, complete}
}

// named is a quantity in words: "pin size".
func named(key string) string {
	key = strings.TrimSuffix(strings.TrimSuffix(key, "_mm"), "_pct")
	return strings.ReplaceAll(key, "_", " ")
}

// save writes the process file and its picture, neither over what the user made.
func (a *couponAnswer) save(s command.Streams, path string) error {
	var text, chart bytes.Buffer
	if err := a.file.Write(&text); err != nil {
		return err
	}
	if err := picture.WriteSVG(&chart, couponsheet.Chart(a.chart())); err != nil {
		return err
	}
	var b export.Bundle
	b.Add(filepath.Base(path), text.Bytes())
	b.Add(pictureOf(path), chart.Bytes())
	if _, err := b.WriteBeside(filepath.Dir(path)); err != nil {
		return err
	}
	*s.Wrote = true
	return nil
}

// chart is what the picture shows.
func (a *couponAnswer) chart() couponsheet.Answer {
	return couponsheet.Answer{Result: a.Result, Rows: a.rows, Title: fmt.Sprintf("%s, %s %s mm, coupon %s: %s", a.file.By,
		a.file.Material, units.Decimal(a.file.ThicknessMM, 2), a.file.Coupon, verdict.All(a.verdicts))}
}

func pictureOf(path string) string { return strings.TrimSuffix(filepath.Base(path), ".yaml") + ".svg" }

// record is the answer for other programs.
func (a *couponAnswer) record(out string) any {
	type estimate struct {
		Value      *float64 `json:"value"` // null, as low and high: nothing is known of it
		Low        *float64 `json:"low"`
		High       *float64 `json:"high"`
		Determined bool     `json:"told"`
		Says       string   `json:"says,omitempty"`
	}
	type outlier struct {
		ID   string `json:"id"`
		Line int    `json:"line"`
		Says string `json:"says"`
	}
	all, odd := map[string]estimate{}, []outlier{}
	for _, q := range a.Quantities {
		all[q.Key] = estimate{&q.Value, &q.Low, &q.High, q.Determined, q.Says}
		if !q.Determined && q.Low == q.High {
			all[q.Key] = estimate{Says: q.Says}
		}
	}
	for _, x := range a.Outliers {
		odd = append(odd, outlier(x))
	}
	doc := struct {
		Verdict     verdict.Word        `json:"verdict"` // the worst of all
		Verdicts    []verdict.Verdict   `json:"verdicts"`
		Coupon      string              `json:"coupon"`
		By          string              `json:"by"`
		Material    string              `json:"material"`
		ThicknessMM float64             `json:"thickness_mm"`
		Pin         string              `json:"pin"`
		Part        string              `json:"part"` // of the job
		MeasuredOn  string              `json:"measured_on,omitempty"`
		MeasuredBy  string              `json:"measured_by,omitempty"`
		Quantities  map[string]estimate `json:"quantities"`
		Outliers    []outlier           `json:"outliers"`
		SigmaMM     float64             `json:"noise_mm"` // of one reading, one standard deviation
		Rows        int                 `json:"rows"`
		Lines       string              `json:"job_line"` // what the job's make section takes
		Files       []string            `json:"files,omitempty"`
	}{
		verdict.All(a.verdicts), a.verdicts, a.file.Coupon, a.file.By, a.file.Material, a.file.ThicknessMM, a.file.Pin,
		a.part,
		a.file.MeasuredOn, a.file.MeasuredBy, all, odd, a.SigmaMM, len(a.rows), a.line(""), nil,
	}
	if out != "" {
		doc.Lines = a.line(filepath.Base(out))
		doc.Files = []string{filepath.Base(out), pictureOf(out)}
	}
	return doc
}

// line is what the job's make section takes: the file, or the figures themselves.
func (a *couponAnswer) line(file string) string {
	parts := []string{"by: " + a.file.By}
	if file != "" {
		parts = append(parts, "from: "+file)
	} else {
		for _, q := range process.Quantities {
			v, ok := a.file.Estimate(q.Key)
			if ok && q.Make != "" && (q.By == nil || slices.Contains(q.By, a.file.By)) {
				parts = append(parts, q.Make+": "+units.Decimal(v.Value, 3))
			}
		}
	}
	return "make: {" + strings.Join(parts, ", ") + "}"
}

func (a *couponAnswer) write(w io.Writer, out string) {
	all := verdict.All(a.verdicts)
	means := "all that the design needs is measured"
	switch all {
	case verdict.Outlier:
		means = fmt.Sprintf("%d of %d rows contradict the others", len(a.Outliers), len(a.rows))
		if len(a.Outliers) == 1 {
			means = fmt.Sprintf("one of %d rows contradicts the others", len(a.rows))
		}
	case verdict.Inconclusive:
		means = "the form does not tell all that the design needs"
	}
	fmt.Fprintf(w, "%s  %s, %s %s mm: %s\n", strings.ToUpper(string(all)), a.file.By, a.file.Material,
		units.Decimal(a.file.ThicknessMM, 2), means)
	for _, v := range a.verdicts {
		for _, says := range slices.Concat(v.Reasons, v.Remedy) {
			command.Paragraph(w, "  ", "    ", says)
		}
	}
	fmt.Fprintln(w)
	tab := command.NewTable("quantity", "value", "95 % interval", "", "what it is")
	for _, q := range process.Quantities {
		v := a.Quantity(q.Key)
		if v == nil {
			continue
		}
		unit := "mm"
		if strings.HasSuffix(q.Key, "_pct") {
			unit = "%"
		}
		switch u, ok := a.file.Estimate(q.Key); {
		case v.Determined:
			tab.Add(named(q.Key), units.Fixed(v.Value, 3), units.Fixed(v.Low, 3)+" to "+units.Fixed(v.High, 3), unit, q.Is)
		case ok:
			tab.Add(named(q.Key), "", "at most "+units.Fixed(u.High, 3), unit, v.Says)
		default:
			tab.Add(named(q.Key), "", "not told", "", v.Says)
		}
	}
	tab.Write(w, "")
	if len(a.Points) > 0 {
		fmt.Fprintf(w, "caliper noise %s mm (one standard deviation); %d rows\n", units.Fixed(a.SigmaMM, 3),
			len(a.rows))
	}
	fmt.Fprintf(w, "\nfor the job, under %s:\n", a.part)
	command.Paragraph(w, "  ", "    ", a.line("")) // what follows is deeper, as YAML wants it
	if out == "" {
		fmt.Fprintf(w, "with the intervals: from a process file, which -o NAME%s writes\n", process.Ending)
		return
	}
	fmt.Fprintf(w, "or with the intervals, from the file:\n  %s\n%s and %s in %s\n", a.line(filepath.Base(out)), filepath.Base(out),
		pictureOf(out), filepath.Dir(out))
}
