package picture

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"codeberg.org/go-pdf/fpdf"

	"reseat/jig/geom"
)

// everyMark has a mark of every kind, far enough apart that each has a box of its own.
func everyMark() []Item {
	at := func(x, y float64) geom.Vec { return geom.Vec{X: x, Y: y} }
	return []Item{
		Stroke{Pen: PenOutline, Path: geom.Slot(at(30, 30), 0.4, 12, 8), Closed: true},
		Stroke{Pen: Pen{WidthMM: 1, Round: true}, Path: geom.Loop{{Vec: at(60, 20), Bulge: 0.9}, {Vec: at(90, 25)}}},
		Circle{Pen: PenFrame, C: at(120, 30), R: 7},
		Fill{Loops: []geom.Loop{geom.Rect(geom.Box{Min: at(20, 60), Max: at(40, 80)}),
			geom.Rect(geom.Box{Min: at(25, 65), Max: at(35, 75)})}, Colour: Colour{200, 80, 0}},
		Stroke{Pen: PenHidden, Path: geom.FromPoints([]geom.Vec{at(50, 60), at(80, 80)})},
		Text{At: at(120, 70), Height: 5, Anchor: Middle, S: "MIDDLE"},
		Text{At: at(180, 40), Height: 5, Angle: math.Pi / 2, Bold: true, S: "UPWARD"},
		Text{At: at(150, 90), Height: 5, Angle: -math.Pi / 2, Anchor: End, S: "ΩΓΚΕΛ"},
	}
}

func pdfOf(t testing.TB, pages ...*Picture) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := WritePDF(&b, "One (of\\all) Ø", pages); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// The pages are read back as a viewer does it: from the end, by the table of objects.
func TestPDFObjectsStandWhereTheTableSays(t *testing.T) {
	a4, letter := geom.Vec{X: 210, Y: 297}, geom.Vec{X: 279.4, Y: 215.9}
	data := pdfOf(t, &Picture{Size: a4, Figure: Figure{everyMark()}}, &Picture{Size: letter})
	if !bytes.Equal(data, pdfOf(t, &Picture{Size: a4, Figure: Figure{everyMark()}}, &Picture{Size: letter})) {
		t.Error("two runs differ")
	}
	m := regexp.MustCompile(`startxref\n(\d+)\n%%EOF\n$`).FindSubmatch(data)
	if m == nil {
		t.Fatalf("no end: %q", data[len(data)-60:])
	}
	start, _ := strconv.Atoi(string(m[1]))
	if !bytes.HasPrefix(data[start:], []byte("xref\n")) {
		t.Fatalf("no table at %d", start)
	}
	for i, row := range regexp.MustCompile(`(\d{10}) 00000 n`).FindAllSubmatch(data[start:], -1) {
		at, _ := strconv.Atoi(string(row[1]))
		if want := fmt.Sprintf("%d 0 obj", i+1); !bytes.HasPrefix(data[at:], []byte(want)) {
			t.Errorf("at %d: %q, want %q", at, data[at:at+10], want)
		}
	}
	for _, want := range []string{
		"%PDF-1.6\n", "/Count 2", "/MediaBox [0 0 595.28 841.89]", "/MediaBox [0 0 792.00 612.00]",
		"/ViewerPreferences <</PrintScaling /None>>", "(D:20000101000000)", "/BaseFont /Helvetica-Bold",
	} {
		if !bytes.Contains(data, []byte(want)) {
			t.Errorf("no %q", want)
		}
	}
}

func TestPDFOfADamagedFileIsRefused(t *testing.T) {
	for _, c := range []string{"", "%PDF-1.3\n", "%PDF-1.3\n/Type /Catalog\nstartxref\nx\n"} {
		if _, err := printAtActualSize([]byte(c)); err == nil {
			t.Errorf("%q was accepted", c)
		}
	}
}

// No letter is wider in the PDF than the layout takes it for.
func TestLayoutLeavesRoomForHelvetica(t *testing.T) {
	f := fpdf.New("P", "pt", "A4", "")
	f.AddPage()
	for _, bold := range []bool{false, true} {
		style, wider := "", 1.0
		if bold {
			style, wider = "B", BoldWider
		}
		f.SetFont(pdfFont, style, 10)
		for _, word := range []string{
			"0123456789.", "drawn Ø 6.020", "WARNING: MDF, cast acrylic", "finished min/max, +-0.05 mm", "(illicit, jiffy), file's",
			"—…™Œ", "HOLDS", "Bouzouki fingerboard, dots bored again",
		} {
			says, _ := codePage1252(word)
			got, room := float64(f.GetStringSymbolWidth(says))/1000*7.2/capEm, TextWidth(word, 7.2)*wider
			if got > room {
				t.Errorf("%q, bold %v: %.2f, room %.2f", word, bold, got, room)
			}
		}
	}
}

func TestCodePage(t *testing.T) {
	for in, want := range map[string]string{
		"Ø 6 ±0.1 °C": "\xd8 6 \xb10.1 \xb0C", "€—Ÿ": "\x80\x97\x9f", "Λαούτο 板": "", "Łódź": "", "a\nb": "a b",
	} {
		if got, ok := codePage1252(in); ok != (want != "") || ok && got != want {
			t.Errorf("%q: %q, %v, want %q", in, got, ok, want)
		}
	}
}

// foreign are texts that Helvetica cannot write.
var foreign = []string{
	"Λαούτο, δεύτερη όψη", "Μπουζούκι 3 τάστα (ταξίδι) ξττ", "Łódź, żółw, gęś", "Příliš žluťoučký kůň \\", "şığ ölçü, İğne tutkalı",
	"Гриф бузуки, вторая сторона", "Клей нанести к кромке", "JIKE-JIKE Ω",
}

// A text is no wider in the Go typefaces than the layout takes it for, and not taken for much wider.
func TestLayoutLeavesRoomForGo(t *testing.T) {
	all, err := typefaces()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range foreign {
		for i, wider := range [2]float64{1, BoldWider} {
			got := 0.0
			for _, r := range s {
				got += all[i].advances[r] / all[i].capital * 7.2
			}
			if room := TextWidth(s, 7.2) * wider; got > room || room > 1.4*got {
				t.Errorf("%q, bold %v: %.1f, room %.1f", s, i == 1, got, room)
			}
		}
	}
}

func TestMissing(t *testing.T) {
	for in, want := range map[string]string{"Λαούτο Łódź Ø": "", "琵琶, 琵 no. 2": "琵琶", "\U0001F3B8 a\xff": "\U0001F3B8", "": ""} {
		if got := Missing(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

// inks runs a renderer and returns the box of ink of each mark, in mm.
func inks(t *testing.T, write func(dir string, p *Picture) *exec.Cmd) []geom.Box {
	t.Helper()
	size := geom.Vec{X: 80, Y: 40}
	var out []geom.Box
	for _, it := range everyMark() {
		dir := t.TempDir()
		it = it.Shifted(size.Scale(0.5).Sub(it.Ink().Center()))
		c := write(dir, &Picture{Size: size, Figure: Figure{[]Item{it}}})
		if msg, err := c.CombinedOutput(); err != nil {
			t.Fatalf("%v: %v %s", c.Args, err, msg)
		}
		files, _ := filepath.Glob(filepath.Join(dir, "*.png"))
		if len(files) != 1 {
			t.Fatalf("%v", files)
		}
		out = append(out, inkOfPNG(t, files[0], size))
	}
	return out
}

// A PDF's marks lie where those of the SVG lie.
func TestPDFInkIsTheSVGs(t *testing.T) {
	for _, tool := range []string{"pdftoppm", "rsvg-convert"} {
		if _, err := exec.LookPath(tool); err != nil {
			t.Skipf("no %s here", tool)
		}
	}
	save := func(file string, data []byte) string {
		if err := os.WriteFile(file, data, 0o644); err != nil {
			t.Fatal(err)
		}
		return file
	}
	const dpi = "127" // five pixels a millimetre
	pdf := inks(t, func(dir string, p *Picture) *exec.Cmd {
		file := save(filepath.Join(dir, "a.pdf"), pdfOf(t, p))
		return exec.Command("pdftoppm", "-r", dpi, "-png", file, filepath.Join(dir, "a"))
	})
	svg := inks(t, func(dir string, p *Picture) *exec.Cmd {
		var b bytes.Buffer
		if err := WriteSVG(&b, p); err != nil {
			t.Fatal(err)
		}
		file := save(filepath.Join(dir, "a.svg"), b.Bytes())
		return exec.Command("rsvg-convert", "-d", dpi, "-p", dpi, "-o", filepath.Join(dir, "a.png"), file)
	})
	for i, it := range everyMark() {
		within := 0.29 // a pixel each way: both are smoothed at the edge
		it = it.Shifted(geom.Vec{X: 40, Y: 20}.Sub(it.Ink().Center()))
		want := svg[i]
		if _, ok := it.(Text); ok {
			// The faces differ; what must agree is where the text stands, and that it keeps within its box.
			want, within = it.Ink(), 0.01
			if c := pdf[i].Center(); c.Dist(svg[i].Center()) > 2 {
				t.Errorf("text %v: its middle is at %v in the PDF, %v in the SVG", it, c, svg[i].Center())
			}
			if !want.Grow(0.2).Contains(pdf[i].Min) || !want.Grow(0.2).Contains(pdf[i].Max) {
				t.Errorf("text %v leaves its box: %v, want within %v", it, pdf[i], want)
			}
			continue
		}
		if pdf[i].Min.Dist(want.Min) > within || pdf[i].Max.Dist(want.Max) > within {
			t.Errorf("%T: %v in the PDF, %v in the SVG", it, pdf[i], want)
		}
	}
}

// Every word of a page can be searched, in any of the letters that a maker may write; what no typeface has
// is a mark.
func TestPDFTextIsFound(t *testing.T) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("no pdftotext here")
	}
	file := filepath.Join(t.TempDir(), "a.pdf")
	p := &Picture{Size: geom.Vec{X: 210, Y: 100}}
	want := append([]string{`P1 Ø 6.020 (ream) \ "±0.05"`}, foreign...)
	for i, s := range append(want, "琵琶 \U0001F3B8") {
		p.Add(Text{At: geom.Vec{X: 20, Y: 90 - 8*float64(i)}, Height: 2.5, Bold: i%2 == 1, S: s})
	}
	if err := os.WriteFile(file, pdfOf(t, p), 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("pdftotext", "-layout", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range append(want, "\ufffd\ufffd \ufffd") {
		if !strings.Contains(string(out), s) {
			t.Errorf("no %q in %q", s, out)
		}
	}
}
