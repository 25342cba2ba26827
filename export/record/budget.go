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

func describeProgram(p jig.Program) program {
	r := p.Run
	corner := func(x, y, z float64) [3]mm { return [3]mm{mm(x), mm(y), mm(z)} }
	return program{
		File: p.Path.File, Part: p.Part, Dialect: p.Dialect, ToolMM: mm(p.Path.Tool.DiameterMM),
		SpindleRPM: mm(p.Path.SpindleRPM), SafeZMM: mm(p.Path.SafeZ),
		LeastMM: corner(r.Min.X, r.Min.Y, r.Min.Z), MostMM: corner(r.Max.X, r.Max.Y, r.Max.Z),
		DeepestMM: mm(r.DeepestMM), PerTurnMM: mm(r.PerTurnMM), Turns: r.Turns, TimeS: mm(r.TimeS()),
		Holes: convert(p.Holes, func(h jig.ProgramHole) programHole {
			return programHole{h.ID, mm(h.At.X), mm(h.At.Y), mm(h.DiameterMM), mm(h.DepthMM)}
		}),
	}
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
