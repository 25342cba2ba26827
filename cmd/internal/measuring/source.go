package measuring

import (
	"fmt"

	"reseat/cmd/internal/command"
	"reseat/jig/job"
	"reseat/jig/probelog"
	"reseat/jig/reading"
	"reseat/jig/touch"
)

// source is where readings come from: a table that somebody filled in, a plan of touches
// that somebody filled in, or a controller's log with the plan that it belongs to.
type source struct {
	file string
	data []byte
	plan *touch.Plan    // nil: the table is not one of a plan
	log  bool           // the data is a log
	zero *probelog.Zero // of the log's machine coordinates; nil: the log tells it
}

// open reads the readings' file and, when one is named, the plan. What the plan knows need
// not be said again: the face that is up, the probe.
func (o *measureOptions) open(from command.Streams) (s source, err error) {
	s.file = o.readings
	if s.data, err = from.Read(o.readings, command.MostReadings); err != nil {
		return s, err
	}
	file, data := o.readings, s.data
	switch s.log = o.plan != ""; {
	case s.log:
		file = o.plan
		if data, err = from.Read(file, command.MostReadings); err != nil {
			return s, err
		}
	case o.workZero != "":
		return s, command.Usage("--work-zero goes with --plan: it is for a controller's log")
	case probelog.IsLog(s.data):
		return s, command.Usage("%s is a controller's log: name the plan of its touches, --plan (reseat touch writes one)",
			s.file)
	case !touch.IsPlan(data):
		return s, nil
	}
	p, err := touch.Read(file, data)
	switch {
	case err != nil:
		return s, err
	case string(p.For) != o.verb:
		return s, fmt.Errorf("%s plans touches for reseat %s, and this is reseat %s", file, p.For, o.verb)
	case p.ByProgram && !s.log:
		return s, fmt.Errorf("%s is the plan of a probe's program: give the controller's log, and --plan %s", file, file)
	case o.side != string(p.Up) && o.side == "under":
		return s, fmt.Errorf("%s plans touches with the %s up, and --side says %s", file, p.Up.Name(), o.side)
	case o.workZero != "":
		if s.zero, err = probelog.ParseZero(o.workZero); err != nil {
			return s, command.Usage("--work-zero %v", err)
		}
	}
	s.plan, o.side = &p, string(p.Up)
	if o.probeMM == 0 {
		o.probeMM = p.ProbeMM
	}
	return s, nil
}

// readings makes readings of a source, by the reader of its verb's tables.
func (s source) readings(j *job.Job, table func(string, []byte) ([]reading.Reading, error)) ([]reading.Reading,
	error) {
	if s.plan != nil {
		switch {
		case j == nil:
			return nil, command.Usage("a plan of touches wants its job file: --job JOB")
		case s.plan.JobSHA256 != j.SHA256:
			return nil, fmt.Errorf("%s is not the job that the touches were planned for, or it was changed since: write "+
				"the plan again (reseat touch) and touch by that", j.File)
		}
	}
	if !s.log {
		return table(s.file, s.data)
	}
	if !probelog.IsLog(s.data) {
		return nil, fmt.Errorf("%s is no controller's log: it has neither [PRB:x,y,z:1] lines nor the nine columns of "+
			"PROBEOPEN; readings that were typed, or a plan that was filled in, go without --plan", s.file)
	}
	probes, err := probelog.Read(s.file, s.data, s.zero)
	if err != nil {
		return nil, err
	}
	return s.plan.Readings(s.file, probes)
}
