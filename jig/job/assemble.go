package job

import (
	"cmp"
	"math"
	"path/filepath"
	"strings"
	"unicode"

	"gopkg.in/yaml.v3"

	"reseat/jig/geom"
	"reseat/jig/units"
)

// job reads the whole tree.
func (r *reader) job(root *yaml.Node) *Job {
	r.unit = units.MM
	r.readUnit(root)
	r.readSection(root, "", aSection)
	for _, at := range makes {
		r.takeMeasured(at)
	}
	j := &Job{
		File: r.file, Title: r.word("title"), Units: r.unit,
		Board: r.board(), Bed: r.bed(), Machine: r.machine(), Dowel: r.dowel(), Template: r.template(),
		Cutting: r.cutting(), Pockets: r.pockets(), AccuracyMM: r.mm("accuracy"), src: r.src,
	}
	j.Title = cmp.Or(j.Title, titleOf(r.file))
	if r.has("blank") {
		j.Blank = r.blank(j.Board.Wood)
	}
	if r.has("rails") {
		j.Rails = r.rails(j.Board, j.Template)
	}
	if r.has("climate") {
		j.Climate = &Climate{Made: r.air("climate.made"), Now: r.air("climate.now")}
	}
	r.check(j)
	j.open, j.files = r.opener, r.files
	return j
}

// titleOf is the title of a job without one: the file's name without ending,
// as far as it prints and fits a title block.
func titleOf(file string) string {
	base := filepath.Base(filepath.ToSlash(file))
	base = strings.TrimSuffix(base, filepath.Ext(base))
	var title []rune
	for _, r := range base {
		if unicode.IsPrint(r) && len(title) < maxText {
			title = append(title, r)
		}
	}
	return string(title)
}

func (r *reader) board() Board {
	b := Board{
		LengthMM: r.mm("board.length"), WidthStartMM: r.mm("board.width.start"), WidthEndMM: r.mm("board.width.end"),
		WidthErrorMM: r.mm("board.width_error"),
		ThicknessMM:  r.mm("board.thickness"), CornerRadiusMM: r.mm("board.corner_radius"),
		CrownRadiusMM: r.mm("board.crown_radius"), BowMM: r.mm("board.bow"),
		Wood: r.word("board.wood"), Grain: r.word("board.grain"), MovementPct: r.mm("board.movement_pct"),
	}
	if r.has("board.outline") {
		r.outline(&b)
	}
	if r.has("board.measured") {
		a := r.air("board.measured")
		b.Measured = &a
	}
	if r.has("board.frets") {
		b.Frets = r.frets()
	}
	for i := range r.whole("board.features") {
		at := entry("board.features", i)
		b.Features = append(b.Features, Feature{
			Key: at, Name: r.word(at + ".name"), UMM: r.mm(at + ".u"), VMM: r.mm(at + ".v"),
			BoreMM: r.mm(at + ".bore"), DepthMM: r.mm(at + ".depth"), Side: r.word(at + ".side"),
			Inlay: r.inlay(at + ".inlay"),
		})
	}
	for i := range r.whole("board.keep_out") {
		at := entry("board.keep_out", i)
		b.KeepOut = append(b.KeepOut, KeepOut{Name: r.word(at + ".name"), From: r.place(at + ".from"),
			To: r.place(at + ".to")})
	}
	return b
}

func (r *reader) frets() *Frets {
	const at = "board.frets"
	f := &Frets{
		ScaleMM: r.mm(at + ".scale"), Count: r.whole(at + ".count"),
		DotBoreMM: r.mm(at + ".dot.bore"), DotDepthMM: r.mm(at + ".dot.depth"), DotInlay: r.inlay(at + ".dot.inlay"),
	}
	for i := range r.whole(at + ".dots") {
		dot := entry(at+".dots", i)
		f.Dots = append(f.Dots, Dot{Fret: r.whole(dot + ".fret"), SpreadMM: r.mm(dot + ".spread")})
	}
	return f
}

func (r *reader) inlay(at string) *Inlay {
	if !r.has(at) {
		return nil
	}
	return &Inlay{MeasuredMM: r.lengths(at + ".measured"), ThicknessMM: r.mm(at + ".thickness")}
}

func (r *reader) lengths(at string) []float64 {
	var out []float64
	for i := range r.whole(at) {
		out = append(out, r.mm(entry(at, i)))
	}
	return out
}

func (r *reader) place(at string) geom.Vec {
	return geom.Vec{X: r.mm(entry(at, 0)), Y: r.mm(entry(at, 1))}
}

func (r *reader) xyz(at string) [3]float64 {
	return [3]float64{r.mm(at + ".x"), r.mm(at + ".y"), r.mm(at + ".z")}
}

func (r *reader) blank(boardWood string) *Blank {
	b := &Blank{
		LengthMM: r.mm("blank.length"), WidthMM: r.mm("blank.width"), ThicknessMM: r.mm("blank.thickness"),
		Wood: r.word("blank.wood"), Make: r.make("blank.make"),
	}
	b.BoredWithBed = r.word("template.seat") == "pins" && togetherBy(b.Make, r.make("bed.make"))
	if r.has("blank.bored_with_bed") {
		b.BoredWithBed = r.word("blank.bored_with_bed") == "true"
	}
	b.Wood = cmp.Or(b.Wood, boardWood)
	return b
}

func (r *reader) bed() Bed {
	return Bed{
		Material: r.word("bed.material"), ThicknessMM: r.mm("bed.thickness"),
		LengthMM: r.mm("bed.length"), WidthMM: r.mm("bed.width"), Make: r.make("bed.make"),
	}
}

func (r *reader) machine() Machine {
	return Machine{
		LongAxis: r.word("machine.long_axis"), TravelMM: r.xyz("machine.travel"), PositionMM: r.mm("machine.position"),
		SquareMM: r.mm("machine.square"), StraightMM: r.mm("machine.straight"), TramMM: r.mm("machine.tram"),
		Cutter: r.cutter("machine.cutter"), Cutters: r.cutters("machine.cutters"),
		Zero: r.word("machine.zero"),
	}
}

// cutter is the one at a path, or the one that the table has there.
func (r *reader) cutter(at string) Cutter {
	c := Cutter{
		DiameterMM: r.mm(at + ".diameter"), ReachMM: r.mm(at + ".reach"), Teeth: r.whole(at + ".teeth"),
		ColletMM: r.mm(at + ".collet.diameter"), BelowMM: r.mm(at + ".collet.below"),
	}
	if !r.has(at) {
		c.DiameterMM = r.mm(at)
	}
	return c
}

func (r *reader) cutters(at string) []Cutter {
	var out []Cutter
	for i := range r.whole(at) {
		out = append(out, r.cutter(entry(at, i)))
	}
	return out
}

func (r *reader) dowel() Dowel {
	d := Dowel{
		Standard: standardOf[r.unit], Class: r.word("dowel.class"), DiameterMM: r.mm("dowel.diameter"),
		LengthMM: r.mm("dowel.length"),
		Count:    r.whole("dowel.count"), Locate: r.word("dowel.locate"), Measured: r.lengths("dowel.measured"),
		LeanRad: r.mm("dowel.lean_deg") * math.Pi / 180,
	}
	if r.has("dowel.standard") {
		d.Standard = strings.Join(strings.Fields(strings.ToLower(r.word("dowel.standard"))), " ")
	}
	return d
}

func (r *reader) template() Template {
	t := Template{
		Seat: r.word("template.seat"), Flip: r.word("template.flip"), Cradle: r.word("template.cradle") == "true",
		Material:    r.word("template.material"),
		ThicknessMM: r.mm("template.thickness"), MarginMM: r.mm("template.margin"), ClearanceMM: r.mm("template.clearance"),
		Push: r.word("template.push"), Key: r.word("template.key"), Lift: r.word("template.lift") == "true",
		Make: r.make("template.make"),
	}
	t.Material = cmp.Or(t.Material, templateMaterial[t.Make.By])
	return t
}

// togetherBy reports whether blank and bed can be bored by one tool of the machine.
func togetherBy(blank, bed Make) bool {
	return blank.By == bed.By && (blank.By == "router" || blank.By == "drill")
}

// make takes how a part is made; blank and bed are by default bored on the machine
// itself.
func (r *reader) make(at string) Make {
	if !r.has(at) {
		return Make{By: "router", Cutter: r.cutter("machine.cutter")}
	}
	m := Make{
		By: r.word(at + ".by"), KerfMM: r.mm(at + ".kerf"), SpreadMM: r.mm(at + ".spread"), BiasMM: r.mm(at + ".bias"),
		PositionMM: r.mm(at + ".position"), TaperMM: r.mm(at + ".taper"), EdgeMM: r.mm(at + ".edge"), given: map[string]bool{},
	}
	switch m.By {
	case "router":
		m.Cutter = r.cutter("machine.cutter")
		if r.has(at + ".cutter") {
			m.Cutter = r.cutter(at + ".cutter")
		}
	}
	if at == "template.make" {
		m.StraightMM, m.SquareMM = r.mm(at+".straight"), r.mm(at+".square")
		m.NozzleMM, m.BedMM = r.mm(at+".nozzle"), r.xyz(at+".bed")
		m.JointMM, m.ShrinkPct = r.mm(at+".joint"), r.mm(at+".shrink_pct")
	}
	for _, name := range keysBelow(at) {
		m.given[name] = r.has(join(at, name))
	}
	m.Measured = r.measured[at]
	return m
}

func (r *reader) air(at string) Air { return Air{TempC: r.mm(at + ".temp"), RHPct: r.mm(at + ".rh")} }

func (r *reader) cutting() Cutting {
	return Cutting{
		FeedMMmin: r.mm("cutting.feed_mm_min"), PlungeMMmin: r.mm("cutting.plunge_mm_min"),
		SpindleRPM: r.mm("cutting.spindle_rpm"),
		TurnMM:     r.mm("cutting.turn"), FinishMM: r.mm("cutting.finish"), SafeMM: r.mm("cutting.safe"),
		Dialect: r.word("cutting.dialect"), Teeth: r.whole("cutting.teeth"), ForceNmm2: r.mm("cutting.force_n_mm2"),
	}
}

func (r *reader) pockets() Pockets {
	return Pockets{
		Cutter: r.cutter("pockets.cutter"), GlueGapMM: r.mm("pockets.glue_gap"), FirstUnderMM: r.mm("pockets.first_under"),
		StepMM: r.mm("pockets.step"), ProudMM: r.mm("pockets.proud"), OpaqueMM: r.mm("pockets.opaque"),
		FinalCrownRadiusMM: r.mm("pockets.final_crown_radius"), SandMM: r.mm("pockets.sand"),
	}
}
