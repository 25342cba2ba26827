package engine

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"reseat/cmd/internal/outputs"
	"reseat/export/dxf"
	"reseat/jig"
	"reseat/jig/job"
)

const jobs = "../../../testdata/jobs"

// example is an example job with the files beside it.
func example(t *testing.T, name string) Job {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(jobs, name+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	return Job{name + ".yaml", string(text), os.DirFS(jobs).Open}
}

// TestSizes: every size is a key of the job file, and an example's are found as they stand in its text.
func TestSizes(t *testing.T) {
	for _, row := range sizes() {
		if _, ok := keyOf(row[0]); !ok {
			t.Errorf("%s is no key of the job file", row[0])
		}
	}
	got := map[string]string{}
	for _, s := range sizesOf(example(t, "dulcimer-inches").Text) {
		got[s.Key] = s.Value + " " + s.Unit
	}
	for key, want := range map[string]string{
		"board.length": "17 in", "board.width": "1 1/2 in in", "template.push": "left ", "bed.thickness": "3/4 in in",
		"dowel.count": " ", "machine.travel.z": "4 in", "template.make.by": "router ",
	} {
		if got[key] != want {
			t.Errorf("%s: got %q, want %q", key, got[key], want)
		}
	}
	for _, key := range []string{"blank.length", "board.width.start", "rails.gap"} {
		if _, shown := got[key]; shown {
			t.Errorf("%s is shown, and the job has no such section", key)
		}
	}
}

// TestLook: what a page shows of a job that holds, of one that does not, and of one that cannot be read.
func TestLook(t *testing.T) {
	e, j := &Engine{}, example(t, "dulcimer-inches")
	good := e.Look(t.Context(), j, false)
	if !good.Holds || len(good.Faults) > 0 || good.Word != "HOLDS" || !strings.HasPrefix(good.Plate, "<?xml") ||
		len(good.Work) == 0 || !strings.Contains(good.PlateAlt, "P1 (round) at ") {
		t.Errorf("%+v", good)
	}
	j.Text = strings.Replace(j.Text, "travel: {x: 40,", "travel: {x: 16,", 1)
	bad := e.Look(t.Context(), j, false)
	if bad.Holds || bad.Word != "DOES NOT HOLD" || bad.Findings[0].Level != "fail" || bad.Findings[0].Line == 0 {
		t.Errorf("%+v", bad.Findings)
	}
	j.Text = strings.Replace(j.Text, "length: 17", "length: wide", 1)
	none := e.Look(t.Context(), j, false)
	want := Fault{Line: 13, Column: 11, Key: "board.length"}
	if len(none.Faults) != 1 {
		t.Fatalf("%+v", none)
	}
	got := none.Faults[0]
	if got.Says == "" || none.Word != "" || len(none.Sizes) == 0 {
		t.Errorf("%+v", none)
	}
	if got.Says, got.Remedy = "", ""; got != want {
		t.Errorf("got %+v, want %+v", got, want)
	}
}

// TestOvertaken: while it is tried what helps a job, others are answered; and the search ends once nobody waits.
func TestOvertaken(t *testing.T) {
	e, j := &Engine{}, example(t, "bouzouki-fingerboard")
	j.Text = strings.Replace(j.Text, "\naccuracy: 0.10", "\naccuracy: 0.01", 1) // 15 times as long as a quick look
	request, err := json.Marshal(Request{Ask: "look", Name: j.Name, Text: j.Text})
	if err != nil {
		t.Fatal(err)
	}
	ctx, leave := context.WithCancel(t.Context())
	defer leave()
	ended := make(chan error, 1)
	go func() {
		_, err := e.Ask(ctx, request, j.Open)
		ended <- err
	}()
	e.Look(t.Context(), j, true)
	select {
	case <-ended:
		t.Fatal("a quick look waited for the search")
	default:
	}
	leave()
	if err := <-ended; !errors.Is(err, context.Canceled) {
		t.Errorf("the search that nobody waited for went on: %v", err)
	}
}

// TestFilesAreTheCommands: the files are those of the command, and zipped the same.
func TestFilesAreTheCommands(t *testing.T) {
	e, j := &Engine{}, example(t, "dulcimer-inches")
	read, err := job.Read(filepath.Join(jobs, "dulcimer-inches.yaml"))
	if err != nil {
		t.Fatal(err)
	}
	d, err := jig.Build(read)
	if err != nil {
		t.Fatal(err)
	}
	want, err := outputs.Render(d, outputs.Options{DXF: dxf.R2000})
	if err != nil {
		t.Fatal(err)
	}
	var list, all Got
	ask(t, e, j, Request{Ask: "files", DXF: dxf.R2000}, &list)
	if len(list.Files) != len(want.Files()) {
		t.Fatalf("%+v", list)
	}
	for _, f := range list.Files {
		var got Got
		ask(t, e, j, Request{Ask: "file", File: f.Name, DXF: dxf.R2000}, &got)
		var data bytes.Buffer
		if err := want.WriteOne(&data, f.Name); err != nil || !bytes.Equal(got.Data, data.Bytes()) {
			t.Errorf("%s: %v, %d bytes, want %d", f.Name, err, len(got.Data), data.Len())
		}
	}
	ask(t, e, j, Request{Ask: "file", DXF: dxf.R2000}, &all)
	if !bytes.HasPrefix(all.Data, []byte("PK")) {
		t.Errorf("the archive begins %q", all.Data[:min(4, len(all.Data))])
	}
}

// ask asks as the page does.
func ask(t *testing.T, e *Engine, j Job, r Request, into any) {
	t.Helper()
	r.Name, r.Text = j.Name, j.Text
	request, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	answer, err := e.Ask(t.Context(), request, j.Open)
	if err == nil {
		err = json.Unmarshal(answer, into)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// TestMeasure: readings that are pasted give the command's words, and a plan filled in as drawn is good.
func TestMeasure(t *testing.T) {
	e, j := &Engine{}, example(t, "bouzouki-fingerboard")
	askew, err := os.ReadFile("../../../testdata/readings/bouzouki-askew.csv")
	if err != nil {
		t.Fatal(err)
	}
	var m Measured
	ask(t, e, j, Request{Ask: "measure", Verb: "datum", Readings: string(askew)}, &m)
	if m.Fault != "" || !strings.Contains(string(m.Document), `"verdict":"out of tolerance"`) ||
		!strings.Contains(m.Text, "OUT OF TOLERANCE") {
		t.Errorf("%+v", m)
	}
	ask(t, e, j, Request{Ask: "measure", Verb: "datum", Readings: "on,x_mm,y_mm\nleft,a,b\n"}, &m)
	if !strings.Contains(m.Fault, `readings.csv:2:6: x_mm "a" is not a number`) {
		t.Errorf("%+v", m)
	}
	for _, verb := range []string{"datum", "locate", "zero"} {
		var plan Touches
		ask(t, e, j, Request{Ask: "touches", Verb: verb, Side: "top", ProbeMM: 3}, &plan)
		var typed [][]string
		for _, r := range plan.Rows {
			if verb == "zero" && r.On == "top" {
				r.Expect[2], r.Expect[3] = "0.1", "0.1"
			}
			typed = append(typed, r.Expect)
		}
		ask(t, e, j, Request{Ask: "measure", Verb: verb, Readings: plan.CSV, Columns: plan.Typed, Typed: typed}, &m)
		if plan.Fault != "" || m.Fault != "" || !strings.Contains(string(m.Document), `"verdict":"`) {
			t.Errorf("%s: %+v %+v", verb, plan, m)
		}
	}
}

// TestFill: what is typed stands in the plan's columns, and a reading keeps its line where others are left out.
func TestFill(t *testing.T) {
	const plan = "# touch plan\nplan_touch,on,plan_mark,x_mm,y_mm\n1,left,,,\n2,left,\"a, b\",,\n3,right,,,\n"
	got, err := fill(plan, []string{"x_mm", "y_mm"}, [][]string{{"1", "2"}, {"", ""}, {" 3 ", "4"}})
	want := "# touch plan\nplan_touch,on,plan_mark,x_mm,y_mm\n1,left,,1,2\n\n3,right,,3,4\n"
	if err != nil || got != want {
		t.Errorf("%v\n%q\n%q", err, got, want)
	}
	for _, bad := range []string{"", "# x\n", "# x\na,b\n\"c"} {
		if got, err := fill(bad, nil, nil); err == nil {
			t.Errorf("%q is filled: %q", bad, got)
		}
	}
}
