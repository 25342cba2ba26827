package dxf

import (
	"errors"
	"fmt"
)

// mend corrects what yofu/dxf (v0.0.0-20250806094206) leaves out or writes too
// much of. Each correction gives its reason; when the library learns one, that one
// goes.
//
//  1. $MEASUREMENT 1 (metric) follows $INSUNITS: the library cannot write it, and
//     some readers look at it when they do not know the other (rule A05).
//  2. Tables have an owner, 0 (rule A04; DXF reference, common group codes for
//     symbol tables).
//  3. BLOCK_RECORD loses the groups 70, 280 and 281. They belong to AC1021 and
//     later (ezdxf 0.18.1, entities/blockrecord.py); strict readers of AC1015
//     stumble over newer groups.
//  4. BLOCK and ENDBLK are owned by their BLOCK_RECORD, and those of the paper
//     space are marked as such (group 67).
//  5. The root dictionary is owned by 0 and the group dictionary by the root.
//  6. The two object classes in use that are not built in are declared (ezdxf
//     0.18.1, sections/classes.py: required for AC1015).
//
// The owner of every entity and the handles are set when drawing, through the
// library's own methods.
func mend(tags []tag) ([]tag, error) {
	m := mender{blockRecord: map[string]string{}}
	if err := m.look(tags); err != nil {
		return nil, err
	}
	var out []tag
	for i := 0; i < len(tags); {
		n := recordLen(tags[i:])
		out = append(out, m.record(tags[i:i+n])...)
		i += n
	}
	return out, nil
}

// mender knows the handles that the corrections refer to.
type mender struct {
	section     string
	blockRecord map[string]string // name to handle
	root        string            // handle of the root dictionary
	rootSeen    bool
	paper       bool // inside the block of the paper space
	owner       string
}

// recordLen returns how many tags belong to the record that starts tags.
func recordLen(tags []tag) int {
	for n := 1; n < len(tags); n++ {
		if tags[n].code == 0 {
			return n
		}
	}
	return len(tags)
}

// look finds the handles of the block records and of the root dictionary.
func (m *mender) look(tags []tag) error {
	for i := 0; i < len(tags); {
		rec := tags[i : i+recordLen(tags[i:])]
		switch rec[0].value {
		case "BLOCK_RECORD":
			m.blockRecord[first(rec, 2)] = first(rec, 5)
		case "DICTIONARY":
			if m.root == "" {
				m.root = first(rec, 5)
			}
		}
		i += len(rec)
	}
	if m.blockRecord[modelSpace] == "" || m.blockRecord[paperSpace] == "" || m.root == "" {
		return errors.New("the DXF library left out a block record or the root dictionary")
	}
	return nil
}

// first returns the value of the first tag with the code, or "".
func first(rec []tag, code int) string {
	for _, t := range rec {
		if t.code == code {
			return t.value
		}
	}
	return ""
}

// after returns rec with the tags put in after its first tag with the code.
func after(rec []tag, code int, more ...tag) []tag {
	for i, t := range rec {
		if t.code == code {
			out := append([]tag{}, rec[:i+1]...)
			return append(append(out, more...), rec[i+1:]...)
		}
	}
	return rec
}

// without returns rec without the tags of the codes.
func without(rec []tag, codes ...int) []tag {
	var out []tag
next:
	for _, t := range rec {
		for _, c := range codes {
			if t.code == c {
				continue next
			}
		}
		out = append(out, t)
	}
	return out
}

func owned(handle string) tag { return tag{code: 330, value: handle} }

// record returns one record as it should be.
func (m *mender) record(rec []tag) []tag {
	switch rec[0].value {
	case "SECTION":
		m.section = first(rec, 2)
		switch m.section {
		case "HEADER":
			return afterUnits(rec)
		case "CLASSES":
			return append(append([]tag{}, rec...), classes()...)
		}
	case "TABLE":
		return after(rec, 5, owned("0"))
	case "BLOCK_RECORD":
		return without(rec, 70, 280, 281)
	case "BLOCK":
		name := first(rec, 2)
		m.paper, m.owner = name == paperSpace, m.blockRecord[name]
		return m.blockEnd(rec)
	case "ENDBLK":
		return m.blockEnd(rec)
	case "DICTIONARY":
		owner := m.root
		if !m.rootSeen {
			m.rootSeen, owner = true, "0"
		}
		return after(rec, 5, owned(owner))
	}
	return rec
}

// blockEnd mends a BLOCK or ENDBLK of the current block.
func (m *mender) blockEnd(rec []tag) []tag {
	rec = after(rec, 5, owned(m.owner))
	if m.paper {
		rec = after(rec, 100, tag{code: 67, value: "1"})
	}
	return rec
}

// afterUnits puts $MEASUREMENT behind $INSUNITS.
func afterUnits(header []tag) []tag {
	for i, t := range header {
		if t.is(9, "$INSUNITS") && i+1 < len(header) {
			out := append([]tag{}, header[:i+2]...)
			out = append(out, tag{code: 9, value: "$MEASUREMENT"}, tag{code: 70, value: "1"})
			return append(out, header[i+2:]...)
		}
	}
	return header
}

// classes declares the object classes that are not built in: record name, class
// name, application, then proxy flags, was-a-proxy and is-an-entity, all 0.
func classes() []tag {
	var out []tag
	for _, c := range [][2]string{
		{"ACDBDICTIONARYWDFLT", "AcDbDictionaryWithDefault"},
		{"ACDBPLACEHOLDER", "AcDbPlaceHolder"},
	} {
		out = append(out, tag{code: 0, value: "CLASS"}, tag{code: 1, value: c[0]}, tag{code: 2, value: c[1]},
			tag{code: 3, value: "ObjectDBX Classes"})
		for _, code := range []int{90, 280, 281} {
			out = append(out, tag{code: code, value: fmt.Sprint(0)})
		}
	}
	return out
}
