package job

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/geom"
	"reseat/jig/units"
)

// onBoardTolMM lets a place lie on the very edge or end of the board in spite
// of rounding, such as a length in inches: a nanometre.
const onBoardTolMM = 1e-6

// check notes what is impossible between values that are possible each by
// itself. A check is left out when a value that it needs has a fault.
func (r *reader) check(j *Job) {
	r.checkBoard(j.Board)
	r.checkOutline(j)
	r.checkCrown("pockets.final_crown_radius", j.Pockets.FinalCrownRadiusMM, j.Board)
	r.checkFrets(j.Board)
	r.checkFeatures(j)
	r.checkKeepOut(j.Board)
	for _, at := range makes {
		r.checkMake(at)
		r.checkCutter(at + ".cutter")
	}
	r.checkCutter("machine.cutter")
	r.checkCutter("pockets.cutter")
	for i := range j.Machine.Cutters {
		r.checkCutter(entry("machine.cutters", i))
	}
	r.checkTemplate(j)
	r.checkTogether(j)
	r.checkReadings(j.Dowel)
	if b := "board.measured"; r.has(b) && j.Climate == nil && r.isFaultless("climate") {
		r.faultKey(b, "says nothing without the air now", "give climate: {made: ..., now: ...} too")
	} else if r.has(b) && j.Template.Seat == "pins" && r.isFaultless("template.seat") {
		r.faultKey(b, "means nothing with seat: pins", "remove it; only a window is drawn for the board as measured")
	}
	if r.has("board.bow") && j.Template.Seat == "pins" && r.isFaultless("template.seat") {
		r.faultKey("board.bow", "means nothing with seat: pins", "remove it; the blank is clamped down, the board flat in it")
	}
	for _, at := range []string{"climate.made.rh", "climate.now.rh", "board.measured.rh"} {
		if rh := r.mm(at); r.isFaultless(at) && rh > 0 && rh < 1 {
			r.faultKey(at, fmt.Sprintf("got %s percent", units.Short(rh)),
				fmt.Sprintf("write %s: percent, not a share of 1", units.Short(100*rh)))
		}
	}
}

// checkMake notes keys that the process has no use for, since they would be passed
// over in silence.
func (r *reader) checkMake(at string) {
	by := r.word(at + ".by")
	if by == "" || !r.isFaultless(at, at+".by") {
		return
	}
	for _, name := range keysBelow(at) {
		only := strings.Split(keyAt(join(at, name)).only, "|")
		if only[0] != "" && !slices.Contains(only, by) && r.has(join(at, name)) {
			r.faultKey(join(at, name), "means nothing with by: "+by, "remove it; it goes with by: "+strings.Join(only, " or "))
		}
	}
}

// checkTogether notes a blank that cannot be bored together with the bed.
func (r *reader) checkTogether(j *Job) {
	const at = "blank.bored_with_bed"
	if j.Blank == nil || !j.Blank.BoredWithBed || !r.has(at) || !r.isFaultless(at, "template", "template.seat",
		"blank.make", "bed.make") {
		return
	}
	switch by := []string{j.Blank.Make.By, j.Bed.Make.By}; {
	case j.Template.Seat == "nest":
		r.faultKey(at, "the blank of a nest takes the pins for gluing and never lies on the bed's pins", "leave it out")
	case !togetherBy(j.Blank.Make, j.Bed.Make):
		r.faultKey(at, fmt.Sprintf("blank made by %s, bed by %s: one tool of the machine cannot bore both", by[0], by[1]),
			"make both by: router, or both by: drill, or leave it out")
	}
}

// checkCutter notes a cutter that reaches farther than it stands out of its collet, and a
// collet thinner than its cutter.
func (r *reader) checkCutter(at string) {
	c := r.cutter(at)
	if !r.isFaultless(at, at+".diameter", at+".reach", at+".collet", at+".collet.diameter", at+".collet.below") {
		return
	}
	if c.BelowMM > 0 && c.ReachMM > c.BelowMM {
		r.faultKey(at+".reach", fmt.Sprintf("it reaches %s and stands out %s", r.len1(c.ReachMM), r.len1(c.BelowMM)),
			"the reach is at most collet.below")
	}
	if c.ColletMM > 0 && c.ColletMM <= c.DiameterMM {
		r.faultKey(at+".collet.diameter", fmt.Sprintf("a collet of %s does not hold a cutter of %s", r.len1(c.ColletMM),
			r.len1(c.DiameterMM)), "give the collet nut's diameter, where it is widest")
	}
}

// checkReadings holds micrometer readings against the pin's nominal size.
func (r *reader) checkReadings(d Dowel) {
	const at = "dowel.measured"
	for i, v := range d.Measured {
		if !r.isFaultless(entry(at, i), "dowel.diameter") || math.Abs(v-d.DiameterMM) <= micrometerOffMM {
			continue
		}
		remedy := "is it another pin, or another unit?"
		if split := r.split[entry(at, i)]; split != "" {
			remedy = split
			r.bad[entry(at, i+1)] = true
		}
		r.faultKey(entry(at, i), fmt.Sprintf("got %s, want a reading within %s of the pin's %s", r.len1(v),
			r.len1(micrometerOffMM), r.len1(d.DiameterMM)), remedy)
	}
}

// len1 writes a length in the file's unit.
func (r *reader) len1(mm float64) string {
	return units.Significant(mm/r.unit.MM(), 4) + " " + r.unit.String()
}

func (r *reader) checkBoard(b Board) {
	narrow := math.Min(b.WidthStartMM, b.WidthEndMM)
	if r.isFaultless("board.corner_radius", "board.width", "board.width.start", "board.width.end", "board.length") {
		if most := math.Min(narrow, b.LengthMM) / 2; b.CornerRadiusMM > most {
			r.faultKey("board.corner_radius", fmt.Sprintf("%s is more than half the board's width", r.len1(b.CornerRadiusMM)),
				"at most "+r.len1(most))
		}
	}
	r.checkCrown("board.crown_radius", b.CrownRadiusMM, b)
}

// checkCrown asks that a crown spans the board and leaves it an edge.
func (r *reader) checkCrown(at string, radius float64, b Board) {
	if radius == 0 || !r.isFaultless(at, "board.width", "board.width.start", "board.width.end") {
		return
	}
	if right, left := b.across(); right >= 0 || left <= 0 {
		r.faultKey(at, fmt.Sprintf("the crown's axis lies over the datum line, and that beside the board, which reaches from v %s "+
			"to %s: its face would fall to one side alone", r.len1(right), r.len1(left)),
			"a datum line along the crown's top (board.outline), or leave it out for a flat board")
		return
	}
	wide := 2 * b.ReachMM() // the crown's axis lies over the datum line
	if radius < wide/2 {
		r.faultKey(at, fmt.Sprintf("a crown of radius %s cannot span a board %s wide", r.len1(radius), r.len1(wide)),
			"at least "+r.len1(wide/2))
		return
	}
	drop := radius - math.Sqrt(radius*radius-wide*wide/4) // from the datum line to the edge
	if r.isFaultless("board.thickness") && drop >= b.ThicknessMM {
		r.faultKey(at, fmt.Sprintf("the crown falls %s to the edge of a board %s thick", r.len1(drop),
			r.len1(b.ThicknessMM)),
			"a larger radius")
	}
}

// isOutlineFaultless: can places be held against the board's outline?
func (r *reader) isOutlineFaultless() bool {
	return r.isFaultless("board.outline", "board.length", "board.width", "board.width.start", "board.width.end")
}

func (r *reader) checkFrets(b Board) {
	f := b.Frets
	if f == nil || !r.isFaultless("board.frets") {
		return
	}
	if len(f.Dots) > 0 && r.isFaultless("board.thickness", "board.frets.dot.depth") && f.DotDepthMM > b.ThicknessMM {
		r.faultKey("board.frets.dot.depth", fmt.Sprintf("dots %s deep go through a board %s thick", r.len1(f.DotDepthMM),
			r.len1(b.ThicknessMM)),
			"give frets.dot.depth")
	}
	laid := r.isFaultless("board.frets.scale", "board.frets.count") && r.isOutlineFaultless()
	if last := FretFromNut(f.ScaleMM, f.Count); laid && last > b.LengthMM+onBoardTolMM {
		r.faultKey("board.frets.count", fmt.Sprintf("fret %d lies at %s, past the board's end at %s", f.Count, r.len1(last),
			r.len1(b.LengthMM)),
			fmt.Sprintf("at most %d frets of this scale are on the board", fretsWithin(f.ScaleMM, b.LengthMM)))
		laid = false
	}
	first := map[int]int{}
	for i, d := range f.Dots {
		path := fmt.Sprintf("board.frets.dots[%d]", i)
		if !r.isFaultless(path, path+".fret") {
			continue
		}
		if k, again := first[d.Fret]; again {
			r.faultKey(path, fmt.Sprintf("fret %d has a dot already, entry %d of the list", d.Fret, k+1), "remove one")
			continue
		}
		first[d.Fret] = i
		if !laid {
			continue
		}
		if d.Fret > f.Count {
			r.faultKey(path, fmt.Sprintf("a dot at fret %d, but the board has %d frets", d.Fret, f.Count), "")
			continue
		}
		right, left := b.SidesMM(d.stationMM(f.ScaleMM))
		if half := math.Min(-right, left); r.isFaultless(path+".spread") && d.SpreadMM/2 > half {
			r.faultKey(path+".spread", fmt.Sprintf("dots %s apart are off the board, which is %s wide there",
				r.len1(d.SpreadMM), r.len1(left-right)), "")
		}
	}
}

// fretsWithin counts the frets of a scale that lie within length.
func fretsWithin(scale, length float64) int {
	n := 0
	for n < int(keyAt("board.frets.count").span.most) && FretFromNut(scale, n+1) <= length {
		n++
	}
	return n
}

func (r *reader) checkFeatures(j *Job) {
	b := j.Board
	taken := map[string]string{}
	if b.Frets != nil && r.isFaultless("board.frets") {
		for i, d := range b.Frets.Dots {
			for _, f := range d.features(b.Frets, "") {
				taken[f.Name] = fmt.Sprintf("the dot of entry %d of frets.dots", i+1)
			}
		}
	}
	for i, f := range b.Features {
		if !r.isFaultless(f.Key) {
			continue
		}
		if r.isFaultless(f.Key+".name") && f.Name != "" {
			if who, again := taken[f.Name]; again {
				r.faultKey(f.Key+".name", fmt.Sprintf("%s has the name %s already", who, quoted(f.Name)),
					"every feature needs its own")
			} else {
				taken[f.Name] = fmt.Sprintf("feature %d", i+1)
			}
		}
		r.checkOnBoard(b, f)
		r.checkSide(j, f)
		if r.isFaultless(f.Key+".depth", "board.thickness") && f.DepthMM > b.ThicknessMM {
			r.faultKey(f.Key+".depth", fmt.Sprintf("%s deep goes through a board %s thick", r.len1(f.DepthMM),
				r.len1(b.ThicknessMM)), "")
		}
	}
}

// checkSide asks that a feature's face comes up, and that the board then lies on something.
func (r *reader) checkSide(j *Job, f Feature) {
	at, t := f.Key+".side", j.Template
	if !f.IsUnderside() || !r.isFaultless(at, "template", "template.flip", "template.seat", "board.crown_radius") {
		return
	}
	switch {
	case t.Flip == "none":
		r.faultKey(at, "the underside never comes up: the job turns nothing over", "template.flip: long or short, the axis "+
			"that the board is turned over about, or side: top")
	case t.Seat == "nest" && j.Board.CrownRadiusMM > 0 && !t.Cradle && r.isFaultless("template.cradle"):
		r.faultKey(at, "turned over in its nest the crowned board lies on its crown alone, and rocks",
			"template.cradle: true, when a cradle of the crown's shape lies under it; or cut this side before the crown")
	}
}

func (r *reader) checkOnBoard(b Board, f Feature) {
	if !r.isOutlineFaultless() || !r.isFaultless(f.Key+".u", f.Key+".v") {
		return
	}
	switch at := (geom.Vec{X: f.UMM, Y: f.VMM}); {
	case f.UMM < -onBoardTolMM || f.UMM > b.LengthMM+onBoardTolMM:
		r.faultKey(f.Key+".u", fmt.Sprintf("station %s is off the board, which runs from 0 to %s", r.len1(f.UMM),
			r.len1(b.LengthMM)), "")
	case b.Outline != nil:
		if off := -b.Outline.Depth(at); off > onBoardTolMM {
			r.faultKey(f.Key+".v", fmt.Sprintf("the place lies %s outside the outline", r.len1(off)), "")
		}
	case math.Abs(f.VMM) > b.HalfWidthMM(f.UMM)+onBoardTolMM:
		half := b.HalfWidthMM(f.UMM)
		r.faultKey(f.Key+".v", fmt.Sprintf("%s from the datum line is off the board, which reaches %s to each side there",
			r.len1(f.VMM), r.len1(half)), "")
	}
}

func (r *reader) checkKeepOut(b Board) {
	for i, k := range b.KeepOut {
		path := fmt.Sprintf("board.keep_out[%d]", i)
		if !r.isFaultless(path, path+".from", path+".to", path+".from[0]", path+".from[1]", path+".to[0]", path+".to[1]") {
			continue
		}
		if k.From.X >= k.To.X || k.From.Y >= k.To.Y {
			in := func(mm float64) string { return units.Significant(mm/r.unit.MM(), 4) }
			r.faultKey(path+".to", fmt.Sprintf("the corner to [%s, %s] is not beyond from [%s, %s]",
				in(k.To.X), in(k.To.Y), in(k.From.X), in(k.From.Y)),
				"from has the smaller u and the smaller v")
		}
	}
}

// checkTemplate notes combinations that contradict themselves.
func (r *reader) checkTemplate(j *Job) {
	t := j.Template
	if !r.isFaultless("template", "template.seat") {
		return
	}
	switch t.Seat {
	case "nest":
		if r.isFaultless("template.make", "template.make.by") && (t.Make.By == "drill" || t.Make.By == "ream") {
			r.faultKey("template.make.by", fmt.Sprintf("%s cannot cut the window of a nest", t.Make.By),
				"by: laser, router or print, or seat: pins")
		}
	case "pins":
		if j.Blank == nil && r.isFaultless("blank") {
			r.faultKey("template.seat", "with seat: pins the blank's waste carries the pins, but there is no blank",
				"add blank: with length, width and thickness")
		}
		if r.isFaultless("template.push") && t.Push != "none" {
			r.faultKey("template.push", fmt.Sprintf("push: %s needs a window to push in", t.Push), "seat: nest, or push: none")
		}
	}
	if t.Key == "none" || !r.isFaultless("template.key") {
		return
	}
	if t.Seat != "nest" {
		r.faultKey("template.key", fmt.Sprintf("key: %s needs a window whose corner it fills", t.Key),
			"seat: nest, or leave key out: pins let a blank on one way only")
	} else if b := j.Board; r.isFaultless("board.corner_radius", "board.width") &&
		b.CornerRadiusMM > math.Min(mostKeyedRadiusMM, b.WidthStartMM/4) {
		r.faultKey("template.key", fmt.Sprintf("corners rounded by %g mm leave nothing to cut off", b.CornerRadiusMM),
			fmt.Sprintf("a corner_radius of %g mm at most, or mark the board", math.Min(mostKeyedRadiusMM, b.WidthStartMM/4)))
	}
}

// mostKeyedRadiusMM is the largest rounding beside which a corner cut off is still told
// from the others; a quarter of the start end's width is as much. Common practice, no source.
const mostKeyedRadiusMM = 10
