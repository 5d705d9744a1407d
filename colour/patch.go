package colour

import (
	"image"
	"math"

	"urdir/check"
)

// patch is a region of a picture as light.
type patch struct {
	mean  Linear
	parts []Linear // means of 3 by 3 parts, row by row
	rough float64  // greatest standard deviation of luminance within a part, over its mean
	black float64  // share of pixels with a channel at 0
}

// look measures a region. A region that cannot be measured is told, and ok is
// false.
func look(picture image.Image, r image.Rectangle, at string, ps *check.Problems) (p patch, ok bool) {
	switch {
	case r.Empty() || !r.In(picture.Bounds()):
		ps.Wrong(at, "region-outside", check.Args{"width": picture.Bounds().Dx(), "height": picture.Bounds().Dy()})
		return p, false
	case r.Dx() < leastSide || r.Dy() < leastSide:
		ps.Wrong(at, "region-small", check.Args{"width": r.Dx(), "height": r.Dy(), "least": leastSide})
		return p, false
	}
	see := eye(picture)
	full, black, pixels := 0, 0, r.Dx()*r.Dy()
	for row := range cells {
		for column := range cells {
			part := image.Rect(
				r.Min.X+r.Dx()*column/cells, r.Min.Y+r.Dy()*row/cells,
				r.Min.X+r.Dx()*(column+1)/cells, r.Min.Y+r.Dy()*(row+1)/cells)
			s := see.sum(part)
			full, black = full+s.full, black+s.black
			n := float64(part.Dx() * part.Dy())
			mean := s.light.scaled(1 / n)
			y := mean.luminance()
			if y > 0 {
				p.rough = max(p.rough, math.Sqrt(max(0, s.square/n-y*y))/y)
			}
			p.parts = append(p.parts, mean)
			p.mean = p.mean.plus(s.light.scaled(1 / float64(pixels)))
		}
	}
	p.black = float64(black) / float64(pixels)
	if float64(full) > fullShare*float64(pixels) {
		ps.Wrong(at, "region-clipped", nil)
		return p, false
	}
	return p, true
}

// seeing reads light off a picture.
type seeing struct {
	at    func(x, y int) (r, g, b uint32) // 0 to 65535
	bytes [256]float64                    // light of a channel of eight bits
}

// eye makes a picture readable. Most kinds give a pixel without making a colour
// of it first, which is several times as fast.
func eye(picture image.Image) *seeing {
	s := &seeing{}
	for i := range s.bytes {
		s.bytes[i] = decode(float64(i) / 255)
	}
	if fast, ok := picture.(image.RGBA64Image); ok {
		s.at = func(x, y int) (r, g, b uint32) {
			c := fast.RGBA64At(x, y)
			return uint32(c.R), uint32(c.G), uint32(c.B)
		}
		return s
	}
	s.at = func(x, y int) (r, g, b uint32) {
		r, g, b, _ = picture.At(x, y).RGBA()
		return r, g, b
	}
	return s
}

// light is that of a channel of 16 bits; a transparent pixel counts as on black.
func (s *seeing) light(v uint32) float64 {
	if v>>8 == v&0xff {
		return s.bytes[v>>8]
	}
	return decode(float64(v) / 0xffff)
}

// sums are those over the pixels of a part.
type sums struct {
	light       Linear
	square      float64 // of luminance
	full, black int     // pixels with a channel at its end
}

func (s *seeing) sum(part image.Rectangle) (out sums) {
	const last = 0xff00 // of eight bits, only 255 is as much
	for y := part.Min.Y; y < part.Max.Y; y++ {
		for x := part.Min.X; x < part.Max.X; x++ {
			r, g, b := s.at(x, y)
			if r >= last || g >= last || b >= last {
				out.full++
			}
			if r == 0 || g == 0 || b == 0 {
				out.black++
			}
			l := Linear{s.light(r), s.light(g), s.light(b)}
			out.light = out.light.plus(l)
			out.square += l.luminance() * l.luminance()
		}
	}
	return out
}

func (l Linear) plus(m Linear) Linear       { return Linear{l.R + m.R, l.G + m.G, l.B + m.B} }
func (l Linear) scaled(by float64) Linear   { return Linear{l.R * by, l.G * by, l.B * by} }
func (l Linear) through(gain Linear) Linear { return Linear{l.R * gain.R, l.G * gain.G, l.B * gain.B} }

// luminance is Y of XYZ.
func (l Linear) luminance() float64 { return toXYZ[1][0]*l.R + toXYZ[1][1]*l.G + toXYZ[1][2]*l.B }
