// Package couponsheet draws a coupon at 1:1 with what to measure in which order, and the chart of what
// its filled form tells.
package couponsheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"reseat/export"
	"reseat/export/picture"
	"reseat/jig/coupon"
	"reseat/jig/geom"
	"reseat/jig/units"
)

// The coupon's picture, in mm on paper; letters of the ISO 3098 series.
const (
	couponMargin = 10.0 // printers reach no further out, some of them
	couponText   = 2.5
	couponTitle  = 3.5
	couponLine   = 4.0 // from one line of text to the next
)

// couponPapers are what the picture is printed on at 1:1, the smallest that the piece fits
// (standard: ISO 216).
var couponPapers = []struct {
	says string
	size geom.Vec
}{
	{"A4 upright", geom.Vec{X: 210, Y: 297}}, {"A3 across", geom.Vec{X: 420, Y: 297}},
}

// couponPicture is the picture in the making; y is where the next line goes, from the
// top, down.
type couponPicture struct {
	picture.Figure
	wide, y float64
}

// write puts a paragraph, broken into lines, its first one after a head.
func (p *couponPicture) write(head, says string) {
	const indent = 7.0
	p.Items = append(p.Items, picture.Text{At: geom.Vec{Y: p.y}, Height: couponText, Bold: true, S: head})
	for _, line := range picture.Wrap(says, couponText, p.wide-indent) {
		p.Text(geom.Vec{X: indent, Y: p.y}, couponText, picture.Start, line)
		p.y -= couponLine
	}
	p.y -= couponLine / 3
}

// Piece is a coupon and what is said of it.
type Piece struct {
	*coupon.Coupon
	Named, Holds string  // what it is of, and what it has
	Untold       string  // what it does not tell; "": it tells all
	Time         string  // that it takes to make
	CutterMM     float64 // that routs it
}

// Draw shows the piece at 1:1 with its marks, how the jaws lie, and the steps, on the
// smallest paper that takes it.
func Draw(k Piece) *picture.Picture {
	for _, paper := range couponPapers {
		p, used := layCoupon(k, paper.size.X-2*couponMargin, paper.says)
		if k.Size.X <= p.wide && used+2*couponMargin <= paper.size.Y {
			return p.on(k, paper.size)
		}
	}
	largest := couponPapers[len(couponPapers)-1].size
	p, used := layCoupon(k, math.Max(largest.X-2*couponMargin, k.Size.X), "")
	return p.on(k, geom.Vec{X: p.wide, Y: used}.Add(geom.Vec{X: 2 * couponMargin, Y: 2 * couponMargin}))
}

// on puts what was laid onto a sheet.
func (p *couponPicture) on(k Piece, size geom.Vec) *picture.Picture {
	out := &picture.Picture{Title: "coupon " + k.Checksum, Size: size}
	out.Place(&p.Figure, geom.Vec{X: couponMargin, Y: size.Y - couponMargin - float64(picture.Ascent*couponTitle)})
	return out
}

// layCoupon lays everything in lines of a width; used is the height that it takes, from the top of the
// title's letters to below those of the last line.
func layCoupon(k Piece, wide float64, paper string) (p *couponPicture, used float64) {
	p = &couponPicture{wide: wide}
	p.Items = append(p.Items, picture.Text{At: geom.Vec{Y: p.y}, Height: couponTitle, Bold: true,
		S: "Coupon " + k.Checksum + ": " + k.Named})
	p.y -= couponLine + 1
	p.write("", k.Holds+", drawn to true size: nothing is taken off for kerf or bias. Seen on the top.")
	on := "larger than A3: print it in parts"
	if paper != "" {
		on = "for " + paper
	}
	p.write("", fmt.Sprintf("1:1, %s: print it at 100 %%, not fitted to the page; the piece is then %s mm long on "+
		"paper.", on, units.Decimal(k.Size.X, 1)))
	dots := strings.Repeat(".", 44)
	p.write("", "Measured by "+dots+" on "+dots)
	p.y -= k.Size.Y - couponLine/2
	p.piece(k, geom.Vec{Y: p.y})
	p.sketches(k)
	p.write("0", k.cut())
	for i, s := range k.Steps {
		p.write(fmt.Sprint(i+1), s.Says+" Lines of the form: "+idsOf(s.Rows))
	}
	if k.Untold != "" {
		p.write("", k.Untold)
		p.write("", export.Safety)
		return p, p.used()
	}
	p.write("", "Every line once is enough; what cannot be reached stays empty, what was measured twice gets a further "+
		"line. Read to 0.01 mm, with the caliper square to the walls; take away burrs with a fingernail, not "+
		"with a file.")
	p.write("", export.Safety)
	return p, p.used()
}

// used is the height of what was laid.
func (p *couponPicture) used() float64 { return float64(picture.Ascent*couponTitle) - p.y - couponLine }

// piece draws the coupon itself, its lower left at a place.
func (p *couponPicture) piece(k Piece, at geom.Vec) {
	move := geom.Rigid{Shift: at}
	p.Loop(picture.PenOutline, move.Loop(k.Outline()))
	for _, f := range k.Cuts() {
		if f.Kind == coupon.Hole {
			c, arm := at.Add(f.At), couponText/2
			p.Circle(picture.PenOutline, c, f.SizeMM/2)
			p.Line(picture.PenThin, c.Sub(geom.Vec{X: arm}), c.Add(geom.Vec{X: arm}))
			p.Line(picture.PenThin, c.Sub(geom.Vec{Y: arm}), c.Add(geom.Vec{Y: arm}))
		} else {
			p.Loop(picture.PenOutline, move.Loop(geom.Slot(f.At, f.Angle(), f.Travel(), f.SizeMM)))
		}
	}
	for _, m := range k.Marks() {
		for _, s := range m.Strokes {
			line := make([]geom.Vec, len(s))
			for i, v := range s {
				line[i] = at.Add(v)
			}
			p.Line(picture.PenThin, line...)
		}
	}
}

// The sketches of how the jaws lie: a cut through two openings, enlarged.
const (
	sketchApart = 48.0 // from one to the next
	sketchHigh  = 30.0 // with the jaws above and the words below
	sketchJaw   = 1.5
)

// sketches draws where the jaws touch, of what the form asks for.
func (p *couponPicture) sketches(k Piece) {
	const thick, shallow, end, hole, bar = 10.0, 3.5, 5.0, 9.0, 9.0
	const left, far = end, end + 2*hole + bar
	top := p.y - sketchHigh/2 + couponLine
	n := 0
	draw := func(kind coupon.Kind, says string, walls [2]float64, inside bool) {
		i := slices.IndexFunc(k.Rows(), func(r coupon.Row) bool { return r.Kind == kind && (r.Axis != "" || r.Face != "") })
		if i < 0 {
			return
		}
		tip := thick
		if k.Rows()[i].Face != "" {
			says, tip = says+", "+units.Decimal(coupon.DeepMM, 1)+" mm deep", shallow
		}
		at := geom.Vec{X: sketchApart * float64(n), Y: top}
		n++
		// The plate cut through: solid, opening, solid, opening, solid.
		for _, b := range [][2]float64{{0, end}, {end + hole, end + hole + bar}, {far, far + end}} {
			p.Box(picture.PenOutline, geom.Box{Min: geom.Vec{X: at.X + b[0], Y: at.Y - thick},
				Max: geom.Vec{X: at.X + b[1], Y: at.Y}})
		}
		for i, x := range walls {
			side := sketchJaw // the jaw stands in the opening, its edge on the wall
			if (i == 0) != inside {
				side = -sketchJaw
			}
			x += at.X
			p.Fill(geom.Vec{X: x, Y: at.Y + 6}, geom.Vec{X: x, Y: at.Y - tip}, geom.Vec{X: x + side, Y: at.Y - tip + 1},
				geom.Vec{X: x + side, Y: at.Y + 6})
		}
		p.Text(geom.Vec{X: at.X, Y: at.Y - thick - couponLine}, couponText, picture.Start, says)
	}
	if k.CutsStraight() {
		draw(coupon.Slot, "slot, hole", [2]float64{left, left + hole}, true)
		draw(coupon.Bar, "bar", [2]float64{left + hole, left + hole + bar}, false)
	} else {
		draw(coupon.Hole, "hole", [2]float64{left, left + hole}, true)
	}
	draw(coupon.Web, "web", [2]float64{left + hole, left + hole + bar}, false)
	draw(coupon.Span, "span", [2]float64{left, far}, true)
	p.y -= couponLine + couponText
	if n > 0 {
		p.y -= sketchHigh
	}
}

// cut says how the piece is made.
func (k Piece) cut() string {
	switch {
	case k.By == "print":
		return fmt.Sprintf("Print %s top up, 0.2 mm layers, solid, not scaled, with the slicer's own corrections off "+
			"unless they stay on for the plate too. About %s.", coupon.PrintFile, k.Time)
	case k.By == "laser":
		return fmt.Sprintf("Cut %s from the sheet of the plate, with its power and speed and with the program's kerf "+
			"correction off. Marks first, edge last. Keep the side that was up as the top.", coupon.SheetFile)
	case k.By == "router":
		return fmt.Sprintf("Bore %s with an end mill of %s mm in %s mm of the plate's material, a piece sawn or planed "+
			"thin if need be: %s. It stays in its sheet. Before it is loosened, write TOP, the arrow X and all names on it.",
			coupon.ProgramFile, units.Decimal(k.CutterMM, 3), units.Decimal(k.PieceMM, 2), k.Time)
	}
	says := map[string][]string{}
	var sizes []string
	for _, f := range k.Features {
		size := units.Decimal(f.SizeMM, 2)
		if says[size] == nil {
			sizes = append(sizes, size)
		}
		says[size] = append(says[size], f.ID)
	}
	slices.Sort(sizes)
	out := fmt.Sprintf("Spot the places with %s, or punch them through this picture, printed 1:1 and glued on. Write "+
		"the names beside them. Then, as the plate will be made, ", coupon.ProgramFile)
	if k.By == "ream" {
		out += "drill under size (reseat ream) and ream. No such reamer: leave its lines empty. "
	} else {
		out += "drill. "
	}
	for _, s := range sizes {
		out += s + " mm: " + strings.Join(says[s], " ") + ". "
	}
	return out + "A round tool makes no straight walls: no slots, no bars, no kerf."
}

// idsOf lists the features of rows, runs of them as one, by axis where it says something.
func idsOf(rows []coupon.Row) string {
	var out []string
	for i := 0; i < len(rows); {
		n := i + 1
		for n < len(rows) && follows(rows[n-1], rows[n]) {
			n++
		}
		says := rows[i].ID
		if n > i+1 {
			says += " to " + rows[n-1].ID
		}
		switch r := rows[i]; {
		case r.Kind == coupon.Pin || r.Kind == coupon.Ring:
			says = r.ID
		case r.Kind == coupon.Slot || r.Kind == coupon.Bar: // across their length
		case r.Axis != "" && (i == 0 || rows[i-1].Axis != r.Axis || rows[i-1].Kind != r.Kind):
			says = "along " + r.Axis + ": " + says
		}
		if len(out) == 0 || out[len(out)-1] != says {
			out = append(out, says)
		}
		i = n
	}
	return strings.Join(out, ", ") + "."
}

// follows reports whether a row is of the next feature of the same kind, measured alike.
func follows(a, b coupon.Row) bool {
	if a.Axis != b.Axis && a.Kind == coupon.Hole || strings.Contains(a.ID, "-") {
		return false
	}
	var n, m int
	_, errA := fmt.Sscanf(a.ID[1:], "%d", &n)
	_, errB := fmt.Sscanf(b.ID[1:], "%d", &m)
	return errA == nil && errB == nil && m == n+1 && a.Kind == b.Kind
}
