package surface

import (
	"encoding/binary"
	"math"

	"urdir/measure"
)

// Rectangles are laid straight into the pixels. A pixel is read and written as
// one word of four bytes, red lowest, and mixed two channels at a time. Floats
// are compared by hand: in a browser the builtin min and max are calls.

// Rect blends the edge pixels by the part of them that is covered.
func (p *PNG) Rect(b Box, c Colour) {
	k := &p.clips[len(p.clips)-1]
	cols := pixels(float64(b.X)*p.scale, float64(b.X+b.W)*p.scale, k.x0, k.x1)
	if cols.n == 0 {
		return
	}
	rows := pixels(float64(b.Y)*p.scale, float64(b.Y+b.H)*p.scale, k.y0, k.y1)
	if rows.n > 0 {
		p.lay(cols, rows, word(c))
	}
}

// Bars is what the function Bars does, worked out once a row and once a bar.
func (p *PNG) Bars(bars []Bar, tops []measure.MM, h measure.MM) {
	k := &p.clips[len(p.clips)-1]
	p.rows = p.rows[:0]
	for _, y := range tops {
		if rows := pixels(float64(y)*p.scale, float64(y+h)*p.scale, k.y0, k.y1); rows.n > 0 {
			p.rows = append(p.rows, rows)
		}
	}
	for _, b := range bars {
		cols := pixels(float64(b.X)*p.scale, float64(b.X+b.W)*p.scale, k.x0, k.x1)
		if cols.n == 0 {
			continue
		}
		c := word(b.Colour)
		for _, rows := range p.rows {
			p.lay(cols, rows, c)
		}
	}
}

// stretch is a run of n pixels of which the first and last are covered in part,
// in 256ths. A single pixel has only a first.
type stretch struct {
	from, n     int
	first, last uint32
}

// pixels is the stretch from a to b within two bounds, the lower of which is
// not below zero; it has none for what is not a number.
func pixels(a, b, low, high float64) stretch {
	if a < low {
		a = low
	}
	if b > high {
		b = high
	}
	if !(a < b) {
		return stretch{}
	}
	i, j := int(a), int(math.Ceil(b))
	if j-i == 1 {
		return stretch{from: i, n: 1, first: uint32((b-a)*256 + 0.5)}
	}
	return stretch{from: i, n: j - i, first: uint32((float64(i+1)-a)*256 + 0.5), last: uint32((b-float64(j-1))*256 + 0.5)}
}

// word is an opaque colour as four bytes.
func word(c Colour) uint32 { return uint32(c.R) | uint32(c.G)<<8 | uint32(c.B)<<16 | 0xff<<24 }

// lay lays a colour over some pixels.
func (p *PNG) lay(cols, rows stretch, c uint32) {
	pix := p.img.Pix[rows.from*p.img.Stride+cols.from*4:]
	row(pix, cols, rows.first, c)
	for range rows.n - 2 {
		pix = pix[p.img.Stride:]
		row(pix, cols, 256, c)
	}
	if rows.n > 1 {
		row(pix[p.img.Stride:], cols, rows.last, c)
	}
}

// row lays a colour over a row of pixels, covering it by so many 256ths.
func row(pix []byte, cols stretch, cover, c uint32) {
	pix = pix[:cols.n*4]
	words.PutUint32(pix, mix(words.Uint32(pix), c, cover*cols.first>>8))
	if cols.n == 1 {
		return
	}
	last := pix[len(pix)-4:]
	words.PutUint32(last, mix(words.Uint32(last), c, cover*cols.last>>8))
	inner := pix[4 : len(pix)-4]
	switch {
	case cover < 256:
		for ; len(inner) >= 4; inner = inner[4:] {
			words.PutUint32(inner, mix(words.Uint32(inner), c, cover))
		}
	case len(inner) > 64: // long: set one and double it
		words.PutUint32(inner, c)
		for n := 4; n < len(inner); n *= 2 {
			copy(inner[n:], inner[:n])
		}
	default:
		for ; len(inner) >= 4; inner = inner[4:] {
			words.PutUint32(inner, c)
		}
	}
}

var words = binary.LittleEndian

// mix is a colour laid over another, covering it by so many 256ths. No channel
// runs over into the next.
func mix(under, c, cover uint32) uint32 {
	const odd, half = 0xff00ff, 0x800080
	rb := (under&odd)*(256-cover) + (c&odd)*cover + half
	ga := (under>>8&odd)*(256-cover) + (c>>8&odd)*cover + half
	return rb>>8&odd | ga&(odd<<8)
}
