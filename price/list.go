package price

import "urdir/check"

// Listed is a row of a price list: a piece in one channel.
type Listed struct {
	Channel string
	Each    Money
	Sale    Sale // of a single piece
}

// List gives the price of a piece in each channel such that at least so much is
// left everywhere, each customary. Problems are those of Terms.PriceFor, under
// channels[i].
func List(left Money, channels []Terms, c Customary) ([]Listed, check.Problems) {
	ps := c.validate()
	if ps.Failed() {
		return nil, ps
	}
	out := make([]Listed, 0, len(channels))
	for i, t := range channels {
		each, found := t.PriceFor(left, 1)
		if ps.Under(at("channels", i), found); found.Failed() {
			continue
		}
		each = c.Up(each)
		out = append(out, Listed{t.Channel.Name, each, t.sell(each, 1)})
	}
	return out, ps
}
