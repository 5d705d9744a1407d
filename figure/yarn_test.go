package figure_test

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/figure"
	"urdir/measure"
)

// nearly leaves out the last bits of a length.
var nearly = cmp.Comparer(func(a, b measure.M) bool { return math.Abs(float64(a-b)) < 1e-12 })

func TestYarn_workedByHand(t *testing.T) {
	// No published worked example was found; the rule is the ordinary weft rule
	// on the inlaid width, plus turns of 0.6 cm (from memory).
	drawing := "" +
		"..x..\n" +
		".x.x.\n" +
		"xxxxx\n"
	for _, tc := range []struct {
		name  string
		way   figure.Way
		limit measure.MM
		want  figure.YarnUse
	}{
		// From first to last cell: 5 + 3 + 1 = 9 cells = 54 ends, twice (two
		// picks) = 108 ends = 5.4 cm at 20/cm. 3 rows x 2 picks = 6 turns =
		// 3.6 cm. Together 9 cm; three figures 27 cm.
		{"each", figure.Each, 0, figure.YarnUse{Butterflies: 3, Passes: 18, Turns: 18, Inlaid: 324, Each: 0.09, Length: 0.27}},
		// A limit of 2 mm is less than the gap of one cell = 3 mm: the middle row
		// is two parts. 5 + 1 + 1 + 1 = 8 cells = 48 ends x 2 = 4.8 cm; 4 parts x
		// 2 picks = 8 turns = 4.8 cm. 9.6 cm; three figures 28.8 cm.
		{"gap too long to carry", figure.Each, 2, figure.YarnUse{Butterflies: 6, Passes: 24, Turns: 24, Inlaid: 288, Each: 0.096, Length: 0.288}},
		// 6 passes of 200 ends = 10 cm are 60 cm, 6 turns 3.6 cm: 63.6 cm, of
		// which a third for each figure.
		{"across, any gap", figure.Across, 2, figure.YarnUse{Butterflies: 1, Passes: 6, Turns: 6, Inlaid: 1200, Each: 0.212, Length: 0.636}},
		{"across", figure.Across, 0, figure.YarnUse{Butterflies: 1, Passes: 6, Turns: 6, Inlaid: 1200, Each: 0.212, Length: 0.636}},
	} {
		c := chart(t, drawing)
		c.Way, c.Limit = tc.way, tc.limit
		tc.want.Yarn = "indigo" // marigold is not in the drawing, so not in the list
		got := figure.Yarn(c, figure.Layout{Count: 3}, 20, 200)
		if d := cmp.Diff([]figure.YarnUse{tc.want}, got, nearly); d != "" {
			t.Errorf("%s: %s", tc.name, d)
		}
	}
}

// thread lays the figure weft of one colour pass by pass over single ends.
func thread(c figure.Chart, sign string, count, bandEnds int, sett float64) float64 {
	cm := 0.0
	for row := range strings.FieldsSeq(c.String()) {
		ends := ""
		for _, ch := range row {
			ends += strings.Repeat(string(ch), c.Cell.Ends)
		}
		first, last := strings.Index(ends, sign), strings.LastIndex(ends, sign)
		if first < 0 {
			continue
		}
		for range c.Cell.Picks {
			if c.Way == figure.Across {
				cm += float64(bandEnds)/sett + 0.6
				continue
			}
			for range count {
				cm += float64(last-first+1)/sett + 0.6
			}
		}
	}
	return cm / 100
}

func TestYarn_agreesWithLayingEveryPass(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyChart(t)
		n := rapid.IntRange(1, 6).Draw(t, "figures")
		got := map[string]float64{}
		for _, u := range figure.Yarn(c, figure.Layout{Count: n}, 20, 1000) {
			got[u.Yarn] = float64(u.Length)
		}
		for _, s := range two {
			if want := thread(c, string(s.Char), n, 1000, 20); math.Abs(got[s.Yarn]-want) > 1e-9 {
				t.Fatalf("%d figures, %s: %v m, laid %v m, %s\n%s", n, s.Yarn, got[s.Yarn], want, c.Way, c)
			}
		}
		// A mirrored chart takes the same, and each by itself n figures n times one.
		if d := cmp.Diff(figure.Yarn(c, figure.Layout{Count: n}, 20, 1000), figure.Yarn(c.Mirrored(), figure.Layout{Count: n}, 20, 1000), nearly); d != "" {
			t.Fatalf("mirrored: %s", d)
		}
		one := figure.Yarn(c, figure.Layout{Count: 1}, 20, 1000)
		for i, u := range figure.Yarn(c, figure.Layout{Count: n}, 20, 1000) {
			if c.Way == figure.Each && math.Abs(float64(u.Length)-float64(n)*float64(one[i].Length)) > 1e-9 {
				t.Fatalf("%d figures take %v, one %v", n, u.Length, one[i].Length)
			}
		}
	})
}

func TestYarn_gapOfJustTheLimitIsCarried(t *testing.T) {
	// 53 ends at 25 ends/cm are 21.2 mm: one part, so one butterfly.
	c := chart(t, "x"+strings.Repeat(".", 53)+"x")
	c.Cell.Ends, c.Limit = 1, 21.2
	if got := figure.Yarn(c, figure.Layout{Count: 1}, 25, 0)[0].Butterflies; got != 1 {
		t.Errorf("%d butterflies", got)
	}
}

func TestYarn_withoutSettCountsTurnsOnly(t *testing.T) {
	c := chart(t, "xx")
	c.Limit = 25
	if got := figure.Yarn(c, figure.Layout{Count: 1}, 0, 0)[0].Length; math.Abs(float64(got)-2*0.006) > 1e-12 {
		t.Errorf("got %v m, want two turns of 0.6 cm", got)
	}
}
