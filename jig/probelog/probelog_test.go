package probelog_test

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"reseat/jig/probelog"
)

const parameters = "[G54:-300.000,-200.000,-50.000]\n[G55:1.000,1.000,1.000]\n[G92:1.000,0.000,0.000]\n" +
	"[TLO:2.000]\nok\n"

// TestRead: logs as controllers and senders leave them. work is what the one touch at
// machine (-290, -180, -52) comes to.
func TestRead(t *testing.T) {
	const prb = "[PRB:-290.000,-180.000,-52.000:1]\n"
	work := probelog.Probe{Line: 6, At: [3]float64{9, 20, -4}, Met: true}
	at := func(line int) probelog.Probe { p := work; p.Line = line; return p }
	for _, c := range []struct {
		name, log string
		zero      *probelog.Zero
		want      []probelog.Probe
		reason    string
	}{
		{"offsets before", parameters + prb, nil, []probelog.Probe{at(6)}, "G54, G92 and the tool's length are taken off"},
		{"offsets behind", prb + parameters, nil, []probelog.Probe{at(1)}, "asked for when the program had run"},
		{"repeated result", strings.TrimSuffix(parameters, "ok\n") + "[PRB:7.000,7.000,7.000:1]\nok\n" + prb, nil,
			[]probelog.Probe{at(7)},
			"$# prints the last result again: no touch"},
		{"result left out", parameters + prb, nil, []probelog.Probe{at(6)}, "the one behind the ok is a touch"},
		{"chatter", "Grbl 1.1h ['$' for help]\n<Idle|MPos:0.000,0.000,0.000|FS:0,0>\n12:03:04 <<< " + prb + "ok\n",
			&probelog.Zero{-299, -200, -48}, []probelog.Probe{at(3)}, "the rest is left alone, a clock does no harm"},
		{"on one line", "[PRB:-290.000,-180.000,-52.000,0.000:1];ok\r\n", &probelog.Zero{-299, -200, -48},
			[]probelog.Probe{at(1)}, "four axes, another sender's way with line ends"},
		{"zero stated", parameters + prb, &probelog.Zero{-290, -180, -52}, []probelog.Probe{{Line: 6, Met: true}},
			"what the user states comes first"},
		{"nothing met", parameters + "[PRB:-290.000,-180.000,-52.000:0]\nALARM:5\n", nil,
			[]probelog.Probe{{Line: 6, At: work.At}}, "the caller names the touch"},
		{"nine columns", "\n9.000000 20.000000 -4.000000 0 0 0 0 0 0\n", nil, []probelog.Probe{at(2)},
			"work coordinates already"},
		{"zero changed", parameters + prb + "[G54:-299.000,-200.000,-50.000]\n" + prb, nil,
			[]probelog.Probe{at(6), {Line: 8, At: [3]float64{8, 20, -4}, Met: true}}, "each touch takes the zero of its time"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := probelog.Read("a.log", []byte(c.log), c.zero)
			if d := cmp.Diff(c.want, got); err != nil || d != "" || !probelog.IsLog([]byte(c.log)) {
				t.Errorf("%s: %v\n%s", c.reason, err, d)
			}
		})
	}
}

// TestBadLogs: what is wrong, where, and what would do.
func TestBadLogs(t *testing.T) {
	for _, c := range []struct{ name, log, want string }{
		{"no zero", "[PRB:1.000,2.000,3.000:1]\n", "a.log: its touches are in machine coordinates, and nothing says where"},
		{"cut short", parameters + "[PRB:1.000,2.0", "a.log:6: [PRB:1.000,2.0: the line is cut short"},
		{"no flag", parameters + "[PRB:1,2,3]", "a.log:6: [PRB:1,2,3]: want [PRB:x,y,z:1], or :0"},
		{"two numbers", parameters + "[PRB:1,2:1]", "at least three numbers"},
		{"no number", parameters + "[PRB:1,nan,3:1]", `"nan" is no plain number`},
		{"bad offset", "[G54:a,b,c]\n[PRB:1,2,3:1]", `a.log:1: [G54:a,b,c]: "a" is no plain number`},
		{"too large", parameters + "[PRB:1e99,2,3:1]", `"1e99" is no plain number`},
		{"eight columns", "1 2 3 0 0 0 0 0 0\n1 2 3 0 0 0 0 0\n", "a.log:2: want nine numbers"},
		{"empty", "", "a.log: holds no probing move"},
		{"not text", "[PRB:\x00", "a.log: is not text"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if _, err := probelog.Read("a.log", []byte(c.log), nil); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("%v, want %q", err, c.want)
			}
		})
	}
}

func TestParseZero(t *testing.T) {
	if z, err := probelog.ParseZero("-1.5, 2,3"); err != nil || *z != (probelog.Zero{-1.5, 2, 3}) {
		t.Error(z, err)
	}
	for _, bad := range []string{"", "1,2", "1,2,x", "1,2,3,4"} {
		if _, err := probelog.ParseZero(bad); err == nil {
			t.Errorf("%q is taken", bad)
		}
	}
}

// FuzzRead: whatever a file holds, reading it ends; a probe has finite coordinates, lines go
// up, and an error names the file.
func FuzzRead(f *testing.F) {
	for _, s := range []string{parameters + "[PRB:1,2,3:1]\n", "1 2 3 0 0 0 0 0 0\n", "[PRB:1,2,3:0", "on,x_mm,y_mm\n",
		"\ufeff"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, log string) {
		got, err := probelog.Read("a.log", []byte(log), nil)
		if err != nil && !strings.HasPrefix(err.Error(), "a.log") {
			t.Fatal(err)
		}
		last := 0
		for _, p := range got {
			for _, x := range p.At {
				if math.IsNaN(x) || math.Abs(x) > 1e6 {
					t.Fatalf("%+v", p)
				}
			}
			if p.Line < last {
				t.Fatalf("line %d behind %d", p.Line, last)
			}
			last = p.Line
		}
	})
}
