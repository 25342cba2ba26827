// Package glued works out how the board of a job is glued onto its blank: with what pressure, under
// which caul, in what time, and where it then lies. The figures are those of jig/closing and
// jig/gluing; here is what of the job they are reckoned with.
package glued

import (
	"fmt"
	"math"
	"strings"

	"reseat/jig/account"
	"reseat/jig/beam"
	"reseat/jig/budget"
	"reseat/jig/climate"
	"reseat/jig/closing"
	"reseat/jig/geom"
	"reseat/jig/gluing"
	"reseat/jig/job"
	"reseat/jig/part"
	"reseat/jig/plate"
	"reseat/jig/rail"
	"reseat/jig/seat"
	"reseat/jig/sourced"
	"reseat/jig/wedge"
)

// Case is a job whose board is glued, with the plate for it on its pins.
type Case struct {
	Job      *job.Job
	Parts    part.Parts
	Gluing   rail.Gluing
	Pins     []account.Pin // round and slot first
	MarginMM float64       // of the plate beside its window
	Split    bool          // a printed plate is in parts
	Wedged   bool          // wedges push the board
	// Contour is a board of any outline as it lies in its plate; nil: straight sides.
	Contour  *seat.Contour
	Features []budget.Feature
	Seed     uint64
}

// Plan is how a board is glued onto its blank, and what that comes to.
type Plan struct {
	Clamps closing.Clamping   `json:"clamping"` // with the clamps that there are, as many as it takes or as fit
	Others []closing.Clamping `json:"instead"`  // what spring bars and weights would reach
	Caul   Caul               `json:"caul"`
	// Water and Times are those of the glue at the temperature of the day, 20 C where none is given.
	Water  gluing.Wetting `json:"water"`
	TempC  float64        `json:"temp_c"`
	Times  gluing.Times   `json:"times"`
	SideN  float64        `json:"skating_n"` // side load of the clamps, out of square by two degrees
	Rail   gluing.Bears   `json:"rail"`
	Wedges *Wedges        `json:"wedges,omitempty"`        // nil: none push the board, or Unsure
	Unsure string         `json:"wedges_unsure,omitempty"` // why whether wedges hold is not computed
	Finger *wedge.Finger  // that would push the board where the job wants a push and no wedges are; nil: none is missing
	Relief *gluing.Relief `json:"relief,omitempty"` // of a printed rail; nil: another, which stands back by itself
	Taped  bool           `json:"tape_holds"`       // double-sided tape under the plate bears the side load too
	// most between screws or small clamps that hold the plate to the waste; 0: the pins do
	HeldMM float64  `json:"held_mm"`
	Oily   []string `json:"oily_woods,omitempty"`
	// Place, of the features at either end, and Edges are where the board lies on the blank; empty
	// without pins.
	Place         []Spot         `json:"place,omitempty"`
	Contributions []Contribution `json:"terms,omitempty"` // of the worst feature
	Edges         []gluing.Edge  `json:"edges,omitempty"`
	Loose         string         `json:"loose,omitempty"` // what the lands of a plate leave a board of any outline to do
}

// Wedges are the folding wedges that push the board.
type Wedges struct {
	Press sourced.Value `ends:"press_n,press_most_n"` // of a pair, by a tap of wedge.TapN
	Free  sourced.Value `ends:",free_most_n"`         // the pull that frees it again
	Held  bool          `json:"held"`                 // by friction, one face waxed
	// MostSlope is up to what slope they would.
	MostSlope float64 `json:"most_slope"`
}

// Spot is how far a feature lies from its place on the blank, mm.
type Spot struct {
	Name    string   `json:"feature"`
	At      geom.Vec `axes:"u_mm,v_mm"`
	WorstMM float64  `json:"worst_mm"`
	P95MM   float64  `json:"p95_mm"`
	Largest string   `json:"largest"` // source
	Remedy  string
}

// Contribution is what one source does at a feature.
type Contribution struct {
	Source  string  `json:"source"`
	WorstMM float64 `json:"worst_mm"`
	SDMM    float64 `json:"sd_mm"`
	Share   float64 `json:"share"` // of the mean square error
}

// Caul is the caul that the clamps need.
type Caul struct {
	Material  string  `json:"material"`
	HeightMM  float64 `json:"height_mm"`  // given, or the least that spreads what so many clamps press
	Given     bool    `json:"given"`      // by the job
	SpacingMM float64 `json:"spacing_mm"` // of the clamps
	EndMM     float64 `json:"end_mm"`     // from the caul's ends to the first of them
	Least     float64 `json:"least"`      // pressure at the worst place, in parts of the mean
	ConeMM    float64 `json:"cone_mm"`    // how far one clamp's force has spread at the glue, by 45 degrees
	StressMPa float64 `json:"stress_mpa"` // bending in the caul
	HollowMM  float64 `json:"hollow_mm"`  // radius of its underside, for a crowned board; 0: flat
	OffMM     float64 `json:"off_mm"`     // by how much a flat one stands off at the edges
}

// caulOf is what a caul is taken to be of where the job does not say. Common practice, no source.
const caulOf = "plywood"

// padMM is the pad under a caul: it is what a hollow caul is larger by, and is not counted on to
// spread. Common practice, no source.
const padMM = 2.0

// What is taken of what is not asked for, common practice, no source: a clamp's pad, a glass rod of
// 3/16 in as a spring bar under a shelf, and what weights lie about.
const (
	clampPadMM = 25.0
	rodMM      = 4.8
	rodRoomMM  = 600.0
	weightsKg  = 30.0
)

// A finger that keeps a board on its stop until the clamps do, and how far it is bent beyond the gap.
// Common practice, no source.
const (
	fingerN      = 15.0
	fingerBendMM = 0.5
)

// roomC is the temperature that glue's figures are for.
const roomC = 20.0

// Compute returns the plan. The error is a glue or a material that is not known, or a board that does
// not go between its rails.
func Compute(c Case) (Plan, error) {
	b, r := c.Job.Board, c.Job.Rails
	wood, neck := c.wood(b.Wood), c.wood(c.Job.Blank.Wood)
	area, _ := b.GlueLand()
	joint := closing.Joint{
		LengthMM: b.LengthMM, WidthMM: area / b.LengthMM, ThicknessMM: b.ThicknessMM, Board: wood,
		Pressure: c.Gluing.Pressure,
	}
	f := Plan{TempC: roomC}
	if k := c.Job.Climate; k != nil {
		f.TempC = k.Now.TempC
	}
	var err error
	if f.Times, err = gluing.TimesAt(r.Glue, f.TempC); err != nil {
		return Plan{}, err
	}
	if err = c.pressed(&f, joint, neck); err != nil {
		return Plan{}, err
	}
	if w, unknown := part.BoardWood(c.Job); unknown == nil {
		across := w.CT
		if b.Grain == string(climate.Quarter) {
			across = w.CR
		}
		wet := gluing.Board{
			LengthMM: b.LengthMM, WidthMM: max(b.WidthStartMM, b.WidthEndMM), ThicknessMM: b.ThicknessMM, AcrossPerPct: across,
			AlongPerPct: climate.AlongPerMoisture, Density: gluing.Density(w.Conifer),
		}
		if f.Water, err = gluing.Wet(r.Glue, c.Gluing.Spread, wet, wood.Across.Most); err != nil {
			return Plan{}, err
		}
	}
	for _, name := range []string{b.Wood, c.Job.Blank.Wood} {
		if gluing.IsOily(name) {
			f.Oily = append(f.Oily, name)
		}
	}
	f.SideN = gluing.Sideways(f.Clamps.ForceN)
	if r.Plate == "print" {
		relief := gluing.Relieve(c.Gluing.SqueezeOut.Most, b.LengthMM, r.HeightMM, 0)
		foot := plate.FootMM // of a window that seams cut
		if !c.Split {
			foot = plate.WindowFoot(relief.ChamferMM, part.GluePlateMM(c.Job), c.Job.Template.Make.By != "print")
		}
		relief = relief.Chamfered(foot, r.HeightMM)
		f.Relief = &relief
	}
	if c.Wedged {
		mu, unknown := wedge.Friction(c.Parts.GluePlate(c.Job).Material)
		if unknown != nil {
			f.Unsure = unknown.Error()
		} else {
			pair := wedge.Pair{Slope: plate.WedgeSlope, Friction: mu}
			press := pair.Press(wedge.TapN)
			f.Wedges = &Wedges{Press: press, Free: pair.Loosen(press.Most), Held: pair.Holds(), MostSlope: pair.MostSlope()}
		}
	}
	if r.Push != "none" && r.Push != "" && !c.Wedged {
		of := wedge.PLA
		if strings.Contains(strings.ToLower(c.Parts.Print.Material), wedge.PETG.Name) {
			of = wedge.PETG
		}
		finger := wedge.Print(of, fingerN, r.GapMM+fingerBendMM, r.HeightMM)
		f.Finger = &finger
	}
	if f.Rail = c.sideways(f.SideN, wood); f.Rail.SpanMM < c.span() {
		f.HeldMM = f.Rail.SpanMM
		p := c.Parts.GluePlate(c.Job)
		f.Taped = c.rail(wood).Stuck(f.SideN, p.ThicknessMM, c.MarginMM).Used <= 1
	}
	if len(c.Pins) > 1 {
		err = c.place(&f)
	}
	return f, err
}

// wood is how stiff a wood is: by its class, as hardwood where that is not known.
func (c Case) wood(name string) beam.Material {
	return beam.Wood(rail.HardnessOf(name) == rail.Softwood)
}

// pressed sets clamps and caul.
func (c Case) pressed(f *Plan, j closing.Joint, neck beam.Material) error {
	r, b := c.Job.Rails, c.Job.Board
	f.Caul.Material = r.Caul.Material
	if f.Caul.Material == "" {
		f.Caul.Material = caulOf
	}
	of, ok := beam.Lookup(f.Caul.Material)
	if !ok {
		of = c.wood(f.Caul.Material)
	}
	caul := closing.Caul{LengthMM: b.LengthMM, HeightMM: r.Caul.HeightMM, Material: of, Under: []closing.Layer{
		{Name: "board", ThicknessMM: b.ThicknessMM, ModulusMPa: j.Board.Across.Most},
		{Name: "blank", ThicknessMM: c.Job.Blank.ThicknessMM, ModulusMPa: neck.Across.Most},
	}}
	if f.Caul.Given = caul.HeightMM > 0; f.Caul.Given {
		f.Clamps = j.Clamps(r.ClampN, caul.Clamps())
	} else {
		f.Clamps = j.Clamps(r.ClampN, leastClamps)
		if caul.HeightMM = caul.LeastHeight(f.Clamps.Count); caul.HeightMM == 0 {
			return fmt.Errorf("no caul of %s spreads the pressure of %d clamps", f.Caul.Material, f.Clamps.Count)
		}
	}
	at, spacing := caul.Places(f.Clamps.Count)
	f.Caul.HeightMM, f.Caul.SpacingMM, f.Caul.EndMM = caul.HeightMM, spacing, at[0]
	f.Caul.Least, _ = caul.Pressure(f.Clamps.Count)
	f.Caul.ConeMM = closing.Cone(clampPadMM, caul.HeightMM+b.ThicknessMM)
	f.Caul.StressMPa = caul.Stress(f.Clamps.Count, r.ClampN, j.WidthMM)
	if rod := (closing.Bar{Material: beam.GlassRod, DiameterMM: rodMM, RoomMM: rodRoomMM}); rod.Holds() {
		f.Others = append(f.Others, j.Bars(rod))
	}
	f.Others = append(f.Others, j.Weights(weightsKg))
	f.Caul.HollowMM, f.Caul.OffMM = closing.Hollow(b.CrownRadiusMM, padMM, max(b.WidthStartMM, b.WidthEndMM))
	return nil
}

// leastClamps: one at either end and one between. Common practice, no source.
const leastClamps = 3

const (
	// mostDeflectionMM is what a rail may give under the side load before the plate is held between its pins as
	// well. Common practice, no source: what is seen in a strip of 1 mm.
	mostDeflectionMM = 0.05
	// mostHeld is how many places beside the board a plate is held at, at most.
	mostHeld = 12
)

// sideways is what the rail bears: the bar of the plate beside the board, between the pins that
// locate it (the others have play), or where that gives too much between screws or small clamps that
// hold it to the blank's waste; and a printed wall, which stands on it.
func (c Case) sideways(sideN float64, wood beam.Material) gluing.Bears {
	r, p, rails := c.Job.Rails, c.Parts.GluePlate(c.Job), c.rail(wood)
	var out gluing.Bears
	for n := range mostHeld {
		out = rails.OnPins(sideN, c.span()/float64(n+1), c.MarginMM, p.ThicknessMM, c.Parts.Pin.MeanMM())
		if out.DeflectionMM <= mostDeflectionMM && out.Used <= 1 {
			break
		}
	}
	if high := r.HeightMM - p.ThicknessMM; r.Plate == "print" && high > 0 {
		wall := rails.Wall(sideN, high, rail.WidthMM)
		out.DeflectionMM += wall.DeflectionMM
		out.Used, out.RailMPa = max(out.Used, wall.Used), max(out.RailMPa, wall.RailMPa)
	}
	return out
}

// rail is the plate beside the board of a wood.
func (c Case) rail(wood beam.Material) gluing.Rail {
	b := c.Job.Board
	name := c.Parts.GluePlate(c.Job).Material
	of, ok := beam.Lookup(name)
	if !ok {
		of = c.wood(name)
	}
	return gluing.Rail{
		Material: of, LengthMM: b.LengthMM, Edge: wood,
		ContactMM: max(gluing.LeastContactMM, min(c.Job.Rails.HeightMM, b.LowestEdgeMM())),
		Board: beam.Bar{WidthMM: b.ThicknessMM, HeightMM: b.NarrowestMM(), ModulusMPa: wood.Modulus.Least,
			ShearMPa: wood.Shear},
	}
}

// span is between the pins that locate the plate.
func (c Case) span() float64 {
	if len(c.Pins) < 2 {
		return c.Job.Board.LengthMM
	}
	return math.Abs(c.Pins[1].At.X - c.Pins[0].At.X)
}
