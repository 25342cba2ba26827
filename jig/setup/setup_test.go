package setup

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"reseat/jig/geom"
)

// anyWork draws a job of any kind: nest or pins, either axis, any turn, with and without
// gluing, bored together or apart.
func anyWork(t *rapid.T) Work {
	mm := func(name string, least, most float64) float64 { return rapid.Float64Range(least, most).Draw(t, name) }
	half := func(l, wide float64) geom.Loop {
		return geom.Rect(geom.Box{Min: geom.Vec{X: -20, Y: -wide}, Max: geom.Vec{X: l + 20, Y: wide}})
	}
	l := mm("length", 100, 900)
	w := Work{
		Nest:   rapid.Bool().Draw(t, "nest"),
		Turn:   Turn{rapid.SampledFrom([]string{"none", "long", "short"}).Draw(t, "turn"), l / 2},
		ZeroBy: rapid.SampledFrom([]string{"pin", "kept", "eye"}).Draw(t, "zero"), Push: "none",
		PinMM: 6, PinMostMM: 6.01, Stand: Stand{LengthMM: 30, OverMM: 0.5, DepthMM: mm("depth", 9, 15)},
	}
	if rapid.Bool().Draw(t, "along y") {
		w.Frame.Angle = math.Pi / 2
	}
	part := func(name string, wide float64) Part {
		return Part{Material: "wood", ThicknessMM: mm(name, 2, 40), MadeBy: "router", Outline: w.Frame.Loop(half(l, wide))}
	}
	w.Board, w.Bed, w.Template = part("board", 25), part("bed", 90), part("template", 60)
	w.Bed.ThicknessMM += 15 // as deep as the pins stand
	w.Template.Window = w.Frame.Loop(geom.Taper(l, 40, 50))
	blank := part("blank", 80)
	blank.ThicknessMM = w.Board.ThicknessMM + mm("over", 0, 5) // the board is cut out of it
	if !w.Nest || rapid.Bool().Draw(t, "blank") {
		w.Blank = &blank
	}
	w.Together = !w.Nest && rapid.Bool().Draw(t, "together")
	if w.Nest && w.Blank != nil {
		w.Glue = &Gluing{Plate: w.Template, Stand: Stand{LengthMM: 20, DepthMM: math.Min(12, blank.ThicknessMM)},
			PlateFiles: rapid.SampledFrom([][]string{nil, {"rails.dxf"}}).Draw(t, "files"),
			FilmMM:     rapid.SampledFrom([]float64{0, 0.05}).Draw(t, "film")}
		if rapid.Bool().Draw(t, "pressed") {
			w.Glue.Press = &Press{CaulOf: "plywood", CaulMM: 10, PadMM: 2}
		}
		if rapid.Bool().Draw(t, "wedged") {
			w.Glue.Wedges, w.Glue.Pair = []geom.Loop{w.Frame.Loop(half(l/2, 5))}, Drive{OutMM: 20, OffMM: mm("off", 1, 30)}
		}
	}
	for i, p := range []geom.Vec{{X: -10}, {X: l + 10}, {X: l / 3, Y: 45}, {X: 2 * l / 3, Y: -45}} {
		w.Pattern = append(w.Pattern, Place{fmt.Sprintf("P%d", i+1), "round", w.Frame.Apply(p)})
	}
	for _, f := range []string{BedFile, BlankFile, TopFile, UnderFile} {
		if rapid.Bool().Draw(t, f) {
			w.Runs = append(w.Runs, Run{File: f, Tool: "end mill", CutterMM: 3, DeepestMM: 4,
				Holes: []Bore{{Name: "one", BoreMM: 5}}})
		}
	}
	return w
}

// TestStacks: whatever the job, each layer lies on one below it, the lowest on the table,
// and a pin stands in the layer below what it goes through.
func TestStacks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyWork(t)
		all := Derive(w)
		for i, s := range all {
			if s.Number != i+1 || s.Title == "" || len(s.Steps) == 0 || len(s.Checks) == 0 || s.Place == "" ||
				s.LocatedBy == "" {
				t.Fatalf("set-up %d says too little: %+v", i+1, s)
			}
			for k, l := range s.Stack {
				lies := l.FromMM == 0
				for _, under := range s.Stack[:k] {
					lies = lies || under.ToMM == l.FromMM
				}
				if !lies || l.ToMM <= l.FromMM {
					t.Errorf("%s: %s from %g to %g lies on nothing", s.Title, l.Name, l.FromMM, l.ToMM)
				}
			}
			for _, q := range s.Pins {
				if q.FromMM < 0 || math.Abs(q.ToMM-q.FromMM-q.LengthMM) > 1e-9 {
					t.Errorf("%s: pin %+v", s.Title, q)
				}
			}
			if z := s.Zero; z != nil && !slices.ContainsFunc(s.Stack, func(l Layer) bool { return l.ToMM >= z.ZMM }) {
				t.Errorf("%s: Z0 at %g is in the air", s.Title, z.ZMM)
			}
			for _, c := range s.Checks {
				if c.Expected < c.Low || c.Expected > c.High {
					t.Errorf("%s: %s is expected at %g, outside %g to %g", s.Title, c.What, c.Expected, c.Low, c.High)
				}
			}
			if s.Program != "" && s.Tool == nil {
				t.Errorf("%s runs %s without a tool", s.Title, s.Program)
			}
		}
		for _, f := range []string{BedFile, TopFile} {
			if _, has := ForProgram(all, f); w.runs(f) && !has {
				t.Errorf("no set-up runs %s", f)
			}
		}
	})
}

// TestPlateBeforeBed: a plate that this machine cuts is cut before the bed with its pins lies on the table,
// where it stays; then the pins are still to come that it is tried on. One from elsewhere is tried at once.
func TestPlateBeforeBed(t *testing.T) {
	for by, want := range map[string][]ID{
		"router": {CutPlate, BoreBed, SeatBoard}, "laser": {BoreBed, CutPlate, SeatBoard},
		"print": {BoreBed, CutPlate, SeatBoard},
	} {
		w := Work{Nest: true, Template: Part{MadeBy: by, ThicknessMM: 6}, Pattern: []Place{{ID: "P1"}}}
		var got []ID
		tried := ID("")
		for _, s := range Derive(w)[:3] {
			got = append(got, s.ID)
			if slices.ContainsFunc(s.Checks, func(c Check) bool { return strings.HasSuffix(c.What, "lies flat over all pins") }) {
				tried = s.ID
			}
		}
		if !slices.Equal(got, want) || tried != want[1] {
			t.Errorf("%s: %v, tried on the pins in %s; want %v, in %s", by, got, tried, want, want[1])
		}
	}
}

// TestLiftOffAsks: inlays are asked for where there are some, and what is cut by a program of one's own is
// spoken of where no feature is bored.
func TestLiftOffAsks(t *testing.T) {
	for _, c := range []struct {
		w          Work
		asks, does string
	}{
		{Work{Bores: true, Inlaid: true}, "all inlays go in", "Lift it"},
		{Work{Bores: true}, "every feature is done", "Lift it"},
		{Work{}, "every feature is done", "Do by your own program"},
	} {
		c.w.Nest, c.w.Pattern = true, []Place{{ID: "P1"}}
		s := c.w.liftOff()
		if !strings.HasPrefix(s.Checks[0].What, c.asks) || !strings.HasPrefix(s.Steps[0], c.does) {
			t.Errorf("%+v: asks %q, first %q", c, s.Checks[0].What, s.Steps[0])
		}
	}
}

// TestPinsOverScrap: under a bed that is bored through lies scrap, which the pins stand on; those of a blank
// stand on the bench.
func TestPinsOverScrap(t *testing.T) {
	w, s := Work{}, Stand{LengthMM: 20, DepthMM: 12, Through: true}
	for part, want := range map[string]string{"bed": "down to the scrap", "blank": "down to the bench"} {
		if got := w.pressed(part, s); !strings.Contains(got, want) || strings.Contains(got, "table") {
			t.Errorf("%s: %s", part, got)
		}
	}
}

// TestZeroUnderStock: where stock still lies over the underside, its Z0 is found on the bed.
func TestZeroUnderStock(t *testing.T) {
	w := Work{Turn: Turn{About: "long"}, Board: Part{ThicknessMM: 21}, Blank: &Part{ThicknessMM: 24},
		Pattern: []Place{{ID: "P1"}}}
	if all := strings.Join(w.turnOver().Steps, " "); !strings.Contains(all, "Take the 3 of stock") ||
		!strings.Contains(all, "lies at Z-21.000") {
		t.Error(all)
	}
}

// TestFilmCarries: film lifts the plate, what stands on it and its wedges, not the board; a pad lifts the
// caul.
func TestFilmCarries(t *testing.T) {
	w := Work{
		Blank: &Part{ThicknessMM: 28}, Board: Part{ThicknessMM: 6.5},
		Glue: &Gluing{
			Plate:  Part{ThicknessMM: 3, RailTopMM: 5, Rails: []geom.Loop{{}}},
			Wedges: []geom.Loop{{}}, FilmMM: 0.05, Press: &Press{CaulMM: 10, PadMM: 2},
		},
	}
	want := map[string][2]float64{
		"blank": {0, 28}, "board": {28, 34.5}, Film: {28, 28.05}, GluingPlate: {28.05, 31.05}, "rail 1": {31.05, 33.05},
		Wedges: {28.05, 31.05}, Pad: {34.5, 36.5}, Caul: {36.5, 46.5},
	}
	stack := w.closed()
	for _, l := range stack {
		if w := want[l.Name]; math.Abs(l.FromMM-w[0])+math.Abs(l.ToMM-w[1]) > 1e-9 {
			t.Errorf("%s from %g to %g, want %v", l.Name, l.FromMM, l.ToMM, w)
		}
	}
	if len(stack) != len(want) {
		t.Errorf("%d layers, want %d", len(stack), len(want))
	}
}

// TestTurnedOver: a part turned over lies where half a turn in space about its axis puts
// it. The turn is written out here, apart from the package's own formula.
func TestTurnedOver(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := anyWork(t)
		if !w.turned() {
			return
		}
		// Half a turn about a line through a point with a direction in the plane:
		// p -> 2 (a + ((p - a).d) d) - p.
		a, d := geom.Vec{}, geom.Vec{X: 1}
		if w.Turn.About == "short" {
			a, d = geom.Vec{X: w.Turn.MiddleMM}, geom.Vec{Y: 1}
		}
		a, d = w.Frame.Apply(a), w.Frame.Apply(d).Sub(w.Frame.Apply(geom.Vec{}))
		half := func(p geom.Vec) geom.Vec {
			foot := a.Add(d.Scale(p.Sub(a).Dot(d)))
			return foot.Scale(2).Sub(p)
		}
		p := geom.Vec{X: rapid.Float64Range(-100, 900).Draw(t, "x"), Y: rapid.Float64Range(-100, 900).Draw(t, "y")}
		if got, want := w.turnedPlace(p), half(p); got.Dist(want) > 1e-9 {
			t.Errorf("%v lies at %v, want %v", p, got, want)
		}
		top, under := w.Template.Window, w.lying(w.Template.Window, Under)
		if math.Abs(top.Area()-under.Area()) > 1e-6 {
			t.Errorf("the window turned over has an area of %g, was %g", under.Area(), top.Area())
		}
		for _, c := range top.Corners() {
			if !slices.ContainsFunc(under.Corners(), func(v geom.Vec) bool { return v.Dist(half(c)) < 1e-9 }) {
				t.Errorf("no corner at %v", half(c))
			}
		}
	})
}

// TestObstacles: heights count from Z0; what is worked on, what lies under it and pins
// that are put in later do not stand in the way.
func TestObstacles(t *testing.T) {
	square := geom.Rect(geom.Box{Min: geom.Vec{X: -10, Y: -10}, Max: geom.Vec{X: 10, Y: 10}})
	s := Setup{
		Zero: &Zero{ZMM: 24.5},
		Stack: []Layer{
			{Name: "bed", ToMM: 18, Outline: square}, {Name: "template", FromMM: 18, ToMM: 24, Outline: square, Window: square},
			{Name: "board", FromMM: 18, ToMM: 24.5, Outline: square}, {Name: "rail 1", FromMM: 24, ToMM: 26, Outline: square},
		},
		Pins: []Pin{{ID: "P1", ToMM: 24, ProudMM: 0.5}, {ID: "P2", ToMM: 60, After: true}},
	}
	var got []string
	for _, o := range s.Obstacles() {
		got = append(got, fmt.Sprintf("%s %g", o.ID, o.TopZ))
	}
	if want := "pin P1 0, template -0.5, rail 1 1.5"; strings.Join(got, ", ") != want {
		t.Errorf("got %s, want %s", strings.Join(got, ", "), want)
	}
	if s.TopMM() != 26 {
		t.Errorf("highest at %g, want the rail's 26", s.TopMM())
	}
	if s.Zero = nil; s.Obstacles() != nil {
		t.Error("a set-up without a zero has obstacles")
	}
}

// TestPartners: which hole goes onto which pin, turned over. By hand: about the long axis
// a hole on the datum line comes back to itself; about the short axis (m = 200) the one at
// -19 comes to 419.
func TestPartners(t *testing.T) {
	w := Work{Turn: Turn{"short", 200}, Pattern: []Place{{ID: "P1", At: geom.Vec{X: -19}},
		{ID: "P2", At: geom.Vec{X: 419}}}}
	if got := w.partners(); !strings.HasPrefix(got, "Hole P1 goes onto pin P2.") {
		t.Errorf("short: %s", got)
	}
	w.Turn.About = "long"
	if got := w.partners(); !strings.HasPrefix(got, "Hole P1 goes onto pin P1.") {
		t.Errorf("long: %s", got)
	}
}

// TestOverZero: the frame of a blank of 25 stands 5 above the underside of its board of 20
// when it is turned over, and nothing above its top; a plate of 12 with a rail that ends 15
// above the bed stands 9 above a board of 6.
func TestOverZero(t *testing.T) {
	box := func(l, w float64) geom.Loop { return geom.Rect(geom.Box{Max: geom.Vec{X: l, Y: w}}) }
	blank := Part{ThicknessMM: 25, Outline: box(300, 100)}
	w := Work{
		Turn: Turn{About: "long"}, Board: Part{ThicknessMM: 20, Outline: box(200, 50)}, Bed: Part{ThicknessMM: 18},
		Blank: &blank, Pattern: []Place{{ID: "P1"}, {ID: "P2", At: geom.Vec{X: 250}}},
		Stand: Stand{LengthMM: 20, DepthMM: 10},
	}
	nest := w
	nest.Nest, nest.Turn, nest.Blank = true, Turn{}, nil
	nest.Board.ThicknessMM = 6
	nest.Template = Part{ThicknessMM: 12, Outline: box(300, 90), Rails: []geom.Loop{box(200, 4)}, RailTopMM: 15}
	for _, c := range []struct {
		name, file string
		w          Work
		over       float64
	}{
		{"frame, top up", TopFile, w, 0}, {"frame, underside up", UnderFile, w, 5},
		{"plate and rail", TopFile, nest, 9}, {"bed alone", BedFile, nest, 0},
	} {
		if got := HeightsOverZero(c.w)[c.file]; math.Abs(got-c.over) > 1e-9 {
			t.Errorf("%s: %g over Z0, want %g", c.name, got, c.over)
		}
	}
}

// TestWithhold: the set-up of a program that is not written names no file and no tool, and
// says why; the others stay.
func TestWithhold(t *testing.T) {
	all := []Setup{{Number: 1, Program: BedFile, Tool: &Tool{}}, {Number: 2, Program: TopFile, Tool: &Tool{}}}
	got := Withhold(all, TopFile, "a pin stands proud")
	if got[0].Program != BedFile || got[0].Tool == nil || got[1].Program != "" || got[1].Tool != nil ||
		!strings.Contains(got[1].Steps[0], "pockets.nc is not written: a pin stands proud.") || all[1].Program != TopFile {
		t.Errorf("got %+v", got)
	}
}

// TestBoring: the set-up that bores a face, withheld or not, or the one that would.
func TestBoring(t *testing.T) {
	all := []Setup{{ID: BoreBed, Number: 1}, {ID: SeatBoard, Number: 2}, {ID: BoreTop, Number: 3},
		{ID: TurnOver, Number: 4}}
	for up, want := range map[Face]int{Top: 3, Under: 4} {
		if got := BoringSetup(all, up).Number; got != want {
			t.Errorf("%s: set-up %d, want %d", up.Name(), got, want)
		}
	}
	if got := BoringSetup(all[:2], Top).Number; got != 2 {
		t.Errorf("without a program: set-up %d, want 2", got)
	}
}
