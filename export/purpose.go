package export

import "strings"

// Purpose says what a file is for.
func Purpose(name string) string {
	if strings.HasSuffix(name, ".3mf") {
		return purposes["template.3mf"]
	}
	if strings.HasPrefix(name, "drawing-") {
		return "the drawing's further sheets"
	}
	if strings.HasPrefix(name, "template-") {
		return "print this part of the template"
	}
	if strings.HasPrefix(name, "wedge") {
		return "print the wedges that push the board"
	}
	return purposes[name]
}

// purposes says what each file is for.
var purposes = map[string]string{
	"template.dxf":     "cut the template from sheet",
	"template.stl":     "print the template, with its rails",
	"bores.nc":         "bore the bed, or bed and blank: G-code",
	"bores-blank.nc":   "bore the blank's pin holes: G-code",
	"pockets.nc":       "bore the features again, first cut: G-code",
	"pockets-under.nc": "the same on the underside: G-code",
	"template.svg":     "a picture of what prints",
	"template.3mf":     "the printed parts as they lie on the printer's bed, with their unit",
	"rails.dxf":        "cut the gluing plate and its wedges from sheet",
	"blank.dxf":        "bore the blank's waste frame",
	"bed.dxf":          "bore the bed",
	"sheet.pdf":        "the sheet by the machine: order of work, set-ups, checks, drawing",
	"holes.csv":        "every hole with its limits",
	"drawing.png":      "the drawing in pixels",
	"drawing.svg":      "the drawing; further sheets are numbered",
	"design.json":      "the whole design for other programs",
}
