package record

import "reseat/jig"

// describeBudget lists every feature's budget; nil when the board cannot be seated.
func describeBudget(d *jig.Design) []featureBudget {
	out := []featureBudget{}
	if d.Budget == nil {
		return out
	}
	for _, f := range d.Budget.Features {
		b := featureBudget{
			Feature: f.Name, UMM: mm(f.At.X), VMM: mm(f.At.Y), Terms: []term{},
			WorstMM: mm(f.WorstMM), AlongWorstMM: mm(f.AlongWorstMM), AcrossWorstMM: mm(f.AcrossWorstMM),
			P95MM: mm(f.P95MM), AlongP95MM: mm(f.P95AlongMM), AcrossP95MM: mm(f.P95AcrossMM),
		}
		shares := f.Shares()
		for i, t := range f.Terms {
			b.Terms = append(b.Terms, term{
				Source: t.Source, WorstMM: mm(t.WorstMM), SDMM: mm(t.SDMM),
				AlongWorstMM: mm(t.AlongWorstMM), AcrossWorstMM: mm(t.AcrossWorstMM),
				AlongSDMM: mm(t.AlongSDMM), AcrossSDMM: mm(t.AcrossSDMM),
				AlongOffMM: mm(t.AlongBiasMM), AcrossOffMM: mm(t.AcrossBiasMM), Share: ratio(shares[i]),
			})
		}
		if t, share, ok := f.Largest(); ok {
			b.Largest, b.LargestShare, b.Remedy = t.Source, ratio(share), t.Remedy
		}
		out = append(out, b)
	}
	return out
}

func describePattern(p jig.Pattern) pattern {
	return pattern{
		mm(p.ObjectiveMM), p.Objective, p.Limits,
		convert(p.Room, func(l jig.PinLimits) pinLimit {
			return pinLimit{l.Zone, words(l.Pins), words(l.Keys), mm(l.MoreMM), mm(l.WouldMM)}
		}),
	}
}

func describeAssemblies(d *jig.Design) []assembly {
	return convert(d.Assembly, func(a jig.Assembly) assembly {
		return assembly{
			a.Part, a.On, ratio(a.Odds), ratio(a.OddsLow), ratio(a.OddsHigh), a.Trials, a.Seed, mm(a.ExtraFor99MM), a.Tightest,
		}
	})
}

func describeClimate(c *jig.Climate) *climate {
	if c == nil {
		return nil
	}
	return &climate{
		figure(c.MadeC), figure(c.MadeRHPct), figure(c.NowC), figure(c.NowRHPct), c.Wood,
		figure(c.MoistureMadePct), figure(c.MoistureNowPct), mm(c.WidthMM), mm(c.LengthMM), mm(c.WindowMM),
		mm(c.ClearanceLeftMM), figure(c.EntersBelowRHPct), c.Source, c.FromMemory, c.Note,
	}
}

// describeGluing writes the gluing's figures; those that are not known are 0.
func describeGluing(r *jig.Rails) *gluing {
	g := r.Gluing
	if g == nil {
		return nil
	}
	return &gluing{
		GlueG: mm(g.Mass.Least), GlueMostG: mm(g.Mass.Most), SqueezeOutML: mm(g.SqueezeOut.Most), ChamferMM: mm(g.Chamfer.Most),
		PressureMPa: mm(g.Pressure.Least), ClosingForceN: mm(g.Force.Least), ClosingForceMostN: mm(g.Force.Most),
		ClampForceN: mm(g.ClampForce.Least), Clamps: mm(g.Clamps.Least),
		SideLoadN: mm(g.SideLoad.Most), DeflectionMM: mm(g.Deflection.Most),
		Sources: "pressure: " + g.Pressure.Source + "; spread: " + g.Spread.Source + "; squeeze-out: " + g.SqueezeShare.Source,
	}
}
