package view

import "math"

// The eye stands so high, and so far round from the plate's long side, that a
// plate five times as long as wide fills its picture, its start end still has a
// side to show, and holes are open ellipses. Chosen by eye.
const (
	elevationDeg = 35.0
	azimuthDeg   = 62.0 // from the -u direction towards -v
)

// camera is a parallel projection: unit vectors along the page, up the page and
// towards the eye, right-handed.
type camera struct{ right, up, toward [3]float64 }

// look returns the camera for an elevation e and an azimuth a:
//
//	toward = (-cos a cos e, -sin a cos e, sin e)
//	right  = ( sin a,       -cos a,       0)
//	up     = toward x right
func look() camera {
	se, ce := math.Sincos(elevationDeg * math.Pi / 180)
	sa, ca := math.Sincos(azimuthDeg * math.Pi / 180)
	return camera{
		right:  [3]float64{sa, -ca, 0},
		up:     [3]float64{ca * se, sa * se, ce},
		toward: [3]float64{-ca * ce, -sa * ce, se},
	}
}

// point is a place on the page, mm, y up.
type point struct{ x, y float64 }

// place is a point of a body as the eye sees it: on the page, and how near.
type place struct {
	point
	near float64 // page mm towards the eye
}

func (c camera) project(p [3]float64) place {
	return place{point{dot(c.right, p), dot(c.up, p)}, dot(c.toward, p)}
}

func (p point) minus(q point) point       { return point{p.x - q.x, p.y - q.y} }
func (p point) dist(q point) float64      { return math.Hypot(p.x-q.x, p.y-q.y) }
func (p point) times(f float64) point     { return point{p.x * f, p.y * f} }
func (p point) plus(q point) point        { return point{p.x + q.x, p.y + q.y} }
func (p point) cross(q point) float64     { return p.x*q.y - p.y*q.x }
func (p point) dot(q point) float64       { return p.x*q.x + p.y*q.y }
func between(p, q point, t float64) point { return point{p.x + t*(q.x-p.x), p.y + t*(q.y-p.y)} }

func minus(a, b [3]float64) [3]float64 { return [3]float64{a[0] - b[0], a[1] - b[1], a[2] - b[2]} }
func dot(a, b [3]float64) float64      { return a[0]*b[0] + a[1]*b[1] + a[2]*b[2] }
func cross(a, b [3]float64) [3]float64 {
	return [3]float64{a[1]*b[2] - a[2]*b[1], a[2]*b[0] - a[0]*b[2], a[0]*b[1] - a[1]*b[0]}
}
