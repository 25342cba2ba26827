package cli

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/measure"
)

// poseSchema names the format and its edition. A reader that knows another edition
// refuses the file.
const poseSchema = "reseat pose 1"

// PoseFile is what `reseat locate --json` writes and `reseat pocket --pose` reads.
// Lengths are mm, angles radians counter-clockwise seen from above. Every key is
// there unless it says otherwise; no other key is accepted.
type PoseFile struct {
	Schema    string `json:"schema"`    // poseSchema
	Units     string `json:"units"`     // "mm"
	Title     string `json:"title"`     // the job's
	JobFile   string `json:"job_file"`  // name without its directory
	LongAxis  string `json:"long_axis"` // "x" or "y": the machine axis that u runs along
	Pose      Pose   `json:"pose"`
	AnyAngle  bool   `json:"any_angle"`  // the board may be turned by more than ten degrees
	HoldsGood bool   `json:"holds_good"` // every reading belongs, and they fit to the job's accuracy
	// Certainty is absent when nothing is left to judge the pose by.
	Certainty *PoseCertainty `json:"certainty,omitempty"`
	Points    int            `json:"points"`
	RMSmm     float64        `json:"rms_mm"`
	At        PoseAt         `json:"at"`
	Residuals []PoseResidual `json:"residuals"`
	Scale     *PoseScale     `json:"scale,omitempty"`   // absent with fewer than two marks
	Outlier   *PoseOutlier   `json:"outlier,omitempty"` // absent when every reading belongs
	Notes     []noteJSON     `json:"notes"`
}

// Pose is where the board lies, in the coordinates that the readings were taken in
// and with the zero left as it was.
type Pose struct {
	DUmm     float64 `json:"du_mm"` // of the datum's start from its drawn place, along u as drawn
	DVmm     float64 `json:"dv_mm"` // the same along v
	AngleRad float64 `json:"angle_rad"`
	XMM      float64 `json:"x_mm"` // where the datum's start lies on the machine
	YMM      float64 `json:"y_mm"`
}

// PoseCertainty is the half widths of the pose's intervals.
type PoseCertainty struct {
	Confidence   float64 `json:"confidence"`
	Stated       bool    `json:"from_stated_error"`
	DF           int     `json:"df"`
	ReadingSDmm  float64 `json:"reading_sd_mm"` // of one coordinate
	AngleHalfRad float64 `json:"angle_half_rad"`
	XHalfMM      float64 `json:"x_half_mm"` // of the datum's start
	YHalfMM      float64 `json:"y_half_mm"`
}

// PoseAt is the chosen point and what sets the zero there.
type PoseAt struct {
	Name     string  `json:"name"`
	DrawnXMM float64 `json:"drawn_x_mm"`
	DrawnYMM float64 `json:"drawn_y_mm"`
	XMM      float64 `json:"x_mm"` // where it lies
	YMM      float64 `json:"y_mm"`
	Type     string  `json:"type,omitempty"` // the command for the operator; absent when the pose is not good enough
}

// PoseResidual is a reading less where the pose has it.
type PoseResidual struct {
	Line        int     `json:"line"`
	Name        string  `json:"name"`
	XMM         float64 `json:"x_mm"`
	YMM         float64 `json:"y_mm"`
	OffMM       float64 `json:"off_mm"`
	Studentised float64 `json:"studentised"`
}

// PoseScale is measured over drawn distances; Half is absent when it is not known.
type PoseScale struct {
	Factor float64  `json:"factor"`
	Half   *float64 `json:"half,omitempty"`
	Off    bool     `json:"off"`
}

// PoseOutlier is the reading that does not belong, and the pose without it.
type PoseOutlier struct {
	Line    int     `json:"line"`
	Name    string  `json:"name"`
	XMM     float64 `json:"x_mm"`
	YMM     float64 `json:"y_mm"`
	OffMM   float64 `json:"off_mm"`
	Near    string  `json:"fits,omitempty"` // the mark that it fits instead
	Without Pose    `json:"pose_without"`
}

// newPose writes a placing down; drawn is the board's drawn place in the machine.
func newPose(p measure.Placing, drawn geom.Rigid) Pose {
	turn := geom.Rigid{Angle: drawn.Angle, Mirror: drawn.Mirror}
	d := turn.Inverse().Apply(p.Start.Shift)
	return Pose{DUmm: d.X, DVmm: d.Y, AngleRad: p.AngleRad, XMM: p.Start.Lies.X, YMM: p.Start.Lies.Y}
}

// of refuses a pose that was measured on another board than the job's: then it would
// put a program anywhere.
func (p PoseFile) of(file string, j *job.Job) error {
	var bad []error
	if p.LongAxis != j.Machine.LongAxis {
		bad = append(bad, &PoseError{file, "long_axis", fmt.Sprintf("%q, and the job's is %q; run locate again", p.LongAxis, j.Machine.LongAxis)})
	}
	if p.Title != j.Title {
		bad = append(bad, &PoseError{file, "title", fmt.Sprintf("%q, and the job's is %q; is it another board's pose?", p.Title, j.Title)})
	}
	return allOf(bad...)
}

// ToMachine returns the board frame's place on the machine, as the board lies.
func (p PoseFile) ToMachine() geom.Rigid {
	r := p.frame().ToMachine
	r.Angle += p.Pose.AngleRad
	r.Shift = geom.Vec{X: p.Pose.XMM, Y: p.Pose.YMM}
	return r
}

// Move carries machine coordinates of the drawn board, zero at the datum's start, to
// where the board lies: what a program takes.
func (p PoseFile) Move() geom.Rigid {
	return geom.Rigid{Angle: p.Pose.AngleRad, Shift: geom.Vec{X: p.Pose.XMM, Y: p.Pose.YMM}}
}

func (p PoseFile) frame() jig.Frame {
	f := jig.Frame{LongAxis: p.LongAxis}
	if p.LongAxis == "y" {
		f.ToMachine.Angle = math.Pi / 2
	}
	return f
}

// PoseError is a pose file that cannot be used.
type PoseError struct {
	File, Key string // Key is dotted; "" for the file as a whole
	Says      string // what is wrong and what would do
}

func (e *PoseError) Error() string {
	if e.Key == "" {
		return fmt.Sprintf("%s: %s", e.File, e.Says)
	}
	return fmt.Sprintf("%s: %s: %s", e.File, e.Key, e.Says)
}

const (
	// mostPose bounds a pose file in bytes: 100 000 residuals of 160 characters.
	mostPose = 16 << 20
	// mostPoseMM bounds a place: ten metres, beyond every table.
	mostPoseMM = 1e4
	// mostPoseRad bounds the turn unless any angle was asked for: ten degrees, as
	// locate does, and a little for rounding.
	mostPoseRad = 10*math.Pi/180 + 1e-9
	// poseAgreesMM is how far du, dv and x, y may differ: what is left when somebody
	// writes the file with seven decimals.
	poseAgreesMM = 1e-6
)

// readPose reads a pose file strictly: unknown, missing and repeated keys, what is
// not a number, other units, figures that contradict one another, and a pose with a
// reading that does not belong are refused, all that are found at once as *PoseError.
func readPose(path string) (PoseFile, error) {
	data, err := readRegular(path, mostPose)
	if err != nil {
		return PoseFile{}, err
	}
	return parsePose(path, data)
}

func parsePose(file string, data []byte) (PoseFile, error) {
	var p PoseFile
	fail := func(key, says string, a ...any) error { return &PoseError{file, key, fmt.Sprintf(says, a...)} }
	if len(bytes.TrimSpace(data)) == 0 {
		return p, fail("", "is empty; write it with  reseat locate READINGS --job JOB --json")
	}
	keys, err := jsonKeys(data)
	if err != nil {
		return p, fail("", "%v; write it with  reseat locate READINGS --job JOB --json", err)
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&p); err != nil {
		return PoseFile{}, fail("", "%s; it is not as locate wrote it", plainJSON(err))
	}
	if p.Schema != poseSchema {
		return PoseFile{}, fail("schema", "%q; want %q", p.Schema, poseSchema)
	}
	if bad := p.check(keys, fail); bad != nil {
		return PoseFile{}, bad
	}
	return p, nil
}

// mustKeys are those without which there is no pose; the others are for people.
var mustKeys = []string{"schema", "units", "long_axis", "pose", "pose.du_mm", "pose.dv_mm", "pose.angle_rad", "pose.x_mm", "pose.y_mm", "holds_good", "any_angle"}

// check finds everything that is wrong with the figures.
func (p PoseFile) check(keys map[string]bool, fail func(string, string, ...any) error) error {
	var bad []error
	for _, k := range mustKeys {
		if !keys[k] {
			bad = append(bad, fail(k, "is missing"))
		}
	}
	if len(bad) > 0 {
		return allOf(bad...)
	}
	if p.Units != "mm" {
		bad = append(bad, fail("units", "%q; want \"mm\"", p.Units))
	}
	if p.LongAxis != "x" && p.LongAxis != "y" {
		bad = append(bad, fail("long_axis", "%q; want \"x\" or \"y\"", p.LongAxis))
	}
	q := p.Pose
	for _, c := range []struct {
		key string
		v   float64
	}{{"pose.du_mm", q.DUmm}, {"pose.dv_mm", q.DVmm}, {"pose.x_mm", q.XMM}, {"pose.y_mm", q.YMM}} {
		if math.Abs(c.v) > mostPoseMM {
			bad = append(bad, fail(c.key, "%g; want at most %g mm either way", c.v, mostPoseMM))
		}
	}
	switch a := math.Abs(q.AngleRad); {
	case a > math.Pi:
		bad = append(bad, fail("pose.angle_rad", "%g; want radians, at most pi either way", q.AngleRad))
	case a > mostPoseRad && !p.AnyAngle:
		bad = append(bad, fail("pose.angle_rad", "%g is %.1f degrees; nobody lays a board so by mistake. Is it in degrees?", q.AngleRad, degrees(q.AngleRad)))
	}
	if o := p.Outlier; o != nil {
		bad = append(bad, fail("outlier", "the pose holds a reading that does not belong (%q, line %d); measure it again or leave it out, and run locate again", o.Name, o.Line))
	}
	if len(bad) == 0 {
		want := p.frame().ToMachine.Apply(geom.Vec{X: q.DUmm, Y: q.DVmm})
		if d := want.Dist(geom.Vec{X: q.XMM, Y: q.YMM}); d > poseAgreesMM {
			bad = append(bad, fail("pose", "du, dv and x, y contradict each other by %.3g mm; write the file anew with locate", d))
		}
	}
	return allOf(bad...)
}

// plainJSON says in plain words what the decoder found.
func plainJSON(err error) string {
	var typ *json.UnmarshalTypeError
	if errors.As(err, &typ) {
		return fmt.Sprintf("%s: a %s where it wants another kind of value", typ.Field, typ.Value)
	}
	return strings.TrimPrefix(err.Error(), "json: ")
}

// jsonKeys lists the dotted keys of a JSON document outside lists, and refuses what
// the decoder lets pass: a key that stands twice or in other letters, null, and
// anything behind the document.
func jsonKeys(data []byte) (map[string]bool, error) {
	keys := map[string]bool{}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber() // whether a number is one that can be held is told with its key
	if err := walkJSON(dec, "", 0, keys); err != nil {
		if errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) {
			return nil, errors.New("ends in the middle")
		}
		return nil, err
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return nil, errors.New("holds more than one document")
	}
	return keys, nil
}

// deepestJSON bounds the nesting; a pose file has four levels.
const deepestJSON = 16

func walkJSON(dec *json.Decoder, path string, depth int, keys map[string]bool) error {
	if depth > deepestJSON {
		return errors.New("is nested too deep")
	}
	tok, err := dec.Token()
	if err != nil {
		return err
	}
	switch tok {
	case nil:
		return fmt.Errorf("%s is null", path)
	case json.Delim('{'):
		for dec.More() {
			name, err := dec.Token()
			if err != nil {
				return err
			}
			at := strings.TrimPrefix(path+"."+name.(string), ".")
			if at != strings.ToLower(at) {
				return fmt.Errorf("unknown key %q", at)
			}
			if keys[at] {
				return fmt.Errorf("the key %q stands twice", at)
			}
			keys[at] = true
			if err := walkJSON(dec, at, depth+1, keys); err != nil {
				return err
			}
		}
	case json.Delim('['):
		for i := 0; dec.More(); i++ {
			if err := walkJSON(dec, fmt.Sprintf("%s[%d]", path, i), depth+1, keys); err != nil {
				return err
			}
		}
	default:
		return nil
	}
	_, err = dec.Token() // the closing one
	return err
}
