// Package account lists the sources of a job's error budget: what moves the board, seen
// from the machine, between the first cut and the next. Values in, budget sources out; how
// a single error moves the board is jig/motion, what they come to together jig/budget.
//
// What the two cuts share moves nothing. The first cut of a board in a nest was made before
// there was a plate: it knew nothing of pins and window. A blank that is bored together with
// its bed was first cut on the same pins (jig/setup), so that, the same way up,
// the places and the lean of the pins and the bow of the machine's axis come back as they
// were; turned over, they come back mirrored. Of a blank that is bored apart it is not
// known, and it is reckoned as a board in a nest.
//
//	source                  nest, or bored apart       bored together: same way up, turned over
//	first cut's own move    once for each feature and axis, beside this cut's
//	pin clearance, zero     once                       twice, in either cut
//	place of the bed's pins once                       nothing; twice across, nothing along
//	pin lean                once                       nothing; twice across, nothing along
//	holes of the carrier    once                       with the pins'
//	axes out of square      once; turned over twice    once, since axes are set anew; twice
//	bow of the long axis    once; twice                nothing; twice
//	spindle out of square   once                       nothing; once
//	walls, plate, width     once                       no window
//
// Place and lean of the pins. X and Y zero are found again on the round pin, except where
// machine.zero is kept: the zero goes where that pin stands, so that of its error the turn
// about it is all that stays.
//
// Lean. A pin stands in the bed by its foot; a hole over it, straight through the plate,
// is centred where the pin is halfway up, at h/2, h the height that the pin bears over:
//
//	error of the pin = lean h/2,  lean h within the clearance of its hole,
//
// since over a pin that leans more than its hole is wide nothing goes; it is stood up. Zero is
// indicated halfway up as well. A pin that leans leaves its hole less play (Case.stand).
//
// Bow. The axis along the board wanders across by up to machine.straight at the middle of
// the stretch from the first of pins and features to the last. The pins stand on the bow.
// The same stretch of the same axis bows the first cut alike; elsewhere on the axis it is
// another of its size, of which half the variance is taken as shared, 2 (1 - 1/2) = 1 of one
// bow; turned over about the long axis it is mirrored, which makes two. Turned over about
// the short axis a bow that is the same from either end would cancel, and one that is
// not would double: it counts once.
//
// Tram. A tool that is not square to the bed works aside by tram per mm of height, and its
// bores lean so. At the same height it did so in the first cut. Turned over, the face that
// was cut at the height T of the part lies on the bed: across the axis that it is turned
// over about the holes lean as before, and the faces come apart by tram T; along it they
// lean the other way and are centred halfway up the pins, which leaves tram (T - h). In a
// nest it counts over the board's thickness, whichever way up.
//
// Window. A pushed board lies along its side wall, whose two ends err each by itself, and
// meets the start wall, so short that it errs as a whole, with one corner; how square plate
// and board are at that corner turns nothing as long as the side is pushed home first, which
// the set-up says. (Flush with the start wall instead, a board of ten times its width would
// turn by the whole of it.) Of a plate out of square the window is askew to the pins. An
// error of the measured width shifts the datum
// line of a pushed board by half of it, at either end by itself; that of a free one stays in
// the middle, with other play. A pushed board of any outline lies against its stops, each of
// which errs by itself, as does the board's edge there; how that moves the board follows from
// the stops' normals and levers (jig/seat). A free one is reckoned as a straight-sided one is.
//
// Not in the budget: whether the board's datum line lies midway between its sides, chips and
// burrs between what should touch, a board that bends. What a job leaves out is taken from the table of keys and marked as assumed.
package account
