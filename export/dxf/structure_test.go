package dxf

import (
	"bytes"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// values returns a record's values of a code, those of its reactors left out.
func values(rec []tag, code int) (out []string) {
	inReactors := false
	for _, g := range rec {
		if g.code == 102 {
			inReactors = strings.HasPrefix(g.value, "{")
		}
		if g.code == code && !inReactors {
			out = append(out, g.value)
		}
	}
	return out
}

// TestStructure: handles are unique, owners exist and are the right ones, the seed
// lies above; and each correction of mend is there once. Owners as in the DXF
// reference (AC1015) and in files that ezdxf 0.18.1 writes.
func TestStructure(t *testing.T) {
	file := render(t, plate(0.2), R2000)
	kind := map[string]string{} // handle to what it names
	name := map[string]string{}
	top, seed := uint64(0), uint64(0)
	for _, rec := range parse(t, file) {
		what, code := rec[0].value, 5
		switch what {
		case "SECTION":
			for i, g := range rec {
				if g.value == "$HANDSEED" {
					seed, _ = strconv.ParseUint(rec[i+1].value, 16, 64)
				}
			}
			continue
		case "DIMSTYLE":
			code = 105
		}
		for _, h := range values(rec, code) {
			n, err := strconv.ParseUint(h, 16, 64)
			if err != nil || n == 0 {
				t.Errorf("%s has the handle %q", what, h)
			}
			if kind[h] != "" {
				t.Errorf("%s and %s share the handle %s", kind[h], what, h)
			}
			top = max(top, n)
			kind[h], name[h] = what, first(rec, 2)
		}
	}
	if seed <= top {
		t.Errorf("seed %X is not above the highest handle %X", seed, top)
	}
	table, space, dictionaries := "", "", 0
	for _, rec := range parse(t, file) {
		what := rec[0].value
		owners := values(rec, 330)
		if slices.Contains([]string{"SECTION", "ENDSEC", "ENDTAB", "EOF", "CLASS"}, what) {
			if len(owners) > 0 {
				t.Errorf("%s has an owner", what)
			}
			continue
		}
		if len(owners) != 1 {
			t.Errorf("%s has %d owners, want 1", what, len(owners))
			continue
		}
		got, want := owners[0], ""
		if got != "0" && kind[got] == "" {
			t.Errorf("%s: owner %s does not exist", what, got)
		}
		switch what {
		case "TABLE":
			table = first(rec, 2)
			if got != "0" {
				t.Errorf("table %s: owner %s, want 0", table, got)
			}
		case "VPORT", "LTYPE", "LAYER", "STYLE", "APPID", "DIMSTYLE", "BLOCK_RECORD":
			want = table
		case "BLOCK":
			space = first(rec, 2)
			want = space
		case "ENDBLK":
			want = space
		case "CIRCLE", "LWPOLYLINE":
			want = modelSpace
		case "DICTIONARY":
			if dictionaries++; dictionaries == 1 && got != "0" || dictionaries > 1 && kind[got] != "DICTIONARY" {
				t.Errorf("dictionary %d: owner %s", dictionaries, got)
			}
		}
		if want != "" && name[got] != want {
			t.Errorf("%s: owner is %s %s, want %s", what, kind[got], name[got], want)
		}
		if what == "BLOCK_RECORD" && max(find(rec, 70), find(rec, 280), find(rec, 281)) >= 0 {
			t.Errorf("block record %s has groups that are younger than AC1015", first(rec, 2))
		}
		if what == "BLOCK" || what == "ENDBLK" {
			if paper := find(rec, 67) >= 0; paper != (space == paperSpace) {
				t.Errorf("%s of %s: marked as paper space: %v", what, space, paper)
			}
		}
	}
	for _, once := range []string{
		"\n9\n$MEASUREMENT\n70\n1\n", "\n9\n$INSUNITS\n70\n4\n9\n$MEAS",
		"\n0\nCLASS\n1\nACDBPLACEHOLDER\n", "\n2\n*ACTIVE\n",
		"overall size of what is cut: 526.200 mm along X, 110.200 mm along Y", "kerf 0.200 mm applied",
	} {
		if n := bytes.Count(file, []byte(once)); n != 1 {
			t.Errorf("%q stands %d times, want once", once, n)
		}
	}
}

// TestNumbers: every group that holds a real number has a point, six to nine
// decimals, no exponent and no minus nought.
func TestNumbers(t *testing.T) {
	real := regexp.MustCompile(`^-?\d+\.\d{6}(\d{3})?$`)
	zero := regexp.MustCompile(`^-0\.0*$`)
	s := plate(0)
	s.Shapes[0].Center.X = 1e-9   // an exponent in most printers
	s.Shapes[2].Center.Y = -1e-13 // minus nought in most printers
	file := render(t, s, R2000)
	for _, rec := range parse(t, file) {
		for _, g := range rec {
			if (g.code >= 10 && g.code <= 59) || (g.code >= 210 && g.code <= 239) {
				if !real.MatchString(g.value) || zero.MatchString(g.value) {
					t.Errorf("%s: group %d is %q", rec[0].value, g.code, g.value)
				}
			}
		}
	}
}
