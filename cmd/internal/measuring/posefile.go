package measuring

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strings"

	"reseat/cmd/internal/command"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/measure"
	"reseat/jig/setup"
	"reseat/jig/verdict"
)

// poseSchema names the format and its edition. A reader that knows another edition
// refuses the file.
const poseSchema = "reseat pose 2"

// PoseFile is what `reseat locate --json` writes and `reseat pocket --pose` reads.
// Lengths are mm, angles radians counter-clockwise seen from above. Every key is
// there unless it says otherwise; no other key is accepted.
type PoseFile struct {
	Schema   string `json:"schema"`    // poseSchema
	Units    string `json:"units"`     // "mm"
	Title    string `json:"title"`     // the job's
	JobFile  string `json:"job_file"`  // name without its directory
	LongAxis string `json:"long_axis"` // "x" or "y": the machine axis that u runs along
	judged
	Board    boardSize `json:"board"`
	Pose     pose      `json:"pose"`
	AnyAngle bool      `json:"any_angle"` // the board may be turned by more than ten degrees
	// Certainty is absent when nothing is left to judge the pose by, or a reading does not belong.
	Certainty *poseCertainty         `json:"certainty,omitempty"`
	Points    int                    `json:"points"`
	RMSMM     float64                `json:"rms_mm"`
	At        poseAt                 `json:"at"`
	Residuals []measure.MarkResidual `json:"residuals"`
	Scale     *measure.Scale         `json:"scale,omitempty"`   // absent with fewer than two marks
	Outlier   *poseOutlier           `json:"outlier,omitempty"` // absent when every reading belongs
	Notes     notes                  `json:"notes"`
}

// pose is where the board lies, in the coordinates that the readings were taken in
// and with the zero left as it was: what moves the program's zero, which is where the datum
// starts with the top up.
type pose struct {
	DUMM     float64 `json:"du_mm"` // of the program's zero, along u with the top up
	DVMM     float64 `json:"dv_mm"` // the same along v
	AngleRad float64 `json:"angle_rad"`
	XMM      float64 `json:"x_mm"` // where the program's zero lies on the machine
	YMM      float64 `json:"y_mm"`
}

// poseCertainty is the half widths of the pose's intervals.
type poseCertainty struct {
	measure.Uncertainty
	AngleHalfRad float64 `json:"angle_half_rad"`
	XHalfMM      float64 `json:"x_half_mm"` // of the datum's start
	YHalfMM      float64 `json:"y_half_mm"`
}

// poseAt is the chosen point and what sets the zero there.
type poseAt struct {
	Name     string  `json:"name"`
	DrawnXMM float64 `json:"drawn_x_mm"`
	DrawnYMM float64 `json:"drawn_y_mm"`
	XMM      float64 `json:"x_mm"` // where it lies
	YMM      float64 `json:"y_mm"`
	// Half widths of the intervals, absent with the certainty.
	XHalf *float64 `json:"x_half_mm,omitempty"`
	YHalf *float64 `json:"y_half_mm,omitempty"`
	Type  string   `json:"type,omitempty"` // the command for the operator; absent when the pose does not hold
}

// poseOutlier is the reading that does not belong, and the pose without it.
type poseOutlier struct {
	measure.OddMark
	PoseWithout pose `json:"pose_without"`
}

// newPose writes a move of the drawn board down; frame takes the board, top up, to the machine.
func newPose(move, frame geom.Rigid) pose {
	lies := move.Shift
	d := geom.Rigid{Angle: frame.Angle}.Inverse().Apply(lies)
	return pose{DUMM: d.X, DVMM: d.Y, AngleRad: move.Angle, XMM: lies.X, YMM: lies.Y}
}

// For refuses a pose that was measured with another face up, or along another axis: then it would
// put a program anywhere.
func (p PoseFile) For(file string, j *job.Job, up setup.Face) error {
	var bad []error
	if p.Side != string(up) {
		bad = append(bad, poseFault(file, "side", "measured with the %s up, and the program is for the %s; run locate with "+
			"--side %s", setup.Face(p.Side).Name(), up.Name(), up))
	}
	if p.LongAxis != j.Machine.LongAxis {
		bad = append(bad, poseFault(file, "long_axis", "%q, and the job's is %q; run locate again", p.LongAxis,
			j.Machine.LongAxis))
	}
	return errors.Join(bad...)
}

// Move carries machine coordinates of the drawn board, zero at the datum's start, to
// where the board lies: what a program takes.
func (p PoseFile) Move() geom.Rigid {
	return geom.Rigid{Angle: p.Pose.AngleRad, Shift: geom.Vec{X: p.Pose.XMM, Y: p.Pose.YMM}}
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

// poseFault is something wrong with a pose file; key is dotted, "" for the whole file.
func poseFault(file, key, says string, a ...any) error {
	if key != "" {
		file += ": " + key
	}
	return fmt.Errorf("%s: %s", file, fmt.Sprintf(says, a...))
}

// ReadPose reads a pose file strictly: unknown and missing keys, what is not a number,
// other units and figures that contradict one another are refused, all that are found at
// once.
func ReadPose(path string) (PoseFile, error) {
	data, err := command.ReadRegular(path, mostPose)
	if err != nil {
		return PoseFile{}, err
	}
	return parsePose(path, data)
}

func parsePose(file string, data []byte) (PoseFile, error) {
	const write = "write it with  reseat locate READINGS --job JOB --json"
	var p PoseFile
	var keys, inner map[string]json.RawMessage
	if err := json.Unmarshal(data, &keys); err != nil {
		return p, poseFault(file, "", "%v; %s", err, write)
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	var typ *json.UnmarshalTypeError
	switch err := dec.Decode(&p); {
	case errors.As(err, &typ):
		return p, poseFault(file, typ.Field, "a %s where it wants another kind of value", typ.Value)
	case err != nil:
		return p, poseFault(file, "", "%s; %s", strings.TrimPrefix(err.Error(), "json: "), write)
	case p.Schema != poseSchema:
		return p, poseFault(file, "schema", "%q; want %q", p.Schema, poseSchema)
	}
	_ = json.Unmarshal(keys["pose"], &inner) // a pose that is no object was refused above
	for k, v := range inner {
		keys["pose."+k] = v
	}
	var bad []error
	// The other keys are for people.
	for _, k := range []string{"units", "long_axis", "job_sha256", "side", "verdict", "verdicts", "board",
		"any_angle", "pose.du_mm", "pose.dv_mm",
		"pose.angle_rad", "pose.x_mm", "pose.y_mm"} {
		if v := keys[k]; v == nil || string(v) == "null" {
			bad = append(bad, poseFault(file, k, "is missing"))
		}
	}
	if len(bad) == 0 {
		bad = p.faults(file)
	}
	return p, errors.Join(bad...)
}

// faults finds everything that is wrong with the figures.
func (p PoseFile) faults(file string) (bad []error) {
	fail := func(key, says string, a ...any) { bad = append(bad, poseFault(file, key, says, a...)) }
	if p.Units != "mm" {
		fail("units", `%q; want "mm"`, p.Units)
	}
	if p.LongAxis != "x" && p.LongAxis != "y" {
		fail("long_axis", `%q; want "x" or "y"`, p.LongAxis)
	}
	if p.Side != string(setup.Top) && p.Side != string(setup.Under) {
		fail("side", `%q; want "top" or "under"`, p.Side)
	}
	if all := verdict.All(p.Verdicts); len(p.Verdicts) == 0 || all != p.Verdict || p.Outlier != nil && all != verdict.Outlier {
		fail("verdict", "%q, which the verdicts that it sums up contradict; write the file anew with locate", p.Verdict)
	}
	q := p.Pose
	for _, c := range []struct {
		key string
		v   float64
	}{{"pose.du_mm", q.DUMM}, {"pose.dv_mm", q.DVMM}, {"pose.x_mm", q.XMM}, {"pose.y_mm", q.YMM}} {
		if math.Abs(c.v) > mostPoseMM {
			fail(c.key, "%g; want at most %g mm either way", c.v, mostPoseMM)
		}
	}
	switch a := math.Abs(q.AngleRad); {
	case a > math.Pi:
		fail("pose.angle_rad", "%g; want radians, at most pi either way", q.AngleRad)
	case a > mostPoseRad && !p.AnyAngle:
		fail("pose.angle_rad", "%g is %.1f degrees; nobody lays a board so by mistake. Is it in degrees?", q.AngleRad,
			degrees(q.AngleRad))
	}
	d := geom.Vec{X: q.DUMM, Y: q.DVMM}
	if p.LongAxis == "y" {
		d = d.Left()
	}
	if off := d.Dist(geom.Vec{X: q.XMM, Y: q.YMM}); len(bad) == 0 && off > poseAgreesMM {
		fail("pose", "du, dv and x, y contradict each other by %.3g mm; write the file anew with locate", off)
	}
	return bad
}
