package program

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/jig/job"
	"reseat/jig/setup"
	"reseat/jig/toolpath"
	"reseat/jig/units"
)

// hairMM forgives rounding: a nanometre.
const hairMM = 1e-6

func judge(id string, ok bool, bad string, value, limit float64, unit, says, remedy, key string) setup.Finding {
	f := setup.Finding{ID: id, Level: "pass", Value: value, Limit: limit, Unit: unit, Says: says, Key: key}
	if !ok {
		f.Level, f.Remedy = bad, remedy
	}
	return f
}

// OnFace is the name of a rule about a program; the underside's end in "-under".
func OnFace(id, file string) string {
	if file == setup.UnderFile {
		return id + "-under"
	}
	return id
}

// Judge holds a program against the machine and against the set-up that it runs in.
func Judge(j *job.Job, p Program, s setup.Setup) []setup.Finding {
	out := []setup.Finding{travel(j, p)}
	if p.Part == "board" { // beside bed and blank nothing stands while their pin holes are bored
		out = append(out, clear(p, s.Obstacles()))
	}
	if p.Path.Name == "drill" {
		out = append(out, drilled(p))
	} else {
		out = append(out, reach(p, s.OverMM()))
	}
	for i := range out {
		out[i].File = p.Path.File
	}
	return out
}

// travel holds a program's way against the machine's travel.
func travel(j *job.Job, p Program) setup.Finding {
	run, spare, id := p.Path.Run, math.Inf(1), OnFace("program-"+p.Part, p.Path.File)
	for i, size := range []float64{run.Max.X - run.Min.X, run.Max.Y - run.Min.Y, run.Max.Z - run.Min.Z} {
		if t := j.Machine.TravelMM[i]; t > 0 {
			spare = math.Min(spare, t-size)
		}
	}
	says := fmt.Sprintf("%s: %s, %.0f min, X %.1f to %.1f, Y %.1f to %.1f, %.2f mm deep, %.2f mm per pass",
		p.Path.File, units.Count(len(p.Path.Cuts), "cut"), math.Ceil(run.TimeS/60), run.Min.X, run.Max.X, run.Min.Y, run.Max.Y, run.DeepestMM(),
		run.PassMM)
	if math.IsInf(spare, 1) {
		return judge(id, true, "", run.DeepestMM(), run.DeepestMM(), "mm", says, "", "machine.travel")
	}
	f := judge(id, spare >= -hairMM, "fail", spare, 0, "mm", says+"; the travel leaves "+units.Fixed(spare, 2)+" mm",
		fmt.Sprintf("a machine that travels %.1f mm farther", -spare), "machine.travel")
	f.Blocks = p.Part == "board"
	return f
}

// clear: cutter and collet must pass every pin, plate, rail and frame. What stands in the
// way is told once, with the first move that meets it.
func clear(p Program, all []toolpath.Obstacle) setup.Finding {
	says := "the cutter passes every pin, the template and its rails"
	if p.Path.ColletMM > 0 {
		says = fmt.Sprintf("cutter and collet (%s mm wide, %s mm above the tip) pass every pin, the template and its rails",
			short(p.Path.ColletMM), short(p.Path.BelowMM))
	}
	hits := p.Path.Collisions(all)
	var also []string
	remedy, key, collet, top := "shorter pins, a thinner plate, or a smaller cutter", "template", true, 0.0
	for i, h := range hits {
		who := h.Part + " and " + h.ID
		collet, top = collet && h.Part == "collet", max(top, h.TopZ)
		if i == 0 {
			says = h.String()
		} else if !slices.Contains(also, who) {
			also = append(also, who)
		}
	}
	if len(also) > 0 {
		says += "; and " + strings.Join(also, ", ")
	}
	set := ""
	if len(hits) > 0 && collet { // it stands clear when its tip is at the floor
		out := p.Tool.Cutter
		out.BelowMM = math.Ceil(float64((top+p.Path.Run.DeepestMM())*10)-hairMM) / 10
		key, set = p.Tool.Key, written(out)
		remedy = fmt.Sprintf("a cutter that stands %s mm out (%s: %s), or a narrower collet nut", short(out.BelowMM), key,
			set)
	}
	f := judge(OnFace("cutter-clear", p.Path.File), len(hits) == 0, "fail", float64(len(hits)), 0, "", says, remedy, key)
	f.Blocks, f.Set = true, set
	return f
}

// longDiameters is the depth in cutter diameters from which the reach of a cutter should be
// known: common practice, no source.
const longDiameters = 3

// mostDiameters is how deep the longest end mills cut: no feed is low enough beyond. Common practice,
// no source.
const mostDiameters = 10

// overhang is what is known of long cutters (testdata/reference/machining.csv).
const overhang = "3 to 4 diameters of stick-out are comfortable; at 5 to 6, lower feed and depth per pass (web: " +
	"formulafactory.tools, tool overhang ratio)"

// reach: the tool must reach as deep as it is sent; where no collet is known, it should also
// stand out over what stands beside the work, overMM over Z0.
func reach(p Program, overMM float64) setup.Finding {
	deep, d, id := p.Path.Run.DeepestMM(), p.Path.DiameterMM, OnFace("reach-"+p.Part, p.Path.File)
	out, beside := deep+overMM, ""
	if overMM > 0 {
		beside = fmt.Sprintf(", beside what stands %s mm over Z0", short(overMM))
	}
	goes := fmt.Sprintf("%s sends a cutter of %s mm to a depth of %s mm", p.Path.File, short(d), short(deep))
	// What would do, as it is written: as long as it must stand out, rounded up.
	longer := p.Tool.Cutter
	longer.ReachMM = math.Ceil(float64(out*10)-hairMM) / 10
	if longer.ColletMM > 0 {
		longer.BelowMM = max(longer.BelowMM, longer.ReachMM)
	}
	most, known := p.Path.DeepestMM()
	find := fmt.Sprintf("a long-reach cutter, flutes or neck no thicker than %s mm over at least %s mm, stuck out %s mm and "+
		"no farther%s; state its reach (%s: %s)", short(d), short(deep), short(out), beside, p.Tool.Key, written(longer))
	cure, set := fmt.Sprintf("a cutter that reaches %s mm (%s: %s)", short(deep), p.Tool.Key, written(longer)), written(longer)
	if deep > mostDiameters*d {
		find = fmt.Sprintf("a drill, or a wider hole: no cutter cuts %.0f diameters deep", deep/d)
		cure, set = find, ""
	}
	apart := ""
	if p.ApartMM > 0 && (!known || p.ApartMM <= most) {
		apart = fmt.Sprintf("; or bore blank and bed apart, %s mm deep at most (blank.bored_with_bed: false)",
			short(p.ApartMM))
	}
	if !known {
		f := judge(id, deep <= longDiameters*d+hairMM, "warn", deep, longDiameters*d, "mm",
			fmt.Sprintf("%s, %.1f diameters", goes, deep/d),
			find+apart+". "+overhang, p.Tool.Key)
		if f.Level != "pass" {
			f.Set, f.Says = set, f.Says+", and its reach is not stated"
		}
		return f
	}
	what := "its reach"
	if p.Path.ReachMM == 0 {
		what = "and it stands out"
	}
	says := fmt.Sprintf("%s, %s %s mm", goes, what, short(most))
	if deep <= most+hairMM && p.Path.ColletMM == 0 && most < out-hairMM {
		f := judge(id, false, "warn", most, out, "mm", says+beside+". Shank or collet may meet that", fmt.Sprintf("a cutter "+
			"that reaches %s mm, stuck out as far (%s: %s), or state the collet (collet: {diameter: ..., below: ...})",
			short(out), p.Tool.Key, written(longer)), p.Tool.Key)
		f.Set = written(longer)
		return f
	}
	f := judge(id, deep <= most+hairMM, "fail", deep, most, "mm", says,
		cure+apart, p.Tool.Key)
	f.Blocks = true
	if f.Level != "pass" {
		f.Set, f.Says = set, f.Says+". Shank or holder would meet the work"
	}
	return f
}

// drilled: the full diameter of a drill must reach the depth wanted; its point goes
// beyond.
func drilled(p Program) setup.Finding {
	want := 0.0
	for _, h := range p.Holes {
		want = math.Max(want, h.DepthMM)
	}
	full := p.Path.Run.DeepestMM() - toolpath.PointMM(p.Path.DiameterMM)
	f := judge("drilled-"+p.Part, full >= want-hairMM, "fail", full, want, "mm",
		fmt.Sprintf("%s: the drill's full diameter reaches %s mm, its point %s mm, for holes of %s mm", p.Path.File,
			short(full), short(p.Path.Run.DeepestMM()), short(want)),
		fmt.Sprintf("drill %s mm deeper", short(want-full)), p.Part+".make")
	f.Blocks = true
	return f
}

// tight judges a cutter by the hole that it fits most tightly. plan plans the same work with
// another cutter, drill with a drill; nil: not to be drilled.
func tight(j *job.Job, part string, c CutterChoice, hole Hole, run *toolpath.Program,
	plan func(job.Cutter) (Program, error), drill func() (Program, error)) setup.Finding {
	most := holeShare * hole.DiameterMM
	says := fmt.Sprintf("hole %s of the %s is bored to %.2f mm with a cutter of %.2f mm", hole.ID, part, hole.DiameterMM,
		c.DiameterMM)
	level := "warn"
	if c.Named && c.DiameterMM >= hole.DiameterMM {
		level = "fail"
	}
	if c.DiameterMM <= most+hairMM {
		return judge("cutter-in-"+part, true, level, c.DiameterMM, most, "mm", says, "", c.Key)
	}
	if run != nil {
		says += fmt.Sprintf(", %.2f of it, in %s", c.DiameterMM/hole.DiameterMM, minutes(run))
	}
	says += fmt.Sprintf(". Over %g of the hole the helix is nearly a plunge", holeShare)
	set, remedy := "", "a larger hole: no smaller cutter reaches"
	if b, from, ok := better(j, hole.DiameterMM, hole.DepthMM); ok {
		set = written(b)
		remedy = fmt.Sprintf("a smaller cutter, %s mm (%s)", short(b.DiameterMM), from)
		if plan != nil {
			if p, err := plan(b); err == nil {
				remedy += ", " + minutes(p.Path)
			}
		}
		remedy += fmt.Sprintf("; name it (%s: %s)", c.Key, set)
	}
	if drill != nil {
		if p, err := drill(); err == nil {
			remedy += fmt.Sprintf("; or drill, %s", minutes(p.Path))
		}
	}
	f := judge("cutter-in-"+part, false, level, c.DiameterMM, most, "mm", says, remedy, c.Key)
	f.Set = set
	return f
}

// minutes is a program's time in words.
func minutes(p *toolpath.Program) string { return fmt.Sprintf("%.0f min", math.Ceil(p.Run.TimeS/60)) }

// JudgeCutter judges the cutter of a part's pin holes.
func (s BoredPart) JudgeCutter(j *job.Job, run *toolpath.Program) setup.Finding {
	least, deepest := s.smallest()
	drill := func() (Program, error) {
		d := s
		d.Drilled = true
		return Bores(j, d)
	}
	if s.Blank != nil || slices.ContainsFunc(s.Holes, func(h PinHole) bool { return h.SlotMM > 0 }) {
		drill = nil
	}
	least.DepthMM = deepest
	return tight(j, s.Part, s.Tool, least, run, func(c job.Cutter) (Program, error) {
		with := s
		with.Tool.Cutter = c
		return Bores(j, with)
	}, drill)
}

// JudgeHole judges a cutter by the tightest hole of a part that the maker cuts with a program
// of his own.
func JudgeHole(j *job.Job, part string, c CutterChoice, tightest Hole) setup.Finding {
	return tight(j, part, c, tightest, nil, nil, nil)
}
