// Package threemf writes meshes as one 3MF file in millimetres, with a name for
// every part, for printing programs that would otherwise have to guess the unit
// of an STL.
//
// The model is put into XML by github.com/hpinc/go3mf. Its package layer (the zip
// around the XML) stamps each entry with the time of day and lists the content
// types in the random order of a map, so two runs never give equal bytes. The
// entries are therefore packed again here: fixed order, fixed date, sizes in the
// local headers, content types in a fixed order. The XML itself is the library's.
//
// References: 3MF Core Specification (3MF Consortium) for units, names and the
// build; ISO/IEC 29500-2, Open Packaging Conventions, for the zip (both recalled,
// not seen; the library cites the latter's clauses).
package threemf
