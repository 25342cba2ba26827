package simulate

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// point is a place of the tool's tip or of the stock, mm; z as the program counts it.
type point struct{ x, y, z float64 }

// move is one line of a program that goes somewhere. turn is +1 for an arc
// counter-clockwise seen from above, -1 for a clockwise one, 0 for a straight line.
type move struct {
	line     int
	rapid    bool
	turn     float64
	from, to point
	center   point // of an arc; z unused
	feed     float64
}

// word is a letter with its number, "X-4.000".
var word = regexp.MustCompile(`([A-Z])([-+]?[0-9.]+)`)

// readNC reads a program as a small controller does: modal G and F, absolute X Y Z,
// incremental I J. The first move goes straight up or down from wherever the tool stands
// and is left out. A word that it does not know is an error.
func readNC(text string) ([]move, error) {
	var moves []move
	at := point{math.NaN(), math.NaN(), math.NaN()}
	var feed float64
	set := map[string]bool{}
	mode := ""
	for i, line := range strings.Split(text, "\n") {
		fault := func(why string) error { return fmt.Errorf("line %d, %q: %s", i+1, line, why) }
		code, _, _ := strings.Cut(line, ";")
		code, _, _ = strings.Cut(code, "(")
		code = strings.TrimSpace(code)
		if left := strings.TrimSpace(word.ReplaceAllString(code, "")); left != "" {
			return nil, fault("not understood: " + left)
		}
		v := map[string]float64{}
		for _, w := range word.FindAllStringSubmatch(code, -1) {
			n, err := strconv.ParseFloat(w[2], 64)
			if err != nil {
				return nil, fault(err.Error())
			}
			switch {
			case w[1] == "G" && n <= 3:
				mode = w[1] + w[2]
			case w[1] == "G" || w[1] == "M":
				set[w[1]+w[2]] = true
			case w[1] == "F":
				feed = n
			case w[1] == "S":
			case strings.Contains("XYZIJ", w[1]):
				v[w[1]] = n
			default:
				return nil, fault("unknown word " + w[0])
			}
		}
		if len(v) == 0 {
			continue
		}
		m := move{line: i + 1, rapid: mode == "G0", from: at, to: at, feed: feed}
		for k, to := range map[string]*float64{"X": &m.to.x, "Y": &m.to.y, "Z": &m.to.z} {
			if n, ok := v[k]; ok {
				*to = n
			}
		}
		switch mode {
		case "G0", "G1":
		case "G2", "G3":
			m.turn = 1
			if mode == "G2" {
				m.turn = -1
			}
			m.center = point{x: at.x + v["I"], y: at.y + v["J"]}
		default:
			return nil, fault("no motion word before it")
		}
		switch {
		case !(set["G21"] && set["G90"] && set["G17"] && set["G94"]):
			return nil, fault("moves before G21, G90, G17 and G94")
		case set["M2"]:
			return nil, fault("moves after the end")
		case !m.rapid && !(feed > 0 && set["M3"]):
			return nil, fault("cuts without feed or spindle")
		}
		at = m.to
		if math.IsNaN(m.from.z) || math.IsNaN(m.from.x) && math.IsNaN(at.x) {
			continue
		}
		if math.IsNaN(m.from.x) {
			m.from.x, m.from.y = 0, 0 // for the time alone: nobody knows where it stood
		}
		moves = append(moves, m)
	}
	if !set["M2"] {
		return nil, fmt.Errorf("no end")
	}
	return moves, nil
}

// sweep returns how far an arc turns, above 0: a full turn when it ends where it began.
func (m move) sweep() float64 {
	a := math.Atan2(m.from.y-m.center.y, m.from.x-m.center.x)
	b := math.Atan2(m.to.y-m.center.y, m.to.x-m.center.x)
	turn := m.turn * (b - a)
	for turn <= 1e-9 {
		turn += 2 * math.Pi
	}
	return turn
}

// seconds is the least time that the move takes, its rapid at the speed given.
func (m move) seconds(rapidMMmin float64) float64 {
	way := math.Hypot(m.to.x-m.from.x, m.to.y-m.from.y)
	if m.turn != 0 {
		way = m.sweep() * math.Hypot(m.from.x-m.center.x, m.from.y-m.center.y)
	}
	rate := m.feed
	if m.rapid {
		rate = rapidMMmin
	}
	return 60 * math.Hypot(way, m.to.z-m.from.z) / rate
}
