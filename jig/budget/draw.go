package budget

import (
	"math/rand/v2"
)

// chunkTrials is how many trials share one random stream; the six coefficients
// of so many (48 kB) stay in the fast memory of a core.
const chunkTrials = 1024

// fields holds the total field of each trial of a chunk, coefficient by
// coefficient in the order of Field.coefficients.
type fields [6][chunkTrials]float64

// drawing is what a trial draws from, prepared: unlike causes apart, spreads
// multiplied in.
type drawing struct {
	known    [6]float64   // always there
	normals  [][6]float64 // six, or none without a normal cause: see factor
	uniforms [][6]float64
	signs    [][6]float64
	plays    []scaledPlay
	seed     uint64
}

type scaledPlay struct {
	play  Play
	scale Scale
}

// fixed reports whether every specimen has the same share of the play.
func (p scaledPlay) fixed() bool { return p.scale.SD == 0 }

func newDrawing(s Spec) drawing {
	d := drawing{seed: s.Seed}
	var normal covariance
	any := false
	for _, src := range s.Sources {
		for _, v := range src.Vars {
			switch v.Law {
			case Known:
				for i, c := range v.Field.Scale(v.Half).coefficients() {
					d.known[i] += c
				}
			case Normal:
				normal.add(v.Field.Scale(v.sd()).coefficients())
				any = true
			case Uniform:
				d.uniforms = append(d.uniforms, v.Field.Scale(v.Half).coefficients())
			case Sign:
				d.signs = append(d.signs, v.Field.Scale(v.Half).coefficients())
			}
		}
		if src.Play != nil {
			d.plays = append(d.plays, scaledPlay{src.Play, src.PlayScale})
		}
		// Every figure is that of one feature alone, so one draw of an own error
		// serves for all of them, as a shift of the board would.
		for _, axis := range axes {
			normal.add(Shift(axis.Scale(src.ownSD())).coefficients())
			any = any || src.OwnHalf > 0
		}
	}
	if any {
		columns := normal.factor()
		d.normals = columns[:]
	}
	return d
}

// fill draws the total fields of a chunk. They depend on seed and chunk alone.
func (d *drawing) fill(chunk int, out *fields) {
	pcg := rand.NewPCG(d.seed, uint64(chunk))
	r := rand.New(pcg)
	for i := range chunkTrials {
		t := d.known
		for j := range d.normals {
			addTo(&t, r.NormFloat64(), &d.normals[j])
		}
		for j := range d.uniforms {
			addTo(&t, 2*unit(pcg)-1, &d.uniforms[j])
		}
		for j := range d.signs {
			addTo(&t, float64(int64(pcg.Uint64()>>63)*2-1), &d.signs[j])
		}
		for j := range d.plays {
			p := &d.plays[j]
			k := 1.0
			if p.scale != (Scale{}) {
				k = p.scale.Mean
				if !p.fixed() {
					k = min(1, max(0, k+p.scale.SD*r.NormFloat64()))
				}
			}
			q := p.play.Place([3]float64{unit(pcg), unit(pcg), unit(pcg)})
			t[0] += k * q.DU
			t[1] += k * q.DV
			t[3] -= k * q.Theta
			t[4] += k * q.Theta
		}
		for j := range t {
			out[j][i] = t[j]
		}
	}
}

// addTo adds k times f to t.
func addTo(t *[6]float64, k float64, f *[6]float64) {
	for i := range t {
		t[i] += k * f[i]
	}
}

// unit returns a number spread evenly over 0..1, never 1, in steps of 2^-53.
func unit(p *rand.PCG) float64 { return float64(p.Uint64()>>11) / (1 << 53) }
