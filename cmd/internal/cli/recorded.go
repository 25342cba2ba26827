package cli

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"os"
	"path/filepath"

	"reseat/export"
	"reseat/jig/geom"
	"reseat/jig/job"
)

// digest is the SHA-256 of a file's bytes, "" when it cannot be read.
func digest(path string) string {
	data, err := os.ReadFile(path)
	if err != nil || len(data) > job.MaxFileBytes {
		return ""
	}
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// recordedPin is a pin as the record tells it, in the board frame.
type recordedPin struct {
	id string
	at geom.Vec
}

// recordedPins reads the pins from the record that design wrote beside the job, when it
// was made from these very bytes of the job file: the pattern need not be searched for
// again. ok is false when there is no such record.
func recordedPins(jobFile string) (pins []recordedPin, ok bool) {
	path := filepath.Join(defaultDir(jobFile), export.RecordName)
	if st, err := os.Stat(path); err != nil || !st.Mode().IsRegular() || st.Size() > mostRecord {
		return nil, false
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, false
	}
	var doc struct {
		MadeBy    string `json:"made_by"`
		JobSHA256 string `json:"job_sha256"`
		Pins      []struct {
			ID  string  `json:"id"`
			UMM float64 `json:"u_mm"`
			VMM float64 `json:"v_mm"`
		} `json:"pins"`
	}
	if json.Unmarshal(data, &doc) != nil || doc.MadeBy != export.MadeBy || doc.JobSHA256 == "" || doc.JobSHA256 != digest(jobFile) {
		return nil, false
	}
	for _, p := range doc.Pins {
		pins = append(pins, recordedPin{p.ID, geom.Vec{X: p.UMM, Y: p.VMM}})
	}
	return pins, len(pins) > 0
}
