package climate

// EntersBelow is the humidity up to which a board of a wood goes into its window again,
// percent, at the temperature of now, the plate resting in the same air; 0: any or none.
// gap is the clearance of both sides now over the board's width. The plate's own growth
// depends on the humidity that is looked for; it moves far less than the wood, so the
// rounds close in on it. A plate that no table has counts as it is.
func EntersBelow(w Wood, grain Grain, now Air, gap float64, plate Strainer) float64 {
	grown, rh := 0.0, 0.0
	for range entryRounds {
		var ok bool
		if rh, ok = HumidityFor(w, grain, now, now.TempC, gap+grown); !ok {
			return 0
		}
		c, err := plate(now, Air{TempC: now.TempC, RHPct: rh})
		if err != nil {
			break
		}
		grown = c.Across
	}
	return rh
}

// entryRounds leave a thousandth of a percent: each is at least four times as near,
// since no sheet moves a quarter as much as wood does across the grain.
const entryRounds = 10
