package trial

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"
)

const (
	// seed of all tables; each adds its name.
	seed = 12
	// fewBoards and manyBoards are drawn of a table in the plain run and in the long mode.
	fewBoards, manyBoards = 14, 2000
	// leastCover and mostCover bound the coverage of a stated 95 % interval.
	leastCover, mostCover = 0.93, 0.97
	// mostWrong is the largest share of boards called good that are not; see table.spoilt.
	mostWrong = 0.025
	// sigmas is what a share of few boards may be off beyond its bounds: they are drawn from
	// fixed seeds, so that this is no gamble.
	sigmas = 3.0
)

// outcome is what a command said of a board, and the truth.
type outcome struct {
	good   bool     // exit 0
	over   bool     // a feature is really farther off than the accuracy
	stated []stated // intervals; none that the command did not state
}

// stated is an interval of an answer.
type stated struct {
	what              string
	value, half, true float64
}

// state adds the interval at two paths of the answer, where both are there.
func (o *outcome) state(a answer, what, value, half string, truth float64) {
	v, has := a.number(value)
	h, also := a.number(half)
	if has && also {
		o.stated = append(o.stated, stated{what, v, h, truth})
	}
}

// table is many boards of one kind.
type table struct {
	name string
	deep bool // only in the tests' long mode
	// owed names what is not held to yet: intervals whose coverage is not, "verdict" where boards
	// are called good that are not.
	owed string
	// spoilt: every board has a wrong reading. Of all of them few may be called good that are not;
	// of those that are called good, which are those where it was missed, many are.
	spoilt bool
	draw   func(r *rand.Rand) outcome
}

// fault tells what does not hold, as an error unless it is owed.
func (c table) fault(t *testing.T, what, format string, a ...any) {
	t.Helper()
	says := c.name + ": " + fmt.Sprintf(format, a...)
	if strings.Contains(c.owed, what) {
		t.Log("owed: " + says)
	} else {
		t.Error(says)
	}
}

// cover counts an interval.
type cover struct {
	what         string
	stated, held int
	halves       float64
}

// TestMeasured: boards of which the truth is known are measured, and the commands asked.
func TestMeasured(t *testing.T) {
	b := newBench(t, "jobs/bouzouki-fingerboard.yaml")
	t.Run("datum", func(t *testing.T) { judgeTables(t, "datum", datumTables(b)) })
	t.Run("locate", func(t *testing.T) { judgeTables(t, "locate", locateTables(b)) })
	t.Run("bored again", func(t *testing.T) { judgeTables(t, "bored again", boredTables(b)) })
	t.Run("zero", func(t *testing.T) { judgeTables(t, "zero", zeroTables(b)) })
}

// judgeTables goes through the tables and prints what they come to.
func judgeTables(t *testing.T, verb string, tables []table) {
	t.Helper()
	var text strings.Builder
	defer func() { record(t, verb, text.String()) }()
	for _, c := range tables {
		boards := fewBoards
		if deep() {
			boards = manyBoards
		} else if c.deep {
			continue
		}
		h := fnv.New64a()
		fmt.Fprint(h, verb, c.name)
		r := rand.New(rand.NewPCG(seed, h.Sum64()))
		var good, bad, wrong int
		var covers []cover
		for range boards {
			o := c.draw(r)
			if o.over {
				bad++
			}
			if o.good {
				good++
				if o.over {
					wrong++
				}
			}
			for _, s := range o.stated {
				i := slices.IndexFunc(covers, func(c cover) bool { return c.what == s.what })
				if i < 0 {
					i, covers = len(covers), append(covers, cover{what: s.what})
				}
				covers[i].stated++
				covers[i].halves += s.half
				if math.Abs(s.value-s.true) <= s.half {
					covers[i].held++
				}
			}
		}
		fmt.Fprintf(&text, "| %s | %d | %d | %d | %d |", c.name, boards, bad, good, wrong)
		of, says := good, "%d of %d boards called good are not"
		if c.spoilt {
			of, says = boards, "%d of %d boards are called good and are not"
		}
		if slack := sigmas * math.Sqrt(mostWrong*(1-mostWrong)*float64(of)); float64(wrong) > mostWrong*float64(of)+slack {
			c.fault(t, "verdict", says, wrong, of)
		}
		for _, k := range covers {
			share, n := float64(k.held)/float64(k.stated), float64(k.stated)
			fmt.Fprintf(&text, " %s %.1f (+-%.2g)", k.what, 100*share, k.halves/n)
			if k.stated < boards {
				fmt.Fprintf(&text, " of %d", k.stated)
			}
			text.WriteString(";")
			slack := sigmas * math.Sqrt(0.05*0.95/min(n, float64(boards))) // features of one board err alike
			if deep() {
				slack = 0
			}
			if share < leastCover-slack || share > mostCover+slack {
				c.fault(t, k.what, "the interval of %s holds the truth in %.1f %% of %d boards", k.what, 100*share, k.stated)
			}
		}
		text.WriteString(" |\n")
	}
}

// record logs the tables.
func record(t *testing.T, verb, text string) {
	text = "| " + verb + " | boards | over the accuracy | called good | wrongly | coverage, % (mean half) |\n" +
		"|---|---|---|---|---|---|\n" + text
	t.Log("\n" + text)
	if path := os.Getenv("TRIAL_TABLES"); path != "" {
		f, err := os.OpenFile(path, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o666)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		fmt.Fprintln(f, text)
	}
}
