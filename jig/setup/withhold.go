package setup

import (
	"fmt"
	"slices"
)

// Withhold returns the set-ups with a program that is not written: the one that would run it
// says so and why, and does nothing else.
func Withhold(all []Setup, file, why string) []Setup {
	out := append([]Setup(nil), all...)
	for i, s := range out {
		if s.Program != file {
			continue
		}
		s.Program, s.Tool, s.Checks = "", nil, nil
		s.Steps = []string{fmt.Sprintf("%s is not written: %s. Mend that in the job and design again.", file, why)}
		out[i] = s
	}
	return out
}

// BoringSetup returns the set-up in which the features of a face are bored, or would be: what lies
// and stands in it, and its zero.
func BoringSetup(all []Setup, up Face) (s Setup) {
	for _, id := range map[Face][]ID{Top: {SeatBoard, BoreTop}, Under: {TurnOver, BoreUnder}}[up] {
		if i := slices.IndexFunc(all, func(s Setup) bool { return s.ID == id }); i >= 0 {
			s = all[i]
		}
	}
	return s
}

// OverMM is how far the highest thing of the set-up stands over its Z0 while it is cut in; 0
// where nothing does.
func (s Setup) OverMM() float64 {
	if s.Zero == nil {
		return 0
	}
	return max(0, s.TopMM()-s.Zero.ZMM)
}

// HeightsOverZero returns, by the program's file, how far the highest thing of each set-up stands
// over its Z0 while it is cut in, for every program that the work could have; 0 where
// nothing does.
func HeightsOverZero(w Work) map[string]float64 {
	w.Runs = nil
	for _, f := range []string{BedFile, BlankFile, TopFile, UnderFile} {
		w.Runs = append(w.Runs, Run{File: f})
	}
	over := map[string]float64{}
	for _, s := range Derive(w) {
		if s.Program != "" && s.Zero != nil {
			over[s.Program] = s.OverMM()
		}
	}
	return over
}
