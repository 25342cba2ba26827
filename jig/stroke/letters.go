package stroke

import (
	"maps"
	"sync"
)

// glyphs holds the drawing of every rune that can be written. It is looked up, never
// ranged over.
var glyphs = sync.OnceValue(func() map[rune]glyph {
	all := capitals()
	maps.Copy(all, digits())
	maps.Copy(all, signs())
	return all
})

// capitals draws A to Z. Two paths meet where a third line would have to run
// back over one of them.
func capitals() map[rune]glyph {
	return map[rune]glyph{
		'A': letter(slant, 0.72, slant, line(0, 0, 0.36, 1, 0.72, 0), line(0.108, 0.3, 0.612, 0.3)),
		'B': letter(stem, 0.58, round,
			line(0, 0.53, 0, 1, 0.32, 1).arc(0.32, 0.765, 0.23, 0.235, 90, -90).
				arc(0.32, 0.265, 0.26, 0.265, 90, -90).to(0, 0).ring(),
			line(0, 0.53, 0.32, 0.53)),
		'C': letter(round, 0.62, round, line().arc(0.33, 0.67, 0.33, 0.33, 30, 180).arc(0.33, 0.33, 0.33, 0.33, 180, 330)),
		'D': letter(stem, 0.6, round, line(0, 0, 0, 1, 0.28, 1).arc(0.28, 0.68, 0.32, 0.32, 90, 0).
			arc(0.28, 0.32, 0.32, 0.32, 0, -90).ring()),
		'E': letter(stem, 0.52, round, line(0.52, 1, 0, 1, 0, 0, 0.52, 0), line(0, 0.53, 0.44, 0.53)),
		'F': letter(stem, 0.5, slant, line(0.5, 1, 0, 1, 0, 0), line(0, 0.5, 0.42, 0.5)),
		'G': letter(round, 0.66, round, line().arc(0.33, 0.67, 0.33, 0.33, 30, 180).
			arc(0.33, 0.33, 0.33, 0.33, 180, 360).to(0.66, 0.46, 0.4, 0.46)),
		'H': letter(stem, 0.6, stem, line(0, 0, 0, 1), line(0.6, 0, 0.6, 1), line(0, 0.53, 0.6, 0.53)),
		'I': letter(round, 0.36, round, line(0, 1, 0.36, 1), line(0.18, 1, 0.18, 0), line(0, 0, 0.36, 0)),
		'J': letter(slant, 0.44, stem, line(0.44, 1, 0.44, 0.24).arc(0.208, 0.24, 0.232, 0.24, 0, -150)),
		'K': letter(stem, 0.58, slant, line(0, 0, 0, 1), line(0.56, 1, 0, 0.4), line(0.196, 0.61, 0.58, 0)),
		'L': letter(stem, 0.48, slant, line(0, 1, 0, 0, 0.48, 0)),
		'M': letter(stem, 0.76, stem, line(0, 0, 0, 1, 0.38, 0.34, 0.76, 1, 0.76, 0)),
		'N': letter(stem, 0.62, stem, line(0, 0, 0, 1, 0.62, 0, 0.62, 1)),
		'O': letter(round, 0.76, round,
			line().arc(0.38, 0.62, 0.38, 0.38, 0, 180).arc(0.38, 0.38, 0.38, 0.38, 180, 360).ring()),
		'P': letter(stem, 0.54, round,
			line(0, 0.44, 0, 1, 0.26, 1).arc(0.26, 0.72, 0.28, 0.28, 90, -90).ring(),
			line(0, 0.44, 0, 0)),
		'Q': letter(round, 0.76, round,
			line().arc(0.38, 0.62, 0.38, 0.38, 0, 180).arc(0.38, 0.38, 0.38, 0.38, 180, 360).ring(),
			line(0.44, 0.32, 0.76, 0)),
		'R': letter(stem, 0.56, slant,
			line(0, 0.46, 0, 1, 0.27, 1).arc(0.27, 0.73, 0.27, 0.27, 90, -90).ring(),
			line(0, 0.46, 0, 0), line(0.27, 0.46, 0.56, 0)),
		'S': letter(round, 0.56, round, line().arc(0.28, 0.76, 0.26, 0.24, 30, 270).arc(0.28, 0.26, 0.28, 0.26, 90, -150)),
		'T': letter(slant, 0.6, slant, line(0, 1, 0.6, 1), line(0.3, 1, 0.3, 0)),
		'U': letter(stem, 0.6, stem, line(0, 1, 0, 0.3).arc(0.3, 0.3, 0.3, 0.3, 180, 360).to(0.6, 1)),
		'V': letter(slant, 0.68, slant, line(0, 1, 0.34, 0, 0.68, 1)),
		'W': letter(slant, 1, slant, line(0, 1, 0.25, 0, 0.5, 0.8, 0.75, 0, 1, 1)),
		'X': letter(slant, 0.62, slant, line(0, 0, 0.62, 1), line(0, 1, 0.62, 0)),
		'Y': letter(slant, 0.64, slant, line(0, 1, 0.32, 0.48, 0.64, 1), line(0.32, 0.48, 0.32, 0)),
		'Z': letter(round, 0.56, round, line(0, 1, 0.56, 1, 0, 0, 0.56, 0)),
	}
}
