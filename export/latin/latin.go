// Package latin spells letters of European scripts with those of seven bits, which are all that
// machine controllers and old file formats read.
package latin

import (
	"strings"
	"unicode"
)

// spelled lists spellings, each with the small letters that it stands for: Latin ones without their
// marks, Greek and Cyrillic ones roughly as they are read (ISO 843 and ISO 9, recalled, without marks).
var spelled = letters(map[string]string{
	"a": "àáâãåāăąαάа", "b": "б", "c": "çćĉċč", "d": "ďđðδд", "e": "èéêëēĕėęěεέеэё", "f": "φф", "g": "ĝğġģγгґ",
	"h": "ĥħх", "i": "ìíîïĩīĭįıİηήιίϊΐиі", "j": "ĵйј", "k": "ķκк", "l": "ĺļľŀłλл", "m": "μм", "n": "ñńņňŋνн",
	"o": "òóôõøōŏőοόωώо", "p": "πп", "r": "ŕŗřρр", "s": "śŝşšșſσςс", "t": "ţťŧțτт", "u": "ùúûũūŭůűųу", "v": "βв",
	"w": "ŵ", "x": "ξ", "y": "ýÿŷυύϋΰы", "z": "źżžζз", "ae": "äæ", "ch": "χч", "oe": "öœ", "ps": "ψ", "sh": "ш",
	"shch": "щ", "ss": "ß", "th": "þθ", "ts": "ц", "ue": "ü", "ya": "я", "ye": "є", "yi": "ї", "yu": "ю", "zh": "ж",
	"": "ьъ",
})

func letters(by map[string]string) map[rune]string {
	out := map[rune]string{}
	for s, all := range by {
		for _, r := range all {
			out[r] = s
		}
	}
	return out
}

// ou is one sound in Greek.
var ou = strings.NewReplacer("ου", "ou", "ού", "ou", "Ου", "Ou", "Ού", "Ou", "ΟΥ", "OU")

// Spell returns s with such letters spelled; signs and other scripts stay as they are.
func Spell(s string) string {
	var out strings.Builder
	for _, r := range ou.Replace(s) {
		as, ok := spelled[r]
		if !ok {
			as, ok = spelled[unicode.ToLower(r)]
		}
		switch {
		case !ok:
			out.WriteRune(r)
		case unicode.IsUpper(r) && as != "":
			out.WriteString(strings.ToUpper(as[:1]) + as[1:])
		default:
			out.WriteString(as)
		}
	}
	return out.String()
}
