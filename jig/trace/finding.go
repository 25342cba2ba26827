package trace

import (
	"fmt"
	"strings"

	"reseat/jig/dxfread"
	"reseat/jig/geom"
	"reseat/jig/units"
)

// Finding is what is to be known of one place of the drawing.
type Finding struct {
	Says   string   // what is found
	Would  string   // what would do; empty for notes
	Entity string   // "LINE 2A, line 310, layer EDGE"; empty where it is about no entity
	At     geom.Vec // the place, in the file's coordinates and unit
	AtMM   geom.Vec // the same in mm
	Placed bool     // At and AtMM are set
}

// String returns what is found, of what and where, without what would do.
func (f Finding) String() string {
	var about []string
	if f.Entity != "" {
		about = append(about, f.Entity)
	}
	if f.Placed && f.At == f.AtMM {
		about = append(about, "at "+point(f.At))
	} else if f.Placed {
		about = append(about, fmt.Sprintf("at %s of the drawing, %s mm", point(f.At), point(f.AtMM)))
	}
	if len(about) == 0 {
		return f.Says
	}
	return f.Says + " (" + strings.Join(about, ", ") + ")"
}

// point writes a place as a job file takes it.
func point(p geom.Vec) string {
	return fmt.Sprintf("[%s, %s]", units.Decimal(p.X, 3), units.Decimal(p.Y, 3))
}

// mm writes a length for a sentence.
func mm(v float64) string { return units.Significant(v, 3) + " mm" }

// Error is all that keeps a drawing from being a board; there is at least one fault.
type Error struct{ Faults []Finding }

// faultsShown bounds the list: nobody reads past the first screen.
const faultsShown = 20

// Error lists the faults, one a line.
func (e *Error) Error() string {
	var s []string
	for i, f := range e.Faults {
		if i == faultsShown {
			s = append(s, "and more")
			break
		}
		s = append(s, f.String()+": "+f.Would)
	}
	return strings.Join(s, "\n")
}

// tracer is the drawing and what was found in it.
type tracer struct {
	d             dxfread.Drawing
	want          Want
	faults, notes []Finding
}

// finding is about an entity (nil: none) at a place in mm.
func (t *tracer) finding(e *dxfread.Entity, at geom.Vec, would, says string) Finding {
	f := Finding{Says: says, Would: would, At: at.Scale(1 / t.d.Units.MM), AtMM: at, Placed: true}
	if e != nil {
		f.Entity = fmt.Sprintf("%v, layer %s", e, e.Layer)
		f.Placed = e.Problem == "" || e.At != geom.Vec{} // else it has no place that could be read
	}
	return f
}

func (t *tracer) fault(e *dxfread.Entity, at geom.Vec, would, format string, args ...any) {
	if len(t.faults) <= faultsShown {
		t.faults = append(t.faults, t.finding(e, at, would, fmt.Sprintf(format, args...)))
	}
}

func (t *tracer) noteAt(e *dxfread.Entity, at geom.Vec, format string, args ...any) {
	t.notes = append(t.notes, t.finding(e, at, "", fmt.Sprintf(format, args...)))
}

func (t *tracer) note(format string, args ...any) {
	t.notes = append(t.notes, Finding{Says: fmt.Sprintf(format, args...)})
}

// orLayer adds to what would do that the layer may be named, where it is not.
func (t *tracer) orLayer(would string) string {
	if t.want.Layer != "" {
		return would
	}
	return would + ", or name the outline's layer"
}

// missing is a fault of the whole drawing.
func (t *tracer) missing(would, format string, args ...any) {
	t.faults = append(t.faults, Finding{Says: fmt.Sprintf(format, args...), Would: would})
}
