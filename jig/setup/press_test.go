package setup

import (
	"strings"
	"testing"

	"reseat/jig/geom"
)

// What the bench is told of clamps, plate and water, by what is known.
func TestPressTold(t *testing.T) {
	pva := Press{
		Clamps: 8, ClampN: 2000, ApartMM: 62, EndMM: 21, CaulOf: "plywood", CaulMM: 13, LiftMin: [2]float64{30, 90}, ClampedMin: 40,
		LoadH: 24, CupMM: 0.8, BowMM: 2.5,
	}
	crowned, epoxy := pva, pva
	crowned.HollowMM = 352
	epoxy.LiftMin, epoxy.ClampedMin, epoxy.CupMM = [2]float64{240, 480}, 720, 0
	for _, c := range []struct{ name, got, want, not string }{
		{"clamps and plate off together", pva.off(""), "after 40 to 90 min", "film and wax alone"},
		{"clamps stay until it is hard", epoxy.off(""), "after 720 min, pins out. Lift straight up", "soft"},
		{"flat board", pva.caul(), "plywood, 13 high or more. Take 8 clamps of 2000 N, 62 apart", "radius"},
		{"crowned board", crowned.caul(), "radius of 352", "none"},
		{"water", pva.closing(), "0.8 across and 2.5 along", "none"},
		{"no water", epoxy.closing() + "-", "-", "water"},
	} {
		if !strings.Contains(c.got, c.want) || strings.Contains(c.got, c.not) {
			t.Errorf("%s: %q", c.name, c.got)
		}
	}
}

// Where wedges are driven: an end too short for a pair is not told of.
func TestWedgesTold(t *testing.T) {
	w := Work{Blank: &Part{ThicknessMM: 28}, Board: Part{ThicknessMM: 6.5}, Glue: &Gluing{
		Plate: Part{ThicknessMM: 3}, Wedges: []geom.Loop{{}}, Press: &Press{CaulMM: 10, WedgeN: [2]float64{32, 38}},
	}}
	const end, hand = "then at the far end", "to the start end by hand"
	if got := w.glueUp().Steps[1]; strings.Contains(got, end) || !strings.Contains(got, hand) {
		t.Error(got)
	}
	w.Glue.AtEnd = true
	if got := w.glueUp().Steps[1]; !strings.Contains(got, end) || strings.Contains(got, hand) {
		t.Error(got)
	}
}
