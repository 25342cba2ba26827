package cli

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestPinsOf: the record's pins serve as long as neither the job file nor the record has
// changed by a byte, and datum says where its last pin comes from.
func TestPinsOf(t *testing.T) {
	text, err := os.ReadFile(exampleJob)
	if err != nil {
		t.Fatal(err)
	}
	// The job stands elsewhere, and with figures of its own.
	text = bytes.Replace(text, []byte("from: processes/bouzouki-laser.process.yaml"), []byte("kerf: 0.2, spread: 0.04"), 1)
	dir := t.TempDir()
	jobFile, recordFile := filepath.Join(dir, "board.yaml"), filepath.Join(dir, "board", "design.json")
	write := func(path string, data []byte) {
		t.Helper()
		if err := os.WriteFile(path, data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	run := func(args ...string) string {
		t.Helper()
		var out, errs bytes.Buffer
		if Run(args, nil, &out, &errs) == exitInput {
			t.Fatal(errs.String())
		}
		return out.String()
	}
	// at returns the line of datum's report that names the last pin.
	at := func() string {
		t.Helper()
		text := run("datum", filepath.Join("..", "..", "..", "testdata", "readings", "bouzouki-askew.csv"), "--job", jobFile)
		_, text, _ = strings.Cut(text, "Tap at ")
		text, _, _ = strings.Cut(text, "start end stays")
		return strings.Join(strings.Fields(text), " ")
	}
	write(jobFile, text)
	fresh := at()
	if !strings.Contains(fresh, "worked out from the job") {
		t.Errorf("no record: %s", fresh)
	}
	run("design", jobFile)
	written, err := os.ReadFile(recordFile)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := at(), strings.Replace(fresh, "worked out from the job", recordFile, 1); got != want {
		t.Errorf("from the record: %s\nwant %s", got, want)
	}
	for _, c := range []struct {
		name        string
		job, record []byte
	}{
		{"an edited station", text, bytes.ReplaceAll(written, []byte(`"u_mm": 4`), []byte(`"u_mm": 14`))},
		{"a broken record", text, []byte("{")},
		{"another job file", append(bytes.Clone(text), '\n'), written},
	} {
		write(jobFile, c.job)
		write(recordFile, c.record)
		if got := at(); got != fresh {
			t.Errorf("%s: %s\nwant %s", c.name, got, fresh)
		}
	}
}
