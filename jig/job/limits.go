package job

// MaxFileBytes is the largest job file that is read: 1 MiB. A job is a page of
// text; anything near this is not one.
const MaxFileBytes = 1 << 20

// Bounds on the shape of a file. They keep a wrong file from filling the screen.
const (
	maxListed = 50 // faults that are told one by one
	maxDepth  = 8  // sections in sections; a job needs four
	maxText   = 80 // characters of a title or a name; it must fit a title block
)

// micrometerOffMM is how far a micrometer reading may lie from the pin's nominal
// diameter: no tolerance class of a dowel pin comes near it, so a reading beyond
// it is a slip or another pin.
const micrometerOffMM = 0.25
