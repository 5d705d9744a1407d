package colour

// Shown is a colour as near as a screen can show it.
type Shown struct {
	SRGB   SRGB    // what to show
	Inside bool    // the screen can show the colour itself, to half a step of eight bits
	Beyond float64 // how far the worst channel of light lies outside 0 to 1 (Linear.Beyond)
	Lab    Lab     // the colour that SRGB stands for, before rounding to eight bits
	Given  float64 // chroma given up, in CIELAB units
	Away   DeltaE  // CIEDE2000 from the colour to Lab
}

// step of chroma in which the way inward is looked over.
const step = 0.25

// Show finds the colour with the same lightness and hue, and the most chroma
// up to that of c, that sRGB holds. Lightness outside 0 to 100 is cut off
// first. Grey of every lightness can be shown, so there is always an answer.
// The way inward is gone step by step, then halved, because a ray of constant
// lightness and hue may leave sRGB and enter it again: light greenish yellows do.
func (c Lab) Show() Shown {
	light := c.Linear()
	s := Shown{Beyond: light.Beyond(), Lab: c}
	if s.Inside = light.inside(); s.Inside {
		s.SRGB = light.SRGB()
		return s
	}
	full := Lab{min(mostL, max(0, c.L)), c.A, c.B}
	chroma := full.LCh().C
	low, high := chroma, chroma
	for low > 0 && !full.duller(share(low, chroma)).Linear().inside() {
		low, high = max(0, low-step), low
	}
	for range 40 {
		mid := (low + high) / 2
		if low == high || full.duller(share(mid, chroma)).Linear().inside() {
			low = mid
		} else {
			high = mid
		}
	}
	s.Lab = full.duller(share(low, chroma))
	s.SRGB = s.Lab.Linear().SRGB()
	s.Given = c.LCh().C - s.Lab.LCh().C
	s.Away = Difference(c, s.Lab)
	return s
}

// share is a part of a whole; all of nothing.
func share(part, whole float64) float64 {
	if whole == 0 {
		return 1
	}
	return part / whole
}

// duller keeps a share of the chroma.
func (c Lab) duller(keep float64) Lab { return Lab{c.L, c.A * keep, c.B * keep} }
