package jig

import (
	"reseat/jig/geom"
	"reseat/jig/plate"
	"reseat/jig/site"
)

// lifted is the site with finger reliefs in the window, where the job wants them and they
// leave every hole and the plate's edge their webs. Rails stand where they would be, and
// a plate in parts has its keys there.
func (p plan) lifted() site.Site {
	s, j := p.site, p.job
	s.Opening = s.Window
	if s.Window == nil || !j.Template.Lift || j.Template.Make.By == "print" && (j.Rails != nil || p.isSplit()) {
		return s
	}
	web := p.spec.Region.WebMM
	l, u, ok := plate.Lifted(s.Window, site.PlateCutter(j), func(l geom.Loop) bool {
		for _, q := range p.pins {
			if -l.Depth(q.At) < q.widest()+web {
				return false
			}
		}
		for _, v := range l.Flatten(windowChordMM) {
			if s.Plate.Depth(v) < web {
				return false
			}
		}
		return true
	})
	if ok {
		s.Opening, s.LiftMM = l, u
	}
	return s
}

// isSplit reports whether the printed plate is too long for its printer.
func (p plan) isSplit() bool {
	bed := p.Print.Make.BedMM
	_, size := plate.ToFile(FrameOf(p.job).ToMachine, p.site.Plate)
	return bed[0] > 0 && bed[1] > 0 && !plate.FitsBed(size, bed[0], bed[1])
}

// printedWindow is the window of the printed plate: a template's own, or that of a gluing plate,
// which lifts off the board.
func (p plan) printedWindow() geom.Loop {
	l := p.site.Window
	if p.job.Template.Make.By == "print" {
		l = p.site.Opening
	}
	if p.site.Printed != nil {
		l = p.site.Printed
	}
	if edge := p.Print.CutMM(); edge != 0 && l != nil {
		l = plate.OffsetShapes(plate.Opening, l, -edge/2)[0].Loop
	}
	return l
}
