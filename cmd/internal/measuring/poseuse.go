package measuring

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"reseat/cmd/internal/command"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/setup"
	"reseat/jig/units"
	"reseat/jig/verdict"
)

// A program is moved only by what a good verdict stands behind. Everything else is a doubt: the
// program is refused, or written when the maker says so, and then its head repeats the doubts.

// Move is where a program's zero was measured to lie, and why it is not to be trusted.
type Move struct {
	geom.Rigid
	Doubts []string // sentences; none when the move may be used
}

// MoveByPose reads what locate --json wrote for the job and the face that is up. The error is for
// a broken file, and for a pose of the other face or axis, which would put the program anywhere.
func MoveByPose(file string, j *job.Job, up setup.Face) (Move, error) {
	p, err := ReadPose(file)
	if err == nil {
		err = p.For(file, j, up)
	}
	if err != nil {
		return Move{}, err
	}
	m := Move{Rigid: p.Move(), Doubts: p.doubts("locate", j)}
	if b := sizeOf(j); p.Board.String() != b.String() {
		m.Doubts = append(m.Doubts, fmt.Sprintf("It is of a board %s, and the job's is %s.", p.Board, b))
	}
	for i, at := range []float64{p.Pose.XMM, p.Pose.YMM} {
		if most := j.Machine.TravelMM[i]; most > 0 && math.Abs(at) > most {
			m.Doubts = append(m.Doubts, fmt.Sprintf("It puts the zero at %s %s mm, beyond the machine's travel of %s mm.",
				"XY"[i:i+1], units.Fixed(at, 1), units.Decimal(most, 1)))
		}
	}
	return m, nil
}

// MoveByTurn turns a program about where the datum line starts, by an angle that datum measured.
// file is what datum --json wrote, "" when there is no verdict behind the angle; typedDeg is the angle as
// it was typed, nil when it is to be taken from the file.
func MoveByTurn(file string, typedDeg *float64, j *job.Job, up setup.Face) (m Move, err error) {
	deg := 0.0
	if typedDeg != nil {
		deg = *typedDeg
	}
	if file == "" {
		m.Doubts = []string{"The turn was typed: no datum check says that the board's place is right (--datum takes what " +
			"reseat datum --json wrote)."}
	} else {
		var d struct {
			judged
			TurnRad *float64  `json:"turn_program_rad"`
			Seat    *seatRoom `json:"seat"`
		}
		data, err := command.ReadRegular(file, mostPose)
		if err != nil {
			return m, err
		}
		if err := json.Unmarshal(data, &d); err != nil || d.TurnRad == nil || d.Verdict == "" {
			return m, poseFault(file, "", "this is not what reseat datum READINGS --job JOB --json writes")
		}
		if d.Side != string(up) {
			return m, poseFault(file, "side", "read with the %s up, and the program is for the %s", setup.Face(d.Side).Name(),
				up.Name())
		}
		stated := degrees(*d.TurnRad)
		if typedDeg != nil && math.Abs(deg-stated) > turnAgreesDeg {
			return m, command.Usage("--turn-deg %g: %s tells %s degrees; leave one of them out", deg, file,
				units.Signed(stated, 4))
		}
		deg = stated
		// A turn is what mends a direction that is out of tolerance: that one verdict may be bad.
		m.Doubts = d.judged.doubts("datum", j, "direction")
		if d.Seat != nil && d.Seat.Beyond {
			m.Doubts = append(m.Doubts, "The board lies farther off than its seat allows: lift it, clean, seat it again.")
		}
	}
	if !(math.Abs(deg) <= MostTurnDeg) {
		return m, command.Usage("--turn-deg is %g; want at most %g degrees either way: a board that lies so far "+
			"off is laid again", deg, MostTurnDeg)
	}
	m.Angle = deg * math.Pi / 180
	start := ToFace(j, up).Apply(geom.Vec{})
	m.Shift = start.Sub(m.Apply(start))
	return m, nil
}

// turnAgreesDeg is how far a typed turn may lie from the measured one: its last digit.
const turnAgreesDeg = 1e-4

// doubts are why what was measured is not to be trusted for the job; mended are the questions
// whose answer, when out of tolerance, the move itself puts right.
func (m judged) doubts(by string, j *job.Job, mended ...string) (out []string) {
	if m.JobSHA256 != j.SHA256 {
		out = append(out, "The job file is another one, or was changed since: run reseat "+by+" again.")
	}
	for _, v := range m.Verdicts {
		right := v.Word == verdict.OutOfTolerance && len(mended) > 0 && mended[0] == v.Of
		if !v.IsGood() && !right {
			out = append(out, fmt.Sprintf("The %s is %s: %s", v.Of, v.Word, strings.Join(v.Reasons, " ")))
		}
	}
	if len(m.Verdicts) == 0 {
		out = append(out, "It carries no verdict: run reseat "+by+" again.")
	}
	return out
}

// boardSize is what tells one board from another.
type boardSize struct {
	LengthMM     float64 `json:"length_mm"`
	WidthStartMM float64 `json:"width_start_mm"`
	WidthEndMM   float64 `json:"width_end_mm"`
}

func sizeOf(j *job.Job) boardSize {
	b := j.Board
	return boardSize{b.LengthMM, b.WidthStartMM, b.WidthEndMM}
}

func (b boardSize) String() string {
	return fmt.Sprintf("%s mm long, %s to %s mm wide", units.Decimal(b.LengthMM, 2), units.Decimal(b.WidthStartMM, 2),
		units.Decimal(b.WidthEndMM, 2))
}
