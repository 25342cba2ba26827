package measuring

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"reseat/cmd/internal/command"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/setup"
	"reseat/jig/verdict"
)

const (
	exampleJob  = "../../../testdata/jobs/bouzouki-fingerboard.yaml"
	exampleDots = "../../../testdata/readings/bouzouki-dots.csv"
	// roundingMM is what nine decimals leave of coordinates below a metre after a turn or two.
	roundingMM = 1e-6
)

// locateJSON runs locate and returns what it prints.
func locateJSON(t testing.TB, args ...string) []byte {
	t.Helper()
	var out bytes.Buffer
	cmd := NewLocate(command.Streams{Out: &out})
	cmd.SetArgs(append([]string{"--json"}, args...))
	if err := cmd.Execute(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// toMachine is the board frame's place on the machine, as the board lies.
func toMachine(p PoseFile) geom.Rigid {
	r := geom.Rigid{Angle: p.Pose.AngleRad, Shift: geom.Vec{X: p.Pose.XMM, Y: p.Pose.YMM}}
	if p.LongAxis == "y" {
		r.Angle += math.Pi / 2
	}
	return r
}

// TestPoseRoundTrip takes locate's JSON back, and the place that was put into the
// readings (see their head) with it: turn 0.0009 rad, start at X 0.420 Y -0.310.
func TestPoseRoundTrip(t *testing.T) {
	path := filepath.Join(t.TempDir(), "pose.json")
	if err := os.WriteFile(path, locateJSON(t, exampleDots, "--job", exampleJob), 0o666); err != nil {
		t.Fatal(err)
	}
	p, err := ReadPose(path)
	if err != nil {
		t.Fatal(err)
	}
	const within = 0.06 // mm: at the far end the half interval that locate states, 0.0069 degrees over 478 mm
	truth := geom.Rigid{Angle: math.Pi/2 + 9e-4, Shift: geom.Vec{X: 0.42, Y: -0.31}}
	for _, at := range []geom.Vec{{}, {X: 240, Y: 10}, {X: 478}} {
		if d := toMachine(p).Apply(at).Dist(truth.Apply(at)); d > within {
			t.Errorf("%v lies %.3f mm from the truth", at, d)
		}
		// A program has the drawn board in machine coordinates: v to -X, u to +Y.
		drawn := geom.Vec{X: -at.Y, Y: at.X}
		if d := p.Move().Apply(drawn).Dist(toMachine(p).Apply(at)); d > roundingMM {
			t.Errorf("%v: the program's move and the board's place differ by %g mm", at, d)
		}
	}
	if p.Verdict != verdict.Good || p.Outlier != nil || p.Certainty == nil || p.LongAxis != "y" {
		t.Errorf("read back as %+v", p)
	}
}

// TestPoseCommand follows the operator: what he types over the chosen point must make
// the control show the drawn coordinates there.
func TestPoseCommand(t *testing.T) {
	for _, at := range []string{"start", "dot 5", "P2"} {
		p, err := parsePose("pose.json", locateJSON(t, exampleDots, "--job", exampleJob, "--at", at))
		if err != nil {
			t.Fatal(err)
		}
		// G10 L20: the offset is chosen so that the present place gets these coordinates.
		here := geom.Vec{X: p.At.XMM, Y: p.At.YMM}
		offset := here.Sub(geom.Vec{X: p.At.DrawnXMM, Y: p.At.DrawnYMM})
		// With the zero set, the board's drawn place and where it lies agree at the point.
		if d := p.Move().Apply(geom.Vec{X: p.At.DrawnXMM, Y: p.At.DrawnYMM}).Sub(offset).Dist(geom.Vec{X: p.At.DrawnXMM,
			Y: p.At.DrawnYMM}); d > roundingMM {
			t.Errorf("%s: off by %g mm once the zero is set", at, d)
		}
		if !strings.HasPrefix(p.At.Type, "G10 L20 P1 X") || p.At.Name != at {
			t.Errorf("%s: type %q at %q", at, p.At.Type, p.At.Name)
		}
	}
}

// TestPoseRefused changes a good file in one place each.
func TestPoseRefused(t *testing.T) {
	good := string(locateJSON(t, exampleDots, "--job", exampleJob))
	var p PoseFile
	if err := json.Unmarshal([]byte(good), &p); err != nil {
		t.Fatal(err)
	}
	number := func(key string, to string) func(string) string {
		return func(s string) string {
			at := strings.Index(s, `"`+key+`": `) + len(key) + 4
			end := at + strings.IndexAny(s[at:], ",\n")
			return s[:at] + to + s[end:]
		}
	}
	swap := func(from, to string) func(string) string {
		return func(s string) string { return strings.Replace(s, from, to, 1) }
	}
	for _, c := range []struct {
		name   string
		change func(string) string
		says   string
	}{
		{"empty", func(string) string { return " \n" }, "unexpected end"},
		{"not JSON", func(string) string { return "name,x_mm,y_mm\n" }, "invalid character"},
		{"cut short", func(s string) string { return s[:len(s)/2] }, "unexpected end"},
		{"two documents", func(s string) string { return s + "{}" }, "after top-level value"},
		{"another edition", swap("reseat pose 2", "reseat pose 1"), `want "reseat pose 2"`},
		{"another document", func(string) string { return `{"made_by": "reseat"}` }, `unknown field "made_by"`},
		{"unknown key", swap(`"du_mm"`, `"du_in"`), `unknown field "du_in"`},
		{"key in capitals", swap(`"du_mm"`, `"DU_MM"`), "pose.du_mm: is missing"},
		{"key twice", number("dv_mm", `1, "dv_mm": 2`), "contradict each other"},
		{"key missing", swap(`"units": "mm",`, ""), "units: is missing"},
		{"inches", swap(`"units": "mm"`, `"units": "in"`), `units: "in"; want "mm"`},
		{"third face", swap(`"side": "top"`, `"side": "left"`), `want "top" or "under"`},
		{"third axis", swap(`"long_axis": "y"`, `"long_axis": "z"`), "long_axis"},
		{"NaN", number("du_mm", "NaN"), "invalid character"},
		{"NaN in quotes", number("du_mm", `"NaN"`), "pose.du_mm: a string"},
		{"null", number("angle_rad", "null"), "pose.angle_rad: is missing"},
		{"beyond float64", number("x_mm", "1e999"), "pose.x_mm: a number"},
		{"huge", number("x_mm", "1e9"), "pose.x_mm"},
		{"degrees", number("angle_rad", "0.5"), "Is it in degrees?"},
		{"more than a turn", number("angle_rad", "51.6"), "at most pi"},
		{"edited by hand", number("x_mm", "0.5"), "contradict each other"},
		{"with a wrong reading", swap(`"notes"`, `"outlier": {"line": 5, "name": "dot 7"}, "notes"`),
			"contradict"},
		{"verdict made good by hand", swap("\"verdict\": \"good\",\n      ", "\"verdict\": \"inconclusive\",\n      "), "contradict"},
		{"nested", func(string) string { return strings.Repeat("[", 100_000) }, "exceeded max depth"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := c.change(good)
			if text == good {
				t.Fatal("the change changed nothing")
			}
			_, err := parsePose("pose.json", []byte(text))
			if err == nil || !strings.HasPrefix(err.Error(), "pose.json: ") || !strings.Contains(err.Error(), c.says) {
				t.Errorf("got %v, want %q", err, c.says)
			}
		})
	}
	if _, err := parsePose("pose.json", []byte(swap(`"units": "mm"`, `"units": "in"`)(swap(`"long_axis": "y"`,
		`"long_axis": "z"`)(good)))); err == nil || strings.Count(err.Error(), "\n") != 1 {
		t.Errorf("two faults told as %v", err)
	}
}

// TestPoseOf: a pose goes with the job that it was measured for only.
func TestPoseOf(t *testing.T) {
	p, err := parsePose("pose.json", locateJSON(t, exampleDots, "--job", exampleJob))
	if err != nil {
		t.Fatal(err)
	}
	j, err := job.Read(exampleJob)
	if err != nil {
		t.Fatal(err)
	}
	if err := p.For("pose.json", j, setup.Top); err != nil {
		t.Error(err)
	}
	if err := p.For("pose.json", j, setup.Under); err == nil || !strings.Contains(err.Error(), "--side under") {
		t.Errorf("the other side's pose: %v", err)
	}
	j.Machine.LongAxis = "x"
	if err := p.For("pose.json", j, setup.Top); err == nil || !strings.Contains(err.Error(), "long_axis") {
		t.Errorf("the other axis's pose: %v", err)
	}
}

// TestMoveDoubts: a program is moved only by a good verdict on this very job.
func TestMoveDoubts(t *testing.T) {
	good := string(locateJSON(t, exampleDots, "--job", exampleJob))
	number := regexp.MustCompile(`"(du|dv|x|y)_mm": [-0-9.e]+`)
	for _, c := range []struct {
		name   string
		change func(string) string
		job    func(*job.Job)
		says   []string
	}{
		{"good", func(s string) string { return s }, func(*job.Job) {}, nil},
		{"inconclusive", func(s string) string { return strings.Replace(s, `"verdict": "good"`, `"verdict": "inconclusive"`, 2) },
			func(*job.Job) {}, []string{"The pose is inconclusive"}},
		{"job changed", func(s string) string { return s }, func(j *job.Job) { j.SHA256 = "0" }, []string{"changed since"}},
		{"another board", func(s string) string { return s }, func(j *job.Job) { j.SHA256, j.Board.LengthMM = "0", 500 },
			[]string{"changed since", "500 mm long"}},
		{"outside the travel", func(s string) string {
			at := strings.Index(s, `"pose": {`)
			return s[:at] + number.ReplaceAllStringFunc(s[at:], func(m string) string {
				return m[:strings.Index(m, ":")] + map[string]string{`"du_mm"`: ": 0", `"dv_mm"`: ": -900", `"x_mm"`: ": 900",
					`"y_mm"`: ": 0"}[m[:strings.Index(m, ":")]]
			})
		}, func(*job.Job) {}, []string{"X 900.0 mm, beyond the machine's travel"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "pose.json")
			if err := os.WriteFile(file, []byte(c.change(good)), 0o666); err != nil {
				t.Fatal(err)
			}
			j, err := job.Read(exampleJob)
			if err != nil {
				t.Fatal(err)
			}
			c.job(j)
			m, err := MoveByPose(file, j, setup.Top)
			if err != nil || len(m.Doubts) != len(c.says) {
				t.Fatalf("%v, doubts %q", err, m.Doubts)
			}
			for i, want := range c.says {
				if !strings.Contains(m.Doubts[i], want) {
					t.Errorf("doubt %q, want %q", m.Doubts[i], want)
				}
			}
		})
	}
}

// FuzzPose: whatever is accepted has a usable pose and is read again from its own
// JSON to the same.
func FuzzPose(f *testing.F) {
	f.Add(locateJSON(f, exampleDots, "--job", exampleJob))
	f.Add([]byte(`{"schema":"reseat pose 2","units":"mm","long_axis":"x","side":"top","job_sha256":"0","any_angle":false,
		"verdict":"good","verdicts":[{"of":"pose","verdict":"good"}],"board":{},
		"pose":{"du_mm":1,"dv_mm":2,"angle_rad":0.01,"x_mm":1,"y_mm":2}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := parsePose("pose.json", data)
		if err != nil {
			return
		}
		m := p.Move()
		for _, v := range []float64{m.Angle, m.Shift.X, m.Shift.Y} {
			if math.IsNaN(v) || math.Abs(v) > mostPoseMM {
				t.Fatalf("accepted %v", m)
			}
		}
		again, err := json.Marshal(p)
		if err != nil {
			t.Fatal(err)
		}
		q, err := parsePose("again.json", again)
		if err != nil || q.Pose != p.Pose {
			t.Fatalf("%v: %v read again as %v", err, p.Pose, q.Pose)
		}
	})
}
