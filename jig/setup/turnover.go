package setup

import "fmt"

// turnOver puts the part back with its underside up.
func (w Work) turnOver() Setup {
	about := "its long axis, left side over to the right"
	start := "START stays " + w.startEnd()
	if w.alongX() {
		about = "its long axis, the near side over to the far one"
	}
	if w.Turn.About == "short" {
		about = "its short axis, end over end"
		start = "START now lies at the other end"
	}
	part, with, lies := "blank", "Lift the blank", "blank lies on the bed"
	if w.Nest {
		part, with, lies = "template and board", "Lift board and template", "template and board lie on the bed"
	}
	s := Setup{
		ID: TurnOver, Title: "Turn over onto the pins", Place: "machine", Part: part, FaceUp: Under,
		Lies: w.lies(Under), LocatedBy: "the same pins", Stack: w.onBed(Under), Pins: w.standing(w.Stand, w.bedTop(), false),
		Zero: w.zeroOnPin(Under, w.boardFace(Under)), Cautions: cutting(),
		Steps: []string{
			fmt.Sprintf("%s off, clear the chips, turn over about %s: %s.", with, about, start),
			w.partners(),
			w.findZero() + " It is the same place as before: zero does not turn over with the part.",
		},
		Checks: []Check{yes(lies, "0.05 mm feeler")},
	}
	if w.Nest {
		back := "Lay fresh tape, template over the pins, board in, underside up"
		if w.Push != "none" {
			back += ", pushed flat to the same side wall, then along it"
		}
		s.Steps = append(s.Steps, back+".")
	}
	if over := w.overFace(); over > 0 {
		s.Steps = append(s.Steps, fmt.Sprintf("Take the %s of stock over the board's underside off by your own program. "+
			"Find Z0 on the bed beside the blank, which lies at Z-%.3f: the underside is not there yet. The frame may stay.",
			short(over), w.Board.ThicknessMM))
	}
	if w.Nest && w.CrownMM > 0 {
		if w.Cradle {
			s.Steps = append(s.Steps[:1:1], append([]string{"Lay the cradle of the crown's shape on the bed, in the window: " +
				"the board lies in it, its middle on the bed."}, s.Steps[1:]...)...)
		} else {
			s.Cautions = append(s.Cautions, "The crowned top lies down: without a cradle of its shape the board rocks. Do not "+
				"cut it so.")
		}
	}
	if !w.Bow.IsFlatOnTape() {
		s.Steps = append(s.Steps, "Lay the board down"+w.Bow.Laid(Under))
	}
	s.Checks = append(s.Checks, Check{
		What: "underside above the bed", With: "depth gauge",
		Expected: w.Board.ThicknessMM, Low: w.Board.ThicknessMM - faceMM, High: w.Board.ThicknessMM + faceMM, Unit: "mm",
	})
	return s
}

// faceMM is how far a face may lie from where it should before depths are to be looked
// at again. Common practice, no source.
const faceMM = 0.2

// overFace is how much stock lies over the board's underside when it is turned over.
func (w Work) overFace() float64 {
	if w.Nest {
		return 0
	}
	return w.Blank.ThicknessMM - w.Board.ThicknessMM
}

// partners tells which hole goes onto which pin with the underside up.
func (w Work) partners() string {
	p := w.Pattern[0]
	at := w.turnedPlace(p.At)
	for _, q := range w.Pattern {
		if q.At.Dist(at) < partnerMM {
			return fmt.Sprintf("Hole %s goes onto pin %s. If it does not go on, it was turned about the other axis.", p.ID,
				q.ID)
		}
	}
	return "If it does not go on, it was turned about the other axis."
}

// partnerMM is how far from a hole's place its pin may stand to be the one meant: far
// over rounding, far under any two pins' distance.
const partnerMM = 0.01
