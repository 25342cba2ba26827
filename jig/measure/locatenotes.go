package measure

import "fmt"

// notes says what the figures alone do not.
func (s LocateSpec) notes(readings []MarkReading, l *Located, clean *rigidFit) (out []Note) {
	if o := l.Outlier; o != nil {
		says := fmt.Sprintf("%s (line %d) does not belong: it lies %.2f mm (X %+.2f, Y %+.2f) from where the others have it", o.Name, o.Line, o.OffMM, o.Off.X, o.Off.Y)
		if o.Near != "" {
			says += fmt.Sprintf("; it fits %s", o.Near)
		}
		out = append(out, Note{[]int{o.Line}, says + "; measure it again"})
	}
	out = append(out, s.contradiction(clean.sse, clean.df)...)
	rms := l.RMSmm
	if l.Outlier != nil {
		rms = l.Outlier.Without.RMSmm
	}
	if rms > grossMM {
		out = append(out, Note{nil, fmt.Sprintf("the readings fit to %.2f mm only: are they of this board, and are the names right?", rms)})
	}
	if c := l.Scale; c != nil && c.Off {
		out = append(out, Note{nil, fmt.Sprintf("measured distances are %.5f times the drawn ones (+- %.5f), %+.2f mm over %g mm: a wrong mark, or the axes' steps; nothing was stretched",
			c.Factor, c.Half, (c.Factor-1)*scaleOverMM, scaleOverMM)})
	}
	lines := map[string][]int{}
	for _, r := range readings {
		lines[r.Name] = append(lines[r.Name], r.Line)
	}
	for _, r := range readings {
		if n := lines[r.Name]; !isEdge(r.Name) && len(n) > 1 && n[0] == r.Line {
			out = append(out, Note{n, fmt.Sprintf("%s was measured %d times: each counts", r.Name, len(n))})
		}
	}
	switch {
	case l.Spare == 0:
		says := "just enough readings: nothing guards against a wrong one; measure one mark more"
		if l.Uncertainty == nil {
			says += ", or state the error of a reading"
		}
		out = append(out, Note{nil, says})
	case len(lines) == 2 && l.Scale != nil:
		out = append(out, Note{nil, fmt.Sprintf("two marks are enough, but only their distance guards against a wrong one: it is off by %.2f mm; measure a third", (l.Scale.Factor-1)*l.Scale.SpanMM)})
	}
	return out
}

// scaleOverMM is the length over which a scale is told in words.
const scaleOverMM = 400.0
