package export

// Safety is told wherever files are handed over, one sentence a line.
const Safety = "Safety: wear eye, hearing and breathing protection, clamp the work, never leave a laser alone.\n" +
	"The machine's manual, local rules and trained people come first."
