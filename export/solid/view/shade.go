package view

import (
	"math"
	"slices"

	"reseat/export/solid/internal/disjoint"
)

const (
	// A wall whose normal is right in the light is lightest, one that is turned
	// away from it darkest. The lightest is not white: white is air. Chosen by eye.
	lightestGrey = 252
	darkestGrey  = 112
	// shades is how many greys there may be in all: a round corner then shows as
	// round without a gradient.
	shades = 9
	// flatCos joins facets to one flat piece whose shade is decided once, so that
	// rounding does not part a plane that falls between two shades. Half a degree.
	flatCos = 0.99996
)

// shade gathers the facets that face the eye into areas: joined over edges that
// show no line, and of one grey.
func (s *scene) shade() {
	smooth := func(e edge, least float64) bool {
		f, g := &s.facets[e.f[0]], &s.facets[e.f[1]]
		return f.front && g.front && dot(f.normal, g.normal) >= least
	}
	flat := disjoint.New(len(s.facets))
	for _, e := range s.edges {
		if smooth(e, flatCos) {
			flat.Join(e.f[0], e.f[1])
		}
	}
	level := make([]uint8, len(s.facets))
	light := s.light()
	for i := range s.facets {
		if root := flat.Find(int32(i)); s.facets[i].front {
			level[i] = greyOf(dot(s.facets[root].normal, light))
		}
	}
	areas := disjoint.New(len(s.facets))
	for _, e := range s.edges {
		if smooth(e, creaseCos) && level[e.f[0]] == level[e.f[1]] {
			areas.Join(e.f[0], e.f[1])
		}
	}
	s.region = slices.Repeat([]int32{-1}, len(s.facets))
	for i := range s.facets {
		root := areas.Find(int32(i)) // the least index of its set
		switch {
		case !s.facets[i].front:
		case root == int32(i):
			s.region[i] = int32(len(s.grey))
			s.grey = append(s.grey, level[i])
		default:
			s.region[i] = s.region[root]
		}
	}
}

// light is the direction to the lamp: over the eye's right shoulder, so that the
// top is lightest, the long side next and the start end darkest. Chosen by eye.
func (s *scene) light() [3]float64 {
	var l [3]float64
	for k := range l {
		l[k] = 0.45*s.cam.right[k] + 0.60*s.cam.up[k] + 0.66*s.cam.toward[k]
	}
	n := math.Sqrt(dot(l, l))
	return [3]float64{l[0] / n, l[1] / n, l[2] / n}
}

// greyOf gives a cosine to the light one of the greys.
func greyOf(cos float64) uint8 {
	step := math.Round((1 + cos) / 2 * (shades - 1))
	return uint8(math.Round(darkestGrey + step*(lightestGrey-darkestGrey)/(shades-1)))
}
