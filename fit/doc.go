// Package fit holds the ISO 286 system of limits and fits for nominal sizes up to 500 mm,
// and what a making process does to the hole that was asked for.
//
// Limits. A [Class] such as H7 is a fundamental deviation (the letters) and a standard
// tolerance (the [Grade]). [ClassLimits] turns a nominal size and a class into the two limit
// deviations; [Spec.Fit] pairs a hole with a shaft; [ParseSpec] reads what people write
// ("6 H7/m6", "1/4 in H7/h6").
//
// Sizes are millimetres. Tolerances, deviations and clearances are micrometres: that is how
// the standard prints them. A deviation is positive above the nominal size.
//
// The tables follow ISO 286-1:2010 (tables 1 to 5); published values stand before formulas
// wherever the two part. A class that the standard leaves undefined gives an error which says
// why and names a class to use in its place.
package fit
