package simulate

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"reseat/jig/job"
)

// record is what is read of design.json: the pins that the design chose, the parts' sizes
// and the tools.
type record struct {
	Board    struct{ Outline [][2]float64 }
	Template struct {
		Outline, Window [][2]float64
		Thickness       float64 `json:"thickness_mm"`
	}
	Blank *struct{ Outline [][2]float64 }
	Bed   struct {
		Outline [][2]float64
	}
	Pins []struct {
		ID, Role string
		U        float64 `json:"u_mm"`
		V        float64 `json:"v_mm"`
		Pin      struct {
			Max    float64 `json:"max_mm"`
			Min    float64 `json:"min_mm"`
			Length float64 `json:"length_mm"`
		}
		Bed   hole  `json:"bed_hole"`
		Blank *hole `json:"blank_hole"`
	}
	Rails *struct {
		Height   float64 `json:"height_mm"`
		Outlines [][][2]float64
	}
	Programs []struct {
		File string
		Tool float64 `json:"tool_mm"`
	}
	Setups []told
}

// hole is a pin's hole as it is drawn; depth 0 goes through.
type hole struct {
	Drawn float64 `json:"drawn_mm"`
	Slot  float64 `json:"slot_mm"`
	Depth float64 `json:"depth_mm"`
	Point float64 `json:"point_mm"`
	Made  string
}

// told is a set-up as the design tells it.
type told struct {
	ID, Program string
	FaceUp      string `json:"face_up"`
	Zero        *struct {
		Z        float64  `json:"z_mm"`
		FromEnd  *float64 `json:"from_end_mm"`
		FromSide *float64 `json:"from_side_mm"`
	}
	Stack []struct {
		Layer string
		From  float64 `json:"from_mm"`
		To    float64 `json:"to_mm"`
	}
	Checks []struct {
		What, Unit          string
		Expected, Low, High float64
	}
	Pins []struct {
		ID    string
		From  float64 `json:"from_mm"`
		To    float64 `json:"to_mm"`
		After bool    `json:"after_cutting"` // put in when the cutting is done
	}
}

// setup is the one that runs a program.
func (r record) setup(program string) told {
	i := slices.IndexFunc(r.Setups, func(s told) bool { return s.Program == program })
	if i < 0 {
		return told{}
	}
	return r.Setups[i]
}

func readRecord(dir string) (r record, err error) {
	data, err := os.ReadFile(filepath.Join(dir, "design.json"))
	if err != nil {
		return r, err
	}
	return r, json.Unmarshal(data, &r)
}

// places takes the board's places to the machine. The board is turned over by half a turn
// in space about the axis that the job names: the datum line, or the line across the board
// through the middle of its length. X0 Y0 stays where it was in the first set-up.
type places struct {
	alongY, under bool
	axis, middle  point // of the half turn: direction, of length 1, and a point on it
}

func placesOf(j *job.Job, under bool) places {
	p := places{alongY: j.Machine.LongAxis == "y", under: under, axis: point{x: 1}}
	if j.Template.Flip == "short" {
		p.axis, p.middle = point{y: 1}, point{x: j.Board.LengthMM / 2}
	}
	return p
}

// at returns where (u, v) lies on the machine.
//
//	half a turn about the axis a through m:  p -> m + 2 (a . (p - m)) a - (p - m)
func (k places) at(u, v float64) point {
	if k.under {
		u, v = u-k.middle.x, v-k.middle.y
		along := u*k.axis.x + v*k.axis.y
		u, v = k.middle.x+2*along*k.axis.x-u, k.middle.y+2*along*k.axis.y-v
	}
	if k.alongY {
		return point{x: -v, y: u}
	}
	return point{x: u, y: v}
}

func (k places) loop(uv [][2]float64) []point {
	var out []point
	for _, p := range uv {
		out = append(out, k.at(p[0], p[1]))
	}
	return out
}

// wanted is a hole that a program must make: a slot when travel is above 0, along the unit
// vector. Its floor lies between low and high over the table. A drill's point may go
// deeper.
type wanted struct {
	id             string
	at, along      point
	radius, travel float64
	low, high      float64
	slope, point   float64
}

// beyond returns how far a place lies outside the hole's contour, negative inside.
func (w wanted) beyond(x, y float64) float64 {
	x, y = x-w.at.x, y-w.at.y
	s := math.Max(-w.travel/2, math.Min(w.travel/2, x*w.along.x+y*w.along.y))
	return math.Hypot(x-s*w.along.x, y-s*w.along.y) - w.radius
}

// setup is what one program finds on the table, and what it must leave.
type setup struct {
	bodies []body
	z0     float64 // the program's zero over the table
	tool   tool
	holes  []wanted
	stock  *stock
}

// breakMM is how far a tool may go below a part that it bores through, beside a drill's
// point: into the scrap under it.
const breakMM = 0.3

// bedSetup is the boring of the bed, blankSetup that of the blank on scrap, bothSetup that
// of the two in one clamping: the blank on the bed, its holes through it, the bed's below.
func bedSetup(j *job.Job, r record) (s setup) {
	s.lie("bed", placesOf(j, false).loop(r.Bed.Outline), j.Bed.ThicknessMM)
	s.pinHoles(j, r, 0, func(i int) hole { return r.Pins[i].Bed })
	return s
}

func blankSetup(j *job.Job, r record) (s setup) {
	s.lie("blank", placesOf(j, false).loop(r.Blank.Outline), j.Blank.ThicknessMM)
	s.pinHoles(j, r, 0, func(i int) hole { return *r.Pins[i].Blank })
	return s
}

func bothSetup(j *job.Job, r record) setup {
	s := bedSetup(j, r)
	bed := s.z0
	s.lie("blank", placesOf(j, false).loop(r.Blank.Outline), bed+j.Blank.ThicknessMM)
	if j.Bed.Make.By == "drill" {
		return s // the bed's drill goes through both; the blank's holes are opened by hand
	}
	s.pinHoles(j, r, bed, func(i int) hole { return *r.Pins[i].Blank })
	return s
}

// lie puts a part down, Z0 on its top.
func (s *setup) lie(name string, outline []point, top float64) {
	s.z0 = top
	s.bodies = append(s.bodies, body{name: name, outline: outline, top: level(top)})
}

// pinHoles are wanted in the part on top, which lies from a height up to Z0.
func (s *setup) pinHoles(j *job.Job, r record, from float64, of func(i int) hole) {
	k := placesOf(j, false)
	for i, q := range r.Pins {
		h := of(i)
		floor := s.z0 - h.Depth
		w := wanted{
			id: q.ID, at: k.at(q.U, q.V), along: slotAlong(r, k), radius: h.Drawn / 2, travel: h.Slot, low: floor, high: floor,
		}
		if h.Depth == 0 {
			w.low, w.high = from-breakMM, from
		}
		if strings.HasPrefix(h.Made, "drill") {
			s.tool.slope = drillSlope
			w.slope, w.point = drillSlope, w.radius*drillSlope
		}
		s.holes = append(s.holes, w)
	}
}

// drillSlope is how far the cone of a 118 degree point rises for each millimetre from the
// axis (derived: it leaves 31 degrees to the flat).
var drillSlope = math.Tan(31 * math.Pi / 180)

// slotAlong is the direction of a locating slot, the line from the round pin to the one in
// the slot.
func slotAlong(r record, k places) point {
	var round, slot point
	for _, q := range r.Pins {
		switch q.Role {
		case "round":
			round = k.at(q.U, q.V)
		case "slot":
			slot = k.at(q.U, q.V)
		}
	}
	d := math.Hypot(slot.x-round.x, slot.y-round.y)
	return point{x: (slot.x - round.x) / d, y: (slot.y - round.y) / d}
}

func level(z float64) func(x, y float64) float64 { return func(_, _ float64) float64 { return z } }

// pocketSetup is the boring of the features on the face that is up, to the size of a step.
func pocketSetup(j *job.Job, r record, file string, step int) (s setup) {
	under := file == "pockets-under.nc"
	k := placesOf(j, under)
	crown := j.Board.CrownRadiusMM
	if under {
		crown = 0 // it lies below
	}
	bed := j.Bed.ThicknessMM
	s.lie("bed", placesOf(j, false).loop(r.Bed.Outline), bed)
	board := k.loop(r.Board.Outline)
	carrier, face := bed+j.Template.ThicknessMM, bed+j.Board.ThicknessMM
	if j.Template.Seat == "pins" {
		carrier = bed + j.Blank.ThicknessMM
		if !under {
			face = carrier // the board's top is the blank's
		}
		s.lie("blank", k.loop(r.Blank.Outline), carrier)
		s.bodies[1].windows = [][]point{board}
	} else {
		s.lie("template", k.loop(r.Template.Outline), carrier)
		s.bodies[1].windows = [][]point{k.loop(r.Template.Window)}
		if r.Rails != nil && j.Template.Make.By == "print" {
			for i, l := range r.Rails.Outlines {
				s.lie(fmt.Sprint("rail ", i+1), k.loop(l), bed+r.Rails.Height)
			}
		}
	}
	s.lie("board", board, face)
	s.bodies[len(s.bodies)-1].top = func(x, y float64) float64 {
		v := y
		if k.alongY {
			v = -x
		}
		return face - fall(crown, v)
	}
	for i, p := range r.setup(file).Pins {
		q := r.Pins[i]
		at := placesOf(j, false).at(q.U, q.V)
		s.bodies = append(s.bodies, body{name: "pin " + p.ID, at: at, radius: q.Pin.Max / 2, top: level(p.To)})
	}
	for _, f := range features(j.Board) {
		d, ok := boreAt(j, f, step)
		if !ok || (f.Side == "under") != under {
			continue
		}
		floor := face - fall(crown, f.VMM) - f.DepthMM
		if f.Inlay != nil {
			// The disc stands proud by the wanted height where the face is highest under its rim.
			near := math.Max(0, math.Abs(f.VMM)-finalBore(j, f)/2)
			floor = face - fall(crown, near) + j.Pockets.ProudMM - f.Inlay.ThicknessMM
		}
		s.holes = append(s.holes, wanted{id: f.Name, at: k.at(f.UMM, f.VMM), radius: d / 2, low: floor, high: floor})
	}
	return s
}

// fall is how far a crown has fallen at v.
func fall(radius, v float64) float64 {
	if radius == 0 {
		return 0
	}
	return radius - math.Sqrt(radius*radius-v*v)
}

// features are the job's, and its dots: midway between two frets of the equal-tempered
// scale.
func features(b job.Board) []job.Feature {
	all := append([]job.Feature(nil), b.Features...)
	if b.Frets == nil {
		return all
	}
	fret := func(n int) float64 { return b.Frets.ScaleMM - b.Frets.ScaleMM/math.Pow(2, float64(n)/12) }
	for _, d := range b.Frets.Dots {
		f := job.Feature{Name: fmt.Sprint("dot ", d.Fret), UMM: (fret(d.Fret-1) + fret(d.Fret)) / 2,
			BoreMM: b.Frets.DotBoreMM, DepthMM: b.Frets.DotDepthMM, Inlay: b.Frets.DotInlay, VMM: d.SpreadMM / 2}
		all = append(all, f)
		if d.SpreadMM > 0 {
			f.VMM = -f.VMM
			all = append(all, f)
		}
	}
	return all
}

// finalBore is the diameter that a feature ends at: its largest disc with the glue gap, or
// what the job says.
func finalBore(j *job.Job, f job.Feature) float64 {
	if f.Inlay == nil {
		return f.BoreMM
	}
	largest := 0.0
	for _, d := range f.Inlay.MeasuredMM {
		largest = math.Max(largest, d)
	}
	return largest + j.Pockets.GlueGapMM
}

// boreAt is what a feature measures after a step: under size at first, then larger by a
// step each time, left as it is when it is done. ok is false for a place without a bore.
func boreAt(j *job.Job, f job.Feature, step int) (d float64, ok bool) {
	if f.BoreMM == 0 || f.DepthMM == 0 && f.Inlay == nil {
		return 0, false
	}
	const halfMicron = 0.0005
	cutter, final := j.Pockets.Cutter.DiameterMM, finalBore(j, f)
	if cutter == 0 {
		cutter = j.Machine.Cutter.DiameterMM
	}
	d = final - j.Pockets.FirstUnderMM
	for d < cutter+0.02-halfMicron { // the cutter does not go into that
		d += j.Pockets.StepMM
	}
	return math.Min(final, d+float64(step-1)*j.Pockets.StepMM), true
}
