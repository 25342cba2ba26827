package report

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"reseat/cmd/internal/command"
	"reseat/jig"
	"reseat/jig/units"
)

// Check prints whether a design holds and what does not; full: every rule and all tables.
func Check(w io.Writer, d *jig.Design, full bool) {
	writeVerdict(w, d)
	if !full {
		writeFailures(w, d, false)
		writeAssumed(w, d)
		return
	}
	fmt.Fprintln(w)
	writeRules(w, d)
	fmt.Fprintln(w)
	writeTables(w, d)
}

// writeVerdict prints the verdict on one line.
func writeVerdict(w io.Writer, d *jig.Design) {
	word, text := Verdict(d)
	command.Paragraph(w, word+"  ", deep, fmt.Sprintf("%s: %s", d.Title, text))
}

// Verdict says whether a design holds, and the worst feature's error against the wanted
// accuracy.
func Verdict(d *jig.Design) (word, text string) {
	fails, warns := count(d, jig.Fail), count(d, jig.Warn)
	word, text = "HOLDS", fmt.Sprintf("all %d rules hold", len(d.Rules))
	switch {
	case fails == 1:
		word, text = "DOES NOT HOLD", fmt.Sprintf("1 of %d rules fails", len(d.Rules))
	case fails > 0:
		word, text = "DOES NOT HOLD", fmt.Sprintf("%d of %d rules fail", fails, len(d.Rules))
	case warns > 0:
		text = "rules hold"
	}
	if warns > 0 {
		text += ", " + units.Count(warns, "warning")
	}
	if b := d.Budget; b != nil && len(b.Features) > 0 {
		f := b.Features[b.Worst()]
		wanted := ""
		if i := slices.IndexFunc(d.Rules, func(r jig.Rule) bool { return r.ID == "accuracy" }); i >= 0 {
			wanted = ", wanted " + units.Decimal(d.Rules[i].Limit, 3) + " mm"
		}
		text = fmt.Sprintf("%s mm (95 %%) at %s%s; %s", units.Fixed(f.P95MM, 3), f.Name, wanted, text)
	}
	return word, text
}

func count(d *jig.Design, level jig.Level) (n int) {
	for _, r := range d.Rules {
		if r.Level == level {
			n++
		}
	}
	return n
}

// writeFailures prints the rules that fail, each with its remedy, and those that warn; brief:
// of these the first sentence alone.
func writeFailures(w io.Writer, d *jig.Design, brief bool) {
	for _, r := range d.Rules {
		if r.Level == jig.Fail {
			command.Paragraph(w, "fail  ", deep, head(r)+RemedyLine(d, r)+r.Says)
		}
	}
	for _, r := range d.Rules {
		switch {
		case r.Level != jig.Warn:
		case brief:
			found, _, _ := strings.Cut(r.Says, ". ")
			command.Paragraph(w, "warn  ", deep, r.ID+": "+found)
		default:
			command.Paragraph(w, "warn  ", deep, r.ID+": "+RemedyLine(d, r)+r.Says)
		}
	}
}

// head names a rule with its figure and limit.
func head(r jig.Rule) string {
	if r.Value == 0 && r.Limit == 0 {
		return r.ID + ": "
	}
	limit := strings.TrimSpace(ruleValue(r.Limit, r.Unit) + " " + r.Unit)
	return fmt.Sprintf("%s (%s, limit %s): ", r.ID, ruleValue(r.Value, r.Unit), limit)
}
