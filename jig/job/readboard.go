package job

import (
	"fmt"
	"strings"

	"gopkg.in/yaml.v3"

	"reseat/jig/geom"
	"reseat/jig/units"
)

// grains are the ways a board can be sawn; the first is the default.
var grains = []string{defaultGrain, "flat"}

func (r *reader) board(root *section) Board {
	n := root.need("board", "it has length, width and thickness at least")
	if n == nil {
		return Board{}
	}
	s := r.open(n, "board", "board")
	if s == nil {
		return Board{}
	}
	b := Board{
		LengthMM:       s.length("length", boardLengthSpan, "write length: and the board's length along the datum line"),
		ThicknessMM:    s.length("thickness", boardThicknessSpan, "write thickness: and the board's thickness"),
		CornerRadiusMM: s.lengthOr("corner_radius", cornerSpan, 0),
		Wood:           s.textOr("wood", ""),
		Grain:          s.choiceOr("grain", grains),
	}
	b.WidthStartMM, b.WidthEndMM = r.width(s)
	if s.has("crown_radius") {
		b.CrownRadiusMM = r.crown(s)
	}
	if n, path := s.val["movement_pct"], "board.movement_pct"; n != nil {
		b.MovementPct = r.number(n, path, "percent of the width", movementSpan)
	}
	b.Frets = r.frets(s)
	for i, n := range s.items("features", maxFeatures) {
		b.Features = append(b.Features, r.feature(n, i))
	}
	for i, n := range s.items("keep_out", maxKeepOuts) {
		b.KeepOut = append(b.KeepOut, r.keepOut(n, i))
	}
	return b
}

// width reads one width, or the widths of both ends.
func (r *reader) width(s *section) (start, end float64) {
	n := s.need("width", "write width: and one number, or {start: 41.5, end: 55} for a taper")
	if n == nil {
		return 0, 0
	}
	if n.Kind != yaml.MappingNode {
		if n.Kind == yaml.SequenceNode {
			r.fault(n, "board.width", "want a width, got a list", "write {start: ..., end: ...}")
			return 0, 0
		}
		w := r.length(n, "board.width", boardWidthSpan)
		return w, w
	}
	t := r.open(n, "board.width", "board.width")
	return t.length("start", boardWidthSpan, "the width at the start end"), t.length("end", boardWidthSpan, "the width at the far end")
}

// crown reads the crown radius; 0 is taken as flat.
func (r *reader) crown(s *section) float64 {
	n, path := s.val["crown_radius"], "board.crown_radius"
	if v, ok := units.ParseNumber(n.Value); ok && v == 0 && n.Kind == yaml.ScalarNode && n.Style&quoteStyles == 0 {
		return 0
	}
	if n.Kind == yaml.ScalarNode && strings.EqualFold(n.Value, "flat") {
		r.fault(n, path, "want a length, got "+shown(n), "leave crown_radius out for a flat board")
		return 0
	}
	return r.length(n, path, crownSpan)
}

func (r *reader) frets(board *section) *Frets {
	s := board.sub("frets")
	if s == nil {
		return nil
	}
	f := &Frets{
		ScaleMM:   s.length("scale", scaleSpan, "the length of the open string, nut to bridge"),
		DotBoreMM: defaultDotBore, DotDepthMM: defaultDotDepth,
	}
	if n := s.need("count", "how many frets lie on the board"); n != nil {
		f.Count = r.count(n, "board.frets.count", fretSpan)
	}
	if d := s.sub("dot"); d != nil {
		f.DotBoreMM = d.lengthOr("bore", boreSpan, defaultDotBore)
		f.DotDepthMM = d.lengthOr("depth", depthSpan, defaultDotDepth)
		f.DotInlay = r.inlay(d, "board.frets.dot.inlay")
	}
	for i, n := range s.items("dots", int(fretSpan.most)) {
		f.Dots = append(f.Dots, r.dot(n, fmt.Sprintf("board.frets.dots[%d]", i)))
	}
	return f
}

// dot reads a fret number, or a fret with the spread of a pair.
func (r *reader) dot(n *yaml.Node, path string) Dot {
	lim := span{1, fretSpan.most}
	if n.Kind != yaml.MappingNode {
		return Dot{Fret: r.count(n, path, lim)}
	}
	s := r.open(n, path, "board.frets.dots[]")
	d := Dot{SpreadMM: s.lengthOr("spread", spreadSpan, 0)}
	if n := s.need("fret", "the dot lies midway between this fret and the one before"); n != nil {
		d.Fret = r.count(n, path+".fret", lim)
	}
	return d
}

func (r *reader) feature(n *yaml.Node, i int) Feature {
	path := fmt.Sprintf("board.features[%d]", i)
	s := r.open(n, path, "board.features[]")
	if s == nil {
		return Feature{Key: path}
	}
	f := Feature{Key: path}
	if n := s.need("name", "a short name that the sheets can show"); n != nil {
		f.Name = r.text(n, path+".name")
	}
	f.UMM = s.length("u", placeSpan, "the station, from the start end along the datum line")
	f.VMM = s.lengthOr("v", placeSpan, 0)
	f.BoreMM = s.lengthOr("bore", boreSpan, 0)
	f.DepthMM = s.lengthOr("depth", depthSpan, 0)
	f.Inlay = r.inlay(s, "board.features[].inlay")
	return f
}

func (r *reader) keepOut(n *yaml.Node, i int) KeepOut {
	path := fmt.Sprintf("board.keep_out[%d]", i)
	s := r.open(n, path, "board.keep_out[]")
	if s == nil {
		return KeepOut{}
	}
	k := KeepOut{From: r.point(s, "from", "one corner, [u, v]"), To: r.point(s, "to", "the opposite corner, [u, v]")}
	if n := s.need("name", "what is there"); n != nil {
		k.Name = r.text(n, path+".name")
	}
	return k
}

// point reads [u, v].
func (r *reader) point(s *section, key, remedy string) geom.Vec {
	n := s.need(key, remedy)
	if n == nil {
		return geom.Vec{}
	}
	path := join(s.path, key)
	if n.Kind != yaml.SequenceNode {
		if !r.bad[path] {
			r.fault(n, path, "want a place [u, v], got "+shown(n), "write two numbers in [ ]")
		}
		return geom.Vec{}
	}
	if len(n.Content) != 2 {
		remedy := "write [u, v]"
		for i := 0; i+1 < len(n.Content); i++ {
			if a, b := n.Content[i], n.Content[i+1]; touching(a, b) {
				remedy = fmt.Sprintf("%s,%s reads as two numbers: write %s.%s", a.Value, b.Value, a.Value, b.Value)
				break
			}
		}
		r.fault(n, path, fmt.Sprintf("want a place [u, v], got a list of %d", len(n.Content)), remedy)
		return geom.Vec{}
	}
	for i, c := range n.Content {
		r.src.at[fmt.Sprintf("%s[%d]", path, i)] = place(c)
	}
	return geom.Vec{X: r.length(n.Content[0], path+"[0]", placeSpan), Y: r.length(n.Content[1], path+"[1]", placeSpan)}
}
