package colour

import (
	"cmp"
	"slices"
)

// DefaultGrey is the chroma below which a yarn lies with the greys: undyed
// cotton and wool lie below it (our choice).
const DefaultGrey = 8

// shelfBegins is the hue, in degrees, at which a shelf begins: between violet and
// crimson, so that no family of reds is cut in two (our choice).
const shelfBegins = 330

// Shelf is the order in which colours lie on a shelf: first those with a hue,
// from crimson over red, yellow, green and blue to violet, then the greys,
// those with a chroma below DefaultGrey, from light to dark. It gives places
// in the list. Equal colours keep their order.
func Shelf(colours []Lab) []int {
	order := make([]int, len(colours))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		x, y := colours[i].LCh(), colours[j].LCh()
		switch greyX, greyY := x.C < DefaultGrey, y.C < DefaultGrey; {
		case greyX != greyY && greyX:
			return 1
		case greyX != greyY:
			return -1
		case greyX:
			return cmp.Compare(y.L, x.L)
		}
		return cmp.Or(cmp.Compare(onShelf(x), onShelf(y)), cmp.Compare(y.L, x.L), cmp.Compare(y.C, x.C))
	})
	return order
}

// onShelf is how far along the shelf a hue lies, in degrees.
func onShelf(c LCh) float64 {
	along := float64(c.H) - shelfBegins
	if along < 0 {
		along += 360
	}
	return along
}

// Near is a colour of a list and how far it lies from a wish.
type Near struct {
	Index      int    // in the list
	Difference DeltaE // CIEDE2000
}

// Nearest orders a list of colours by how near they come to a wish, the nearest
// first; equally near ones keep their order.
func Nearest(wish Lab, list []Lab) []Near {
	out := make([]Near, len(list))
	for i, c := range list {
		out[i] = Near{i, Difference(wish, c)}
	}
	slices.SortStableFunc(out, func(x, y Near) int { return cmp.Compare(x.Difference, y.Difference) })
	return out
}
