package dye

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"urdir/check"
	"urdir/measure"
)

// DefaultFill is how full a pot is filled, so that it can be stirred. From memory.
const DefaultFill measure.Ratio = 0.8

// Pot is a pot of the dye house; Fill is the share of it that may hold bath,
// zero for DefaultFill.
type Pot struct {
	Name   string
	Litres measure.Litre
	Fill   measure.Ratio
}

// Holds is the bath a pot takes.
func (p Pot) Holds() measure.Litre {
	if p.Fill > 0 {
		return p.Litres * measure.Litre(p.Fill)
	}
	return p.Litres * measure.Litre(DefaultFill)
}

// Size is a number of baths that hold the same.
type Size struct {
	Baths  int           `json:"baths"`
	Skeins int           `json:"skeins,omitempty"` // in each; zero where skeins are not told
	Fibre  measure.Gram  `json:"fibre_g"`          // in each
	Bath   measure.Litre `json:"bath_l"`           // at the largest liquor ratio of the recipe
}

// Division is a lot shared out over baths.
type Division struct {
	Baths  int           `json:"baths"`
	Rounds int           `json:"rounds"` // one after the other, if every pot that fits is used
	Skeins int           `json:"skeins,omitempty"`
	Skein  measure.Gram  `json:"skein_g,omitempty"`
	Sizes  []Size        `json:"sizes"` // one, or two that differ by a skein, the larger first
	Pots   []int         `json:"pots"`  // that hold a bath, the smallest first
	Needs  measure.Litre `json:"needs_l"`
}

// hair is what two amounts may differ by and still be one: the last bits of a float.
const hair = 1e-9

// Split shares a lot out over the fewest baths that fit a pot, all of them equal
// or a skein apart, so that every bath is as strong for its fibre as the others:
// a stripe wound from one bath does not show against one from another.
//
// The lot is whole skeins of equal weight, none heavier than skein; a skein of
// zero is fibre that can be parted anywhere. A bath holds fibre x liquor; what
// the fibre itself takes up, 2 % at 30 L/kg, is left to the room above the
// fill.
func Split(lot, skein measure.Gram, liquor measure.LPerKG, pots []Pot) (Division, check.Problems) {
	var ps check.Problems
	for i, p := range pots {
		if p.Litres <= 0 || p.Fill < 0 || p.Fill > 1 {
			ps.Wrong(fmt.Sprintf("pots[%d]", i), "dye-pot", check.Args{"litres": p.Litres})
		}
	}
	if len(pots) == 0 {
		ps.Wrong("pots", "dye-no-pot", nil)
	}
	if lot <= 0 || lot > mostFibre {
		ps.Wrong("mass", "dye-mass", check.Args{"mass": lot, "most": mostFibre})
	}
	if skein < 0 {
		ps.Wrong("skein", "dye-mass", check.Args{"mass": skein, "most": mostFibre})
	}
	if ps.Failed() || liquor <= 0 {
		return Division{}, ps
	}
	largest := slices.MaxFunc(pots, func(a, b Pot) int { return cmp.Compare(a.Holds(), b.Holds()) })
	fits := measure.Gram(float64(largest.Holds()) / float64(liquor) * 1000) // fibre
	if skein > 0 {
		d := Division{Skeins: up(lot / skein)}
		d.Skein = lot / measure.Gram(d.Skeins)
		most := int(float64(fits/d.Skein) + hair) // skeins in a bath
		if most == 0 {
			ps.Wrong("pots", "dye-skein-too-big", check.Args{"skein": d.Skein, "bath": liquor.For(d.Skein), "holds": largest.Holds()})
			return Division{}, ps
		}
		d.Baths = (d.Skeins + most - 1) / most
		d.skeins(liquor)
		d.place(pots)
		if len(d.Sizes) > 1 {
			ps.Look("", "dye-baths-uneven", check.Args{"more": d.Sizes[0].Skeins, "fewer": d.Sizes[1].Skeins})
		}
		return d, ps
	}
	d := Division{Baths: up(lot / fits)}
	each := lot / measure.Gram(d.Baths)
	d.Sizes = []Size{{Baths: d.Baths, Fibre: each, Bath: liquor.For(each)}}
	d.place(pots)
	return d, ps
}

// mostFibre bounds a lot.
const mostFibre measure.Gram = 200_000

// up is the next whole number, but not for the last bit of a float.
func up(v measure.Gram) int { return max(1, int(math.Ceil(float64(v)-hair))) }

// skeins shares whole skeins out.
func (d *Division) skeins(liquor measure.LPerKG) {
	each, more := d.Skeins/d.Baths, d.Skeins%d.Baths
	for _, s := range []Size{{Baths: more, Skeins: each + 1}, {Baths: d.Baths - more, Skeins: each}} {
		if s.Baths > 0 {
			s.Fibre = d.Skein * measure.Gram(s.Skeins)
			s.Bath = liquor.For(s.Fibre)
			d.Sizes = append(d.Sizes, s)
		}
	}
}

// place finds the pots that hold the largest bath.
func (d *Division) place(pots []Pot) {
	d.Needs = d.Sizes[0].Bath
	for i, p := range pots {
		if p.Holds()*(1+hair) >= d.Needs {
			d.Pots = append(d.Pots, i)
		}
	}
	slices.SortStableFunc(d.Pots, func(a, b int) int { return cmp.Compare(pots[a].Holds(), pots[b].Holds()) })
	d.Rounds = (d.Baths + len(d.Pots) - 1) / len(d.Pots)
}
