package gluing

import "math"

// Relief is the room at the foot of a rail that takes what is squeezed out, so that it neither
// climbs between rail and board nor lifts them. It is in the rail, never in the board.
type Relief struct {
	SectionMM2 float64 `json:"section_mm2"` // on one side, wanted
	ChamferMM  float64 `json:"chamfer_mm"`  // leg of 45 degrees, of a printed rail
	SetBackMM  float64 `json:"set_back_mm"` // of the lowest layer of a rail of sheets; 0: of no layers
	ContactMM  float64 `json:"contact_mm"`  // height of the rail that still faces the board
	RunsMM2    float64 `json:"runs_out_mm2"`
	RoomMM2    float64 `json:"room_mm2"` // at its foot
}

// Chamfered is the relief of a rail heightMM high that has another chamfer than asked for.
func (r Relief) Chamfered(mm, heightMM float64) Relief {
	r.ChamferMM, r.ContactMM, r.RoomMM2 = mm, max(0, heightMM-mm), mm*mm/2
	return r
}

const (
	// roomOver is how much more room is left than what runs out if all goes as reckoned: it does
	// not run out evenly. Common practice, no source.
	roomOver = 1.5
	// LeastContactMM is the height of a rail that still guides a board. Common practice, no source.
	LeastContactMM = 1.5
)

// Relieve returns the relief of rails heightMM high along a board lengthMM long for what runs out,
// in ml on both sides together; lowestMM is the thickness of the rail's lowest sheet, 0 for a rail
// of one piece.
//
//	A = 1.5 V / (2 L);   chamfer = sqrt(2 A),   set back = A / t
func Relieve(squeezeML, lengthMM, heightMM, lowestMM float64) Relief {
	const mm3 = 1e3 // in a millilitre
	r := Relief{SectionMM2: roomOver * squeezeML * mm3 / (2 * lengthMM)}
	r.ChamferMM, r.RunsMM2, r.RoomMM2 = math.Sqrt(2*r.SectionMM2), r.SectionMM2/roomOver, r.SectionMM2
	r.ContactMM = heightMM - r.ChamferMM
	if lowestMM > 0 {
		r.SetBackMM, r.ContactMM = r.SectionMM2/lowestMM, heightMM-lowestMM
	}
	r.ContactMM = max(0, r.ContactMM)
	return r
}
