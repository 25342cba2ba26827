package cli

import (
	"io"
	"os"
	"path/filepath"
	"testing"
)

// TestRecordedPins: the record's pins serve as long as the job file has not changed by
// a byte, and are those that the job gives.
func TestRecordedPins(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("..", "..", "..", "testdata", "jobs", "ukulele-printed.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "uke.yaml")
	write := func(data []byte) {
		t.Helper()
		if err := os.WriteFile(path, data, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	write(text)
	if _, ok := recordedPins(path); ok {
		t.Error("pins without a record")
	}
	if got := Run([]string{"design", path}, nil, io.Discard, io.Discard); got != exitHolds {
		t.Fatalf("exit %d", got)
	}
	pins, ok := recordedPins(path)
	d, err := readDesign(path)
	if err != nil || !ok || len(pins) != len(d.Pins) {
		t.Fatalf("%v, %v, %v", pins, ok, err)
	}
	for i, p := range pins {
		const recordMM = 1e-6 // decimals of the record
		if p.id != d.Pins[i].ID || p.at.Dist(d.Pins[i].At) > recordMM {
			t.Errorf("%v, want %s at %v", p, d.Pins[i].ID, d.Pins[i].At)
		}
	}
	write(append(text, '\n'))
	if _, ok := recordedPins(path); ok {
		t.Error("pins of a record of another job file")
	}
	if err := os.WriteFile(filepath.Join(filepath.Dir(path), "uke", "design.json"), []byte("{"), 0o666); err != nil {
		t.Fatal(err)
	}
	write(text)
	if _, ok := recordedPins(path); ok {
		t.Error("pins of a broken record")
	}
}
