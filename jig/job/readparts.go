package job

import (
	"fmt"
	"math"
	"strings"

	"gopkg.in/yaml.v3"

	"reseat/jig/units"
)

// metricUnits are units that a job cannot be in; mm is near, but not what the
// numbers mean.
var metricUnits = []string{"cm", "m", "um", "µm"}

var (
	unitNames = []string{"mm", "in"}
	longAxes  = []string{defaultLongAxis, "x"}
	glues     = []string{defaultGlue, "epoxy", "hide", "casein"}
)

// units reads the file's unit; lengths can be read only after it.
func (r *reader) units(root *section) units.Unit {
	r.unitGiven = root.has("units")
	if r.unitGiven && contains(metricUnits, root.val["units"].Value) {
		r.fault(root.val["units"], "units", "got "+shown(root.val["units"]), "write mm, and every length in millimetres")
		return units.MM
	}
	if root.choiceOr("units", unitNames) == "in" {
		return units.Inch
	}
	return units.MM
}

func (r *reader) blank(root *section, boardWood string, m Machine) *Blank {
	s := root.sub("blank")
	if s == nil {
		return nil
	}
	return &Blank{
		LengthMM:    s.length("length", blankLengthSpan, "along the datum line"),
		WidthMM:     s.length("width", blankWidthSpan, "across the datum line"),
		ThicknessMM: s.length("thickness", blankThicknessSpan, "what the pin holes go through"),
		Wood:        s.textOr("wood", boardWood),
		Make:        r.makeOrRouter(s, m.CutterMM),
	}
}

func (r *reader) bed(root *section, m Machine) Bed {
	s := root.sub("bed")
	return Bed{
		Material:    s.textOr("material", defaultBedMaterial),
		ThicknessMM: s.lengthOr("thickness", bedThicknessSpan, defaultBedThickness),
		LengthMM:    s.lengthOr("length", bedSizeSpan, 0),
		WidthMM:     s.lengthOr("width", bedSizeSpan, 0),
		Make:        r.makeOrRouter(s, m.CutterMM),
	}
}

func (r *reader) machine(root *section) Machine {
	s := root.sub("machine")
	m := Machine{
		LongAxis:   s.choiceOr("long_axis", longAxes),
		PositionMM: s.lengthOr("position", positionSpan, defaultPosition),
		SquareMM:   s.lengthOr("square", squareSpan, defaultSquare),
		CutterMM:   s.lengthOr("cutter", cutterSpan, defaultCutter),
		Zero:       s.choiceOr("zero", zeros),
	}
	m.TravelMM = r.xyz(s, "travel", travelSpan)
	return m
}

// xyz reads {x, y, z}, each optional, at least one.
func (r *reader) xyz(s *section, key string, lim span) (v [3]float64) {
	if !s.has(key) {
		return v
	}
	path := join(s.path, key)
	t := r.open(s.val[key], path, path)
	for i, k := range []string{"x", "y", "z"} {
		v[i] = t.lengthOr(k, lim, 0)
	}
	if t != nil && len(t.val) == 0 && r.good(path) {
		r.faultAt(t.at, path, "has none of x, y, z", "give at least one, or leave "+key+" out")
	}
	return v
}

func (r *reader) dowel(root *section) Dowel {
	n := root.need("dowel", "it has the pins' diameter at least")
	if n == nil {
		return Dowel{}
	}
	s := r.open(n, "dowel", "dowel")
	if s == nil {
		return Dowel{}
	}
	standard := defaultStandardMM
	if r.unit == units.Inch {
		standard = defaultStandardInch
	}
	d := Dowel{
		Standard:   strings.Join(strings.Fields(strings.ToLower(s.textOr("standard", standard))), " "),
		Class:      s.textOr("class", ""),
		DiameterMM: s.length("diameter", pinDiameterSpan, "the pins' nominal diameter"),
		LengthMM:   s.lengthOr("length", pinLengthSpan, 0),
		Count:      defaultPinCount,
		Locate:     s.choiceOr("locate", locates),
	}
	if s.has("count") {
		d.Count = r.count(s.val["count"], "dowel.count", pinCountSpan)
	}
	items := s.items("measured", maxReadings)
	for i, n := range items {
		d.Measured = append(d.Measured, r.reading(items, i, n, d.DiameterMM))
	}
	if s.has("measured") && len(items) == 0 && r.good("dowel.measured") {
		r.fault(s.val["measured"], "dowel.measured", "has no readings", "write micrometer readings, or leave measured out")
	}
	return d
}

// reading reads one micrometer reading and holds it against the nominal size.
func (r *reader) reading(all []*yaml.Node, i int, n *yaml.Node, nominal float64) float64 {
	path := fmt.Sprintf("dowel.measured[%d]", i)
	v := r.length(n, path, readingSpan)
	if !r.good(path, "dowel.diameter") || math.Abs(v-nominal) <= micrometerOffMM {
		return v
	}
	remedy := "is it another pin, or another unit?"
	if i+1 < len(all) && touching(n, all[i+1]) {
		remedy = fmt.Sprintf("%s,%s reads as two numbers: write %s.%s", n.Value, all[i+1].Value, n.Value, all[i+1].Value)
		r.bad[fmt.Sprintf("dowel.measured[%d]", i+1)] = true
	}
	r.fault(n, path, fmt.Sprintf("got %s, want a reading within %s %s of the pin's %s %s", clipped(n.Value),
		units.Significant(micrometerOffMM/r.unit.MM(), 4), r.unit, units.Significant(nominal/r.unit.MM(), 4), r.unit), remedy)
	return v
}

func (r *reader) rails(root *section) *Rails {
	s := root.sub("rails")
	if s == nil {
		return nil
	}
	return &Rails{
		StripMM:  s.lengthOr("strip", stripSpan, defaultStrip),
		HeightMM: s.length("height", railHeightSpan, "above the glue land, below the board's lowest edge"),
		GapMM:    s.lengthOr("gap", railGapSpan, defaultRailGap),
		Glue:     s.choiceOr("glue", glues),
	}
}

func (r *reader) climate(root *section) *Climate {
	s := root.sub("climate")
	if s == nil {
		return nil
	}
	return &Climate{Made: r.air(s, "made"), Now: r.air(s, "now")}
}

// air reads temperature and humidity; both must be there.
func (r *reader) air(s *section, key string) Air {
	n := s.need(key, "write {temp: 20, rh: 50}: degrees Celsius and percent")
	if n == nil {
		return Air{}
	}
	path := join(s.path, key)
	t := r.open(n, path, path)
	var a Air
	if n := t.need("temp", "degrees Celsius"); n != nil {
		a.TempC = r.number(n, path+".temp", "degrees Celsius", tempSpan)
	}
	if n := t.need("rh", "percent"); n != nil {
		a.RHPct = r.number(n, path+".rh", "percent", rhSpan)
		if a.RHPct > 0 && a.RHPct < 1 {
			r.fault(n, path+".rh", fmt.Sprintf("got %s percent", n.Value), fmt.Sprintf("write %s: percent, not a share of 1", units.Short(100*a.RHPct)))
		}
	}
	return a
}

func (r *reader) cutting(root *section) Cutting {
	s := root.sub("cutting")
	c := Cutting{
		TurnMM: s.lengthOr("turn", turnSpan, 0), FinishMM: s.lengthOr("finish", finishSpan, 0),
		SafeMM: s.lengthOr("safe", safeSpan, 0), Dialect: s.choiceOr("dialect", dialects), Teeth: defaultTeeth,
	}
	if s == nil {
		return c
	}
	for _, k := range []struct {
		key, unit string
		lim       span
		to        *float64
	}{
		{"feed_mm_min", "mm per minute", feedSpan, &c.FeedMMmin},
		{"plunge_mm_min", "mm per minute", feedSpan, &c.PlungeMMmin},
		{"spindle_rpm", "turns per minute", rpmSpan, &c.SpindleRPM},
		{"force_n_mm2", "N per mm2", forceSpan, &c.ForceNmm2},
	} {
		if n := s.val[k.key]; n != nil {
			*k.to = r.number(n, "cutting."+k.key, k.unit, k.lim)
		}
	}
	if n := s.val["teeth"]; n != nil {
		c.Teeth = r.count(n, "cutting.teeth", teethSpan)
	}
	return c
}

func (r *reader) pockets(root *section) Pockets {
	s := root.sub("pockets")
	return Pockets{
		CutterMM:  s.lengthOr("cutter", cutterSpan, 0),
		GlueGapMM: s.lengthOr("glue_gap", gapSpan, defaultGlueGap), FirstUnderMM: s.lengthOr("first_under", underSpan, defaultFirstUnder),
		StepMM: s.lengthOr("step", stepSpan, defaultStep), ProudMM: s.lengthOr("proud", proudSpan, defaultProud),
		OpaqueMM: s.lengthOr("opaque", opaqueSpan, defaultOpaque),
	}
}

// inlay reads the measured discs of a feature; schema is its section's in keysOf.
func (r *reader) inlay(s *section, schema string) *Inlay {
	if !s.has("inlay") {
		return nil
	}
	t := r.open(s.val["inlay"], join(s.path, "inlay"), schema)
	if t == nil {
		return nil
	}
	in := &Inlay{ThicknessMM: t.length("thickness", inlayThickSpan, "of the disc, measured")}
	items := t.items("measured", maxReadings)
	for i, n := range items {
		in.MeasuredMM = append(in.MeasuredMM, r.length(n, fmt.Sprintf("%s.measured[%d]", t.path, i), boreSpan))
	}
	if len(items) == 0 && r.good(t.path, t.path+".measured") {
		r.faultAt(t.at, t.path+".measured", "has no readings", "write measured: [6.02, 5.99], one for each disc, or leave inlay out")
	}
	return in
}
