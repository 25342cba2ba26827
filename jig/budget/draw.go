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
	known    [6]float64 // always there
	normals  [][6]float64
	uniforms [][6]float64
	signs    [][6]float64
	plays    []scaledPlay
	own      float64 // standard deviation per feature and axis, mm
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
	var own float64
	for _, src := range s.Sources {
		for _, v := range src.Vars {
			switch v.Law {
			case Known:
				for i, c := range v.Field.Scale(v.Half).coefficients() {
					d.known[i] += c
				}
			case Normal:
				d.normals = append(d.normals, v.Field.Scale(v.sd()).coefficients())
			case Uniform:
				d.uniforms = append(d.uniforms, v.Field.Scale(v.Half).coefficients())
			case Sign:
				d.signs = append(d.signs, v.Field.Scale(v.Half).coefficients())
			}
		}
		if src.Play != nil {
			d.plays = append(d.plays, scaledPlay{src.Play, src.PlayScale})
		}
		own += square(src.ownSD())
	}
	d.own = root(own)
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

// ownStream returns the random stream of one feature's own errors in a chunk, so
// that a feature's figures do not depend on which others are asked for. The
// features' streams are set apart by the mixing function of splitmix64.
// Reference: Steele, Lea and Flood, Fast splittable pseudorandom number
// generators, OOPSLA 2014 (recalled, not seen).
func (d *drawing) ownStream(feature, chunk int) *rand.Rand {
	const golden = 0x9e3779b97f4a7c15 // 2^64 over the golden ratio
	z := d.seed + golden*uint64(feature+1)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return rand.New(rand.NewPCG(z^z>>31, uint64(chunk)))
}
