package job

import (
	"errors"
	"io"
	"strings"
	"testing"

	"reseat/jig/units"
)

// TestJoinKeepsPlaces: faults that later stages find are told like the reader's.
func TestJoinKeepsPlaces(t *testing.T) {
	j, err := Parse("pear.yaml", Starter(units.MM))
	if err != nil {
		t.Fatal(err)
	}
	if j.Fault("dowel", nil) != nil || Join(nil, nil) != nil || Join() != nil {
		t.Error("no fault is an error")
	}
	first := j.Fault("dowel.diameter", errors.New("no such pin"))
	joined := Join(first, nil, j.Fault("template.make", io.ErrUnexpectedEOF), errors.New("lost"))
	var ps *Problems
	if !errors.As(joined, &ps) || len(ps.List) != 3 {
		t.Fatalf("got %v", joined)
	}
	if !errors.Is(joined, io.ErrUnexpectedEOF) {
		t.Error("the cause is lost")
	}
	detail := ps.Detail()
	for _, want := range []string{
		"dowel.diameter: no such pin\n", "|   diameter: 6\n", "template.make: unexpected EOF\n", "|   make:\n",
		"\nlost\n",
	} {
		if !strings.Contains(detail, want) {
			t.Errorf("%q is missing in\n%s", want, detail)
		}
	}
	var one *Problem
	if !errors.As(joined, &one) || one.Path != "dowel.diameter" {
		t.Errorf("got %v", one)
	}
	// A job made by a program has no text to point at.
	if err := (&Job{File: "made"}).Fault("dowel", errors.New("no such pin")); err.Error() != "made: dowel: no such pin" {
		t.Errorf("got %v", err)
	}
}
