package holddown

// Lifting says how to lift parts off their tape without bending them, in order. With
// reliefs the board lies in a window that lets it neither turn nor slide, but leaves room
// for a finger on either side. An acrylic plate must not meet the solvent.
//
// Warmth, a thin blade and a twist are what woodworking magazines advise (web:
// woodmagazine.com and woodworkersjournal.com, on parting taped work; 65 degrees
// Celsius as the most for finishes: engineerfix.com). That acrylic crazes under
// stress in alcohol is recalled. The rest is common practice, no source.
func Lifting(reliefs, acrylic bool) []string {
	warm, with, solvent := "", "naphtha or alcohol", ""
	if acrylic {
		warm = " An acrylic plate grows by heat: measure nothing until it is cold."
		with, solvent = "naphtha", " Keep alcohol off the acrylic plate, which crazes at its holes."
	}
	blade := "Slide a thin spatula flat under one end. Move it forward along the bed, a little at a time. " +
		"Do not lever: a thin board bends, and stays bent or breaks at a slot."
	off := "Twist it off along the bed, as a lid is turned. Do not pull it up. " +
		"Long boards: free both ends with the blade first, then push sideways."
	if reliefs {
		blade = "Slide a thin spatula under it from a finger relief. Flat, from one side and from the other, a little at a " +
			"time. Do not lever: a thin board bends, and stays bent or breaks at a slot."
		off = "Lift it by its sides there. Finger and thumb, straight up: the window lets it neither turn nor slide."
	}
	return []string{
		"Stop the spindle, take the cutter out. A blade that slips hits the cutter.",
		"Warm the board with a hair dryer. Move it all the time for a minute or two, until the board is hand warm to hot. " +
			"Above some 65 degrees Celsius finishes and glue lines suffer." + warm,
		blade + " If it does not give, let in a little " + with + " along the edge and wait two minutes. " +
			"Bare wood takes it up: use little, let it dry before gluing, and keep alcohol off filled dots and dyed " +
			"wood." + solvent +
			" Both burn: no heat, no sparks, a window open.",
		off,
		"Roll the tape off with a thumb, along its length. Pulled up steeply it takes fibres with it. Let the board cool " +
			"flat, then measure.",
	}
}
