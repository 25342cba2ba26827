package job

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/google/go-cmp/cmp"

	"reseat/jig/process"
)

// besideJob names one file for two keys.
const besideJob = `board: {length: 300, width: 40, thickness: 6}
dowel: {diameter: 6}
template: {thickness: 6, make: {by: laser, from: NAME}}
`

// TestFileNames: which names of other files are taken, and what a file that cannot be read
// is told as.
func TestFileNames(t *testing.T) {
	dir := t.TempDir()
	if err := os.Mkdir(filepath.Join(dir, "folder.yaml"), 0o700); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ name, from, want string }{
		{"not there", "none.yaml", `:3:50: template.make.from: there is no file "DIR/none.yaml" (names are found from the job file's folder)`},
		{"a folder", "folder.yaml", `:3:50: template.make.from: "DIR/folder.yaml" cannot be read: not a regular file`},
		{"a device", "../../../../../../../../dev/zero", "not a regular file"},
		{"absolute", "/etc/laser.yaml", `"/etc/laser.yaml" holds on this computer alone (write it as found from the job file's folder)`},
		{"of another system", `a\laser.yaml`, `(write slashes: a/laser.yaml)`},
		{"with a drive", "c:laser.yaml", `holds on this computer alone`},
		{"a number", "12", "want a text with a letter in it"},
		{"a list", "[a, b]", "want a text, got a list"},
	} {
		t.Run(c.name, func(t *testing.T) {
			path := filepath.Join(dir, "job.yaml")
			if err := os.WriteFile(path, []byte(strings.Replace(besideJob, "NAME", c.from, 1)), 0o600); err != nil {
				t.Fatal(err)
			}
			_, err := Read(path)
			if err == nil || !strings.Contains(err.Error(), strings.ReplaceAll(c.want, "DIR", filepath.ToSlash(dir))) ||
				strings.Contains(err.Error(), "\n") {
				t.Errorf("got %v\nwant %s", err, c.want)
			}
		})
	}
}

// withFile opens one file of a folder that stands in memory.
func withFile(name, text string) Opener {
	return fstest.MapFS{name: {Data: []byte(text)}}.Open
}

const laserFile = `by: laser
material: Cast acrylic
thickness_mm: 6
kerf_mm: {value: -0.02, low: -0.04, high: 0.01}
bias_mm: {value: 0.08, low: 0.06, high: 0.1, told: true}
spread_mm: 0.06
taper_mm: {value: -0.12, low: -0.14, high: -0.1}
position_mm: {high: 0.03, told: false}
`

// TestParse: a job is another one when a file changes that it names, and keeps what it
// read when it is changed.
func TestParse(t *testing.T) {
	text := []byte(strings.Replace(besideJob, "NAME", "laser.yaml", 1))
	sum := map[string]bool{}
	for _, f := range []string{laserFile, laserFile + "# cut again\n"} {
		j, err := Parse("a/job.yaml", text, withFile("laser.yaml", f))
		if err != nil {
			t.Fatal(err)
		}
		sum[j.SHA256] = true
		j.open = nil
		if k, err := j.With(Change{"accuracy", "0.2"}); err != nil || k.SHA256 != j.SHA256 {
			t.Errorf("changed: %v", err)
		}
		if _, err := j.With(Change{"template.make.from", "other.yaml"}); err == nil {
			t.Error("another file is taken that nobody opened")
		}
	}
	if len(sum) != 2 {
		t.Errorf("jobs with different files have the same checksum: %v", sum)
	}
	_, err := Parse("job.yaml", text)
	if err == nil || !strings.Contains(err.Error(), "the job was read by itself") {
		t.Errorf("without a folder: %v", err)
	}
	_, err = Parse("job.yaml", text, withFile("laser.yaml", strings.Repeat("#", MaxFileBytes+1)))
	if err == nil || !strings.Contains(err.Error(), "it has more than 1048576 bytes") {
		t.Errorf("too large: %v", err)
	}
	_, err = Parse("job.yaml", text, fstest.MapFS{}.Open)
	var ps *Problems
	if !errors.As(err, &ps) || len(ps.List) != 1 || errors.Is(err, fs.ErrPermission) {
		t.Errorf("not there: %v", err)
	}
}

// The faults of a process file are told all at once, each at its place in that file.
func TestProcessFileFaults(t *testing.T) {
	const head = "by: laser\nmaterial: cast acrylic\nthickness_mm: 6\n"
	for _, c := range []struct{ name, file, want string }{
		{"empty", "", "laser.yaml: is empty (reseat coupon read JOB FORM -o FILE writes one)"},
		{"not text", "by\x00", "laser.yaml: is not text: byte 2 is zero (is this the process file?)"},
		{"no YAML", "by: {laser", "laser.yaml:1:5: { is never closed (add })"},
		{"keys missing", "by: laser", "laser.yaml:1:1: material: is missing (of what)\n" +
			"laser.yaml:1:1: thickness_mm: is missing (how thick)"},
		{"another process", strings.Replace(head, "laser", "router", 1),
			"job.yaml:3:50: template.make.from: laser.yaml is of by: router, not laser (measure a coupon made as this part " +
				"is)"},
		{"a key of the job", head + "kerf: 0.2\n", `laser.yaml:4:1: kerf: unknown key "kerf" (did you mean "kerf_mm"?)`},
		{"not of this process", head + "edge_mm: 0.02\n",
			"laser.yaml:4:10: edge_mm: means nothing with by: laser (remove it; it goes with by: router or print)"},
		{"no number", head + "kerf_mm: wide\nspread_mm: {value: .nan, low: 0, high: 1}\nbias_mm: 0,2\n",
			"laser.yaml:4:10: kerf_mm: want a number of mm, got \"wide\" (write a plain number)\n" +
				"laser.yaml:5:20: spread_mm.value: want a number of mm or percent, got .nan (write a plain number)\n" +
				"laser.yaml:6:10: bias_mm: want a number of mm, got \"0,2\" (write 0.2 with a point)"},
		{"too large", head + "kerf_mm: {value: 7, low: 6, high: 8}\n",
			"laser.yaml:4:18: kerf_mm.value: got 7, want -2 to 5 mm"},
		{"ends swapped", head + "kerf_mm: {value: 0.2, low: 0.3, high: 0.1}\n",
			"laser.yaml:4:28: kerf_mm.low: 0.3 lies on the wrong side of the value, 0.2 (low, value, high go up)\n" +
				"laser.yaml:4:39: kerf_mm.high: 0.1 lies on the wrong side of the value, 0.2 (low, value, high go up)"},
		{"no end", head + "kerf_mm: {value: 0.2, low: 0.1}\n",
			"laser.yaml:4:10: kerf_mm: has no high (give value, low and high, or the value alone)"},
		{"no value", head + "kerf_mm: {low: 0.1, high: 0.2}\n",
			"laser.yaml:4:10: kerf_mm: has no value (give value, low and high, or told: false)"},
		{"no date", head + "measured_on: yesterday\n",
			`laser.yaml:4:14: measured_on: want a date, got "yesterday" (write year, month and day: 2026-11-29)`},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := Parse("job.yaml", []byte(strings.Replace(besideJob, "NAME", "laser.yaml", 1)),
				withFile("laser.yaml", c.file))
			if err == nil || err.Error() != c.want {
				t.Errorf("got\n%v\nwant\n%s", err, c.want)
			}
			var ps *Problems
			if errors.As(err, &ps) && strings.HasPrefix(c.want, "laser.yaml:4:") &&
				!strings.Contains(ps.Detail(), "     4 | "+strings.Split(c.file, "\n")[3]) {
				t.Errorf("does not show the line:\n%s", ps.Detail())
			}
		})
	}
}

// What a file tells stands where the job's own keys would, which override it.
func TestTakeMeasured(t *testing.T) {
	text := strings.Replace(besideJob, "from: NAME", "from: laser.yaml, bias: 0.01", 1)
	j, err := Parse("job.yaml", []byte(text), withFile("laser.yaml", laserFile))
	if err != nil {
		t.Fatal(err)
	}
	m := j.Template.Make
	if m.KerfMM != -0.02 || m.SpreadMM != 0.06 || m.TaperMM != 0.12 || m.BiasMM != 0.01 || m.PositionMM != 0.03 {
		t.Errorf("%+v", m)
	}
	for _, key := range []string{"kerf", "spread", "taper", "bias", "position"} {
		if !m.IsGiven(key) || !j.IsGiven("template.make."+key) {
			t.Errorf("%s was given by file or job", key)
		}
	}
	if j.IsGiven("template.make.straight") || j.Pos("template.make.spread") != j.Pos("template.make.from") {
		t.Error("a key of the file does not stand where the file is named")
	}
	if got := m.Measured.Overridden; len(got) != 1 || got[0] != "bias" {
		t.Errorf("overridden: %v", got)
	}
	if f, ok := m.Measured.Estimate("spread_mm"); !ok || f.Half() != 0 {
		t.Errorf("a number alone is exact: %+v", f)
	}
	if k, err := j.With(Change{"template.make.spread", "0.01"}); err != nil || k.Template.Make.SpreadMM != 0.01 ||
		k.Template.Make.KerfMM != -0.02 {
		t.Errorf("changed: %v", err)
	}
}

// TestProcessFileReadBack: what is written of a process is read as it was.
func TestProcessFileReadBack(t *testing.T) {
	want := process.File{
		Name: "laser.yaml", By: "laser", Material: `cast "acrylic" \ clear`, ThicknessMM: 5.8, Pin: "6 m6",
		Coupon:     "1234567",
		MeasuredOn: "2026-11-29", MeasuredBy: "the shop", Estimates: []process.Estimate{
			{Key: "kerf_mm", Value: 0.2134, Low: 0.2, High: 0.2268, Determined: true},
			{Key: "bias_mm"},
			{Key: "taper_mm", Value: -0.05, Low: -0.0625, High: -0.0375, Determined: true},
			{Key: "position_mm", High: 0.04},
			{Key: "scale_x_pct", Value: 0.01, Low: -0.012, High: 0.032, Determined: true},
		},
	}
	var b strings.Builder
	if err := want.Write(&b); err != nil {
		t.Fatal(err)
	}
	j, err := Parse("job.yaml", []byte(strings.Replace(besideJob, "NAME", "laser.yaml", 1)),
		withFile("laser.yaml", b.String()))
	if err != nil {
		t.Fatalf("%v in\n%s", err, b.String())
	}
	if d := cmp.Diff(want, j.Template.Make.Measured.File); d != "" {
		t.Errorf("(-want +got):\n%s\nof\n%s", d, b.String())
	}
}
