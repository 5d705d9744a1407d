package price

import "urdir/check"

// Customary is how prices end where one sells: whole fives (Step 500, End 0 in
// cents), halves (Step 50), x.90 (Step 100, End 90). The zero value leaves prices
// as they are.
type Customary struct {
	Step, End int64 // minor units
}

func (c Customary) validate() (ps check.Problems) {
	if c.Step < 0 || c.Step > MaxMinor || c.End < 0 || c.End > 0 && c.End >= c.Step {
		ps.Wrong("", "customary-step", nil)
	}
	return ps
}

// Up is the lowest customary price that is not below another.
func (c Customary) Up(m Money) Money {
	if c.Step <= 1 {
		return m
	}
	if over := ((m.Minor-c.End)%c.Step + c.Step) % c.Step; over > 0 {
		m.Minor += c.Step - over
	}
	return m
}

// Nearest is the customary price nearest to another, the higher of two; but never
// below a floor.
func (c Customary) Nearest(m, floor Money) Money {
	above := c.Up(m)
	if below := (Money{above.Minor - c.Step, m.Currency}); c.Step > 1 && m.Minor-below.Minor < above.Minor-m.Minor && below.Minor >= floor.Minor {
		return below
	}
	return c.Up(Money{max(m.Minor, floor.Minor), m.Currency})
}

// Step is a price for a quantity: from so many pieces on, so much off each.
type Step struct {
	From int
	Off  Percent
}

func validateSteps(steps []Step) (ps check.Problems) {
	for i, s := range steps {
		path := at("steps", i)
		s.Off.within(&ps, path+".off", 100, false)
		if s.From < 1 || s.From > maxPieces || i > 0 && s.From <= steps[i-1].From {
			ps.Wrong(path+".from", "step-order", nil)
			continue
		}
		// One piece fewer than the step must not cost more than the step.
		if before := offAt(steps[:i], s.From-1); s.From > 1 {
			if full, less := mul(whole(int64(s.From-1)), before.less()), mul(whole(int64(s.From)), s.Off.less()); less.Cmp(full) < 0 {
				ps.Look(path+".off", "step-cheaper", check.Args{"n": s.From, "fewer": s.From - 1})
			}
		}
	}
	return ps
}

// offAt is what is off each piece of a number of them.
func offAt(steps []Step, pieces int) (off Percent) {
	for _, s := range steps {
		if s.From <= pieces {
			off = s.Off
		}
	}
	return off
}

// lessOff is a price with so much off, rounded up.
func lessOff(m Money, off Percent) Money {
	return Money{round(mul(whole(m.Minor), off.less()), up), m.Currency}
}
