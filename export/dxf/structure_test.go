package dxf

import (
	"bytes"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// records splits a file the simple way, apart from the package's own scanner.
func records(t *testing.T, file []byte) [][][2]string {
	t.Helper()
	lines := strings.Split(strings.TrimSuffix(string(file), "\n"), "\n")
	if len(lines)%2 != 0 {
		t.Fatalf("%d lines: a code without a value", len(lines))
	}
	var out [][][2]string
	for i := 0; i < len(lines); i += 2 {
		p := [2]string{lines[i], lines[i+1]}
		if p[0] == "0" || len(out) == 0 {
			out = append(out, nil)
		}
		out[len(out)-1] = append(out[len(out)-1], p)
	}
	return out
}

func values(rec [][2]string, code string) (out []string) {
	inReactors := false
	for _, p := range rec {
		if p[0] == "102" {
			inReactors = strings.HasPrefix(p[1], "{")
		}
		if p[0] == code && !inReactors {
			out = append(out, p[1])
		}
	}
	return out
}

// TestStructure holds rule A04: handles are unique, owners exist and are the
// right ones, the seed lies above; and that each correction of mend is there once.
// Owners as in the DXF reference (AC1015) and in files that ezdxf 0.18.1 writes.
func TestStructure(t *testing.T) {
	file := render(t, plate(0.2))
	kind := map[string]string{} // handle to what it names
	name := map[string]string{}
	top, seed := uint64(0), uint64(0)
	var table string
	for _, rec := range records(t, file) {
		what := rec[0][1]
		if what == "SECTION" && values(rec, "2")[0] == "HEADER" {
			for i, p := range rec {
				if p == [2]string{"9", "$HANDSEED"} {
					seed, _ = strconv.ParseUint(rec[i+1][1], 16, 64)
				}
			}
			continue
		}
		code := "5"
		if what == "DIMSTYLE" {
			code = "105"
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
			kind[h] = what
			if v := values(rec, "2"); len(v) > 0 {
				name[h] = v[0]
			}
		}
	}
	if seed <= top {
		t.Errorf("seed %X is not above the highest handle %X", seed, top)
	}
	space := ""
	dictionaries := 0
	for _, rec := range records(t, file) {
		what := rec[0][1]
		owners := values(rec, "330")
		switch what {
		case "999", "SECTION", "ENDSEC", "ENDTAB", "EOF", "CLASS":
			if len(owners) > 0 {
				t.Errorf("%s has an owner", what)
			}
			continue
		}
		if rec[0][0] != "0" {
			continue // the comments at the top
		}
		if len(owners) != 1 {
			t.Errorf("%s has %d owners, want 1", what, len(owners))
			continue
		}
		got := owners[0]
		if got != "0" && kind[got] == "" {
			t.Errorf("%s: owner %s does not exist", what, got)
		}
		want := ""
		switch what {
		case "TABLE":
			table = values(rec, "2")[0]
			if got != "0" {
				t.Errorf("table %s: owner %s, want 0", table, got)
			}
		case "VPORT", "LTYPE", "LAYER", "STYLE", "APPID", "DIMSTYLE", "BLOCK_RECORD":
			want = table
		case "BLOCK":
			space = values(rec, "2")[0]
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
		if what == "BLOCK_RECORD" && len(values(rec, "70"))+len(values(rec, "280"))+len(values(rec, "281")) > 0 {
			t.Errorf("block record %s has groups that are younger than AC1015", values(rec, "2"))
		}
		if what == "BLOCK" || what == "ENDBLK" {
			if paper := len(values(rec, "67")) == 1; paper != (space == paperSpace) {
				t.Errorf("%s of %s: marked as paper space: %v", what, space, paper)
			}
		}
	}
	for once, text := range map[string]string{
		"$MEASUREMENT": "\n9\n$MEASUREMENT\n70\n1\n", "$INSUNITS": "\n9\n$INSUNITS\n70\n4\n",
		"class": "\n0\nCLASS\n1\nACDBPLACEHOLDER\n", "view": "\n2\n*ACTIVE\n",
	} {
		if n := bytes.Count(file, []byte(text)); n != 1 {
			t.Errorf("%s stands %d times, want once", once, n)
		}
	}
}

// TestNumbers: rule A03 and A20, on every value of a group that holds a real number.
func TestNumbers(t *testing.T) {
	real := regexp.MustCompile(`^-?\d+\.\d{6,12}$`)
	zero := regexp.MustCompile(`^-0\.0*$`)
	s := plate(0)
	s.Shapes[0].Center.X = 1e-9   // an exponent in most printers
	s.Shapes[2].Center.Y = -1e-13 // minus nought in most printers
	for _, rec := range records(t, render(t, s)) {
		for _, p := range rec {
			code, _ := strconv.Atoi(p[0])
			if (code >= 10 && code <= 59) || (code >= 210 && code <= 239) {
				if !real.MatchString(p[1]) || zero.MatchString(p[1]) {
					t.Errorf("%s: group %s is %q", rec[0][1], p[0], p[1])
				}
			}
		}
	}
	if bytes.ContainsAny(render(t, s), "\r\t") {
		t.Error("line ends are not plain LF throughout")
	}
}
