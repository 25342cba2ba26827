package picture

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"reseat/jig/geom"
)

// pointsPerMM is how many points of PDF a millimetre has: 72 an inch.
const pointsPerMM = 72 / 25.4

// pdfFont is one of the fonts that every reader of PDF has; its capitals are capEm high.
const pdfFont = "helvetica"

// goFont names the typefaces that have what Helvetica lacks.
const goFont = "go"

// WritePDF writes pictures as the pages of a PDF file, each on paper of its own size, at 1:1, and
// asks the viewer to print them so. Texts can be searched. They are Helvetica; one with a letter that
// Windows' code page 1252 lacks is set in the Go typefaces, of which the file then has what it needs.
// Equal pictures give equal bytes: the file has no date of today, and but for those typefaces its
// streams are not compressed, as packers differ.
//
// Coordinates are rounded to 0.001 mm; see units.Round.
func WritePDF(w io.Writer, title string, pages []*Picture) error {
	f := fpdf.New("P", "pt", "A4", "")
	long := time.Date(2000, time.January, 1, 0, 0, 0, 0, time.UTC) // a fixed date; it says nothing
	f.SetCreationDate(long)
	f.SetModificationDate(long)
	f.SetCatalogSort(true)
	f.SetCompression(false)
	f.SetProducer("reseat", false)
	f.SetTitle(firstPlane(Plain(title)), true)
	f.SetLang("en")
	f.SetAutoPageBreak(false, 0)
	for _, p := range pages {
		f.AddPageFormat("P", fpdf.SizeType{Wd: p.Size.X * pointsPerMM, Ht: p.Size.Y * pointsPerMM})
		s := &pdfWriter{f: f}
		f.RawWriteStr("q " + scaleToMM + " cm\n")
		for _, it := range p.Items {
			s.item(it)
		}
		f.RawWriteStr("Q\n")
	}
	var b bytes.Buffer
	if err := f.Output(&b); err != nil {
		return fmt.Errorf("write PDF: %w", err)
	}
	data, err := printAtActualSize(b.Bytes())
	if err != nil {
		return fmt.Errorf("write PDF: %w", err)
	}
	if _, err := w.Write(data); err != nil {
		return fmt.Errorf("write PDF: %w", err)
	}
	return nil
}

// scaleToMM makes a millimetre the unit of a page.
var scaleToMM = func() string {
	k := strconv.FormatFloat(pointsPerMM, 'f', 8, 64)
	return k + " 0 0 " + k + " 0 0"
}()

// printAtActualSize asks the viewer not to scale pages when it prints them: an entry of the
// catalog since PDF 1.6 that fpdf does not write. The catalog is the file's last object, so only
// the table of objects behind it moves.
func printAtActualSize(data []byte) ([]byte, error) {
	const version, catalog, start = "%PDF-1.3", "/Type /Catalog\n", "startxref\n"
	const asks = "/ViewerPreferences <</PrintScaling /None>>\n"
	at, end := bytes.LastIndex(data, []byte(catalog)), bytes.LastIndex(data, []byte(start))
	if at < 0 || end < at || !bytes.HasPrefix(data, []byte(version)) {
		return nil, errors.New("its catalog is not where it is written")
	}
	at, end = at+len(catalog), end+len(start)
	table, _, _ := bytes.Cut(data[end:], []byte("\n"))
	n, err := strconv.Atoi(string(table))
	if err != nil || n < at {
		return nil, errors.New("its table of objects does not follow the catalog")
	}
	var out bytes.Buffer
	fmt.Fprintf(&out, "%%PDF-1.6%s%s%s%d%s", data[len(version):at], asks, data[at:end], n+len(asks),
		data[end+len(table):])
	return out.Bytes(), nil
}

// pdfWriter writes one page; it knows the pen and the font in use.
type pdfWriter struct {
	f    *fpdf.Fpdf
	pen  *Pen
	bold bool
	face string
	size float64 // of the letters, mm; 0: no font yet
}

func (s *pdfWriter) printf(format string, args ...any) {
	s.f.RawWriteStr(fmt.Sprintf(format, args...) + "\n")
}

func (s *pdfWriter) usePen(p Pen) {
	if s.pen != nil && *s.pen == p {
		return
	}
	s.pen = &p
	var d []string
	for _, v := range p.dashes() {
		d = append(d, num(v))
	}
	round := 0
	if p.Round {
		round = 1
	}
	s.printf("%s w %d J %d j [%s] 0 d %s RG", num(p.WidthMM), round, round, strings.Join(d, " "), p.Colour.pdf())
}

func (s *pdfWriter) item(it Item) {
	switch it := it.(type) {
	case Stroke:
		s.usePen(it.Pen)
		s.printf("%s S", pdfPath(it))
	case Circle:
		s.usePen(it.Pen)
		s.printf("%s S", pdfPath(Stroke{Path: geom.Slot(it.C, 0, 0, 2*it.R), Closed: true}))
	case Fill:
		paths := make([]string, len(it.Loops))
		for i, l := range it.Loops {
			paths[i] = pdfPath(Stroke{Path: l, Closed: true})
		}
		s.printf("%s rg", it.Colour.pdf())
		how := "f*"
		if it.SeamMM > 0 {
			s.usePen(Pen{WidthMM: it.SeamMM, Colour: it.Colour, Round: true})
			how = "B*"
		}
		s.printf("%s %s", strings.Join(paths, " "), how)
	case Text:
		s.text(it)
	}
}

// pdfPath writes vertices as m, l and c operators; an arc is at most a quarter a curve, which is
// then off by less than 0.0003 of its radius.
func pdfPath(st Stroke) string {
	var b strings.Builder
	for i, e := range st.Edges() {
		if i == 0 {
			b.WriteString(pdfPoint(e.P) + " m")
		}
		if !e.IsArc() {
			b.WriteString(" " + pdfPoint(e.Q) + " l")
			continue
		}
		a := e.Arc()
		n := max(1, int(math.Ceil(math.Abs(a.Sweep)/(math.Pi/2)-1e-9)))
		step := a.Sweep / float64(n)
		reach := 4.0 / 3 * math.Tan(step/4) * a.R
		for k := range n {
			at := a.Start + float64(float64(k)*step)
			p, q := a.C.Add(geom.Polar(a.R, at)), a.C.Add(geom.Polar(a.R, at+step))
			if k == n-1 {
				q = e.Q
			}
			fmt.Fprintf(&b, " %s %s %s c", pdfPoint(p.Add(geom.Polar(reach, at).Left())),
				pdfPoint(q.Sub(geom.Polar(reach, at+step).Left())), pdfPoint(q))
		}
	}
	if st.Closed {
		b.WriteString(" h")
	}
	return b.String()
}

func (s *pdfWriter) text(t Text) {
	says, ok := codePage1252(t.S)
	face, size := pdfFont, t.Height/capEm
	if !ok {
		f, err := typefaces()
		if err != nil {
			s.f.SetError(err)
			return
		}
		face, size, says = goFont, t.Height/f.of(t.Bold).capital, lettered(Plain(t.S))
		s.f.AddUTF8FontFromBytes(face, pdfStyle(t.Bold), f.of(t.Bold).data)
	}
	if s.size != size || s.bold != t.Bold || s.face != face {
		s.f.SetFont(face, pdfStyle(t.Bold), size)
		s.size, s.bold, s.face = size, t.Bold, face
	}
	at, turn := t.At, geom.Polar(1, t.Angle)
	wide := float64(s.f.GetStringSymbolWidth(says)) / 1000 * size
	switch t.Anchor {
	case Middle:
		at = at.Sub(turn.Scale(wide / 2))
	case End:
		at = at.Sub(turn.Scale(wide))
	}
	place := fmt.Sprintf("%s %s %s %s %s", num(turn.X), num(turn.Y), num(-turn.Y), num(turn.X), pdfPoint(at))
	if face == goFont { // the library alone can write in it; it puts the text at the origin
		_, high := s.f.GetPageSize()
		s.printf("q 0 g %s cm", place)
		s.f.Text(0, high, says)
		s.printf("Q")
		return
	}
	s.printf("BT 0 g %s Tm (%s) Tj ET", place, pdfEscaper.Replace(says))
}

func pdfStyle(bold bool) string {
	if bold {
		return "B"
	}
	return ""
}

func pdfPoint(p geom.Vec) string { return num(p.X) + " " + num(p.Y) }

// pdf returns the colour as PDF's operators take it: red, green and blue from 0 to 1.
func (c Colour) pdf() string {
	return fmt.Sprintf("%s %s %s", num(float64(c[0])/255), num(float64(c[1])/255), num(float64(c[2])/255))
}

var pdfEscaper = strings.NewReplacer(`\`, `\\`, "(", `\(`, ")", `\)`)

// from80 is what the code page has from 0x80 to 0x9f, where it differs from Latin 1; a space is none.
var from80 = []rune("€ ‚ƒ„…†‡ˆ‰Š‹Œ Ž  ‘’“”•–—˜™š›œ žŸ")

// inCodePage returns a letter's place in the code page of PDF's own fonts.
func inCodePage(r rune) (c byte, ok bool) {
	if r < 0x80 || r >= 0xa0 && r <= 0xff {
		return byte(r), true
	}
	i := slices.Index(from80, r)
	return byte(0x80 + i), i >= 0
}

// codePage1252 writes a text, made Plain, in that code page; ok: it has all its letters.
func codePage1252(s string) (out string, ok bool) {
	var b strings.Builder
	for _, r := range Plain(s) {
		c, ok := inCodePage(r)
		if !ok {
			return "", false
		}
		b.WriteByte(c)
	}
	return b.String(), true
}

// firstPlane writes as unknown what the PDF library cannot put into two bytes.
func firstPlane(s string) string {
	return strings.Map(func(r rune) rune {
		if r > 0xffff {
			return unknown
		}
		return r
	}, s)
}
