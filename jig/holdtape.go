package jig

import (
	"cmp"
	"math"

	"reseat/jig/climate"
	"reseat/jig/holddown"
	"reseat/jig/toolpath"
)

// holdDown asks whether double-sided tape under the board and under what carries it
// holds against the cutter of the program of the features that takes the deepest passes;
// nil without one. A blank on its pins is clamped to the bed; there it tells the cutter's force alone.
func (p plan) holdDown(all []pocketing) (*holddown.Result, float64) {
	var path *toolpath.Program
	for _, q := range all {
		if q.program != nil && (path == nil || q.program.Path.Run.PassMM > path.Run.PassMM) {
			path = q.program.Path
		}
	}
	if path == nil || len(p.pins) == 0 {
		return nil, 0
	}
	cutting := p.job.Cutting
	wood := holddown.Hardwood
	if w, err := climate.LookupWood(p.job.Board.Wood); err == nil && w.Conifer {
		wood = holddown.Softwood
	}
	r := holddown.Check(holddown.Spec{
		Wood: wood, SpecificNMM2: cutting.ForceNmm2, DepthMM: path.Run.PassMM,
		FeedMMmin: path.FeedMMmin, RPM: path.SpindleRPM, Teeth: cmp.Or(path.Teeth, cutting.Teeth),
		Parts: p.taped(),
	})
	return &r, path.DiameterMM
}

// taped are what lies on tape: the board and the template.
func (p plan) taped() []holddown.Part {
	template := holddown.Part{Name: "template", AreaMM2: p.site.Plate.Area()}
	if p.site.Window != nil {
		template.LessMM2 = p.site.Opening.Area()
	}
	for _, q := range p.pins {
		template.LessMM2 += math.Pi * q.Template.MaxMM * q.Template.MaxMM / 4
	}
	board := holddown.Part{Name: "board", AreaMM2: p.site.Outline.Area()}
	for _, l := range p.job.Board.Holes {
		board.LessMM2 += math.Abs(l.Area())
	}
	return []holddown.Part{board, template}
}
