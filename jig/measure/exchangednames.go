package measure

import (
	"fmt"

	"reseat/jig/geom"
)

// ExchangedNamesError reports two readings whose names are exchanged, most likely.
type ExchangedNamesError struct {
	Names              [2]string
	Lines              [2]int  // of the readings file
	RMSmm, ExchangedMM float64 // of the fit as the names stand, and exchanged
}

func (e *ExchangedNamesError) Error() string {
	return fmt.Sprintf("%q (line %d) and %q (line %d) are exchanged, most likely: the readings fit to %.3g mm as they stand and to %.3g mm exchanged",
		e.Names[0], e.Lines[0], e.Names[1], e.Lines[1], e.RMSmm, e.ExchangedMM)
}

// mostExchanged bounds the marks of which every pair is tried; nobody measures as
// many by hand.
const mostExchanged = 60

// exchangedNames tries every pair of marks the other way round when the readings
// fit badly. It wants four marks: with three a pair can nearly always be
// exchanged by mirroring or bad luck.
func (s LocateSpec) exchangedNames(readings []MarkReading, sights []sight) error {
	var p, q []geom.Vec
	var of []int
	for i, x := range sights {
		if !x.edge {
			p, q, of = append(p, x.p), append(q, x.q), append(of, i)
		}
	}
	if len(p) < 4 || len(p) > mostExchanged {
		return nil
	}
	f, _, ok := kabsch(p, q)
	if !ok {
		return nil
	}
	rms := rmsOf(f, p, q)
	if rms <= grossMM {
		return nil
	}
	best, a, b := rms/farBetter, -1, -1
	for i := range p {
		for j := range i {
			p[i], p[j] = p[j], p[i]
			if g, _, ok := kabsch(p, q); ok {
				if r := rmsOf(g, p, q); r < best {
					best, a, b = r, j, i
				}
			}
			p[i], p[j] = p[j], p[i]
		}
	}
	if a < 0 {
		return nil
	}
	x, y := readings[of[a]], readings[of[b]]
	return &ExchangedNamesError{[2]string{x.Name, y.Name}, [2]int{x.Line, y.Line}, rms, best}
}
