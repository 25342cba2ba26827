package glued

import (
	"math"

	"reseat/jig/setup"
	"reseat/jig/units"
)

// Press is what of the figures the steps at the bench tell.
func (f Plan) Press() *setup.Press {
	tenth := func(mm float64) float64 { return units.Round(mm, 1) }
	p := &setup.Press{
		Clamps: f.Clamps.Count, ClampN: units.Round(f.Clamps.EachN, 0), ApartMM: units.Round(f.Caul.SpacingMM, 0),
		EndMM: units.Round(f.Caul.EndMM, 0), CaulOf: f.Caul.Material, CaulMM: math.Ceil(f.Caul.HeightMM), PadMM: padMM,
		HollowMM: units.Round(f.Caul.HollowMM, 0), HeldMM: math.Floor(f.HeldMM), CupMM: tenth(f.Water.CupMM.Most),
		BowMM: tenth(f.Water.BowMM.Most), LiftMin: [2]float64{units.Round(f.Times.Release.Least, 0),
			units.Round(f.Times.Release.Most, 0)},
		ClampedMin: units.Round(f.Times.Clamped.Least, 0), LoadH: units.Round(f.Times.Load.Least, 0), Oily: f.Oily,
		Taped: f.Taped,
	}
	for i, e := range f.Edges {
		if low, high := max(0, e.LowMM), e.HighMM; i == 0 {
			p.StripMM = [2]float64{low, high}
		} else {
			p.StripMM = [2]float64{min(p.StripMM[0], low), max(p.StripMM[1], high)}
		}
	}
	if k := f.Wedges; k != nil {
		p.WedgeN = [2]float64{math.Floor(k.Press.Least), math.Ceil(k.Press.Most)}
	}
	return p
}
