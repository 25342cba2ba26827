package setupsheet

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"reseat/export"
	"reseat/export/block"
	"reseat/export/picture"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/setup"
)

var near9 = cmpopts.EquateApprox(0, 1e-9)

var bouzoukiOnce = sync.OnceValues(func() (*jig.Design, error) {
	j, err := job.Read(filepath.Join("..", "..", "testdata", "jobs", "bouzouki-fingerboard.yaml"))
	if err != nil {
		return nil, err
	}
	return jig.Build(j)
})

// bouzouki is the example's design; its fields may be set, what they point to may not.
func bouzouki(t testing.TB) *jig.Design {
	t.Helper()
	d, err := bouzoukiOnce()
	if err != nil {
		t.Fatal(err)
	}
	own := *d
	return &own
}

// words are all texts of pages, a line each.
func words(pages ...*picture.Picture) string {
	var b strings.Builder
	for _, p := range pages {
		for _, it := range p.Items {
			if t, ok := it.(picture.Text); ok {
				b.WriteString(t.S + "\n")
			}
		}
	}
	return b.String()
}

// What the sheet is for stands on it, each at its page.
func TestPagesHoldWhatTheDesignHas(t *testing.T) {
	d := bouzouki(t)
	listed := Content{Word: "HOLDS", Verdict: "0.096 mm at end mark", Take: []string{"bed mdf"}, Files: []export.File{
		{Name: "bores.nc", SHA256: strings.Repeat("a", 64)}, {Name: "template.dxf", SHA256: strings.Repeat("b", 64)},
	}, Drawing: []*picture.Picture{block.A4.Page("drawing", true)}}
	pages := Pages(d, listed, block.A4)
	if diff := cmp.Diff(pages, Pages(d, listed, block.A4)); diff != "" {
		t.Error("two runs differ")
	}
	plate := d.Sheets[slices.IndexFunc(d.Sheets, func(s jig.CutSheet) bool { return s.File == "template.dxf" })].Size
	size := fmt.Sprintf("%g x %g", math.Round(plate.X*10)/10, math.Round(plate.Y*10)/10)
	first := strings.ReplaceAll(words(pages[0]), "NOT\nWRITTEN", "NOT WRITTEN")
	for _, want := range []string{
		"HOLDS", "0.096 mm at end mark", "bed mdf", "bores.nc", "pockets.nc NOT WRITTEN", "aaaaaaaaaaaa", size,
		"bouzouki-fingerboard.yaml", fmt.Sprintf("page 1 of %d", len(pages)), export.Safety[:40],
	} {
		if !strings.Contains(first, want) {
			t.Errorf("the first page lacks %q", want)
		}
	}
	for i, s := range d.Setups {
		page := words(pages[1+i])
		if !strings.HasPrefix(page, fmt.Sprintf("%d %s\n", s.Number, s.Title)) {
			t.Errorf("page %d begins %.40q, want set-up %d", 2+i, page, s.Number)
		}
		if !strings.Contains(first, s.Title+"\n") {
			t.Errorf("the order of work lacks %q", s.Title)
		}
		for _, c := range s.Checks {
			if !strings.Contains(page, strings.Fields(c.What)[0]) || c.Unit == "mm" && !strings.Contains(page, fmt.Sprintf("%.2f", c.High)) {
				t.Errorf("set-up %d lacks the check of %q up to %v", s.Number, c.What, c.High)
			}
		}
		for _, l := range s.Stack {
			if high := block.MM(l.FromMM) + " to " + block.MM(l.ToMM); !strings.Contains(strings.ReplaceAll(page, "\n", " "), high) {
				t.Errorf("set-up %d does not tell that %s stands from %s", s.Number, l.Name, high)
			}
		}
	}
	if got := pages[1+len(d.Setups)]; got.Size != block.A4.Size(true) || !strings.Contains(words(got), "SHA-256 of the job") {
		t.Errorf("the drawing does not follow: %v", got.Size)
	}
}

// Every layer that a section shows has a leader that begins in it, and no leader crosses another.
func TestStackLeaders(t *testing.T) {
	d := bouzouki(t)
	for _, s := range d.Setups {
		f := stackView(d, s, 180, 60)
		var leaders []geom.Loop
		for _, it := range f.Items {
			if l, ok := it.(picture.Stroke); ok && l.Pen == picture.PenThin && len(l.Path) == 3 {
				leaders = append(leaders, l.Path)
			}
		}
		kinds := map[string]bool{"table": true, "pins": len(s.Pins) > 0}
		for _, l := range s.Stack {
			kinds[kind(l)] = true
		}
		if s.Pins == nil {
			delete(kinds, "pins")
		}
		if len(leaders) != len(kinds) {
			t.Errorf("set-up %d: %d leaders to %v", s.Number, len(leaders), kinds)
		}
		for i, a := range leaders {
			for _, b := range leaders[:i] {
				if crossing(a[0].Vec, a[1].Vec, b[0].Vec, b[1].Vec) {
					t.Errorf("set-up %d: leaders from %v and %v cross", s.Number, a[0], b[0])
				}
			}
		}
	}
}

// Who opens holes or bores features sees on the plan which is which.
func TestPlanNamesWhatIsMade(t *testing.T) {
	d := bouzouki(t)
	for _, s := range d.Setups {
		var want []string
		switch s.ID {
		case setup.CutPlate, setup.CutGluingPlate:
			want = []string{"P1 round", "P2 slot", "P3 clear"}
		case setup.BoreTop:
			want = []string{"dot 3", "dot 12 left", "dot 17"}
		}
		says := words(&picture.Picture{Figure: planView(d, s, 180, 75).Figure})
		for _, w := range want {
			if !strings.Contains(says, w+"\n") {
				t.Errorf("the plan of set-up %d lacks %q", s.Number, w)
			}
		}
	}
}

// A table that is longer than the page goes on under its head.
func TestLongTablesGoOn(t *testing.T) {
	f := newFlow(block.Letter, "long")
	var all []setup.Check
	for i := range 70 {
		all = append(all, setup.Check{What: fmt.Sprintf("check %d", i), With: "caliper", High: 1, Unit: "mm"})
	}
	f.table(checks(all, f.wide()))
	if len(f.pages) != 3 {
		t.Fatalf("%d pages", len(f.pages))
	}
	n := 0
	for i, p := range f.pages {
		w := words(p)
		n += strings.Count(w, "check ")
		if !strings.Contains(w, "measured") || strings.Contains(w, "continued") != (i > 0) {
			t.Errorf("page %d has no head: %.80q", i+1, w)
		}
	}
	if n != len(all) {
		t.Errorf("%d of %d rows", n, len(all))
	}
}

// Heights and lengths of the stack are those of the paper's scale.
func TestStackIsToScale(t *testing.T) {
	d := bouzouki(t)
	s := d.Setups[0] // the bed alone, 146 wide and 18 thick, one pin at the section
	f := stackView(d, s, 180, 60)
	var by float64
	for _, it := range f.Items {
		if x, ok := it.(picture.Text); ok && strings.Contains(x.S, "1:") {
			fmt.Sscanf(x.S[strings.Index(x.S, "1:"):], "1:%g", &by)
		}
	}
	bed := d.Bed.Outline.Bounds().Size()
	want := geom.Vec{X: min(bed.X, bed.Y) / by, Y: d.Bed.ThicknessMM / by}
	found := slices.ContainsFunc(f.Items, func(it picture.Item) bool {
		s, ok := it.(picture.Stroke)
		return ok && s.Closed && s.Path.Bounds().Size().Dist(want) < 1e-9
	})
	if by < 1 || !found {
		t.Errorf("no bed of %v at 1:%v", want, by)
	}
}

// Neighbouring tiles overlap by 10 mm and have their crosses at the same places of the plate; all of
// it is on some tile; where there is room for it no hole lies in an overlap.
func TestTiles(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		size := at(rapid.Float64Range(120, 260).Draw(r, "tile x"), rapid.Float64Range(100, 200).Draw(r, "tile y"))
		all := boxOf(-30, -70, rapid.Float64Range(0, 1500).Draw(r, "x"), rapid.Float64Range(0, 400).Draw(r, "y"))
		x := rapid.Float64Range(all.Min.X+4, all.Max.X-4).Draw(r, "hole")
		hole := boxOf(x-3, -3, x+3, 3)
		k := tiled(all, size, []box{hole})
		if lo, hi := k.tile(0, 0), k.tile(k.cols-1, k.rows-1); lo.Min.X > all.Min.X+1e-9 || lo.Min.Y > all.Min.Y+1e-9 ||
			hi.Max.X < all.Max.X-1e-9 || hi.Max.Y < all.Max.Y-1e-9 {
			r.Fatalf("%v to %v do not cover %v", lo, hi, all)
		}
		for col := range k.cols - 1 {
			a, b := k.tile(col, 0), k.tile(col+1, 0)
			if diff := cmp.Diff(overlapMM, a.Max.X-b.Min.X, near9); diff != "" {
				r.Error(diff)
			}
			shared := 0
			for _, p := range k.crosses(col, 0) {
				for _, q := range k.crosses(col+1, 0) {
					if p.Dist(q) < 1e-9 {
						shared++
					}
				}
			}
			if shared < 2 {
				r.Errorf("%d crosses coincide", shared)
			}
			spare := float64(k.cols)*(size.X-overlapMM) + overlapMM - all.Size().X
			if spare > 2*(overlapMM+6+2*offSeamMM)+4 && hole.Max.X+offSeamMM > b.Min.X && hole.Min.X-offSeamMM < a.Max.X {
				r.Errorf("the hole at %v lies at the overlap %v to %v, with %v to spare", x, b.Min.X, a.Max.X, spare)
			}
		}
	})
}

// Both bars are 100 mm long on the paper, as a steel rule finds them: from the left edge of the
// first end line to that of the last; those drawn for a printer that makes 98 and 101 of 100 are longer
// and shorter by as much.
func TestBarsInTheRaster(t *testing.T) {
	if _, err := exec.LookPath("pdftoppm"); err != nil {
		t.Skip("no pdftoppm here")
	}
	for _, c := range []struct {
		bars         Bars
		across, down float64 // tenths of a millimetre
	}{{Bars{}, 1000, 1000}, {Bars{X: 98, Y: 101}, 1020.4, 990.1}} {
		for i, got := range rasterBars(t, c.bars) {
			if want := [2]float64{c.across, c.down}[i]; math.Abs(got-want) > 3 {
				t.Errorf("%v, bar %d: %g tenths of a millimetre, want %g", c.bars, i, got, want)
			}
		}
	}
}

// TestBars: what is measured on paper, and what is refused.
func TestBars(t *testing.T) {
	for _, c := range []struct{ says, want string }{
		{"99.4x100.1", "99.4x100.1"}, {" 98 x 101 ", "98x101"}, {"99.4", ""}, {"x", ""}, {"NaNx100", ""}, {"100x94.9", ""},
		{"105.1x100", ""}, {"99,4x100", ""}, {"1e308x100", ""},
	} {
		var b Bars
		if err := b.Set(c.says); (err == nil) != (c.want != "") || b.String() != c.want {
			t.Errorf("%q: %v, %v", c.says, b, err)
		}
	}
	if k := (Bars{X: 98, Y: 101}).times(); math.Abs(k.X*98-100)+math.Abs(k.Y*101-100) > 1e-9 {
		t.Errorf("%v", k)
	}
}

// rasterBars are how long both bars of the first tile come out, in tenths of a millimetre.
func rasterBars(t *testing.T, bars Bars) (out [2]float64) {
	dir := t.TempDir()
	var b bytes.Buffer
	if err := picture.WritePDF(&b, "bars", trueSize(bouzouki(t), block.A4, bars.times())[:1]); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, "a.pdf")
	if err := os.WriteFile(file, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
	const dpi = 254   // ten pixels a millimetre
	const high = 1450 // of the corner that is drawn
	page := block.A4.Size(true)
	msg, err := exec.Command("pdftoppm", "-r", fmt.Sprint(dpi), "-x", "0", "-y", fmt.Sprint(int(page.Y*10)-high), "-W", "1300",
		"-H", fmt.Sprint(high), "-png", "-singlefile", file, file).CombinedOutput()
	if err != nil {
		t.Fatalf("%v %s", err, msg)
	}
	data, err := os.ReadFile(file + ".png")
	if err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	dark := func(x, y int) bool { return color.GrayModel.Convert(img.At(x, y)).(color.Gray).Y < 128 }
	frame := block.A4.Frame(true)
	pixel := func(x, y float64) image.Point { return image.Pt(int(x*10), img.Bounds().Dy()-int(y*10)) }
	// A line beside each bar, through the end lines alone.
	var ends [2][]int
	from := pixel(frame.Min.X+barStrip-3, frame.Min.Y+wordStrip-5-2.5)
	up := pixel(frame.Min.X+1.5, frame.Min.Y+wordStrip-3)
	for k := range 1060 {
		if dark(from.X+k, from.Y) {
			ends[0] = append(ends[0], k)
		}
		if dark(up.X, up.Y-k) {
			ends[1] = append(ends[1], k)
		}
	}
	for i, e := range ends {
		if len(e) > 1 {
			out[i] = float64(e[len(e)-1] - e[0])
		}
	}
	return out
}
