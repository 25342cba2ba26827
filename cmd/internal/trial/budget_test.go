package trial

import (
	"encoding/json"
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"reseat/jig/climate"
	"reseat/jig/job"
)

// The budget is simulated as things happen: pins are bored and stand, the plate is cut and
// goes over them, the board goes into its window against the walls, the cutter goes where the
// program sends it. Everything lies in the machine's plane as the first cut saw it, u along
// the real part. Of the design only pins and holes are taken, and the figure that is judged.

// workshop is a job with what its parts are made like.
type workshop struct {
	*job.Job
	design struct {
		Pins []struct {
			Role string  `json:"role"`
			UMM  float64 `json:"u_mm"`
			VMM  float64 `json:"v_mm"`
			Pin  limits  `json:"pin"`
			Over *limits `json:"template_hole"`
			Wood *limits `json:"blank_hole"`
			Bed  limits  `json:"bed_hole"`
		} `json:"pins"`
		Budget []struct {
			Feature string  `json:"feature"`
			UMM     float64 `json:"u_mm"`
			VMM     float64 `json:"v_mm"`
			P95MM   float64 `json:"p95_mm"`
		} `json:"budget"`
	}
	plate, board  climate.Growth
	bedMM, overMM float64 // how far a hole lies from its place, each way, 95 %
	wallMM        float64 // how far a wall of the window does
	scale         float64 // of a print, mm per mm, 95 %
}

// limits of a size, mm.
type limits struct {
	MinMM float64 `json:"min_mm"`
	MaxMM float64 `json:"max_mm"`
}

// draw takes a size from its limits, which hold 95 %.
func (l limits) draw(r *rand.Rand) float64 {
	return (l.MinMM+l.MaxMM)/2 + (l.MaxMM-l.MinMM)/2/normal95*r.NormFloat64()
}

// printScale is what a print that was measured and scaled still errs by, mm per mm, 95 %.
// Common practice, no source.
const printScale = 5e-4

// newWorkshop designs a job and works out how its materials grow.
func newWorkshop(t *testing.T, example string) *workshop {
	t.Helper()
	b := &bench{t: t, dir: t.TempDir()}
	w, file := &workshop{}, filepath.Join("..", "..", "..", "testdata", example)
	if exit, says := b.run(nil, "design", file, "-o", b.dir); exit > 1 {
		t.Fatal(says)
	}
	text, err := os.ReadFile(filepath.Join(b.dir, "design.json"))
	if err == nil {
		err = json.Unmarshal(text, &w.design)
	}
	if err == nil {
		w.Job, err = job.Read(file)
	}
	if err != nil {
		t.Fatal(err)
	}
	m := w.Template.Make
	w.bedMM, w.overMM = w.Machine.PositionMM, w.Machine.PositionMM
	if m.By != "router" {
		w.overMM = m.PositionMM
	}
	if m.By == "print" {
		w.scale = printScale
	}
	w.wallMM = (m.SpreadMM + m.TaperMM/2) / 2 // half of what a width strays by
	made := func(material string, grain climate.Grain) climate.Growth {
		strain := func(from, to climate.Air) (climate.Change, error) { return climate.Strain(material, grain, from, to) }
		g, err := climate.Swing(strain)
		if k := w.Climate; k != nil {
			now := climate.Air{TempC: k.Now.TempC, RHPct: k.Now.RHPct}
			from := now // a nest is made now, for a board that is there
			if grain != "" {
				from = climate.Air{TempC: k.Made.TempC, RHPct: k.Made.RHPct}
			}
			g, err = climate.Between(from, now, strain)
		}
		if err != nil {
			t.Fatal(err)
		}
		return g
	}
	if w.nest() {
		w.plate = made(w.Template.Material, "")
		if w.Climate != nil {
			w.board = made(w.Board.Wood, climate.Grain(w.Board.Grain))
		}
	} else {
		w.plate = made(w.Blank.Wood, climate.Grain(w.Board.Grain))
	}
	return w
}

func (w *workshop) nest() bool { return w.Template.Seat == "nest" }

// swell draws a growth, as a stretch along and across; when the climates are not known it
// is anywhere in a workshop's swing.
func swell(r *rand.Rand, g climate.Growth) (stretch func(complex128) complex128) {
	k := r.NormFloat64() / normal95
	if !g.Known {
		k = even(r, 1)
	}
	along, across := 1+g.Along+k*g.UnsureAlong, 1+g.Across+k*g.UnsureAcross
	return func(p complex128) complex128 { return complex(along*real(p), across*imag(p)) }
}

// turnedOver is where a place of the part comes when that is turned over about the datum line.
func turnedOver(p complex128) complex128 { return cmplx.Conj(p) }

// seated is one putting back: how far each feature, as it is on the board, lies from where
// this cut goes.
func (w *workshop) seated(r *rand.Rand, turned bool, at []complex128) []complex128 {
	lean := math.Copysign(w.Machine.SquareMM/300, r.Float64()-0.5)
	// to is where the machine goes when it is sent to p.
	to := func(p complex128) complex128 { return p + complex(lean*imag(p), 0) }
	var pins, holes []complex128 // of the two that locate
	var play []float64
	stretch := swell(r, w.plate)
	if w.scale > 0 {
		k := complex(1+w.scale/normal95*r.NormFloat64(), 0)
		grown := stretch
		stretch = func(p complex128) complex128 { return k * grown(p) }
	}
	for _, p := range w.design.Pins {
		if p.Role == "clear" || len(pins) == 2 {
			continue
		}
		drawn := complex(p.UMM, p.VMM)
		pin := to(drawn) + blur(r, w.bedMM/normal95)
		hole, size := drawn+blur(r, w.overMM/normal95), p.Over
		if !w.nest() {
			size = p.Wood
			hole = pin // bored through blank and bed in one arrival
			if turned {
				hole = turnedOver(hole)
			}
		}
		dowel := p.Pin.draw(r)
		free := max(0, size.draw(r)-dowel)
		if p.Bed.MaxMM > p.Pin.MinMM {
			free += max(0, p.Bed.draw(r)-dowel)
		}
		pins, holes, play = append(pins, pin), append(holes, stretch(hole)), append(play, free)
	}
	// Over the pins: the round hole's middle is anywhere within its play, and the slot aside.
	q0 := pins[0] + cmplx.Rect(play[0]/2*math.Sqrt(r.Float64()), even(r, math.Pi))
	line := pins[1] - q0
	q1 := pins[1] + 1i*line/complex(cmplx.Abs(line), 0)*complex(even(r, play[1]/2), 0)
	turn := (q1 - q0) / (holes[1] - holes[0])
	turn /= complex(cmplx.Abs(turn), 0)
	carried := func(p complex128) complex128 { return q0 + turn*(stretch(p)-holes[0]) }

	// What the board's features do.
	feature := func(p complex128) complex128 { // on pins the first cut leaned as this one does
		if turned {
			return carried(turnedOver(to(turnedOver(p))))
		}
		return carried(p)
	}
	if w.nest() {
		feature = w.inWindow(r, carried)
	}
	zero := blur(r, zeroMM[w.Machine.Zero]/normal95)
	out := make([]complex128, len(at))
	for i, p := range at {
		if turned {
			p = turnedOver(p)
		}
		cut := to(p) + zero + blur(r, w.Machine.PositionMM/normal95)
		out[i] = feature(p) - cut
	}
	return out
}

// zeroMM is how well each way finds zero, each way, 95 %. Common practice, no source.
var zeroMM = map[string]float64{"kept": 0, "pin": 0.02, "edge finder": 0.03, "paper": 0.05, "eye": 0.15}

// inWindow lays the board against one long wall and the start of its window.
func (w *workshop) inWindow(r *rand.Rand, carried func(complex128) complex128) func(complex128) complex128 {
	b, side := w.Board, 1.0
	if w.Template.Push == "right" {
		side = -1
	}
	wall := func() float64 { return w.wallMM / normal95 * r.NormFloat64() }
	aside := wall()
	near, far := complex(0, side*b.WidthStartMM/2+aside), complex(b.LengthMM, side*b.WidthEndMM/2+aside)
	start := carried(complex(wall(), 0))
	near, far = carried(near), carried(far)
	// The board's side lies on the wall; then it slides to the start.
	own := complex(b.LengthMM, side*(b.WidthEndMM-b.WidthStartMM)/2)
	turn := (far - near) / own
	turn /= complex(cmplx.Abs(turn), 0)
	corner := near // of the board
	slide := (far - near) / complex(cmplx.Abs(far-near), 0)
	corner += slide * complex(real(start-corner)/real(slide), 0)
	stretch := func(p complex128) complex128 { return p }
	if w.Climate != nil {
		stretch = swell(r, w.board)
	}
	return func(p complex128) complex128 {
		return corner + turn*(stretch(p)-complex(0, side*b.WidthStartMM/2))
	}
}

// TestBudget holds the budget against boards that are put back.
func TestBudget(t *testing.T) {
	boards, within, jobs := 200_000, 0.01, []string{"bouzouki-fingerboard", "neck-second-side", "ukulele-printed"}
	if !deep() {
		boards, within = 20_000, 0.025
	}
	for _, name := range jobs {
		w := newWorkshop(t, filepath.Join("jobs", name+".yaml"))
		for _, turned := range []bool{false, true} {
			var at []complex128
			var want []float64
			var names []string
			for i, f := range w.design.Budget {
				under := slices.ContainsFunc(w.Board.Features,
					func(j job.Feature) bool { return j.Name == f.Feature && j.Under() })
				if under == turned {
					at, want, names = append(at, complex(f.UMM, f.VMM)), append(want, w.design.Budget[i].P95MM),
						append(names, f.Feature)
				}
			}
			if at == nil {
				continue
			}
			off := make([][]float64, len(at))
			r := rand.New(rand.NewPCG(seed, uint64(len(name))))
			for range boards {
				for i, e := range w.seated(r, turned, at) {
					off[i] = append(off[i], cmplx.Abs(e))
				}
			}
			var lines strings.Builder
			for i, all := range off {
				slices.Sort(all)
				got := all[len(all)*95/100]
				share := want[i]/got - 1
				lines.WriteString("\n" + row(name, names[i], got, want[i], share))
				if math.Abs(share) > within {
					t.Errorf("%s, %s: 95 %% of boards lie within %.4f, the budget says %.4f: %+.1f %%", name, names[i], got, want[i],
						100*share)
				}
			}
			t.Log(lines.String())
		}
	}
}

func row(job, feature string, got, want, share float64) string {
	return fmt.Sprintf("| %s | %s | %.4f | %.4f | %+.1f %% |", job, feature, got, want, 100*share)
}
