package setup

import (
	"reseat/jig/units"
)

// Cautions. The same ones head the programs.
const (
	safety = "Safety: wear eye, hearing and breathing protection, hold the work down, keep hands clear while the " +
		"spindle turns."
	manual   = "The machine's manual, local rules and trained people come first."
	laser    = "Never leave a laser alone: acrylic burns. Air the room, wear eye protection for its wavelength."
	printing = "Hot nozzle, hot bed and fumes: air the room."
	gluing   = "The glue's label comes first. Wear gloves, air the room; the dust of some glues harms when they are sanded."
)

// pushKeys is how the parts of a split print are joined.
const pushKeys = "Push the keys in on the flat bed, over the pins, a straightedge along the window; glue them."

func cutting() []string { return []string{safety, manual} }

// short writes a length as a rule or a caliper tells it.
func short(mm float64) string { return units.Decimal(mm, 2) }
