package job

import "fmt"

// The words of the template section; the first is the default.
var (
	seats    = []string{"nest", "pins"}
	flips    = []string{"none", "long", "short"}
	pushes   = []string{"none", "left", "right"}
	dialects = []string{"plain", "ngc"}
	zeros    = []string{"pin", "kept", "edge finder", "paper", "eye"}
	locates  = []string{"round and slot", "all round"}
	makers   = []string{"laser", "router", "drill", "ream", "print"}
	borers   = []string{"router", "laser", "drill", "ream"} // of blank and bed
)

func (r *reader) template(root *section, m Machine) Template {
	n := root.need("template", "it has thickness and make: {by: ...} at least")
	if n == nil {
		return Template{}
	}
	s := r.open(n, "template", "template")
	if s == nil {
		return Template{}
	}
	t := Template{
		Seat:        s.choiceOr("seat", seats),
		Flip:        s.choiceOr("flip", flips),
		ThicknessMM: s.length("thickness", plateThicknessSpan, "the plate's thickness"),
		MarginMM:    s.lengthOr("margin", marginSpan, defaultMargin),
		ClearanceMM: s.lengthOr("clearance", clearanceSpan, defaultClearance),
		Push:        s.choiceOr("push", pushes),
	}
	if n := s.need("make", "write make: {by: laser}, or router, drill, ream, print"); n != nil {
		if ms := r.open(n, "template.make", "template.make"); ms != nil {
			t.Make = r.make(ms, makers, m.CutterMM)
		}
	}
	t.Material = s.textOr("material", templateMaterial[t.Make.By])
	return t
}

// makeOrRouter reads the make section of blank or bed; by default the machine
// itself bores them.
func (r *reader) makeOrRouter(parent *section, cutter float64) Make {
	otherwise := Make{By: "router", CutterMM: cutter}
	if !parent.has("make") {
		return otherwise
	}
	s := parent.sub("make")
	if s == nil {
		return otherwise
	}
	return r.make(s, borers, cutter)
}

// make reads how a part is made. Keys that the process has no use for are
// faults, since they would be passed over in silence.
func (r *reader) make(s *section, words []string, cutter float64) Make {
	m := Make{
		KerfMM:     s.lengthOr("kerf", kerfSpan, defaultKerf),
		SpreadMM:   s.lengthOr("spread", holeSpreadSpan, 0),
		BiasMM:     s.lengthOr("bias", holeBiasSpan, 0),
		PositionMM: s.lengthOr("position", positionSpan, 0),
		TaperMM:    s.lengthOr("taper", holeSpreadSpan, 0),
	}
	for key := range s.val {
		m.given |= makeKeys[key]
	}
	if n := s.need("by", "how it is made: "+listed(words)); n != nil {
		m.By = r.choice(n, join(s.path, "by"), words)
	}
	if m.By == "router" {
		m.CutterMM = s.lengthOr("cutter", cutterSpan, cutter)
	}
	if m.By == "print" {
		m.NozzleMM = s.lengthOr("nozzle", nozzleSpan, defaultNozzle)
		m.BedMM = r.xyz(s, "bed", printBedSpan)
		m.JointMM = s.lengthOr("joint", clearanceSpan, 0)
		if n := s.val["shrink_pct"]; n != nil {
			m.ShrinkPct = r.number(n, join(s.path, "shrink_pct"), "percent", shrinkSpan)
		}
	}
	if m.By == "" {
		return m
	}
	for _, only := range []struct{ key, by string }{
		{"kerf", "laser"}, {"taper", "laser"}, {"cutter", "router"}, {"nozzle", "print"}, {"bed", "print"}, {"joint", "print"}, {"shrink_pct", "print"},
	} {
		if s.has(only.key) && m.By != only.by {
			r.fault(s.val[only.key], join(s.path, only.key), fmt.Sprintf("means nothing with by: %s", m.By),
				fmt.Sprintf("remove it; it goes with by: %s", only.by))
		}
	}
	return m
}

// listed writes words as "a, b or c".
func listed(words []string) string {
	out := ""
	for i, w := range words {
		switch {
		case i == 0:
		case i == len(words)-1:
			out += " or "
		default:
			out += ", "
		}
		out += w
	}
	return out
}
