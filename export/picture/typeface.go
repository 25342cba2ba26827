package picture

import (
	"strings"
	"sync"

	"golang.org/x/image/font"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// typeface is one of the Go typefaces, which have Latin, Greek and Cyrillic letters.
type typeface struct {
	*sfnt.Font
	data     []byte // the font's file
	em       fixed.Int26_6
	capital  float64          // height of the capitals, ems
	advances map[rune]float64 // ems, of every letter that it has
}

// faces are the regular and the bold one.
type faces [2]typeface

func (f faces) of(bold bool) typeface {
	if bold {
		return f[1]
	}
	return f[0]
}

// lastLetter is where the letters of the typefaces end; behind it they have a few ligatures.
const lastLetter = 0x2fff

// typefaces reads the fonts when first asked.
var typefaces = sync.OnceValues(func() (out faces, err error) {
	for i, data := range [2][]byte{goregular.TTF, gobold.TTF} {
		f, err := sfnt.Parse(data)
		if err != nil {
			return out, err
		}
		em := fixed.I(int(f.UnitsPerEm()))
		m, err := f.Metrics(nil, em, font.HintingNone)
		if err != nil {
			return out, err
		}
		out[i] = typeface{f, data, em, float64(m.CapHeight) / float64(em), map[rune]float64{}}
		var buf sfnt.Buffer
		for r := range rune(lastLetter) {
			g, err := f.GlyphIndex(&buf, r)
			if err != nil {
				return out, err
			}
			if g == 0 {
				continue
			}
			a, err := f.GlyphAdvance(&buf, g, em, font.HintingNone)
			if err != nil {
				return out, err
			}
			out[i].advances[r] = float64(a) / float64(em)
		}
	}
	return out, nil
})

// unknown stands for a letter that no typeface here has.
const unknown = '\ufffd'

// lettered writes what the typefaces lack as unknown.
func lettered(s string) string {
	f, err := typefaces()
	if err != nil {
		return s
	}
	return strings.Map(func(r rune) rune {
		if _, ok := f[0].advances[r]; ok {
			return r
		}
		return unknown
	}, s)
}

// Missing returns the letters of a text that neither a PDF nor a PNG can show, each once, in the
// text's order.
func Missing(s string) string {
	var out strings.Builder
	for _, r := range Plain(s) {
		if r != unknown && lettered(string(r)) == string(unknown) && !strings.ContainsRune(out.String(), r) {
			out.WriteRune(r)
		}
	}
	return out.String()
}
