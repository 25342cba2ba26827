package picture_test

import (
	"os"

	"reseat/export/picture"
	"reseat/jig/geom"
)

// One mark of every kind, lower left corner first.
func ExampleWriteSVG() {
	at := func(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
	p := &picture.Picture{Title: "One & all", Size: at(20, 10)}
	p.Circle(picture.PenOutline, at(5, 4), 3)
	p.Line(picture.PenGrid, at(0, 0), at(20, 0), at(20, 1.5))
	p.Loop(picture.PenHidden, geom.Slot(at(12, 5), 0, 2, 3))
	p.Fill(at(1, 1), at(2, 1), at(1, 2))
	p.Add(picture.Fill{
		Loops:  []geom.Loop{geom.Rect(geom.Box{Max: at(4, 4)}), geom.Rect(geom.Box{Min: at(1, 1), Max: at(2, 2)})},
		Colour: picture.Colour{255, 128, 0}, SeamMM: 0.1,
	})
	p.Text(at(10, 2), 2.16, picture.Middle, "ends")
	p.Add(picture.Text{At: at(1, 5), Height: 3.6, Angle: 0.5, Bold: true, S: "up <1>"})
	_ = picture.WriteSVG(os.Stdout, p)
	// Output:
	// <?xml version="1.0" encoding="UTF-8"?>
	// <svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="20mm" height="10mm" viewBox="0 0 20 10">
	// <title>One &amp; all</title>
	// <rect width="20" height="10" fill="#ffffff"/>
	// <g fill="none" stroke="#000000" stroke-linejoin="miter" font-family="sans-serif">
	// <g stroke-width="0.5">
	// <circle cx="5" cy="6" r="3"/>
	// </g>
	// <g stroke-width="0.18" stroke="#999999">
	// <path d="M0 10 L20 10 L20 8.5"/>
	// </g>
	// <g stroke-width="0.25" stroke-dasharray="3 0.75">
	// <path d="M11 6.5 L13 6.5 A1.5 1.5 0 0 0 13 3.5 L11 3.5 A1.5 1.5 0 0 0 11 6.5 Z"/>
	// </g>
	// <path d="M1 9 L2 9 L1 8 Z" fill="#000000" stroke="none"/>
	// <path d="M0 10 L4 10 L4 6 L0 6 Z M1 9 L2 9 L2 8 L1 8 Z" fill="#ff8000" fill-rule="evenodd" stroke="#ff8000" stroke-width="0.1" stroke-linejoin="round"/>
	// <text x="10" y="8" font-size="3" fill="#000000" stroke="none" text-anchor="middle">ends</text>
	// <text x="1" y="5" font-size="5" fill="#000000" stroke="none" font-weight="bold" transform="rotate(-28.648 1 5)">up &lt;1&gt;</text>
	// </g>
	// </svg>
}
