package job

import (
	"errors"
	"fmt"

	"gopkg.in/yaml.v3"

	"reseat/jig/geom"
	"reseat/jig/trace"
	"reseat/jig/units"
)

// maxDrawingBytes is the largest drawing that is read: 32 MiB. An outline with its holes has
// a few hundred entities; a drawing of a whole instrument, saved by any program, is smaller.
const maxDrawingBytes = 32 << 20

// farthestInDrawing bounds a drawing's coordinates, in its unit: ten kilometres in mm.
const farthestInDrawing = 1e7

// readDatum reads where a drawing's datum line runs: two places in its own coordinates, or a
// layer's name.
func (r *reader) readDatum(n *yaml.Node, path string) {
	if n.Kind != yaml.SequenceNode {
		r.val[path] = r.text(n, path)
		return
	}
	for i, p := range n.Content {
		if p.Kind != yaml.SequenceNode || len(p.Content) != 2 || len(n.Content) != 2 {
			r.fault(n, path, "want two places [[x, y], [x, y]], or a layer's name", "the first lies at the start end")
			return
		}
		for k, c := range p.Content {
			at := entry(entry(path, i), k)
			r.src.at[at] = placeOf(c)
			r.val[at] = r.number(c, at, "the drawing's unit", span{-farthestInDrawing, farthestInDrawing})
		}
	}
}

// drawn takes the contour of a drawing, and its circles as features. Faults of the drawing
// are told at the key that names its file.
func (r *reader) drawn(b *Board) {
	const at, datum = outlineKey, outlineKey + ".datum"
	shown, text := r.beside(at+".file", maxDrawingBytes)
	if text == nil {
		return
	}
	want := trace.Want{
		Layer: r.word(at + ".layer"), Features: r.word(at + ".features"), GapMM: r.mm(at + ".gap"),
		ToleranceMM: r.mm(at + ".tolerance"), Datum: trace.Datum{Layer: r.word(datum)},
		UnitMM: map[string]float64{"mm": 1, "cm": 10, "in": units.Inch.MM()}[r.word(at+".units")],
	}
	if r.has(entry(entry(datum, 0), 0)) {
		want.Datum.Points = []geom.Vec{r.place(entry(datum, 0)), r.place(entry(datum, 1))}
	}
	d, err := trace.Outline(text, want)
	var faults *trace.Error
	if errors.As(err, &faults) {
		for _, f := range faults.Faults {
			r.faultKey(at+".file", shown+": "+f.String(), f.Would)
		}
		return
	} else if err != nil {
		r.faultKey(at+".file", fmt.Sprintf("%s: %v", shown, err), "")
		return
	}
	r.shape(b, d.Outline.WithoutShort())
	for _, f := range d.Features {
		b.Features = append(b.Features, Feature{
			Key: outlineKey + ".features", Name: f.Name, UMM: f.At.X, VMM: f.At.Y, BoreMM: f.DiameterMM,
			DepthMM: r.mm(outlineKey + ".depth"), Side: keyAt("board.features[].side").words[0],
		})
	}
	for _, l := range d.Holes {
		b.Holes = append(b.Holes, l.WithoutShort())
	}
	for _, f := range d.Notes {
		b.OutlineNotes = append(b.OutlineNotes, f.String()+".")
	}
}
