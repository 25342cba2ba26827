package stroke

import (
	"fmt"
	"os"
	"strings"
	"testing"
)

// TestPicture writes a specimen for the eye when STROKE_SPECIMEN names a file.
func TestPicture(t *testing.T) {
	name := os.Getenv("STROKE_SPECIMEN")
	if name == "" {
		t.Skip("set STROKE_SPECIMEN to a file name for a picture of all letters")
	}
	var b strings.Builder
	lines := []string{"ABCDEFGHIJKLM", "NOPQRSTUVWXYZ", "0123456789 .-+/", "→←↑↓ O0Q D0 I1L 17", "5S 8B 2Z 6G UV 3B8", "START → T1 R2 8.5 10/12", "PEAR 41.5 X+ Y- FRET"}
	const h, w, pitch = 5, 0.8, 9.0
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" width="130mm" height="%gmm" viewBox="-5 -5 130 %g"><rect x="-5" y="-5" width="200" height="200" fill="white"/>`+"\n", pitch*14+5, pitch*14+5)
	for k, width := range []float64{w, 0.15} {
		for i, s := range lines {
			ps, _, err := Text(s, h)
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range ps {
				b.WriteString(`<polyline fill="none" stroke="black" stroke-linecap="round" stroke-linejoin="round" stroke-width="` + fmt.Sprint(width) + `" points="`)
				for _, v := range p {
					fmt.Fprintf(&b, "%.4f,%.4f ", v.X, float64(i+7*k)*pitch+h-v.Y)
				}
				b.WriteString("\"/>\n")
			}
		}
	}
	b.WriteString("</svg>\n")
	if err := os.WriteFile(name, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}
