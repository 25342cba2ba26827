package sheet

import (
	"reseat/export/block"
	"reseat/jig/geom"
)

// figure is a block that the drawing's views are drawn into.
type figure struct{ block.Figure }

// place adds all of g, moved by d.
func (f *figure) place(g *block.Figure, d geom.Vec) { f.Place(&g.Figure, d) }
