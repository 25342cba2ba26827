package pocket

import (
	"strings"
	"testing"
)

// TestUnderside: the face that is cut is flat, whatever the top is; crown and sanding of the
// top take from what is left. By hand: the disc reaches out to v = 20, where the crown of 300
// has fallen 0.667, and the one of 250 that it is sanded to 0.801, 0.1 lower: 9 - 0.901 =
// 8.099 of board, and 3.5 deep leaves 4.599. Frets lie on the other face.
func TestUnderside(t *testing.T) {
	b := Board{LengthMM: 400, WidthStartMM: 60, WidthEndMM: 60, ThicknessMM: 9, CrownRadiusMM: 300, FinalRadiusMM: 250,
		SandMM: 0.1, Under: true}
	s := Spec{Board: b, CutterMM: 3, Features: []Feature{{Name: "peg", UMM: 350, VMM: -16, BoreMM: 8, DepthMM: 3.5}}}
	k := plan(t, s).Pockets[0]
	near(t, "depth", k.Seat.DepthMM, 3.5, exactly)
	near(t, "at the feature", k.Seat.AtFeatureMM, 3.5, exactly)
	near(t, "least depth", k.Seat.LeastDepthMM, 3.5, exactly)
	near(t, "board left", k.Seat.UnderMM, 4.5987, 1e-4)
	s.Features[0].DepthMM = 8.2 // 9 - 8.2 = 0.8 on the datum line, and less than nothing at v = 20
	if _, err := NewPlan(s); err == nil || !strings.Contains(err.Error(), "breaks through") {
		t.Errorf("through the crown's low side: %v", err)
	}
}

// TestMeet: a board of 20, on its top a pocket of 10, 12 deep, at (100, 0).
func TestMeet(t *testing.T) {
	pockets := func(under bool, u, v, bore, deep float64) Plan {
		return plan(t, Spec{
			Board:    Board{LengthMM: 400, WidthStartMM: 80, WidthEndMM: 80, ThicknessMM: 20, Under: under},
			CutterMM: 3, Features: []Feature{{Name: map[bool]string{false: "cavity", true: "bolt"}[under], UMM: u, VMM: v,
				BoreMM: bore, DepthMM: deep}},
		})
	}
	top := pockets(false, 100, 0, 10, 12)
	for _, c := range []struct {
		name                 string
		u, v, bore, deep     float64
		value, limit, atMost float64
		says                 string // "": no finding
	}{
		{"floors meet", 102, 0, 8, 10, -2, 0, 6.5, "meets cavity of the top inside the board"},
		{"floors just touch", 102, 0, 8, 8, 0, 0, 6.5, "right through"},
		{"thin between the floors", 102, 0, 8, 7, 1, 1.5, 6.5, "1.000 mm of board is left between its floor"},
		{"enough between the floors", 102, 0, 8, 6.5, 0, 0, 0, ""},
		{"thin beside each other", 100, 9.5, 8, 10, 0.5, 1, 6.5, "0.500 mm beside cavity of the top"},
		{"beside each other, apart", 100, 10, 8, 10, 0, 0, 0, ""},
		{"beside each other, not as deep", 100, 9.5, 8, 7, 0, 0, 0, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := JudgeOpposite(top, pockets(true, c.u, c.v, c.bore, c.deep), 20)
			if c.says == "" {
				if len(got) > 0 {
					t.Errorf("found %+v", got)
				}
				return
			}
			if len(got) != 1 || !strings.HasPrefix(got[0].Says, "bolt: ") || !strings.Contains(got[0].Says, c.says) {
				t.Fatalf("found %+v", got)
			}
			near(t, "value", got[0].Value, c.value, exactly)
			near(t, "limit", got[0].LimitMM, c.limit, exactly)
			near(t, "remedy", got[0].ToMM, c.atMost, exactly)
			// The remedy helps.
			if again := JudgeOpposite(top, pockets(true, c.u, c.v, c.bore, got[0].ToMM), 20); len(again) > 0 {
				t.Errorf("%s of %g: %+v", got[0].Of, got[0].ToMM, again)
			}
		})
	}
}
