package job

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"
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

const laserFile = "by: laser\n"

// TestParseBeside: a job is another one when a file changes that it names, and keeps what it
// read when it is changed.
func TestParseBeside(t *testing.T) {
	text := []byte(strings.Replace(besideJob, "NAME", "laser.yaml", 1))
	sum := map[string]bool{}
	for _, f := range []string{laserFile, laserFile + "# cut again\n"} {
		j, err := ParseBeside("a/job.yaml", text, withFile("laser.yaml", f))
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
	_, err = ParseBeside("job.yaml", text, withFile("laser.yaml", strings.Repeat("#", MaxFileBytes+1)))
	if err == nil || !strings.Contains(err.Error(), "it has more than 1048576 bytes") {
		t.Errorf("too large: %v", err)
	}
	_, err = ParseBeside("job.yaml", text, fstest.MapFS{}.Open)
	var ps *Problems
	if !errors.As(err, &ps) || len(ps.List) != 1 || errors.Is(err, fs.ErrPermission) {
		t.Errorf("not there: %v", err)
	}
}
