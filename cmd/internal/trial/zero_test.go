package trial

import (
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"strings"
)

// rimTrial is a hole touched round its rim from inside.
type rimTrial struct {
	name    string
	touches int
	arcDeg  float64 // over which they lie
	sdMM    float64
	oddMM   float64 // one touch is off by this, outward or inward
	args    []string
	deep    bool   // only in the long mode
	owed    string // what is not held to yet, as in a table
}

const (
	rimName    = "dot 7" // bored 6 mm
	rimMM      = 6.0
	rimProbeMM = 2.0
)

func (c rimTrial) draw(b *bench, r *rand.Rand) outcome {
	var centre complex128
	for _, m := range b.marks {
		if m.name == rimName {
			centre = free(r).lies(m.at * b.axis)
		}
	}
	diameter := rimMM + 0.02*r.NormFloat64()
	odd, from := r.IntN(c.touches), even(r, math.Pi)
	var text strings.Builder
	text.WriteString("kind,x_mm,y_mm\n")
	for i := range c.touches {
		along := from + (float64(i)+0.3*even(r, 1))/float64(c.touches)*c.arcDeg*math.Pi/180
		radius := diameter/2 - rimProbeMM/2 + c.sdMM*r.NormFloat64()
		if i == odd {
			radius += c.oddMM * math.Copysign(1, r.Float64()-0.5)
		}
		p := centre + cmplx.Rect(radius, along)
		fmt.Fprintf(&text, "rim,%.4f,%.4f\n", real(p), imag(p))
	}
	exit, a := b.measure("zero", text.String(), append([]string{"--at", rimName, "--probe-mm", "2"}, c.args...)...)
	o := outcome{good: exit == 0}
	x, _ := a.number("rim.x_mm")
	y, _ := a.number("rim.y_mm")
	o.over = cmplx.Abs(complex(x, y)-centre) > b.job.AccuracyMM
	o.state(a, "X", "rim.x_mm", "rim.x_half_mm", real(centre))
	o.state(a, "Y", "rim.y_mm", "rim.y_half_mm", imag(centre))
	o.state(a, "diameter", "rim.diameter_mm", "rim.diameter_half_mm", diameter)
	return o
}

// topTrial is the crowned top touched over a feeler.
type topTrial struct {
	name    string
	touches int
	sdMM    float64
	oddMM   float64 // one touch is higher by this
	bowMM   float64 // the board's middle is higher by this than its ends
	args    []string
	deep    bool   // only in the long mode
	owed    string // what is not held to yet, as in a table
}

func (c topTrial) draw(b *bench, r *rand.Rand) outcome {
	const feeler, lowMM = 0.1, -31.2
	z0, odd := lowMM+even(r, 1), r.IntN(c.touches)
	var text strings.Builder
	text.WriteString("kind,x_mm,y_mm,z_mm,feeler_mm\n")
	for i, u := range spread(c.touches, 30, 450) {
		v := even(r, 12)
		k := b.board.CrownRadiusMM
		z := z0 + b.bow(c.bowMM, u) - (k - math.Sqrt(k*k-v*v)) + feeler + c.sdMM*r.NormFloat64()
		if i == odd {
			z += c.oddMM
		}
		p := complex(u, v) * b.axis
		fmt.Fprintf(&text, "top,%.4f,%.4f,%.4f,%g\n", real(p), imag(p), z, feeler)
	}
	exit, a := b.measure("zero", text.String(), c.args...)
	o := outcome{good: exit == 0}
	z, has := a.number("top.z_mm")
	for _, m := range b.marks {
		o.over = o.over || has && math.Abs(z-z0-b.bow(c.bowMM, real(m.at))) > b.job.AccuracyMM
	}
	if c.bowMM == 0 {
		o.state(a, "Z", "top.z_mm", "top.z_half_mm", z0)
	}
	o.state(a, "bow", "top.bow_mm", "top.bow_half_mm", c.bowMM)
	for i, m := range b.marks {
		if c.bowMM == 0 {
			break // told of the one flat board in fifty or a hundred that looks bowed by chance
		}
		at := fmt.Sprintf("top.features.%d.", i)
		o.state(a, "Z of features", at+"z_mm", at+"half_mm", z0+b.bow(c.bowMM, real(m.at)))
	}
	return o
}

// edgesTrial is the datum's start from the board's edges.
type edgesTrial struct {
	name    string
	edges   string // as a locateTrial's
	sdMM    float64
	widerMM float64 // the board is wider than the job says by about this, one standard deviation
	widthMM float64 // either end's width is known to plus or minus this, 95 %
	args    []string
	deep    bool   // only in the long mode
	owed    string // what is not held to yet, as in a table
}

func (c edgesTrial) draw(b *bench, r *rand.Rand) outcome {
	d, wide := free(r), c.widerMM*r.NormFloat64()
	wider := [2]float64{wide + c.widthMM/normal95*r.NormFloat64(), wide + c.widthMM/normal95*r.NormFloat64()}
	var text strings.Builder
	text.WriteString("kind,x_mm,y_mm\n")
	b.touchEdges(&text, r, d, c.edges, wider, c.sdMM)

	exit, a := b.measure("zero", text.String(), c.args...)
	o := outcome{good: exit == 0}
	x, _ := a.number("edges.x_mm")
	y, _ := a.number("edges.y_mm")
	o.over = cmplx.Abs(complex(x, y)-d.shift) > b.job.AccuracyMM
	o.state(a, "X", "edges.x_mm", "edges.x_half_mm", real(d.shift))
	o.state(a, "Y", "edges.y_mm", "edges.y_half_mm", imag(d.shift))
	o.state(a, "angle", "edges.angle_rad", "edges.angle_half_rad", d.turn)
	o.state(a, "width", "edges.width_error_mm", "edges.width_half_mm", wide)
	return o
}

// zeroTables are rims, tops and edges.
func zeroTables(b *bench) (tables []table) {
	add := func(name string, deep bool, owed string, spoilt bool, draw func(*bench, *rand.Rand) outcome) {
		tables = append(tables, table{name, deep, owed, spoilt, func(r *rand.Rand) outcome { return draw(b, r) }})
	}
	for _, c := range []rimTrial{
		{name: "rim, 6", touches: 6, arcDeg: 360, sdMM: 0.01},
		{name: "rim, 8, 0.03", deep: true, touches: 8, arcDeg: 360, sdMM: 0.03},
		{name: "rim, 4", deep: true, touches: 4, arcDeg: 360, sdMM: 0.01},
		{name: "rim, 5 over 200 degrees", deep: true, touches: 5, arcDeg: 200, sdMM: 0.005},
		{name: "rim, 3, repeat stated", deep: true, touches: 3, arcDeg: 360, sdMM: 0.01,
			args: []string{"--error-mm", "0.0196"}},
		{name: "rim, 4, one 0.3 off", touches: 4, arcDeg: 360, sdMM: 0.01, oddMM: 0.3},
		{name: "rim, 6, one 0.3 off", deep: true, touches: 6, arcDeg: 360, sdMM: 0.01, oddMM: 0.3},
		{name: "rim, 8, one 0.3 off", deep: true, touches: 8, arcDeg: 360, sdMM: 0.01, oddMM: 0.3},
	} {
		add(c.name, c.deep, c.owed, c.oddMM > 0, c.draw)
	}
	for _, c := range []topTrial{
		{name: "top, 3", deep: true, touches: 3, sdMM: 0.01},
		{name: "top, 5", deep: true, touches: 5, sdMM: 0.01},
		{name: "top, 8, 0.03", deep: true, touches: 8, sdMM: 0.03},
		{name: "top, 2, repeat stated", deep: true, touches: 2, sdMM: 0.01, args: []string{"--error-mm", "0.0196"}},
		{name: "top, 3, one 0.5 high", deep: true, touches: 3, sdMM: 0.01, oddMM: 0.5},
		{name: "top, 5, one 0.5 high", touches: 5, sdMM: 0.01, oddMM: 0.5},
		{name: "top, 8, one 0.5 high", deep: true, touches: 8, sdMM: 0.01, oddMM: 0.5},
		{name: "top, 3, bow 0.3", deep: true, touches: 3, sdMM: 0.01, bowMM: 0.3},
		{name: "top, 5, bow 0.3", touches: 5, sdMM: 0.01, bowMM: 0.3},
	} {
		add(c.name, c.deep, c.owed, c.oddMM > 0, c.draw)
	}
	const both = "left:30 left:240 left:450 right:30 right:240 right:450 start:-8 start:8"
	for _, c := range []edgesTrial{
		{name: "edges, both, start", edges: both, sdMM: 0.012},
		{name: "edges, both, start, wider", deep: true, edges: both, sdMM: 0.012, widerMM: 0.1},
		{name: "edges, one, start", deep: true, edges: "right:30 right:170 right:310 right:450 start:-8 start:8",
			sdMM: 0.012},
		{name: "edges, one, start, width known to 0.02", deep: true, edges: "right:30 right:170 right:310 right:450 " +
			"start:-8 start:8",
			sdMM: 0.012, widthMM: 0.02, args: []string{"--width-error-mm", "0.02"}},
		{name: "edges, both at two places, start once", deep: true,
			edges: "left:30 left:450 right:30 right:450 start:0",
			sdMM:  0.012},
	} {
		add(c.name, c.deep, c.owed, false, c.draw)
	}
	return tables
}
