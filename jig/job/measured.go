package job

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"gopkg.in/yaml.v3"

	"reseat/jig/process"
	"reseat/jig/units"
)

// takeMeasured reads the process file that a make section names, and puts what it tells where
// the section has no key of its own; such a key then stands where the file is named.
func (r *reader) takeMeasured(at string) {
	from := join(at, "from")
	if !r.has(from) {
		return
	}
	shown, text := r.beside(from, MaxFileBytes)
	if text == nil {
		return
	}
	f := r.processFile(from, shown, text)
	if by := r.word(at + ".by"); f == nil || !r.isFaultless(at, at+".by") {
		return
	} else if f.By != by {
		r.faultKey(from, fmt.Sprintf("%s is of by: %s, not %s", shown, f.By, by), "measure a coupon made as this part is")
		return
	}
	m := &Measured{File: *f}
	for _, q := range process.Quantities {
		key := join(at, q.Make)
		v, determined := f.Estimate(q.Key)
		switch own := determined && q.Make != "" && slices.Contains(keysBelow(at), q.Make); {
		case own && r.has(key):
			m.Overridden = append(m.Overridden, q.Make)
		case own && (keyAt(key).only == "" || q.By != nil && slices.Contains(q.By, f.By)):
			r.val[key], r.src.at[key] = math.Abs(v.Value), r.src.at[from]
			if keyAt(key).span.least < 0 || q.Make == "kerf" {
				r.val[key] = v.Value
			}
		}
	}
	r.measured[at] = m
}

// processFile reads a process file; its faults lie in it, at the path that names it.
func (r *reader) processFile(from, shown string, data []byte) *process.File {
	root, src, p := treeOf(shown, data, "process file")
	in := newReader(shown, src, nil)
	switch {
	case p != nil:
		in.list = []*Problem{p}
	case root == nil || isNull(root):
		in.list = []*Problem{{File: shown, Says: "is empty", Remedy: "reseat coupon read JOB FORM -o FILE writes one"}}
	default:
		in.refuse(root, "", 0)
		in.readSection(root, processFile, aSection)
	}
	f := &process.File{Name: r.word(from)}
	word := func(key string) string { return in.word(join(processFile, key)) }
	f.By, f.Material, f.Pin, f.Coupon = word("by"), word("material"), word("pin"), word("coupon")
	f.MeasuredOn, f.MeasuredBy = word("measured_on"), word("measured_by")
	f.ThicknessMM, f.PieceMM = in.mm(processFile+".thickness_mm"), in.mm(processFile+".piece_mm")
	for _, q := range process.Quantities {
		at := join(processFile, q.Key)
		if !in.has(at) {
			continue
		}
		if q.Key != "taper_mm" && q.By != nil && !slices.Contains(q.By, f.By) && in.isFaultless(processFile+".by") {
			in.faultKey(at, "means nothing with by: "+f.By, "remove it; it goes with by: "+strings.Join(q.By, " or "))
		}
		v := in.estimate(at)
		v.Key = q.Key
		f.Estimates = append(f.Estimates, v)
	}
	reported := slices.ContainsFunc(r.list, func(p *Problem) bool { return p.File == shown }) // for another key
	for _, p := range in.list {
		if r.bad[from] = true; reported {
			break
		}
		p.Path = strings.TrimPrefix(strings.TrimPrefix(p.Path, processFile), ".")
		r.faultInside(shown, src, p.Pos, from, p.Says, p.Remedy)
		r.list[len(r.list)-1].Path = p.Path
	}
	if len(in.list) > 0 {
		return nil
	}
	return f
}

// readEstimate reads an estimate: a number alone, which is then exact, or value, low and high.
func (r *reader) readEstimate(n *yaml.Node, path string, k key) {
	if n.Kind == yaml.MappingNode {
		r.readSection(n, path, aSection)
		return
	}
	v := r.number(n, path, k.unit, k.span)
	for _, name := range []string{".value", ".low", ".high"} {
		r.val[path+name] = v
	}
}

// estimate is that at a path. One that is determined has its value, within its interval and
// within what can be.
func (r *reader) estimate(at string) process.Estimate {
	k := keyAt(at)
	f := process.Estimate{Value: r.mm(at + ".value"), Low: r.mm(at + ".low"), High: r.mm(at + ".high"),
		Determined: r.word(at+".told") == "true"}
	_, alone := r.val[at+".value"]
	switch {
	case !f.Determined || !r.isFaultless(at, at+".value", at+".low", at+".high", at+".told"):
	case !alone:
		r.faultKey(at, "has no value", "give value, low and high, or told: false")
	case !k.span.holds(f.Value):
		r.faultKey(at+".value", fmt.Sprintf("got %s, want %s to %s %s", units.Short(f.Value), units.Short(k.span.least),
			units.Short(k.span.most), k.unit), "")
	default:
		for _, end := range []struct {
			name string
			v    *float64
			sign float64
		}{{".low", &f.Low, -1}, {".high", &f.High, 1}} {
			if !r.has(at+end.name) && r.has(at+".value") {
				r.faultKey(at, "has no "+end.name[1:], "give value, low and high, or the value alone")
			} else if end.sign*(*end.v-f.Value) < 0 {
				r.faultKey(at+end.name, fmt.Sprintf("%s lies on the wrong side of the value, %s", units.Short(*end.v),
					units.Short(f.Value)), "low, value, high go up")
			}
		}
	}
	return f
}

// date reads a day.
func (r *reader) date(n *yaml.Node, path string) string {
	text, ok := r.scalar(n, path, "a date", "write 2026-11-29")
	if _, err := time.Parse(time.DateOnly, text); ok && err != nil {
		r.fault(n, path, "want a date, got "+shown(n), "write year, month and day: 2026-11-29")
		return ""
	}
	return text
}
