package stroke

// digits draws 0 to 9.
func digits() map[rune]glyph {
	return map[rune]glyph{
		'0': letter(round, 0.54, round,
			line().arc(0.27, 0.7, 0.27, 0.3, 0, 180).arc(0.27, 0.3, 0.27, 0.3, 180, 360).ring(),
			line(0, 0.3, 0.54, 0.7)),
		'1': letter(round, 0.26, stem, line(0, 0.76, 0.26, 1, 0.26, 0)),
		'2': letter(round, 0.54, round, line().arc(0.27, 0.72, 0.27, 0.28, 165, -37).to(0, 0, 0.54, 0)),
		'3': letter(round, 0.54, round,
			line().arc(0.26, 0.765, 0.24, 0.235, 150, -90).arc(0.26, 0.265, 0.28, 0.265, 90, -150)),
		'4': letter(slant, 0.62, slant, line(0.36, 1, 0, 0.27, 0.62, 0.27), line(0.44, 0.52, 0.44, 0)),
		'5': letter(round, 0.54, round, line(0.52, 1, 0.03, 1, 0, 0.5).arc(0.26, 0.315, 0.28, 0.315, 125, -150)),
		'6': letter(round, 0.54, round,
			line().arc(0.27, 0.29, 0.27, 0.29, 180, -180).ring(),
			line(0, 0.29).arc(0.44, 0.42, 0.44, 0.58, 180, 95)),
		'7': letter(slant, 0.54, slant, line(0, 1, 0.54, 1, 0.18, 0)),
		'8': letter(round, 0.56, round,
			line().arc(0.28, 0.765, 0.22, 0.235, -90, 270).ring(),
			line().arc(0.28, 0.265, 0.28, 0.265, 90, 450).ring()),
		'9': letter(round, 0.54, round,
			line().arc(0.27, 0.71, 0.27, 0.29, 0, 360).ring(),
			line(0.54, 0.71).arc(0.1, 0.58, 0.44, 0.58, 0, -85)),
	}
}

// signs draws the space, the marks and the arrows. A full stop is a short upright
// stroke, since a point of no length is lost by many programs; a cut as wide as
// 0.16 of the height makes it a round dot.
func signs() map[rune]glyph {
	return map[rune]glyph{
		' ': letter(0, 0.5, 0),
		'.': letter(round, 0, round, line(0, 0, 0, 0.06)),
		'-': letter(round, 0.36, round, line(0, 0.46, 0.36, 0.46)),
		'+': letter(round, 0.5, round, line(0, 0.46, 0.5, 0.46), line(0.25, 0.21, 0.25, 0.71)),
		'/': letter(slant, 0.4, slant, line(0, 0, 0.4, 1)),
		'→': letter(round, 0.8, round, line(0, 0.46, 0.8, 0.46), line(0.52, 0.72, 0.8, 0.46, 0.52, 0.2)),
		'←': letter(round, 0.8, round, line(0.8, 0.46, 0, 0.46), line(0.28, 0.72, 0, 0.46, 0.28, 0.2)),
		'↑': letter(round, 0.52, round, line(0.26, 0, 0.26, 1), line(0, 0.72, 0.26, 1, 0.52, 0.72)),
		'↓': letter(round, 0.52, round, line(0.26, 1, 0.26, 0), line(0, 0.28, 0.26, 0, 0.52, 0.28)),
	}
}
