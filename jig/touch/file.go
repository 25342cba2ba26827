package touch

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"sync"

	"reseat/jig/geom"
	"reseat/jig/reading"
	"reseat/jig/setup"
	"reseat/jig/units"
)

// A plan's file is CSV. Its first line names the job that it was made for and how it was
// made; columns that begin with plan_ are the plan, the others are those of a readings file,
// empty, so that the filled plan is one.

// magic begins a plan's first line.
const magic = "# touch plan "

// head is what the first line tells.
var head = sync.OnceValue(func() *regexp.Regexp {
	return regexp.MustCompile(`^# touch plan ([0-9a-f]{64}) for=(datum|locate|zero) side=(top|under) ` +
		`probe_mm=([0-9.]+) by=(hand|probe) probes_a_touch=2 rim=([^\s,;]*)[\s,;]*$`)
})

// columns are those of a plan's file that are not a reading.
var columns = []string{"plan_touch", "plan_mark", "plan_u_mm", "plan_v_mm", "plan_x_mm", "plan_y_mm", "plan_tip_z_mm",
	"plan_from_x_mm", "plan_from_y_mm", "plan_to_x", "plan_to_y"}

// reading names the columns of a reading.
func (f Purpose) reading() []string {
	switch f {
	case Datum:
		return []string{"on", "x_mm", "y_mm"}
	case Locate:
		return []string{"name", "x_mm", "y_mm"}
	}
	return []string{"kind", "x_mm", "y_mm", "z_mm", "feeler_mm"}
}

// Write writes the plan as CSV: what is touched and where; a top's place, which nobody
// measures, stands filled in.
func (p *Plan) Write(w io.Writer) error {
	by := "hand"
	if p.ByProgram {
		by = "probe"
	}
	fmt.Fprintf(w, "%s%s for=%s side=%s probe_mm=%s by=%s probes_a_touch=%d rim=%s\n", magic, p.JobSHA256, p.For, p.Up,
		units.Decimal(p.ProbeMM, 4), by, ProbesATouch, p.Rim)
	c := csv.NewWriter(w)
	asked := p.For.reading()
	c.Write(append(append(columns[:1:1], asked[0]), append(columns[1:len(columns):len(columns)], asked[1:]...)...))
	mm := func(x float64) string { return units.Fixed(x, 3) }
	for _, t := range p.Touches {
		row := []string{strconv.Itoa(t.Number), t.What, t.Mark, mm(t.Station.X), mm(t.Station.Y), mm(t.At.X), mm(t.At.Y),
			mm(t.TipMM), mm(t.From.X), mm(t.From.Y), units.Fixed(t.Dir.X, 6), units.Fixed(t.Dir.Y, 6)}
		empty := make([]string, len(asked)-1)
		if t.What == reading.OnTop {
			empty[0], empty[1] = mm(t.At.X), mm(t.At.Y)
		}
		c.Write(append(row, empty...))
	}
	c.Flush()
	return c.Error()
}

// IsPlan reports whether text is a plan's file.
func IsPlan(data []byte) bool {
	return bytes.HasPrefix(bytes.TrimPrefix(data, []byte("\ufeff")), []byte(magic))
}

// Read reads a plan's file. What is filled in is left to the readers of package measure.
// The error tells what is wrong with its file and line.
func Read(file string, data []byte) (Plan, error) {
	var p Plan
	text := strings.TrimPrefix(string(data), "\ufeff")
	first, _, _ := strings.Cut(text, "\n")
	m := head().FindStringSubmatch(strings.TrimRight(first, "\r"))
	if m == nil {
		return p, fmt.Errorf("%s:1: is no touch plan (it begins %q and the job's checksum; reseat touch writes it)", file,
			magic)
	}
	p.JobSHA256, p.For, p.Up, p.ByProgram, p.Rim = m[1], Purpose(m[2]), setup.Face(m[3]), m[5] == "probe", m[6]
	p.ProbeMM, _ = strconv.ParseFloat(m[4], 64)
	r := csv.NewReader(strings.NewReader(text))
	r.Comment, r.FieldsPerRecord, r.TrimLeadingSpace = '#', -1, true
	header, err := r.Read()
	if err != nil {
		return p, fmt.Errorf("%s: has no header (write the plan again)", file)
	}
	at := map[string]int{}
	for i, name := range header {
		at[strings.TrimSpace(name)] = i
	}
	for _, name := range append(columns, p.For.reading()[0]) {
		if _, ok := at[name]; !ok {
			return p, fmt.Errorf("%s: column %q is missing (write the plan again)", file, name)
		}
	}
	var bad []error
	for {
		row, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return p, fmt.Errorf("%s: %w (write the plan again)", file, err)
		}
		line, _ := r.FieldPos(0)
		if len(row) != len(header) {
			bad = append(bad, fmt.Errorf("%s:%d: %d fields, the header has %d", file, line, len(row), len(header)))
			continue
		}
		number := func(name string) float64 {
			x, err := strconv.ParseFloat(row[at[name]], 64)
			if err != nil || !(math.Abs(x) < 1e5) {
				bad = append(bad, fmt.Errorf("%s:%d: %s %q is no length in mm (a plan's own columns stay as they are)", file, line,
					name, row[at[name]]))
			}
			return x
		}
		vec := func(x, y string) geom.Vec { return geom.Vec{X: number(x), Y: number(y)} }
		p.Touches = append(p.Touches, Touch{
			Number: int(number("plan_touch")), What: row[at[p.For.reading()[0]]], Mark: row[at["plan_mark"]],
			Station: vec("plan_u_mm", "plan_v_mm"), At: vec("plan_x_mm", "plan_y_mm"), TipMM: number("plan_tip_z_mm"),
			From: vec("plan_from_x_mm", "plan_from_y_mm"), Dir: vec("plan_to_x", "plan_to_y"), Line: line,
		})
	}
	if len(p.Touches) == 0 && len(bad) == 0 {
		bad = append(bad, fmt.Errorf("%s: holds no touches (write the plan again)", file))
	}
	return p, errors.Join(bad...)
}
