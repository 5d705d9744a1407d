package colour

import (
	"fmt"
	"image"
	"math"

	"urdir/check"
	"urdir/measure"
)

// DefaultGreyCard is the reflectance of a photographer's grey card, 18 % (from
// memory; the card's own figure is better). In CIELAB it is L = 49.5; a card of L = 50
// has 18.4 %: see ReflectanceOf.
const DefaultGreyCard Reflectance = 0.18

// ReflectanceOf is the reflectance of a grey of this lightness in CIELAB, as makers
// of cards give it.
func ReflectanceOf(l float64) Reflectance { return Reflectance(fInverse((l + 16) / 116)) }

// What a photograph is held to. All of it is our choice but DefaultUneven,
// which is from memory.
const (
	leastSide = 24    // pixels of a region, each way
	cells     = 3     // a region is looked at in 3 by 3 parts
	fullShare = 0.01  // of pixels with a channel at its end
	darkCard  = 0.02  // light of a card below which figures are lost in noise
	plainCard = 0.15  // spread of pixels within a part, in shares of its mean
	castCard  = 2.0   // strongest over weakest channel that is pointed out
	castMost  = 4.0   // and that is no grey card any more
	tooBright = 1.005 // a channel of a swatch, as read: more than white

	// DefaultUneven is how much the light over the card may differ, in shares of
	// its mean. A tenth moves L of a middle grey by about 2.
	DefaultUneven measure.Ratio = 0.1
	// unevenSwatch is the CIEDE2000 of a part of a swatch from the whole above
	// which the swatch is pointed out.
	unevenSwatch DeltaE = 3
)

// Card is a grey card on a photograph: one region of it, or several spread
// round the swatches, as from one card held in several places.
type Card struct {
	Regions []image.Rectangle
	Known   Reflectance   // of the card, alike in all channels; 0: DefaultGreyCard
	Uneven  measure.Ratio // limit; 0: DefaultUneven
}

// Light is what a grey card tells of a photograph.
type Light struct {
	Gain     Linear        // what each channel of linear sRGB is multiplied by
	Exposure float64       // what luminance is multiplied by: 2 is a photograph half as bright as it should be
	Balance  Linear        // Gain / Exposure: the white balance by itself
	Within   measure.Ratio // brightest less darkest part of a region, over its mean; the worst region's
	Between  measure.Ratio // brightest less darkest region, over the mean of all
}

// Read measures the light of a photograph on its grey card. The picture is
// taken to be sRGB; see Light.Read for what that leaves open. Problems have the paths
// "card[0]" and so on:
//
//	card-missing       no region is given
//	card-reflectance   the card's own reflectance is not from 1 to 100 %
//	region-outside     a region does not lie on the picture
//	region-small       it has less than 24 pixels each way
//	region-clipped     more than 1 % of its pixels have a channel at full: what was lost is not known
//	card-dark          the card is nearly black on the picture
//	card-not-found     what lies there is no even grey
//	card-coloured      caution: the light is strongly coloured
//	card-uneven        caution: the light differs over the card, or from one region to the other
func (c Card) Read(picture image.Image) (Light, check.Problems) {
	var ps check.Problems
	if c.Known == 0 {
		c.Known = DefaultGreyCard
	}
	if c.Uneven == 0 {
		c.Uneven = DefaultUneven
	}
	if !(c.Known >= 0.01 && c.Known <= 1) { // NaN too
		ps.Wrong("card", "card-reflectance", check.Args{"value": measure.Ratio(c.Known)})
	}
	if len(c.Regions) == 0 {
		ps.Wrong("card", "card-missing", nil)
	}
	var means []Linear
	var l Light
	for i, r := range c.Regions {
		at := fmt.Sprintf("card[%d]", i)
		p, ok := look(picture, r, at, &ps)
		if !ok || !p.isCard(at, &ps) {
			continue
		}
		means = append(means, p.mean)
		l.Within = max(l.Within, spread(p.parts))
	}
	if ps.Failed() {
		return Light{}, ps
	}
	l.Between = spread(means)
	if u := max(l.Within, l.Between); u > c.Uneven {
		ps.Look("card", "card-uneven", check.Args{"uneven": u, "limit": c.Uneven})
	}
	var mean Linear
	for _, m := range means {
		mean = mean.plus(m.scaled(1 / float64(len(means))))
	}
	known := float64(c.Known)
	l.Gain = Linear{known / mean.R, known / mean.G, known / mean.B}
	l.Exposure = known / mean.luminance()
	l.Balance = l.Gain.scaled(1 / l.Exposure)
	return l, ps
}

// isCard reports whether a patch can be a grey card. A patch that cannot is told.
func (p patch) isCard(at string, ps *check.Problems) bool {
	low, high := min(p.mean.R, p.mean.G, p.mean.B), max(p.mean.R, p.mean.G, p.mean.B)
	switch {
	case p.mean.luminance() < darkCard || low <= 0:
		ps.Wrong(at, "card-dark", nil)
		return false
	case p.rough > plainCard || high/low > castMost:
		ps.Wrong(at, "card-not-found", nil)
		return false
	case high/low > castCard:
		ps.Look(at, "card-coloured", check.Args{"ratio": high / low})
	}
	return true
}

// spread is the brightest less the darkest, over the mean.
func spread(parts []Linear) measure.Ratio {
	low, high, sum := math.Inf(1), math.Inf(-1), 0.0
	for _, p := range parts {
		y := p.luminance()
		low, high, sum = min(low, y), max(high, y), sum+y
	}
	return measure.Ratio((high - low) / (sum / float64(len(parts))))
}
