package sheet

import (
	"fmt"
	"math"

	"reseat/jig"
	"reseat/jig/geom"
)

func v(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }

// sampleSpec describes a design of our own for the tests; zero values give a
// plain nest with six pins.
type sampleSpec struct {
	title      string
	length     float64
	start, far float64
	margin     float64
	pins       int
	dots       []float64
	seatPins   bool
	printed    bool
	relief     float64
	blank      bool
	rules      []jig.Rule
	notes      []string
	longX      bool
	stops      bool
	pinDia     float64
	crown      float64
	twin       bool // the plate is cut from sheet, and a thinner one with rails printed
	keepOut    []jig.KeepOut
}

func poly(pts ...geom.Vec) geom.Loop { return geom.FromPoints(pts) }

func rect(a, b geom.Vec) geom.Loop { return geom.Rect(geom.Box{Min: a, Max: b}) }

// taper returns a counter-clockwise tapered outline, grown by g.
func taper(length, start, far, g float64) geom.Loop {
	return poly(v(-g, -start/2-g), v(length+g, -far/2-g), v(length+g, far/2+g), v(-g, start/2+g))
}

func sample(s sampleSpec) *jig.Design {
	if s.pinDia == 0 {
		s.pinDia = 6
	}
	d := &jig.Design{Title: s.title, JobFile: "sample.yaml"}
	d.Frame = jig.Frame{LongAxis: "y", ToMachine: geom.Rigid{Angle: math.Pi / 2}}
	if s.longX {
		d.Frame = jig.Frame{LongAxis: "x"}
	}
	d.Board = jig.Board{
		LengthMM: s.length, WidthStartMM: s.start, WidthEndMM: s.far, ThicknessMM: 6.5,
		CrownRadiusMM: s.crown, Wood: "pear", Outline: taper(s.length, s.start, s.far, 0),
	}
	for i, u := range s.dots {
		dot := jig.Feature{Name: fmt.Sprintf("dot %d", 3+2*i), At: v(u, 0), BoreMM: 6, DepthMM: 2}
		d.Board.Features = append(d.Board.Features, dot)
	}
	d.Template = jig.Template{
		ThicknessMM: 6, ClearanceMM: 0.1, MarginMM: s.margin, Material: "cast acrylic", MakeBy: "laser",
	}
	m := s.margin
	wide := math.Max(s.start, s.far)
	d.Template.Outline = geom.RoundCorners(rect(v(-m, -wide/2-m), v(s.length+m, wide/2+m)), 4)
	d.Seat = jig.Seat{Kind: "nest", ThetaMax: 4.22e-4}
	if s.seatPins {
		d.Seat.Kind = "pins"
		d.Template.ClearanceMM = 0
	} else {
		d.Template.Window = geom.Relieve(taper(s.length, s.start, s.far, 0.1), s.relief)
		d.Template.ReliefMM = s.relief
	}
	d.Board.KeepOut = s.keepOut
	if s.printed || s.twin {
		rails := []jig.PrintRail{{TopMM: 4.5}, {TopMM: 4.5}}
		d.Print = &jig.Print{File: "template.stl", Thinner: true, ThicknessMM: 3.2, Rails: rails}
		if s.printed {
			d.Template.Material, d.Template.MakeBy, d.Template.ThicknessMM = "PETG", "print", 5
			d.Print = &jig.Print{ThicknessMM: 5, Rails: []jig.PrintRail{{TopMM: 9.5}, {TopMM: 9.5}}}
		}
		d.Rails = &jig.Rails{StripMM: 1, HeightMM: 4.5, GapMM: 0.15}
		for _, side := range []float64{1, -1} {
			a, b := v(0, side*(s.start/2+0.25)), v(s.length, side*(s.far/2+0.25))
			c, e := v(s.length, side*(s.far/2+4.25)), v(0, side*(s.start/2+4.25))
			l := poly(a, b, c, e)
			if side < 0 {
				l = poly(e, c, b, a)
			}
			d.Rails.Outlines = append(d.Rails.Outlines, l)
		}
	}
	if s.blank {
		d.Blank = &jig.Blank{
			LengthMM: s.length + 162, WidthMM: wide + 57, ThicknessMM: 26, Wood: "sapele",
			Outline: rect(v(-81, -wide/2-28.5), v(s.length+81, wide/2+28.5)),
		}
		for _, side := range []float64{1, -1} {
			a, b := v(0, side*s.start/2), v(s.length, side*s.far/2)
			c, e := v(s.length, side*(s.far/2+1)), v(0, side*(s.start/2+1))
			d.Blank.Strips = append(d.Blank.Strips, poly(a, b, c, e))
		}
	}
	d.Bed = jig.Bed{Material: "mdf", ThicknessMM: 18}
	if s.stops {
		d.Template.Stops = []jig.Stop{
			{Wall: "start", A: v(-0.1, s.start/2), B: v(-0.1, -s.start/2)},
			{
				Wall: "left", A: v(s.length*0.1, s.start/2+0.1+0.1*(s.far-s.start)/2),
				B: v(s.length*0.9, s.start/2+0.1+0.9*(s.far-s.start)/2),
			},
		}
	}
	pin := func(role jig.Role, u, w float64) {
		p := jig.Pin{ID: fmt.Sprintf("P%d", len(d.Pins)+1), Role: role, At: v(u, w)}
		p.Machine = d.Frame.ToMachine.Apply(p.At)
		p.Dowel.NominalMM, p.Dowel.LengthMM = s.pinDia, 24
		h := jig.Hole{
			Role: role, Class: "G7", MinMM: s.pinDia + 0.004, MaxMM: s.pinDia + 0.016, DrawnMM: s.pinDia - 0.4,
			Made: "laser, then ream",
		}
		switch role {
		case jig.Slot:
			h.SlotMM = 1.5
		case jig.Clear:
			h.Class, h.MinMM, h.MaxMM, h.DrawnMM, h.Made = "plain", s.pinDia+0.4, s.pinDia+0.6, s.pinDia+0.3, "laser"
		}
		p.Template = h
		p.Bed = jig.Hole{Role: role, Class: "H7", MinMM: s.pinDia, MaxMM: s.pinDia + 0.012, DrawnMM: s.pinDia}
		if d.Blank != nil {
			b := p.Bed
			p.Blank = &b
		}
		d.Pins = append(d.Pins, p)
	}
	if s.pins > 0 {
		pin(jig.Round, -m/2, 0)
	}
	if s.pins > 1 {
		pin(jig.Slot, s.length+m/2, 0)
	}
	rows := (s.pins - 2) / 2
	for i := 0; i < rows; i++ {
		u := s.length * (0.05 + 0.9*float64(i)/math.Max(1, float64(rows-1)))
		pin(jig.Clear, u, wide/2+m/2)
		pin(jig.Clear, u, -wide/2-m/2)
	}
	for _, ft := range d.Board.Features {
		float := jig.FeatureFloat{Name: ft.Name, At: ft.At, AlongMM: 0.1, AcrossMM: 0.10147, WorstMM: 0.1425 + ft.At.X/1e5}
		d.Seat.Features = append(d.Seat.Features, float)
	}
	d.Rules = append([]jig.Rule{{ID: "web", Level: jig.Pass, Says: "fine"}}, s.rules...)
	d.Notes = s.notes
	return d
}

var dotsOf660 = []float64{92, 168, 235, 295, 348.5, 396}

// samples are the drawings that are looked at and checked, by name.
func samples() map[string]*jig.Design {
	bouzouki := sampleSpec{
		title: "Bouzouki fingerboard, dots bored again", length: 478, start: 41.5, far: 55, margin: 24, pins: 6,
		dots: dotsOf660, blank: true, crown: 350,
		rules: []jig.Rule{{
			ID: "foolproof.flip-long", Level: jig.Warn, Value: 1.6, Limit: 2, Unit: "mm",
			Says: "turned over about its long axis the plate misses its pins by only 1.60 mm; " +
				"move P4 off the mirror line of P3 by 2 mm or mark the top face",
		}},
		notes: []string{"P1 is the round hole: set the machine's zero from it, not from the edge of the plate."},
	}
	bouzouki.twin = true
	noBlank := bouzouki
	noBlank.twin = false
	noBlank.keepOut = []jig.KeepOut{
		{Name: "rod channel", Box: geom.Box{Min: v(0, -4), Max: v(430, 4)}},
		{Name: "knot", Box: geom.Box{Min: v(440, 5), Max: v(470, 20)}},
	}
	noBlank.blank = false
	noBlank.rules, noBlank.relief, noBlank.stops = nil, 1.6, true
	all := map[string]*jig.Design{
		"bouzouki":         sample(bouzouki),
		"bouzouki-noblank": sample(noBlank),
		"long": sample(sampleSpec{
			title: "Long bench board, second side", length: 1500, start: 120, far: 120, margin: 30, pins: 8,
			dots: []float64{100, 700, 1400}, pinDia: 8, longX: true,
		}),
		"tiny": sample(sampleSpec{
			title: "Bridge blank", length: 60, start: 18, far: 18, margin: 18, pins: 4, pinDia: 3, dots: []float64{15, 45},
		}),
		"tiny12": sample(sampleSpec{
			title: "Bridge blank, twelve pins", length: 60, start: 18, far: 20, margin: 18, pins: 12, pinDia: 4,
			dots: []float64{15, 30, 45}, stops: true,
		}),
		"seatpins": sample(sampleSpec{
			title: "Neck blank, second side", length: 620, start: 60, far: 76, margin: 26, pins: 4, seatPins: true, blank: true,
		}),
		"printed": sample(sampleSpec{
			title: "Ukulele board in a printed nest", length: 250, start: 36, far: 46, margin: 20, pins: 6, pinDia: 5,
			printed: true, dots: []float64{60, 110, 160, 200}, longX: true,
		}),
		"two": sample(sampleSpec{
			title: "A title that goes on and on: the third try at the left-hand short-scale board with the pearl inlays " +
				"<&\"'> " +
				"that were sanded too thin in spring and must be bored once more, deeper this time, before the neck is glued",
			length: 360, start: 40, far: 52, margin: 22, pins: 2, dots: dotsOf660[:4],
		}),
	}
	return all
}
