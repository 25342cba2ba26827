package record

import (
	"reseat/export"
	"reseat/jig"
)

// ArcsWithinMM is how near the chords of an outline follow its arcs. It is a tenth
// of the least clearance of a window, and fine enough to redraw from.
const ArcsWithinMM = 0.01

// document is design.json: the Design with what the run adds. The keys that the Design
// gives stand in its tags.
type document struct {
	MadeBy    string    `json:"made_by"`
	Units     string    `json:"units"`
	Precision precision `json:"precision"`
	*jig.Design
	Assembly   *jig.Assembly `json:"assembly,omitempty"`   // of what seats on the bed; absent: the board cannot be seated
	Simulation *simulation   `json:"simulation,omitempty"` // of the budget
	Files      []file        `json:"files"`
	Checksum   string        `json:"seal_sha256"` // last: export.WithChecksum fills it in
}

type simulation struct {
	Trials int    `json:"trials"`
	Seed   uint64 `json:"seed"`
}

type precision struct {
	ArcsWithinMM float64 `json:"arcs_within_mm"`
	LengthsToMM  float64 `json:"lengths_to_mm"`
}

type file struct {
	Name   string `json:"name"`
	Bytes  int    `json:"bytes"`
	SHA256 string `json:"sha256"`
	*Body
}

// Body is a printed part as a closed mesh.
type Body struct {
	Facets    int        `json:"facets"`
	VolumeMM3 float64    `json:"volume_mm3"`
	SizeMM    [3]float64 `json:"size_mm"`
	Holes     []BodyHole `json:"holes"`
}

// BodyHole is a hole of a printed part: drawn, and the largest pin that passes.
type BodyHole struct {
	ID      string  `json:"id"`
	DrawnMM float64 `json:"drawn_mm"`
	FreeMM  float64 `json:"free_mm"`
}

// DesignJSON writes the design down with the checksum that export.Bundle looks for. files are the other
// outputs of the same run; the record itself cannot be among them. bodies tells, by
// file name, what reading the printed parts again found; nil: nothing. Keys that belong
// to what the design does not hold (a blank, rails, a window) are absent.
//
// Errors: *NumberError when a figure is not finite.
func DesignJSON(d *jig.Design, files []export.File, bodies map[string]Body) ([]byte, error) {
	doc := document{
		MadeBy: export.MadeBy, Units: "mm", Precision: precision{ArcsWithinMM, 1e-6}, Design: d,
		Checksum: export.ChecksumBlank,
	}
	if len(d.Assembly) > 0 {
		doc.Assembly = &d.Assembly[0]
	}
	if b := d.Budget; b != nil {
		doc.Simulation = &simulation{b.Trials, b.Seed}
	}
	for _, f := range files {
		entry := file{Name: f.Name, Bytes: f.Bytes, SHA256: f.SHA256}
		if b, ok := bodies[f.Name]; ok {
			entry.Body = &b
		}
		doc.Files = append(doc.Files, entry)
	}
	data, err := JSON(doc)
	if err != nil {
		return nil, err
	}
	return export.WithChecksum(data)
}

// RulesJSON is the title and the rules alone, with the keys and figures that they
// have in design.json.
//
// Errors: *NumberError when a figure is not finite.
func RulesJSON(d *jig.Design) ([]byte, error) {
	return JSON(struct {
		Title string     `json:"title"`
		Rules []jig.Rule `json:"rules"`
	}{d.Title, d.Rules})
}

// ProgramJSON is one program with the keys and figures that it has in design.json.
//
// Errors: *NumberError when a figure is not finite.
func ProgramJSON(p jig.Program) ([]byte, error) { return JSON(p) }
