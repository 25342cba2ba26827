package simulate

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
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
			Max float64 `json:"max_mm"`
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
}

// hole is a pin's hole as it is drawn; depth 0 goes through.
type hole struct {
	Drawn float64 `json:"drawn_mm"`
	Slot  float64 `json:"slot_mm"`
	Depth float64 `json:"depth_mm"`
	Point float64 `json:"point_mm"`
	Made  string
}

// toolOf is the diameter of the tool that a program is for.
func (r record) toolOf(file string) float64 {
	for _, p := range r.Programs {
		if p.File == file {
			return p.Tool
		}
	}
	return 0
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
	stock *stock
	z0    float64 // the program's zero over the table
	tool  tool
	holes []wanted
}

// breakMM is how far a tool may go below a part that it bores through, beside a drill's
// point: into the scrap under it.
const breakMM = 0.3

// pinSetup is the boring of the pins' holes in a part that lies on the table, top at z0.
func pinSetup(j *job.Job, r record, name string, outline [][2]float64, z0 float64, of func(i int) hole) setup {
	k := placesOf(j, false)
	s := setup{z0: z0, stock: newStock([]body{{name: name, outline: k.loop(outline), top: level(z0)}})}
	along := slotAlong(r, k)
	for i, q := range r.Pins {
		h := of(i)
		w := wanted{
			id: q.ID, at: k.at(q.U, q.V), along: along, radius: h.Drawn / 2, travel: h.Slot, low: z0 - h.Depth, high: z0 - h.Depth,
		}
		if strings.HasPrefix(h.Made, "drill") {
			s.tool.slope = drillSlope
			w.slope, w.point = drillSlope, w.radius*drillSlope
		}
		if h.Depth == 0 {
			w.low, w.high = -breakMM, 0
		}
		s.holes = append(s.holes, w)
	}
	return s
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

// pocketSetup is the boring of the features on the face that is up, cut after cut to the
// step asked for.
func pocketSetup(j *job.Job, r record, step int, under bool) setup {
	k := placesOf(j, under)
	bed := j.Bed.ThicknessMM
	face := bed + j.Board.ThicknessMM
	bodies := []body{{name: "bed", outline: placesOf(j, false).loop(r.Bed.Outline), top: level(bed)}}
	board := body{name: "board", outline: k.loop(r.Board.Outline), top: func(x, y float64) float64 {
		v := y
		if k.alongY {
			v = -x
		}
		return face - fall(j.Board.CrownRadiusMM, v)
	}}
	carrier := bed + j.Template.ThicknessMM
	if j.Template.Seat == "pins" {
		carrier = bed + j.Blank.ThicknessMM
		if !under {
			face = carrier // the board's top is the blank's
		}
		bodies = append(bodies, body{name: "frame", outline: k.loop(r.Blank.Outline), windows: [][]point{board.outline},
			top: level(carrier)})
	} else {
		bodies = append(bodies, body{name: "template", outline: k.loop(r.Template.Outline),
			windows: [][]point{k.loop(r.Template.Window)}, top: level(carrier)})
		if r.Rails != nil && j.Template.Make.By == "print" {
			for i, l := range r.Rails.Outlines {
				bodies = append(bodies, body{name: fmt.Sprint("rail ", i+1), outline: k.loop(l), top: level(bed + r.Rails.Height)})
			}
		}
	}
	bodies = append(bodies, board)
	for _, q := range r.Pins {
		foot := 0.0 // on the table, below a hole that goes through
		if q.Bed.Depth > 0 {
			foot = bed - q.Bed.Depth
		}
		top := foot + j.Dowel.LengthMM
		bodies = append(bodies, body{name: "pin " + q.ID, at: placesOf(j, false).at(q.U, q.V), radius: q.Pin.Max / 2,
			top: level(top)})
	}
	s := setup{stock: newStock(bodies), z0: face}
	for _, f := range features(j.Board) {
		d, ok := boreAt(j, f, step)
		if !ok {
			continue
		}
		floor := face - fall(j.Board.CrownRadiusMM, f.VMM) - f.DepthMM
		if f.Inlay != nil {
			// The disc stands proud by the wanted height where the face is highest under its rim.
			near := math.Max(0, math.Abs(f.VMM)-finalBore(j, f)/2)
			floor = face - fall(j.Board.CrownRadiusMM, near) + j.Pockets.ProudMM - f.Inlay.ThicknessMM
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
	cutter, final := j.Pockets.CutterMM, finalBore(j, f)
	if cutter == 0 {
		cutter = j.Machine.CutterMM
	}
	d = final - j.Pockets.FirstUnderMM
	for d < cutter+0.02-halfMicron { // the cutter does not go into that
		d += j.Pockets.StepMM
	}
	return math.Min(final, d+float64(step-1)*j.Pockets.StepMM), true
}
