package holddown

// Advice is one step of lifting parts off their tape.
type Advice struct {
	Do   string // what to do
	Care string // what to look out for; "" when nothing
}

// Lifting says how to lift parts off their tape without bending them, in order. A
// finished part has lacquer, oil or shellac on a face that the solvent can reach;
// an acrylic plate must not meet it.
//
// Warmth, a thin blade and a twist are what woodworking magazines advise
// (woodmagazine.com and woodworkersjournal.com, on parting taped work; 65 degrees
// Celsius as the most for finishes: engineerfix.com, weak source). That acrylic
// crazes under stress in alcohol is recalled, not seen. The rest is common
// practice, no source.
func Lifting(finished, acrylic bool) []Advice {
	out := []Advice{
		{"Let the spindle stand still and take the cutter out.", "A blade that slips finds the cutter."},
		{"Warm the board with a hair dryer for a minute or two, moving it all the time, until it is hand warm to hot.", warmCare(acrylic)},
		{"Push a thin, wide blade or spatula flat under one end and move it forward along the bed, a little at a time.", "Do not lever: a thin board bends, and stays bent or breaks at a slot."},
	}
	switch {
	case finished:
		out = append(out, Advice{"Try a drop of naphtha or alcohol where it does not show; where the finish takes it, let a little run in along the edge and wait two minutes.", "Alcohol dissolves shellac and softens lacquer at once." + acrylicCare(acrylic) + fireCare})
	default:
		out = append(out, Advice{"If it does not give, let a little naphtha or alcohol run in along the edge and wait two minutes.", "Bare wood takes it up: use little, let it dry before gluing, and keep alcohol off filled dots and dyed wood." + acrylicCare(acrylic) + fireCare})
	}
	return append(out,
		Advice{"Twist the board off along the plane of the bed, as a lid is turned; do not pull it up.", "Long boards: free both ends with the blade first, then push sideways."},
		Advice{"Roll the tape off the underside with a thumb, along its length.", "Pulled up steeply it takes fibres with it."},
		Advice{"Lay the board flat and let it cool before it is measured.", ""},
	)
}

const fireCare = " Both burn: no heat, no sparks, a window open."

func warmCare(acrylic bool) string {
	s := "Above some 65 degrees Celsius finishes and glue lines suffer."
	if acrylic {
		s += " An acrylic plate grows by heat: measure nothing until it is cold."
	}
	return s
}

func acrylicCare(acrylic bool) string {
	if acrylic {
		return " Keep alcohol off the acrylic plate, which crazes at its holes; naphtha only, and little."
	}
	return ""
}
