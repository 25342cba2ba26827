package measuring

import (
	"encoding/json"
	"path/filepath"

	"reseat/cmd/internal/command"
	"reseat/export"
	"reseat/jig"
	"reseat/jig/geom"
	"reseat/jig/job"
	"reseat/jig/measure"
	"reseat/jig/program"
	"reseat/jig/setup"
)

// pinsWorkedOut is where pins come from when no record tells them.
const pinsWorkedOut = "worked out from the job"

// pinsOf returns the pins of the job's design, in the board frame, and where they come from: the path of the
// record that design wrote beside the job, or pinsWorkedOut. The record serves when it
// was made from these very bytes of the job file and not a byte of it has changed since;
// otherwise the pattern is searched for again, which takes some 20 ms.
func pinsOf(j *job.Job) (pins []measure.Mark, from string, err error) {
	path := filepath.Join(command.DefaultDir(j.File), export.RecordName)
	if pins := recordedPins(path, j.SHA256); len(pins) > 0 {
		return pins, path, nil
	}
	placed, err := jig.Pins(j)
	for _, p := range placed {
		pins = append(pins, measure.Mark{Name: p.ID, At: p.At})
	}
	return pins, pinsWorkedOut, err
}

// recordedPins reads the pins from a record; none when it is not the genuine record of
// the job with that checksum.
func recordedPins(path, jobSHA256 string) (pins []measure.Mark) {
	data, err := command.ReadRegular(path, command.MostRecord)
	if err != nil || !export.IsGenuine(data) {
		return nil
	}
	var doc struct {
		JobSHA256 string `json:"job_sha256"`
		Pins      []struct {
			ID  string  `json:"id"`
			UMM float64 `json:"u_mm"`
			VMM float64 `json:"v_mm"`
		} `json:"pins"`
	}
	if json.Unmarshal(data, &doc) != nil || doc.JobSHA256 == "" || doc.JobSHA256 != jobSHA256 {
		return nil
	}
	for _, p := range doc.Pins {
		pins = append(pins, measure.Mark{Name: p.ID, At: geom.Vec{X: p.UMM, Y: p.VMM}})
	}
	return pins
}

// lastPin is where the board is tapped: the pin farthest along the datum line.
type lastPin struct {
	id        string // "" when only the station is known
	stationMM float64
	from      string // what tells it
}

// lastPinOf returns the job's last pin, seen along the board as it lies; its station is zero
// when the job has no pattern.
func lastPinOf(j *job.Job, up setup.Face) (last lastPin) {
	pins, from, err := pinsOf(j)
	if err != nil {
		return lastPin{}
	}
	for _, p := range pins {
		if u := program.TurnOf(j).Lying(up, p.At).X; u > last.stationMM {
			last = lastPin{p.Name, u, from}
		}
	}
	return last
}
