package trial

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"reseat/fit"
	"reseat/jig/job"
)

// Where a board ends up on its blank is simulated as it is glued: the blank is bored and its pins stand,
// the plate goes over them, the board goes between the plate's walls, and is pushed home or slides to one
// side as the clamps close. Of the design only holes, and what glue and clamps do, are taken, and the
// figures that are judged.
//
// Taken over from the design: how far a rail gives and how much the board swells. Left out of both: that a
// pin which leans has less play in its hole, that a plate's holes err alike by its scale, and a plate that
// bends up. A free board's side errs with the rail's face at either end, as the design has it.

// glueBench is a job whose board is glued, with its design's figures.
type glueBench struct {
	*job.Job
	design struct {
		Pins []struct {
			Role  string  `json:"role"`
			UMM   float64 `json:"u_mm"`
			VMM   float64 `json:"v_mm"`
			Pin   limits  `json:"pin"`
			Print *limits `json:"print_hole"`
			Rails *limits `json:"rails_hole"`
			Wood  limits  `json:"blank_hole"`
		} `json:"pins"`
		Rails struct {
			Glued struct {
				Rail struct {
					GivesMM float64 `json:"gives_mm"`
				} `json:"rail"`
				Water struct {
					GrowsMM float64 `json:"grows_most_mm"`
				} `json:"water"`
				Place []struct {
					Feature string  `json:"feature"`
					UMM     float64 `json:"u_mm"`
					VMM     float64 `json:"v_mm"`
					P95MM   float64 `json:"p95_mm"`
				} `json:"place"`
				Edges []struct {
					Edge   string  `json:"edge"`
					UMM    float64 `json:"u_mm"`
					LowMM  float64 `json:"low_mm"`
					HighMM float64 `json:"high_mm"`
				} `json:"edges"`
			} `json:"glued"`
		} `json:"rails"`
	}
	holeMM, wallMM, thickMM float64 // of the plate: places of holes and walls, 95 %, thickness
}

func newGlueBench(t *testing.T, file string) *glueBench {
	t.Helper()
	w := &glueBench{}
	w.Job, _ = designed(t, file, &w.design)
	m, of := w.Job.Rails.Make, w.Job.Rails.Material
	w.thickMM = w.Job.Rails.ThicknessMM
	if w.Job.Rails.Plate == "print" {
		m, of, w.thickMM = w.Template.Make, w.Template.Material, w.Template.ThicknessMM
	}
	usual, err := fit.DefaultProcess(fit.ProcessKind(m.By), of, w.thickMM)
	if err != nil {
		t.Fatal(err)
	}
	if !m.IsGiven("position") {
		m.PositionMM = usual.PositionSpread
	}
	if !m.IsGiven("taper") {
		m.TaperMM = usual.TaperMM
	}
	w.holeMM, w.wallMM = m.PositionMM, math.Hypot((m.SpreadMM+m.TaperMM/2)/2, m.StraightMM)
	return w
}

// glued is one gluing: how far each place of the board lies from where it belongs on the blank.
func (w *glueBench) glued(r *rand.Rand, at []complex128) []complex128 {
	var drawn, holes [2]complex128
	var pins [2]standing
	n := 0
	for _, p := range w.design.Pins {
		if p.Role == "clear" || n > 1 {
			continue
		}
		drawn[n] = complex(p.UMM, p.VMM)
		n++
	}
	n = 0
	for _, p := range w.design.Pins {
		if p.Role == "clear" || n > 1 {
			continue
		}
		over := p.Rails
		if over == nil {
			over = p.Print
		}
		dowel, free := p.Pin.draw(r), 0.0
		for _, hole := range []limits{*over, p.Wood} {
			free += max(0, hole.draw(r)-dowel)
		}
		lean := blur(r, w.Dowel.LeanRad*w.thickMM/2/normal95)
		pins[n] = standing{at: drawn[n] + blur(r, w.Machine.PositionMM/normal95) + lean, free: free}
		holes[n] = drawn[n] + blur(r, w.holeMM/normal95)
		n++
	}
	plate := onto(r, holes, pins)
	lies := w.between(r)
	gives := even(r, w.design.Rails.Glued.Rail.GivesMM)
	b := w.Board
	grown := w.design.Rails.Glued.Water.GrowsMM / max(b.WidthStartMM, b.WidthEndMM) * r.Float64()
	held := 0.0 // the line that does not move as the board swells
	switch w.Job.Rails.Push {
	case "left":
		held = (b.WidthStartMM + b.WidthEndMM) / 4
	case "right":
		held = -(b.WidthStartMM + b.WidthEndMM) / 4
	}
	out := make([]complex128, len(at))
	for i, p := range at {
		wet := p + complex(0, grown*(imag(p)-held))
		out[i] = plate(lies(wet)) + complex(0, gives) - p
	}
	return out
}

// between lays the board between the walls of its plate, in the plate's frame: pushed home it lies along
// its side and against the start, else it lies anywhere in its room and then slides aside, to the left or
// to the right, until a corner stops it.
func (w *glueBench) between(r *rand.Rand) func(complex128) complex128 {
	b, k := w.Board, w.Job.Rails
	normal := func(half float64) float64 { return half / normal95 * r.NormFloat64() }
	side := map[string]float64{"left": 1, "right": -1}[k.Push]
	half := func(u float64) float64 { return (b.WidthStartMM + (b.WidthEndMM-b.WidthStartMM)*u/b.LengthMM) / 2 }
	if side != 0 {
		film := 0.0
		if k.Plate == "print" && w.Template.Make.By == "print" {
			film = k.FilmMM // its stops are those of the template
		}
		near := complex(0, side*(half(0)-film)+normal(w.wallMM))
		far := complex(b.LengthMM, side*(half(b.LengthMM)-film)+normal(w.wallMM))
		w0, w1 := b.WidthStartMM+normal(b.WidthErrorMM), b.WidthEndMM+normal(b.WidthErrorMM)
		turn := unit(far-near) / unit(complex(b.LengthMM, side*(w1-w0)/2))
		start := film + normal(w.wallMM)
		return func(p complex128) complex128 {
			q := near + turn*(p-complex(0, side*w0/2))
			return q + complex(start-real(near), 0)
		}
	}
	// Free: a place in the room by trial, then aside.
	room := k.GapMM - k.FilmMM
	corners := []complex128{complex(0, -half(0)), complex(b.LengthMM, -half(b.LengthMM)), complex(b.LengthMM, half(b.LengthMM)),
		complex(0, half(0))}
	taper := (half(b.LengthMM) - half(0)) / b.LengthMM // slope of the left side
	slant := math.Hypot(1, taper)
	left := func(p complex128) float64 { // what is left to the left wall
		return (half(0)+taper*real(p)-imag(p))/slant + room
	}
	right := func(p complex128) float64 { return (half(0)+taper*real(p)+imag(p))/slant + room }
	inside := func(q func(complex128) complex128) bool {
		for _, c := range corners {
			p := q(c)
			if left(p) < 0 || right(p) < 0 || real(p) < -room || real(p) > b.LengthMM+room {
				return false
			}
		}
		return true
	}
	most := 2 * room / b.LengthMM * 1.2
	for {
		turn, shift := cmplx.Exp(complex(0, even(r, most))), complex(even(r, 2*room), even(r, 3*room))
		mid := complex(b.LengthMM/2, 0)
		q := func(p complex128) complex128 { return mid + shift + turn*(p-mid) }
		if !inside(q) {
			continue
		}
		aside := math.Inf(1)
		to := 1.0
		if r.Float64() < 0.5 {
			to = -1
		}
		for _, c := range corners {
			if p := q(c); to > 0 {
				aside = min(aside, left(p)*slant)
			} else {
				aside = min(aside, right(p)*slant)
			}
		}
		// The rail's own face errs at either end, and the board goes with it.
		a0, a1 := normal(w.wallMM), normal(w.wallMM)
		end := normal(w.wallMM)
		return func(p complex128) complex128 {
			s := real(p) / b.LengthMM
			turned := complex(-(a1-a0)/b.LengthMM*imag(p), a0+(a1-a0)*s)
			return q(p) + complex(0, to*aside) + turned + complex(end, 0)
		}
	}
}

// TestGluedPlace holds the place on the blank, and what stands out beside the edges, against boards that
// are glued: free and wedged, in a plate from sheet and in a printed one.
func TestGluedPlace(t *testing.T) {
	boards, within, pushes := 200_000, 0.01, []bool{true, false}
	jobs := []string{"laouto-glued.yaml", "ukulele-printed.yaml"}
	if !deep() {
		boards, within, jobs, pushes = 6_000, 0.05, jobs[:1], pushes[:1]
	}
	for _, name := range jobs {
		for _, push := range pushes {
			file := example("jobs", name)
			if !push {
				text, err := os.ReadFile(file)
				if err != nil {
					t.Fatal(err)
				}
				free := strings.NewReplacer("gap: 0.15, push: left,", "gap: 0.15,", "gap: 0.2, push: right,", "gap: 0.2, plate: sheet, "+
					"material: cast acrylic, make: {by: laser, spread: 0.06},").Replace(string(text))
				file = filepath.Join(t.TempDir(), name)
				if err := os.WriteFile(file, []byte(free), 0o600); err != nil {
					t.Fatal(err)
				}
			}
			w := newGlueBench(t, file)
			var at []complex128
			for _, p := range w.design.Rails.Glued.Place {
				at = append(at, complex(p.UMM, p.VMM))
			}
			places := len(at)
			for _, e := range w.design.Rails.Glued.Edges {
				v := (w.Board.WidthStartMM + (w.Board.WidthEndMM-w.Board.WidthStartMM)*e.UMM/w.Board.LengthMM) / 2
				if strings.HasSuffix(e.Edge, "right") {
					v = -v
				}
				at = append(at, complex(e.UMM, v))
			}
			r := rand.New(rand.NewPCG(seed, uint64(len(name))))
			off := make([][]float64, len(at))
			for range boards {
				for i, e := range w.glued(r, at) {
					if i < places {
						off[i] = append(off[i], cmplx.Abs(e))
					} else {
						off[i] = append(off[i], math.Abs(imag(e)))
					}
				}
			}
			label := strings.TrimSuffix(name, ".yaml") + map[bool]string{true: ", pushed", false: ", free"}[push]
			for i, all := range off {
				slices.Sort(all)
				got := all[len(all)*95/100]
				var want float64
				var what string
				if i < places {
					want, what = w.design.Rails.Glued.Place[i].P95MM, w.design.Rails.Glued.Place[i].Feature
				} else {
					e := w.design.Rails.Glued.Edges[i-places]
					want, what = (e.HighMM-e.LowMM)/2, e.Edge
				}
				share := want/got - 1
				t.Log(row(label, what, got, want, share))
				if math.Abs(share) > within {
					t.Errorf("%s, %s: 95 %% of boards lie within %.4f, the design says %.4f: %+.1f %%", label, what, got, want, 100*share)
				}
			}
		}
	}
}
