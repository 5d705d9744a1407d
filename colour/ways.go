package colour

import (
	"cmp"
	"math"
	"slices"
)

// Way is a word for how a colour differs from a standard.
type Way string

const (
	Lighter  Way = "lighter"
	Darker   Way = "darker"
	Stronger Way = "stronger" // more chroma
	Duller   Way = "duller"   // less chroma
	Redder   Way = "redder"
	Yellower Way = "yellower"
	Greener  Way = "greener"
	Bluer    Way = "bluer"
)

// leastPart is the part of a difference below which no word is said: half of
// what the eye sees (our choice).
const leastPart = 0.5

// WaysOf says in words how a colour differs from its standard, the largest part
// first. A turn of the hue is named after the axis of CIELAB it goes toward, seen
// from the middle between the two; of a standard nearly grey the way along both
// axes is told instead of chroma and hue, as colour reports of the trade do (from
// memory).
func WaysOf(standard, c Lab) []Way {
	p := PartsOf(standard, c)
	s, o := standard.LCh(), c.LCh()
	axes := [4]Way{Redder, Yellower, Greener, Bluer} // at 0, 90, 180, 270 degrees
	quarter := int(meanHue(float64(s.H), float64(o.H))/90) % 4
	parts := []part{{p.L, Lighter, Darker}, {p.C, Stronger, Duller}, {p.H, axes[(quarter+1)%4], axes[quarter]}}
	if s.C < DefaultGrey {
		parts = []part{{p.L, Lighter, Darker}, {c.A - standard.A, Redder, Greener}, {c.B - standard.B, Yellower, Bluer}}
	}
	slices.SortStableFunc(parts, func(x, y part) int { return cmp.Compare(math.Abs(y.size), math.Abs(x.size)) })
	var ways []Way
	for _, x := range parts {
		switch {
		case x.size >= leastPart:
			ways = append(ways, x.up)
		case x.size <= -leastPart:
			ways = append(ways, x.down)
		}
	}
	return ways
}

// part is a part of a difference and its word, above and below 0.
type part struct {
	size     float64
	up, down Way
}
