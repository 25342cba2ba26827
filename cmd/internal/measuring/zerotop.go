package measuring

import (
	"fmt"
	"math"
	"slices"

	"reseat/cmd/internal/command"
	"reseat/jig/height"
	"reseat/jig/program"
	"reseat/jig/setup"
	"reseat/jig/units"
	"reseat/jig/verdict"
)

// topDocument is the top on the datum line.
type topDocument struct {
	typed
	height.Top
	TypeAtZMM float64 `json:"type_at_z_mm,omitempty"` // where the command is typed
}

// clearMM is how far above the top Z zero is typed, so that nobody drives the tip
// into the wood to set it.
const clearMM = 10.0

// heights is what the touches of the face are judged by.
func (m measured) heights() height.Spec {
	s := height.Spec{Spec: m.spec, BedMM: m.job.Board.ThicknessMM}
	if m.job.Template.Seat == "pins" && m.job.Blank != nil {
		s.BedMM = m.job.Blank.ThicknessMM
	}
	s.FallMM = func(u float64) float64 { return program.BowOf(m.job).KeptMM(m.up, u) }
	for _, f := range FeaturesOn(m.job, m.up) {
		s.Places = append(s.Places, height.Place{Name: f.Name, UMM: f.UMM})
	}
	if len(s.Places) == 0 {
		s.Places = []height.Place{{Name: "start end"}, {Name: "far end", UMM: m.job.Board.LengthMM}}
	}
	return s
}

func (d *zeroDocument) judgeTop(m measured) (*part, error) {
	spec := m.heights()
	z, err := height.Zero(m.readings, spec)
	if err != nil {
		return nil, err
	}
	d.Top = &topDocument{Top: z}
	face := "top"
	if m.up == setup.Under {
		face = m.up.Name()
	}
	head := face + ", flat across:"
	if c := m.spec.CrownRadiusMM; c > 0 {
		head = fmt.Sprintf("%s, crown radius %s mm:", face, units.Decimal(c, 1))
	}
	basis := basisText(z.Uncertainty, fmt.Sprintf("%d touches", len(z.Touches)))
	if z.Shape == height.Unknown {
		basis = "  confidence  none: the touches contradict each other, or cannot be taken as they stand"
	}
	p := newPart(head, basis)
	p.add("Z", z.ZMM, z.Half, 3, "mm", "the "+face+" on the datum line")
	if z.Half != nil {
		p.values.Add("  readings", "", halfText(z.ReadingHalf, 3), "mm", "")
		p.values.Add("  feeler", "", units.Fixed(z.FeelerHalf, 3), "mm", "--feeler-error-mm")
		p.values.Add("  place", "", units.Fixed(z.AcrossHalf, 3), "mm", "--across-error-mm on the crown's slope")
	}
	if z.BowMM != nil {
		p.add("slope", *z.SlopeMM, z.SlopeHalf, 3, "mm", "over the board's length, far end up positive")
		p.add("bow", *z.BowMM, z.BowHalf, 3, "mm", "middle up positive"+bowText(m))
	}
	p.notes.contradicted(z.Contradicted, m.spec.ErrorMM)
	p.command(&d.Top.typed, m.topVerdict(z, "The "+face), "raise to Z "+units.Fixed(z.ZMM+clearMM, 3),
		"G10 L20 P1 Z"+units.Decimal(clearMM, 3))
	if p.good() {
		d.Top.TypeAtZMM = z.ZMM + clearMM
		p.offer = append(p.offer, "then Z0 is the "+face+" on the datum line, for this tool")
		if z.Shape != height.Flat {
			p.offer[2] = "then Z0 is midway between the highest and the lowest feature, for this tool"
		}
	}
	p.more = effects(z.Features)
	p.chart = residualChart{
		title: "residuals of the touches from the face on the datum line, mm, upward positive",
		heads: []string{"line", ">u", ">v", ">crown drop", ">Z on datum line", ">residual"},
		low:   "low", high: "high",
		off: each(z.Touches, func(t height.Touch) float64 { return t.OffMM }),
		row: func(i int) []string {
			t := z.Touches[i]
			return []string{fmt.Sprint(t.Line), units.Fixed(t.UMM, 1), units.Fixed(t.VMM, 2), units.Fixed(t.RiseMM, 3),
				units.Fixed(t.ZMM, 3), units.Signed(t.OffMM, 3)}
		},
		outlier: func(i int) bool { return z.Touches[i].Fault != "" },
	}
	return p, nil
}

// bowText says that the job's own bow is taken out.
func bowText(m measured) string {
	if b := program.BowOf(m.job); !b.IsFlatOnTape() {
		return fmt.Sprintf(", beside the job's %s", units.Signed(b.SagittaMM, 2))
	}
	return ""
}

// effects is the table of what a slope or a bow does at every feature; nil without one.
func effects(of []height.Feature) *command.Table {
	if len(of) == 0 {
		return nil
	}
	t := command.NewTable("feature", ">station", ">Z there", ">against Z0", ">+-", "cut there", "inlay there")
	for _, f := range of {
		by := units.Fixed(math.Abs(f.DeeperMM), 3)
		cut, inlay := "deeper by "+by, "lower by "+by
		if f.DeeperMM < 0 {
			cut, inlay = "shallower by "+by, "proud by "+by
		}
		t.Add(f.Name, units.Fixed(f.UMM, 1), units.Fixed(f.ZMM, 3), units.Signed(f.DeeperMM, 3), halfText(f.Half, 3), cut,
			inlay)
	}
	return t
}

// topVerdict holds Z zero at every feature against the accuracy.
func (m measured) topVerdict(z height.Top, face string) verdict.Verdict {
	limit := m.job.AccuracyMM
	v := verdict.JudgePrecision("top", z.Half, limit)
	if len(z.Features) > 0 {
		v = verdict.Judge("top", z.WorstMM, z.WorstHalf, limit)
	}
	v = topFaults(v, z)
	if z.Shape == height.Bow || z.Shape == height.Slope {
		v = m.shaped(v, z)
	}
	switch {
	case v.Word == verdict.Outlier || len(v.Lines) == len(z.Touches) && z.AddMM == nil:
	case z.Shape == height.Unknown:
		v = v.Because(verdict.Inconclusive, fmt.Sprintf("%d touches cannot tell a wild touch from a bow or a slope.",
			len(z.Touches)), "Touch there again, and once more beside it"+stations(z.AddMM)+".")
	case z.Half == nil:
		v = v.Because(verdict.Inconclusive, "There are too few touches to judge their scatter.", "Touch"+stations(z.AddMM)+" too.")
	case *z.Half > limit:
		v = v.Because(verdict.Inconclusive, fmt.Sprintf("%s is known to +-%s mm only, and the job wants %s mm.", face,
			units.Fixed(*z.Half, 3), units.Decimal(limit, 3)), "Touch"+stations(z.AddMM)+" too, and those places again.")
	case z.UnguardedMM > limit && v.Word != verdict.OutOfTolerance:
		why := "Slope and bow of the board are not known well enough"
		if z.UnguardedLine > 0 {
			why = fmt.Sprintf("Nothing shows whether the touch of line %d is wrong", z.UnguardedLine)
		}
		if !math.IsInf(z.UnguardedMM, 1) {
			why += fmt.Sprintf(": a feature can lie %s mm off Z0 unnoticed, and the job wants %s mm",
				units.Fixed(z.UnguardedMM, 3), units.Decimal(limit, 3))
		}
		v = v.Because(verdict.Inconclusive, why+".", "Touch"+stations(z.AddMM)+" too.")
	}
	return v
}

// stations lists where to touch.
func stations(mm []float64) string {
	var at []string
	for _, u := range mm {
		at = append(at, units.Fixed(u, 0)+" mm")
	}
	return " at station " + command.Listed(at)
}

// topFaults names the touches that cannot be taken as they stand.
func topFaults(v verdict.Verdict, z height.Top) verdict.Verdict {
	named := map[height.Fault][]string{}
	for _, t := range z.Touches {
		if t.Fault == "" {
			continue
		}
		v.Lines = append(v.Lines, t.Line)
		says, was := units.Signed(t.OffMM, 3)+" mm", t.WrittenZ
		if t.Fault == height.Thick || t.Fault == height.Slip {
			says, was = units.Decimal(t.FeelerMM, 3)+" mm", t.FeelerMM
		}
		if t.MeantMM != 0 {
			says += "; written " + units.Decimal(was, 3) + ", meant " + units.Decimal(t.MeantMM, 3) + "?"
		}
		named[t.Fault] = append(named[t.Fault], fmt.Sprintf("line %d (%s)", t.Line, says))
	}
	for _, f := range []struct {
		fault  height.Fault
		says   string
		remedy []string
	}{
		{height.Slip, "A feeler ten times as thick as the others, or a tenth of them: ", []string{"Has its decimal point slipped? " +
			"Correct the line."}},
		{height.Thick, "Feelers too thick for paper or a gauge: ",
			[]string{"For a touch plate state how well its thickness is known (--feeler-error-mm)."}},
		{height.Below, "Lower than what the board lies on: ", []string{"Correct the line, or touch again there."}},
		{height.Far, "Farther from the others than any board is uneven: ", []string{"Correct the line, or touch again " +
			"there."}},
		{height.Wild, "Off the others, which agree with each other: ", []string{"Touch again there, or put # before that line."}},
		{height.Odd, "Off by more than the accuracy: ", nil},
	} {
		if len(named[f.fault]) == 0 {
			continue
		}
		word := verdict.Outlier
		if f.fault == height.Odd || f.fault == height.Thick {
			word = verdict.Inconclusive
		}
		v = v.Because(word, f.says+command.Listed(named[f.fault])+".", f.remedy...)
	}
	return v
}

// shaped tells a slope or a bow that leaves a feature off, or may.
func (m measured) shaped(v verdict.Verdict, z height.Top) verdict.Verdict {
	if v.IsGood() {
		return v
	}
	worst := slices.MaxFunc(z.Features, func(a, b height.Feature) int {
		return int(math.Copysign(1, math.Abs(a.DeeperMM)-math.Abs(b.DeeperMM)))
	})
	says := "The board slopes: its far end stands " + above(*z.SlopeMM) + " its start end"
	cure := []string{"Look for a chip under the end that stands high, or a plate that does not lie flat; lay the board " +
		"again " +
		"and touch again."}
	if z.Shape == height.Bow {
		says = "The board is bowed: its middle stands " + above(*z.BowMM) + " its ends"
		cure = []string{"Press the board flat, tape under its whole length, look for chips under it, and touch again."}
		b := *z.BowMM
		if m.up == setup.Under {
			b = -b
		}
		if was := program.BowOf(m.job); !was.IsFlatOnTape() {
			b += was.SagittaMM
		}
		if m.job.Template.Seat == "nest" && math.Abs(b) > setup.PressedMM {
			cure = append(cure, fmt.Sprintf("If it keeps its bow, write board.bow: %s into the job: the programs then follow "+
				"it.", units.Fixed(b, 2)))
		}
	}
	cure = append(cure, "Or bore each feature by itself, with the Z of the table below as Z0 there.")
	if v.Word == verdict.Outlier { // nothing is to be trusted yet
		cure = nil
	}
	return v.Because(v.Word, fmt.Sprintf("%s, so that %s lies %s mm off Z0.", says, worst.Name,
		units.Signed(worst.DeeperMM, 3)), cure...)
}

// above tells a height against something.
func above(mm float64) string {
	if mm < 0 {
		return units.Fixed(-mm, 2) + " mm below"
	}
	return units.Fixed(mm, 2) + " mm above"
}
