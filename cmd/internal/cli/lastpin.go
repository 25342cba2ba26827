package cli

import (
	"encoding/json"
	"os"
	"path/filepath"

	"reseat/export"
	"reseat/jig/job"
)

// lastPin is where the board is tapped: the pin farthest along the datum line.
type lastPin struct {
	id        string // "" when only the station is known
	stationMM float64
	from      string // the record that tells it
}

// name is what the shop calls it.
func (p lastPin) name() string {
	if p.id == "" {
		return "the pin"
	}
	return "the last pin, " + p.id
}

// mostRecord bounds the record that is read: a design of twelve pins is 100 kB.
const mostRecord = 4 << 20

// findLastPin looks the last pin up in the record that design wrote beside the job.
// Working the pattern out again would take longer than everything else that datum
// does. There is none when the record is missing or of another board.
func findLastPin(j *job.Job, jobFile string) (lastPin, bool) {
	path := filepath.Join(defaultDir(jobFile), export.RecordName)
	if st, err := os.Stat(path); err != nil || !st.Mode().IsRegular() || st.Size() > mostRecord {
		return lastPin{}, false
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return lastPin{}, false
	}
	var doc struct {
		MadeBy string `json:"made_by"`
		Title  string `json:"title"`
		Board  struct {
			LengthMM     float64 `json:"length_mm"`
			WidthStartMM float64 `json:"width_start_mm"`
			WidthEndMM   float64 `json:"width_end_mm"`
		} `json:"board"`
		Pins []struct {
			ID  string  `json:"id"`
			UMM float64 `json:"u_mm"`
		} `json:"pins"`
	}
	// What is no record is as good as none: the far end serves.
	if json.Unmarshal(data, &doc) != nil || doc.MadeBy != export.MadeBy || doc.Title != j.Title {
		return lastPin{}, false
	}
	b, d := j.Board, doc.Board
	if clean(b.LengthMM) != clean(d.LengthMM) || clean(b.WidthStartMM) != clean(d.WidthStartMM) || clean(b.WidthEndMM) != clean(d.WidthEndMM) {
		return lastPin{}, false
	}
	out := lastPin{from: path}
	for _, p := range doc.Pins {
		if p.UMM > out.stationMM {
			out.id, out.stationMM = p.ID, p.UMM
		}
	}
	return out, out.id != ""
}
