package lots

import "urdir/chance"

// dice decide what is tried. Without any nothing is left to chance.
type dice struct {
	chance.Stream
	rate int // one in so many is overlooked; zero: none
}

// overlooks is true now and then; never without dice.
func (d *dice) overlooks() bool { return d != nil && d.rate > 0 && d.Below(d.rate) == 0 }
