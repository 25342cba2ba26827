package measure

import (
	"fmt"
	"math"
	"reseat/jig/reading"
	"strings"
	"testing"
)

// Whatever the bytes, each reader answers with sound readings or with faults; sound
// readings survive being written and read again, and the answers behind are numbers or an
// error.
func FuzzRead(f *testing.F) {
	for _, s := range []string{
		"", "on,x_mm,y_mm\nleft,1,2\nleft,3,400\n", "on;x_mm\n", "\ufeffY_mm,on,x_mm\r\n1,datum,2\r\n300,datum,2\r\n",
		"on,x_mm,y_mm\n\"left\",\"1,5\",2\n", "on,x_mm,y_mm\nright,-0,1e-300\nright,0,9e4\n", "on,x_mm,y_mm,\n,,,\n", "\"",
		"on,x_mm,y_mm\nleft,nan,inf",
		"on,station_mm,dial_mm\nleft,10,0\nleft,200,0.05\nleft,460,0.1\n", "on,x_in,y_in\nleft,-0.8,1\nleft,-1,18\n",
		"name,x_mm,y_mm\npeg mark,5,20\ndot 15,0.1,382\nleft,-25,400\n",
		"name,x_mm,y_mm\nstart,3,0\nleft,-21,3\nright,27,460\n",
		"name,x_mm,y_mm\ndot 3,0,87\ndot 3,0.1,87\ndot 12 left,-11,330\nnone,1,1\n",
		"name,x_mm,y_mm\nleft,1,1\nleft,1,2\nleft,5,9\n",
		"kind,x_in,y_in,z_in,feeler_in\ntop,1,2,3,0.004\nrim,1,1,,\nrim,2,1,,\nrim,1,3,,\n",
		"kind,x_mm,y_mm,z_mm,feeler_mm\nstart,1,2,,0\n",
	} {
		f.Add([]byte(s))
	}
	datum, locate := bouzouki(longY), locating(longY, fretDots())
	datum.CrownRadiusMM = 300
	readers := map[string]func(string, []byte) ([]reading.Reading, error){
		"datum": reading.Datum, "marks": reading.Marks, "touches": reading.Touches,
	}
	f.Fuzz(func(t *testing.T, data []byte) {
		for name, read := range readers {
			r, err := read("f.csv", data)
			if err != nil {
				if r != nil || err.Error() == "" {
					t.Fatalf("%s: %v with %q", name, r, err)
				}
				continue
			}
			again, err := read("f.csv", written(name, r))
			if err != nil || len(again) != len(r) {
				t.Fatalf("%s read again: %v, %v", name, again, err)
			}
			for i := range r {
				if r[i].Line, again[i].Line = 0, 0; r[i] != again[i] {
					t.Fatalf("%+v read again as %+v", r[i], again[i])
				}
			}
			switch name {
			case "datum":
				rep, err := CheckDatum(r, datum)
				sound(t, err, rep.AngleRad, rep.RunoutMM, rep.RMSMM, valueOf(rep.RunoutHalf), valueOf(rep.OffsetMM),
					valueOf(rep.OffsetHalf))
			case "marks":
				for i := range r { // names of the board, so that the fit is reached
					if !reading.IsEdge(r[i].On) {
						r[i].On = locate.Marks[i%len(locate.Marks)].Name
					}
				}
				l, err := Locate(r, locate)
				sound(t, err, l.AngleRad, l.RMSMM, valueOf(l.AngleHalf), l.Move.Shift.X)
				for _, p := range l.Places {
					sound(t, err, p.Lies.X, p.Lies.Y, p.Half.X, p.Half.Y)
				}
			default:
				c, err := ZeroRim(r, datum)
				sound(t, err, c.XMM, c.YMM, c.DiameterMM, valueOf(c.WorstHalf))
				e, err := ZeroEdges(r, datum)
				sound(t, err, valueOf(e.XMM), valueOf(e.YHalf), valueOf(e.AngleRad), valueOf(e.AngleHalf))
			}
		}
	})
}

// written writes readings as a file.
func written(kind string, r []reading.Reading) []byte {
	head := map[string]string{"datum": "on,x_mm,y_mm", "marks": "name,x_mm,y_mm",
		"touches": "kind,x_mm,y_mm,z_mm,feeler_mm"}[kind]
	if r[0].Dial {
		head = "on,station_mm,dial_mm"
	}
	b := []byte(head + "\n")
	for _, x := range r {
		b = fmt.Appendf(b, `"%s",%g,%g`, strings.ReplaceAll(x.On, `"`, `""`), x.At.X, x.At.Y)
		switch {
		case kind == "touches" && x.On == reading.OnTop:
			b = fmt.Appendf(b, ",%g,%g", x.ZMM, x.FeelerMM)
		case kind == "touches":
			b = append(b, ",,"...)
		}
		b = append(b, '\n')
	}
	return b
}

// sound asks for numbers unless there is an error.
func sound(t *testing.T, err error, figures ...float64) {
	t.Helper()
	for i, x := range figures {
		if err == nil && (math.IsNaN(x) || math.IsInf(x, 0)) {
			t.Fatalf("figure %d of %v", i, figures)
		}
	}
}

// valueOf is 0 for what is not known.
func valueOf(x *float64) float64 {
	if x == nil {
		return 0
	}
	return *x
}
