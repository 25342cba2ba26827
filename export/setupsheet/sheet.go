package setupsheet

import (
	"fmt"
	"slices"
	"strings"

	"reseat/export"
	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/setup"
	"reseat/jig/units"
)

// Content is what the sheet shows beside the design itself, in the words of the other outputs.
type Content struct {
	Word, Verdict string   // "HOLDS", and the figures behind it
	Take          []string // what must lie ready
	Files         []export.File
	Drawing       []*picture.Picture // its sheets, on the same paper
	TrueSize      bool               // also the plate at 1:1, in tiles
	Bars          Bars               // of an earlier print

	missing string // letters that cannot be printed
}

// missing are the letters in a title and on pages that a PDF cannot show.
func missing(title string, pages []*picture.Picture) string {
	var says strings.Builder
	says.WriteString(title)
	for _, p := range pages {
		for _, it := range p.Items {
			if t, ok := it.(picture.Text); ok {
				says.WriteString(t.S)
			}
		}
	}
	return picture.Missing(says.String())
}

// Pages lays out the sheet on upright paper, the drawing on paper as it lies. Equal designs give
// equal pages.
func Pages(d *jig.Design, t Content, paper block.Paper) []*picture.Picture {
	var after []*picture.Picture // of the first pages
	var begins []int             // where among them each set-up begins
	for _, s := range d.Setups {
		begins = append(begins, len(after))
		after = append(after, setupPages(d, s, paper)...)
	}
	drawing := len(after)
	for _, p := range t.Drawing {
		q := *p
		q.Items = slices.Clone(p.Items)
		after = append(after, &q)
	}
	counted := len(after)
	account := newFlow(paper, d.Title)
	account.account(d)
	after = append(after, account.pages...)
	if t.TrueSize {
		after = append(after, trueSize(d, paper, t.Bars.times())...)
	}
	t.missing = missing(d.Title, after)
	// How many pages come first must be known to say where the others are.
	cover := func(first int) []*picture.Picture {
		f := newFlow(paper, d.Title)
		f.cover(d, t, begins, first, first+drawing, first+counted)
		return f.pages
	}
	pages := append(cover(len(cover(0))), after...)
	footers(pages, paper, strings.Join(slices.DeleteFunc([]string{
		"reseat " + export.Version, d.JobFile, "SHA-256 of the job begins " + begin(d.JobSHA256), "lengths in mm",
	}, func(s string) bool { return s == "" }), "  ·  "))
	return pages
}

// NoLetters says which letters are missing, one code for each.
func NoLetters(missing string) string {
	var codes []string
	for _, r := range missing {
		codes = append(codes, fmt.Sprintf("U+%04X", r))
	}
	return "sheet.pdf has no letters for " + strings.Join(codes, ", ") + ": a mark stands for each. " +
		"drawing.svg has them."
}

// tallest is how high the pictures of a set-up are at most, mm.
type tallest struct{ stack, plan float64 }

// setupPages are those of one set-up: one page, where smaller pictures leave room for all.
func setupPages(d *jig.Design, s setup.Setup, paper block.Paper) (first []*picture.Picture) {
	for _, high := range []tallest{{60, 75}, {60, 60}, {60, 45}, {30, 45}} {
		f := newFlow(paper, d.Title)
		f.setup(d, s, high)
		if first == nil || len(f.pages) == 1 {
			first = f.pages
		}
		if len(first) == 1 {
			break
		}
	}
	return first
}

// begin is the beginning of a checksum, enough to tell files apart.
func begin(sum string) string { return sum[:min(12, len(sum))] }

// cover is the first page: verdict, order of work, what must lie ready, files. first is how many
// pages come before those of the set-ups, drawing before those of the drawing, counted before those of the
// errors.
func (f *flow) cover(d *jig.Design, t Content, begins []int, first, drawing, counted int) {
	f.heading(block.Large, d.Title, 0)
	f.lines(0, "Set-up sheet for the machine and the bench. Tick each step, write each measured figure into its box. "+
		"The paper checks, it never locates: what is cut is in the files.")
	if t.missing != "" {
		f.lines(0, NoLetters(t.missing))
	}
	f.y -= 2
	f.verdict(t)
	for _, r := range d.Rules {
		if r.Level == jig.Fail {
			f.labelled("fails", r.ID+": "+r.Says)
		}
	}
	f.heading(block.Middle, "Have ready", 2*linePitch)
	f.ticks(t.Take)
	work := block.Table{Name: "Order of work", Cols: slices.Concat(
		block.Words(""), block.Numbers("no."), block.Words("set-up", "where", "file"), block.Numbers("page"),
	)}
	for i, s := range d.Setups {
		files := slices.Clone(s.Files)
		if s.Program != "" {
			files = append(files, program(s.Program, t.Files))
		}
		work.Rows = append(work.Rows, []string{
			"", fmt.Sprint(s.Number), s.Title, s.Place, strings.Join(files, ", "), fmt.Sprint(first + begins[i] + 1),
		})
	}
	work.Rows = append(work.Rows, []string{"", "", "Drawing, pins and holes of every part", "", "drawing.svg",
		fmt.Sprint(drawing + 1)}, []string{"", "", "Errors, pin distances, warnings", "", "",
		fmt.Sprint(counted + 1)})
	work.Cols[0] = tickColumn(func(row int) bool { return row < len(d.Setups) })
	work.Limit(4, 46)
	work.Fill(2, f.wide())
	f.table(work)
	files := block.Table{Name: "Files", Cols: slices.Concat(
		block.Words("file", "set-up", "size, mm", "what for", "SHA-256"))}
	for _, x := range t.Files {
		if strings.HasPrefix(x.Name, "drawing-") { // further sheets; design.json has their checksums
			continue
		}
		files.Rows = append(files.Rows, []string{
			x.Name, usedIn(d, x.Name), overall(d, x.Name), export.Purpose(x.Name), begin(x.SHA256),
		})
	}
	files.Foot = []string{"A cut file without a set-up is for another way to make its part: it is not needed. Of SHA-256 the first digits."}
	files.Limit(0, 48)
	files.Fill(3, f.wide())
	f.table(files)
	for _, s := range strings.Split(export.Safety, "\n") {
		f.lines(0, s)
	}
}

// usedIn lists the set-ups that need a file.
func usedIn(d *jig.Design, file string) string {
	var out []string
	for _, s := range d.Setups {
		if s.Program == file || slices.Contains(s.Files, file) {
			out = append(out, fmt.Sprint(s.Number))
		}
	}
	return strings.Join(out, ", ")
}

// program names a program's file, and says so where a failed rule kept it from being written.
func program(name string, written []export.File) string {
	if slices.ContainsFunc(written, func(f export.File) bool { return f.Name == name }) {
		return name
	}
	return name + " NOT WRITTEN"
}

// verdict puts the word into a frame, and beside it what it rests on.
func (f *flow) verdict(t Content) {
	b := &block.Figure{}
	wide := picture.TextWidth(t.Word, block.Large)*picture.BoldWider + 8
	lines := picture.Wrap(picture.Plain(t.Verdict), block.Small, f.wide()-wide-6)
	high := max(block.Large+7, float64(len(lines))*linePitch+4)
	b.Box(picture.PenOutline, boxOf(0, -high, f.wide(), 0))
	b.Line(picture.PenOutline, at(wide, 0), at(wide, -high))
	b.Add(picture.Text{At: at(4, -high/2-block.Large/2), Height: block.Large, Bold: true, S: t.Word})
	y := -high/2 + float64(len(lines)-1)*linePitch/2 - block.Small/2
	for _, l := range lines {
		b.Text(at(wide+3, y), block.Small, picture.Start, l)
		y -= linePitch
	}
	f.put(b, false)
}

// overall is how large what a file draws is, mm; empty where it draws no part.
func overall(d *jig.Design, name string) string {
	size := func(x, y float64) string { return units.Decimal(x, 1) + " x " + units.Decimal(y, 1) }
	for _, s := range d.Sheets {
		if s.File == name {
			return size(s.Size.X, s.Size.Y)
		}
	}
	for _, p := range d.Parts {
		if p.File == name {
			b := p.Outline.Bounds().Size()
			return size(b.X, b.Y) + " x " + units.Decimal(topOf(p), 2)
		}
	}
	return ""
}

// topOf is how high a print is with its rails.
func topOf(p jig.Print) float64 {
	top := p.ThicknessMM
	for _, r := range p.Rails {
		top = max(top, r.TopMM)
	}
	return top
}

// tickColumn has a box to tick in each row that wants one.
func tickColumn(wanted func(row int) bool) block.Column {
	return block.Column{Head: []string{""}, Wide: boxSide + 2*block.CellPad, Paint: func(f *block.Figure, row int, cell box) {
		if row >= 0 && wanted(row) {
			m := cell.Center()
			f.Box(picture.PenThin, boxOf(m.X-boxSide/2, m.Y-boxSide/2, m.X+boxSide/2, m.Y+boxSide/2))
		}
	}}
}
