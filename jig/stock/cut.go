package stock

import (
	"errors"
	"fmt"
	"slices"

	"reseat/jig/geom"
	"reseat/jig/plate"
	"reseat/jig/units"
)

// Item is a part to be cut from stock.
type Item struct {
	Name  string // engraved on it, but for a coupon, which has its own
	Drawn plate.Sheet
	CutMM float64 // how wide a cut frees it: a kerf or a cutter
}

// Batch is what is cut from one kind of stock, on sheets of its own.
type Batch struct {
	plate.Stock
	Items  []Item
	Layout // its parts are the items
	// CutMM is the widest cut that frees a part.
	CutMM float64
}

// kind is what a batch has in common: parts with and without the kerf in their lines do not go
// into one file, which can say only one of it.
type kind struct {
	plate.Stock
	kerf, edge     bool // applied; how much of it, each part has for itself
	drawnX, drawnY float64
}

// Batches sorts items by what they are cut from, in the order in which they come, and lays each
// batch out. What is drawn longer along one axis than along the other is not turned. A coupon is cut
// as the parts of its stock are cut, whatever is applied to their lines, and lies as it is drawn:
// it measures either axis.
//
// Errors: *FaultError; *TooLargeError for all batches, Part counted among all items.
func Batches(room SheetSize, items []Item) ([]Batch, error) {
	var kinds []kind
	of := map[kind][]int{}
	for i, it := range items {
		d := it.Drawn
		k := kind{d.Stock, d.KerfMM != 0, d.EdgeMM != 0, d.DrawnX, d.DrawnY}
		same := slices.IndexFunc(kinds, func(o kind) bool { return o.Stock == k.Stock })
		if d.Coupon && same >= 0 {
			k = kinds[same]
		}
		if of[k] == nil {
			kinds = append(kinds, k)
		}
		of[k] = append(of[k], i)
	}
	if len(kinds) == 0 {
		return nil, check(room, nil)
	}
	var out []Batch
	var large TooLargeError
	for _, k := range kinds {
		b := Batch{Stock: k.Stock}
		var sizes []geom.Vec
		var asDrawn []bool
		for _, i := range of[k] {
			b.Items = append(b.Items, items[i])
			b.CutMM = max(b.CutMM, items[i].CutMM)
			sizes = append(sizes, items[i].Drawn.Size)
			asDrawn = append(asDrawn, items[i].Drawn.Coupon || k.drawnX != k.drawnY)
		}
		var err error
		var e *TooLargeError
		if b.Layout, err = Lay(room, sizes, asDrawn); errors.As(err, &e) {
			for _, p := range e.Parts {
				p.Part, p.Turns = of[k][p.Part], p.Turns && !asDrawn[p.Part]
				large.Parts = append(large.Parts, p)
			}
		} else if err != nil {
			return nil, err
		}
		out = append(out, b)
	}
	if len(large.Parts) > 0 {
		return nil, &large
	}
	return out, nil
}

// Draw is the drawing of one of the batch's sheets.
func (b Batch) Draw(sheet int, room SheetSize, file string) plate.Sheet {
	notes := []string{fmt.Sprintf("stock %s x %s mm: X0 Y0 is its lower left corner",
		units.Decimal(room.Width, 3), units.Decimal(room.Height, 3))}
	var parts []plate.Lying
	for _, p := range b.On(sheet) {
		it := b.Items[p.Part]
		parts = append(parts, plate.Lying{Part: it.Drawn, Name: it.Name, At: p.At, Turned: p.Turned})
		note := fmt.Sprintf("%s at %s, %s", it.Name, units.Fixed(p.At.X, 3), units.Fixed(p.At.Y, 3))
		if p.Turned {
			note += ", turned by a quarter"
		}
		if it.Drawn.Coupon {
			note += ", drawn to size: cut it as the plates, with no offset of its own"
		} else if said := it.Applied(); said != "" {
			note += ", " + said
		}
		notes = append(notes, note)
	}
	return plate.Join(file, parts, notes...)
}

// Applied says how much of what a cut takes out is in a part's lines.
func (it Item) Applied() string {
	switch d := it.Drawn; {
	case d.KerfMM != 0:
		return "kerf " + units.Fixed(d.KerfMM, 3)
	case d.EdgeMM != 0:
		return "edge " + units.Fixed(d.EdgeMM, 3)
	}
	return ""
}

// On are the places on one sheet, in the order in which they are cut.
func (l Layout) On(sheet int) (out []Place) {
	for _, p := range l.Places {
		if p.Sheet == sheet {
			out = append(out, p)
		}
	}
	return out
}

// Waste is the share of a sheet that does not become a part, from 0 to 1. What falls out of
// windows and holes belongs to the parts: no layout saves it.
func (b Batch) Waste(sheet int, room SheetSize) float64 {
	used := 0.0
	for _, p := range b.On(sheet) {
		for _, s := range b.Items[p.Part].Drawn.Shapes {
			if s.Layer == plate.Edge {
				used += s.Area()
			}
		}
	}
	return 1 - used/(room.Width*room.Height)
}
