// Package climate tells how a piece of wood, a sheet or a print changes its size
// between two climates: the air in which it was made and the air in which it is
// used.
//
// Wood follows the moisture that it holds. At rest in air of temperature T
// (degrees Celsius) and relative humidity H (a share of 1) that is
//
//	M = 1800/W [ K H/(1 - K H) + (K1 K H + 2 K1 K2 K^2 H^2)/(1 + K1 K H + K1 K2 K^2 H^2) ]  percent
//
// and a size D changes with it, and with the temperature, by
//
//	dD = D [ C (M_to - M_from) + a (T_to - T_from) ]
//
// with C per 1 % of moisture across the grain (radial C_R, tangential C_T) or
// along it, and a per kelvin. Where only the shrinkage S from green to oven-dry
// is published (percent of the green size, fibre saturation F percent),
//
//	C = S/(100 F - (F - 10) S)
//
// Sheets and plastics that take up water are treated by relative humidity
// instead. Every result is the state after a long stay in the new air: a board a
// few millimetres thick takes days to weeks to get there, a thick plastic weeks
// to months, so this is the most that can have happened.
//
// Every coefficient carries its source and mark: standard, web, derived, recalled or
// given by the user.
//
// References: Forest Products Laboratory, Wood Handbook, General Technical Report
// FPL-GTR-190, 2010: equation 4-5 (moisture), table 13-5 and equation 13-2 (change
// of size), tables 4-3 and 4-4 and page 4-5 (shrinkage). Of table 4-2 (moisture),
// 151 of 152 cells in testdata/reference are recalled, so the equation is taken. The
// woods are in woods.csv, sheets, metals and plastics in sheets.csv.
//
// The package knows nothing of job files and prints nothing.
package climate
