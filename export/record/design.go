package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"path"
	"regexp"
	"strings"

	"reseat/export"
	"reseat/jig"
	"reseat/jig/geom"
)

// ArcsWithinMM is how near the chords of an outline follow its arcs. It is a tenth
// of the least clearance of a window, and fine enough to redraw from.
const ArcsWithinMM = 0.01

// DesignJSON writes the design down, sealed for export.Bundle. files are the other
// outputs of the same run; the record itself cannot be among them. bodies tells, by
// file name, what reading the printed parts again found; nil: nothing. Keys that belong
// to what the design does not hold (a blank, rails, a window) are absent.
//
// Errors: *NumberError when a figure is not finite.
func DesignJSON(d *jig.Design, files []export.File, bodies map[string]Body) ([]byte, error) {
	doc := describe(d)
	doc.Files = listFiles(files, bodies)
	data, err := encode(doc)
	if err != nil {
		return nil, err
	}
	return export.Seal(data)
}

// RulesJSON is the title and the rules alone, with the keys and figures that they
// have in design.json.
//
// Errors: *NumberError when a figure is not finite.
func RulesJSON(d *jig.Design) ([]byte, error) {
	return encode(struct {
		Title string `json:"title"`
		Rules []rule `json:"rules"`
	}{d.Title, rules(d)})
}

// ProgramJSON is one program with the keys and figures that it has in design.json.
//
// Errors: *NumberError when a figure is not finite.
func ProgramJSON(p jig.Program) ([]byte, error) { return encode(describeProgram(p)) }

// encode writes a document as every JSON of this package is written.
func encode(doc any) ([]byte, error) {
	if err := checkFinite(doc); err != nil {
		return nil, err
	}
	var buf bytes.Buffer
	enc := json.NewEncoder(&buf)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(doc); err != nil {
		return nil, fmt.Errorf("record: %w", err)
	}
	return onOneLine(buf.Bytes()), nil
}

func rules(d *jig.Design) []rule {
	return convert(d.Rules, func(r jig.Rule) rule {
		return rule{r.ID, string(r.Level), figure(r.Value), figure(r.Limit), r.Unit, r.Says, r.Line}
	})
}

// shortList matches an indented list of two or three numbers. A JSON string cannot
// hold a line break, so nothing inside one can match.
var (
	shortList = regexp.MustCompile(`\[\n\s+(-?[0-9.]+,\n\s+){1,2}-?[0-9.]+\n\s+\]`)
	lineBreak = regexp.MustCompile(`\n\s+`)
)

// onOneLine puts points on a line of their own instead of four.
func onOneLine(doc []byte) []byte {
	return shortList.ReplaceAllFunc(doc, func(list []byte) []byte {
		list = lineBreak.ReplaceAll(list, []byte(" "))
		list = bytes.Replace(list, []byte("[ "), []byte("["), 1)
		return bytes.Replace(list, []byte(" ]"), []byte("]"), 1)
	})
}

func at(v geom.Vec) point { return point{mm(v.X), mm(v.Y)} }

// corners returns a contour as points; nil stays nil.
func corners(l geom.Loop) []point {
	if l == nil {
		return nil
	}
	return convert(l.Flatten(ArcsWithinMM), at)
}

// convert never returns nil, so that an empty list is written as one.
func convert[A, B any](in []A, f func(A) B) []B {
	out := make([]B, len(in))
	for i, a := range in {
		out[i] = f(a)
	}
	return out
}

func words(in []string) []string { return append([]string{}, in...) }

func describe(d *jig.Design) *document {
	b, t := d.Board, d.Template
	doc := &document{
		MadeBy: export.MadeBy, Title: d.Title, JobFile: baseName(d.JobFile), JobSHA256: d.JobSHA256, Units: "mm",
		Precision: precision{ArcsWithinMM, 1e-6},
		Frame:     frame{d.Frame.LongAxis},
		Board: board{
			LengthMM: mm(b.LengthMM), WidthStartMM: mm(b.WidthStartMM), WidthEndMM: mm(b.WidthEndMM),
			ThicknessMM: mm(b.ThicknessMM), CrownRadiusMM: mm(b.CrownRadiusMM),
			Outline: corners(b.Outline), Wood: b.Wood,
			Features: convert(b.Features, func(f jig.Feature) feature {
				return feature{f.Name, mm(f.At.X), mm(f.At.Y), mm(f.BoreMM), mm(f.DepthMM)}
			}),
			KeepOut: convert(b.KeepOut, func(k jig.KeepOut) keepOut {
				return keepOut{k.Name, at(k.Box.Min), at(k.Box.Max)}
			}),
		},
		Template: template{
			Outline: corners(t.Outline), Window: corners(t.Window),
			ThicknessMM: mm(t.ThicknessMM), ClearanceMM: mm(t.ClearanceMM),
			Material: t.Material, Make: t.MakeBy,
			MarginMM: mm(t.MarginMM), KerfMM: mm(t.KerfMM), ReliefMM: mm(t.ReliefMM),
			Stops: convert(t.Stops, func(s jig.Stop) stop { return stop{s.Wall, at(s.A), at(s.B)} }),
		},
		Bed:  bed{d.Bed.Material, mm(d.Bed.ThicknessMM), corners(d.Bed.Outline), mm(d.PinInBedMM)},
		Pins: convert(d.Pins, describePin),
		Seat: seat{d.Seat.Kind, rad(d.Seat.ThetaMax), convert(d.Seat.Features, func(f jig.FeatureFloat) featureFloat {
			return featureFloat{f.Name, mm(f.At.X), mm(f.At.Y), mm(f.AlongMM), mm(f.AcrossMM), mm(f.WorstMM)}
		})},
		Foolproof: foolproof{mm(d.Foolproof.HalfTurnMM), mm(d.Foolproof.FlipLongMM), mm(d.Foolproof.FlipShortMM)},
		Pattern:   describePattern(d.Pattern), Programs: convert(d.Programs, describeProgram), Assemblies: describeAssemblies(d), Budget: describeBudget(d), Climate: describeClimate(d.Climate),
		Rules: rules(d),
		Sheets: convert(d.Sheets, func(s jig.CutSheet) sheet {
			return sheet{s.File, at(s.Origin), at(s.Size), mm(s.KerfMM), convert(s.Layers, func(l jig.Layer) layer {
				return layer{l.Name, l.Colour, l.Cut}
			})}
		}),
		Notes: words(d.Notes),
		Seal:  export.SealBlank,
	}
	if len(doc.Assemblies) > 0 {
		doc.Assembly = &doc.Assemblies[0]
	}
	if d.Budget != nil {
		doc.Simulation = &simulation{d.Budget.Trials, d.Budget.Seed}
	}
	if k := d.Blank; k != nil {
		doc.Blank = &blank{mm(k.LengthMM), mm(k.WidthMM), mm(k.ThicknessMM), k.Wood, corners(k.Outline), convert(k.Strips, corners)}
	}
	if s := d.Split; s != nil {
		doc.Split = &split{convert(s.SeamsMM, func(u float64) mm { return mm(u) }), mm(s.ClearanceMM), len(d.Parts)}
	}
	if r := d.Rails; r != nil {
		doc.Rails = &rails{
			mm(r.StripMM), mm(r.HeightMM), mm(r.GapMM), mm(r.WallMM), mm(r.EdgeMM), mm(r.BearingMM),
			r.Glue, convert(r.Outlines, corners), describeGluing(r),
		}
	}
	if d.Print != nil {
		doc.Print = convert(d.Parts, describePrint)
		for i, p := range d.Pins {
			h := describeHole(p.Print)
			doc.Pins[i].PrintHole = &h
		}
	}
	return doc
}

// baseName leaves out directories, so that the same job gives the same bytes
// wherever it lies.
func baseName(file string) string {
	if file == "" {
		return ""
	}
	return path.Base(strings.ReplaceAll(file, `\`, "/"))
}

func describePin(p jig.Pin) pin {
	out := pin{
		ID: p.ID, Role: string(p.Role),
		UMM: mm(p.At.X), VMM: mm(p.At.Y), XMM: mm(p.Machine.X), YMM: mm(p.Machine.Y),
		Pin: dowelPin{
			mm(p.Dowel.NominalMM), mm(p.Dowel.MinMM), mm(p.Dowel.MaxMM), p.Dowel.Standard, p.Dowel.Class, mm(p.Dowel.LengthMM),
		},
		TemplateHole: describeHole(p.Template), BedHole: describeHole(p.Bed),
	}
	if p.Blank != nil {
		h := describeHole(*p.Blank)
		out.BlankHole = &h
	}
	return out
}

func describeHole(h jig.Hole) hole {
	return hole{
		Class: h.Class, MinMM: mm(h.MinMM), MaxMM: mm(h.MaxMM), DrawnMM: mm(h.DrawnMM),
		SlotMM: mm(h.SlotMM), SlotAngleDeg: toDeg(h.SlotAngle),
		Role: string(h.Role), DepthMM: mm(h.DepthMM),
		ClearanceMinMM: mm(h.ClearMinMM), ClearanceMaxMM: mm(h.ClearMaxMM),
		Pressed: h.Pressed, Odds: ratio(h.Odds), Holds: h.Holds, Made: h.Made,
		Steps: words(h.Steps), Explain: words(h.Explain),
	}
}

func describePrint(p jig.Print) printed {
	out := printed{
		TurnDeg: toDeg(-p.Place.Angle), Scale: ratio(p.Scale), FootMM: mm(p.FootMM), WindowFootMM: mm(p.WindowFootMM), EntryMM: mm(p.EntryMM),
		File: p.File, OriginMM: at(p.Origin), ThicknessMM: mm(p.ThicknessMM), Thinner: p.Thinner, NozzleMM: mm(p.NozzleMM),
		Holes: convert(p.Holes, func(h jig.PrintHole) printHole {
			return printHole{h.ID, mm(h.Center.X), mm(h.Center.Y), mm(h.Diameter), mm(h.Travel), toDeg(h.Angle)}
		}),
		Rails: convert(p.Rails, func(r jig.PrintRail) printRail { return printRail{corners(r.Outline), mm(r.TopMM)} }),
	}
	if p.BedMM != [3]float64{} {
		out.BedMM = &[3]mm{mm(p.BedMM[0]), mm(p.BedMM[1]), mm(p.BedMM[2])}
	}
	return out
}
