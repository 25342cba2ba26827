package holddown

// Lifting says how to lift parts off their tape without bending them, in order. An
// acrylic plate must not meet the solvent.
//
// Warmth, a thin blade and a twist are what woodworking magazines advise (web:
// woodmagazine.com and woodworkersjournal.com, on parting taped work; 65 degrees
// Celsius as the most for finishes: engineerfix.com). That acrylic crazes under
// stress in alcohol is recalled. The rest is common practice, no source.
func Lifting(acrylic bool) []string {
	warm, solvent := "", ""
	if acrylic {
		warm = " An acrylic plate grows by heat: measure nothing until it is cold."
		solvent = " Keep alcohol off the acrylic plate, which crazes at its holes; naphtha only, and little."
	}
	return []string{
		"Let the spindle stand still and take the cutter out. A blade that slips finds the cutter.",
		"Warm the board with a hair dryer for a minute or two, moving it all the time, until it is hand warm to hot. " +
			"Above some 65 degrees Celsius finishes and glue lines suffer." + warm,
		"Push a thin, wide blade or spatula flat under one end and move it forward along the bed, a little at a time. " +
			"Do not lever: a thin board bends, and stays bent or breaks at a slot.",
		"If it does not give, let a little naphtha or alcohol run in along the edge and wait two minutes. " +
			"Bare wood takes it up: use little, let it dry before gluing, and keep alcohol off filled dots and dyed " +
			"wood." + solvent +
			" Both burn: no heat, no sparks, a window open.",
		"Twist the board off along the plane of the bed, as a lid is turned; do not pull it up. " +
			"Long boards: free both ends with the blade first, then push sideways.",
		"Roll the tape off the underside with a thumb, along its length. Pulled up steeply it takes fibres with it.",
		"Lay the board flat and let it cool before it is measured.",
	}
}
