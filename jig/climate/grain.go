package climate

import "fmt"

// Grain is how a board is sawn: which way its width moves.
type Grain string

// The ways. An empty Grain is taken as Flat, the one that moves more.
const (
	Quarter Grain = "quarter" // the width moves radially, the thickness tangentially
	Flat    Grain = "flat"    // the width moves tangentially, the thickness radially
)

// A GrainError is a word that names neither way.
type GrainError struct{ Got string }

func (e *GrainError) Error() string {
	return fmt.Sprintf("climate: grain %q; want %s or %s", e.Got, Quarter, Flat)
}

// check takes "" as Flat.
func (g Grain) check() (Grain, error) {
	switch g {
	case "":
		return Flat, nil
	case Quarter, Flat:
		return g, nil
	}
	return "", &GrainError{string(g)}
}
