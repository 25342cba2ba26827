package sheet

import (
	"errors"
	"fmt"
	"math"

	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
)

// drawable refuses a design that cannot be put on paper; it names every fault
// that it finds.
func drawable(d *jig.Design) error {
	if d == nil {
		return errors.New("no design")
	}
	var errs []error
	need := func(name string, l geom.Loop) {
		if len(l) < 3 {
			errs = append(errs, fmt.Errorf("%s has %d corners, want at least 3", name, len(l)))
		}
	}
	finite := func(name string, vs ...float64) {
		for _, v := range vs {
			switch {
			case math.IsNaN(v) || math.IsInf(v, 0):
				errs = append(errs, fmt.Errorf("%s is not a finite number", name))
				return
			case math.Abs(v) > longestMM:
				errs = append(errs, fmt.Errorf("%s holds %g, more than the %s mm that a sheet can show", name, v, mm(longestMM)))
				return
			}
		}
	}
	loop := func(name string, l geom.Loop) {
		for _, v := range l {
			finite(name, v.X, v.Y, v.Bulge)
		}
	}
	need("template outline", d.Template.Outline)
	need("board outline", d.Board.Outline)
	loop("template outline", d.Template.Outline)
	loop("template window", d.Template.Window)
	loop("board outline", d.Board.Outline)
	finite("template", d.Template.ThicknessMM, d.Template.ClearanceMM, d.Template.KerfMM)
	finite("board", d.Board.ThicknessMM)
	if r := d.Board.CrownRadiusMM; math.IsNaN(r) || math.IsInf(r, 0) {
		errs = append(errs, errors.New("crown radius is not a finite number; a flat board has 0"))
	}
	finite("bed", d.Bed.ThicknessMM)
	finite("frame", d.Frame.ToMachine.Angle)
	for _, s := range d.Template.Stops {
		finite("stop", s.A.X, s.A.Y, s.B.X, s.B.Y)
	}
	if d.Blank != nil {
		loop("blank outline", d.Blank.Outline)
		finite("blank", d.Blank.ThicknessMM)
		for _, s := range d.Blank.Strips {
			loop("strip", s)
		}
	}
	if d.Rails != nil {
		for _, r := range d.Rails.Outlines {
			loop("rail", r)
		}
		finite("rails", d.Rails.StripMM, d.Rails.HeightMM)
	}
	for _, k := range d.Board.KeepOut {
		finite("keep-out "+picture.Plain(k.Name), k.Box.Min.X, k.Box.Min.Y, k.Box.Max.X, k.Box.Max.Y)
	}
	if d.Print != nil {
		finite("printed plate", d.Print.ThicknessMM)
		for _, r := range d.Print.Rails {
			finite("printed rail", r.TopMM)
		}
	}
	finite("seat", d.Seat.ThetaMax)
	for _, p := range d.Pins {
		finite("pin "+picture.Plain(p.ID), p.At.X, p.At.Y, p.Machine.X, p.Machine.Y, p.Bed.DepthMM, p.Bed.MinMM, pinDiameter(p), pinLength(p))
		h := p.Template
		finite("hole of pin "+picture.Plain(p.ID), h.MinMM, h.MaxMM, h.DrawnMM, h.SlotMM, h.SlotAngle)
		if p.Blank != nil {
			finite("blank hole of pin "+picture.Plain(p.ID), p.Blank.MinMM)
		}
		if h.MinMM <= 0 {
			errs = append(errs, fmt.Errorf("hole of pin %s is %v mm wide, want more than 0", picture.Plain(p.ID), h.MinMM))
		}
	}
	for _, ft := range d.Board.Features {
		finite("feature "+picture.Plain(ft.Name), ft.At.X, ft.At.Y, ft.BoreMM)
	}
	for _, ft := range d.Seat.Features {
		finite("float of "+picture.Plain(ft.Name), ft.At.X, ft.At.Y, ft.AlongMM, ft.AcrossMM, ft.WorstMM)
	}
	if d.Budget != nil {
		for _, ft := range d.Budget.Features {
			finite("error of "+picture.Plain(ft.Name), ft.P95MM, ft.WorstMM)
			for _, t := range ft.Terms {
				finite(picture.Plain(t.Source)+" at "+picture.Plain(ft.Name), t.WorstMM, t.SDMM, t.AlongBiasMM, t.AcrossBiasMM)
			}
		}
	}
	for _, a := range d.Assembly {
		finite("odds of "+picture.Plain(a.Part)+" on "+picture.Plain(a.On), a.Odds)
	}
	if c := d.Climate; c != nil {
		finite("climate", c.MadeC, c.MadeRHPct, c.NowC, c.NowRHPct, c.WidthMM, c.LengthMM, c.WindowMM, c.ClearanceLeftMM, c.EntersBelowRHPct)
	}
	return errors.Join(errs...)
}
