package colour

import (
	"image"

	"urdir/check"
)

// Swatch is the colour of a region of a photograph, put right by the grey card.
type Swatch struct {
	Colour Lab
	Light  Linear
	Uneven DeltaE // greatest CIEDE2000 of a ninth of the region from the whole
}

// Read measures a swatch in the light that the card told of: the mean of its
// light, each channel times Gain. So a swatch in the same light as the card comes out
// as in daylight; one in shadow does not.
//
// That a gain in each channel of sRGB puts a colour right is an approximation
// (von Kries, in the camera's own colours): strong colours and lamps with gaps in
// their spectrum come out several DeltaE wrong, and telephones bend light and dark
// to please. Compare swatches of one photograph, or photographs taken alike.
//
// Problems have the path "swatch":
//
//	region-outside, region-small, region-clipped  as for Card.Read
//	swatch-too-bright  caution: brighter than a white sheet, or shining
//	swatch-too-dark    caution: a channel is at nothing in more than 1 % of the pixels
//	swatch-uneven      caution: its parts differ
func (l Light) Read(picture image.Image, region image.Rectangle) (Swatch, check.Problems) {
	const at = "swatch"
	var ps check.Problems
	p, ok := look(picture, region, at, &ps)
	if !ok {
		return Swatch{}, ps
	}
	s := Swatch{Light: p.mean.through(l.Gain)}
	s.Colour = s.Light.XYZ().Lab()
	for _, part := range p.parts {
		s.Uneven = max(s.Uneven, Difference(s.Colour, part.through(l.Gain).XYZ().Lab()))
	}
	if brightest := max(s.Light.R, s.Light.G, s.Light.B); brightest > tooBright {
		ps.Look(at, "swatch-too-bright", check.Args{"light": brightest})
	}
	if p.black > fullShare {
		ps.Look(at, "swatch-too-dark", nil)
	}
	if s.Uneven > unevenSwatch {
		ps.Look(at, "swatch-uneven", check.Args{"difference": float64(s.Uneven)})
	}
	return s, ps
}
