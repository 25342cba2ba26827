package closing

import (
	"fmt"
	"math"

	"reseat/jig/beam"
	"reseat/jig/sourced"
	"reseat/jig/units"
)

// Joint is what is pressed together.
type Joint struct {
	LengthMM, WidthMM float64       // the width is the mean
	ThicknessMM       float64       // of the board
	Board             beam.Material // its wood
	Pressure          sourced.Value // that the glue's makers ask for, MPa
	ViscosityPaS      float64       // of the glue as spread; 0: Viscosity
}

// Viscosity of white glue, Pa s. Common practice, no source: makers' sheets have 5 to 20.
var Viscosity = sourced.Value{Least: 5, Most: 20, Unit: "Pa s", Mark: sourced.Practice,
	Source: "white glue as makers' " +
		"sheets have it"}

// Clamping is one way to press, and what it reaches.
type Clamping struct {
	Name        string  `json:"way"`
	Count       int     `json:"count"`  // clamps or bars; 1 for weights
	EachN       float64 `json:"each_n"` // of one of them
	ForceN      float64 `json:"force_n"`
	PressureMPa float64 `json:"pressure_mpa"`
	Share       float64 `json:"share"`   // of the least pressure asked for
	Reaches     bool    `json:"reaches"` // that one
	// What pressure is for: how long the film takes to close to 0.1 mm between flat faces, and
	// how hollow across its width a board may be and still be pressed flat.
	FilmS float64 `json:"film_s"`
	CupMM float64 `json:"cup_mm"`
}

func (j Joint) areaMM2() float64 { return j.LengthMM * j.WidthMM }

// Force returns the force that the pressure asked for takes, N.
func (j Joint) Force() sourced.Value {
	return j.Pressure.Times(j.areaMM2(), "N", "pressure x area of the glue land")
}

// by is what so many of something reach.
func (j Joint) by(name string, count int, eachN float64) Clamping {
	w := Clamping{Name: name, Count: count, EachN: eachN, ForceN: float64(count) * eachN}
	w.PressureMPa = w.ForceN / j.areaMM2()
	w.Share = w.PressureMPa / j.Pressure.Least
	w.Reaches = w.Share >= 1-rounding
	w.FilmS, w.CupMM = j.filmS(w.PressureMPa), j.CupMM(w.PressureMPa)
	return w
}

const rounding = 1e-9 // a share: a thousand times what a few products lose

const (
	// clampRoomMM is how close two bar clamps stand: their bars and handles. Common practice,
	// no source.
	clampRoomMM = 40.0
	// barRoomMM is how close spring bars stand. Common practice, no source.
	barRoomMM = 25.0
	// barOver is how much longer than the room between ceiling and work a spring bar is cut: 1/2
	// to 3/4 inch over some 24 (web: a description of a go-bar deck).
	barOver = 1.03
	// barStrain is the strain that a drawn glass rod may be bent to: its maker's least diameter
	// of a bend is 80 times its own (web: tencom.com).
	barStrain = 1.0 / 80
	// gravity is standard, exact (CGPM 1901).
	gravity = 9.80665
)

// Clamps returns what clamps of forceN each reach, under a caul that needs no fewer than even of
// them: as many as the pressure asked for takes, or as stand side by side.
func (j Joint) Clamps(forceN float64, even int) Clamping {
	want := math.Ceil(j.Force().Least / forceN * (1 - rounding))
	fit := 1 + math.Floor((j.LengthMM-clampRoomMM/2)/clampRoomMM)
	return j.by("clamps", max(even, int(min(want, fit))), forceN)
}

// Bar is a spring bar, round.
type Bar struct {
	Material   beam.Material
	DiameterMM float64
	RoomMM     float64 // between the work and what the bar stands against
}

// LengthMM is how long to cut the bar.
func (b Bar) LengthMM() float64 { return barOver * b.RoomMM }

// Holds reports whether the bar may be bent as far as it is.
//
//	strain = curvature d / 2
func (b Bar) Holds() bool { return b.sprung().Curvature*b.DiameterMM/2 <= barStrain }

// sprung takes the softest of its material: what a bar presses with is not to be less.
func (b Bar) sprung() beam.Sprung {
	d2 := b.DiameterMM * b.DiameterMM
	return beam.Spring(b.Material.Modulus.Least*math.Pi/64*d2*d2, b.LengthMM(), b.RoomMM)
}

// Bars returns what spring bars reach that stand as close as they can, in rows along the board.
//
//	F = 4 K^2 E I / l^2 each, I = pi d^4 / 64
func (j Joint) Bars(b Bar) Clamping {
	rows := max(1, int(j.WidthMM/barRoomMM))
	return j.by("spring bars", rows*max(1, int(j.LengthMM/barRoomMM)), b.sprung().ForceN)
}

// Weights returns what weights of so many kilograms reach.
func (j Joint) Weights(kg float64) Clamping { return j.by("weights", 1, kg*gravity) }

// thickFilmMM is the film as spread, and bestFilmMM what it should close to: the middle of the
// best gap of 0.05 to 0.15 mm (web: woodworkingnetwork.com; the Wood Handbook, p. 10-17, has 0.08
// to 0.15 for stiff structural glues).
const thickFilmMM, bestFilmMM = 0.17, 0.1

// filmS returns the seconds that a film takes to close between flat faces.
//
//	t = eta w^2 / (2 p) (1/h^2 - 1/h0^2)
//
// Reference: Reynolds' equation for a strip of width w that is squeezed out on both sides, mean
// pressure p = eta w^2 v / h^3 (any text on lubrication; recalled). Water that the wood takes up
// thickens the glue meanwhile, so that what takes minutes is not to be counted on.
func (j Joint) filmS(pressureMPa float64) float64 {
	eta := j.ViscosityPaS
	if eta == 0 {
		eta = Viscosity.Most
	}
	h, h0, w := bestFilmMM, thickFilmMM, j.WidthMM
	return eta * w * w / (2e6 * pressureMPa) * (1/(h*h) - 1/(h0*h0))
}

// CupMM returns how hollow across its width a board is that an even pressure just flattens.
//
//	f = 5 p w^4 / (32 E t^3)
//
// Reference: a bar on two supports under an even load, 5 q l^4/(384 E I) with I = b t^3/12.
func (j Joint) CupMM(pressureMPa float64) float64 {
	w2 := j.WidthMM * j.WidthMM
	return 5 * pressureMPa * w2 * w2 / (32 * j.Board.Across.Most * j.ThicknessMM * j.ThicknessMM * j.ThicknessMM)
}

// mostCupMM is the largest hollow that is reported: no one glues a board so hollow. Practice.
const mostCupMM = 1.0

// Verdict says in words whether a way reaches the pressure asked for.
func (w Clamping) Verdict() string {
	if w.Reaches {
		return "reaches the minimum pressure"
	}
	return fmt.Sprintf("reaches %s %% of the minimum pressure", units.Significant(100*w.Share, 2))
}

// Lost says what is lost at the way's pressure; "" where it reaches what is asked for.
//
// No figure of strength over pressure was found that both agree on: a forum's quotation of a glue
// maker has the loss as one of the film's thickness alone, best at 0.13 mm (web: sawmillcreek.org,
// thread 166480); a study of clamp spacing took 0.345 MPa as the least (standard: Van Wyk and
// others, Holz als Roh- und Werkstoff 58, 2001, 401, abstract).
func (w Clamping) Lost() string {
	if w.Reaches {
		return ""
	}
	closes := ""
	if w.CupMM < mostCupMM {
		closes = fmt.Sprintf(" A hollow of more than %s mm across the board stays open, its film thick and weak (0.05 to "+
			"0.15 mm is best: web).", units.Significant(w.CupMM, 2))
	}
	return fmt.Sprintf("Between flat faces it thins the film to 0.1 mm in %s s (web).%s Plane both faces true and look "+
		"for squeeze-out all round", units.Significant(w.FilmS, 2), closes)
}
