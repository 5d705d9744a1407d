package surface

import (
	"fmt"
	"image"
	"image/draw"
	"io"
	"math"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"

	"urdir/measure"
)

// PNG is a picture of pixels. It is not safe for use from several goroutines.
type PNG struct {
	w, h   measure.MM
	scale  float64 // pixels per millimetre
	img    *image.RGBA
	clips  []clip
	ras    vector.Rasterizer
	buf    sfnt.Buffer
	glyphs map[glyph]sfnt.Segments
}

// clip is a box in whole pixels.
type clip struct{ x0, y0, x1, y1 float64 }

type glyph struct {
	r    rune
	bold bool
}

// NewPNG makes a white picture of a page, so many pixels wide. Width and height
// must be more than zero.
func NewPNG(w, h measure.MM, pixels int) *PNG {
	pixels = max(1, pixels)
	scale := float64(pixels) / float64(w)
	rows := max(1, int(math.Round(float64(h)*scale)))
	p := &PNG{w: w, h: h, scale: scale, glyphs: map[glyph]sfnt.Segments{}}
	p.img = image.NewRGBA(image.Rect(0, 0, pixels, rows))
	draw.Draw(p.img, p.img.Bounds(), image.White, image.Point{}, draw.Src)
	p.clips = []clip{{0, 0, float64(pixels), float64(rows)}}
	return p
}

func (p *PNG) Size() (w, h measure.MM) { return p.w, p.h }

// Lap is a pixel and a bit.
func (p *PNG) Lap() measure.MM { return measure.MM(1.05 / p.scale) }

func (p *PNG) Fine() measure.MM { return measure.MM(1 / p.scale) }

// Clip limits drawing to the whole pixels nearest to the box.
func (p *PNG) Clip(b Box) {
	c := p.clips[len(p.clips)-1]
	at := func(v measure.MM) float64 { return math.Round(float64(v) * p.scale) }
	c = clip{max(c.x0, at(b.X)), max(c.y0, at(b.Y)), min(c.x1, at(b.X+b.W)), min(c.y1, at(b.Y+b.H))}
	if !(c.x0 < c.x1 && c.y0 < c.y1) {
		c = clip{} // nothing is left
	}
	p.clips = append(p.clips, c)
}

func (p *PNG) Restore() { p.clips = p.clips[:len(p.clips)-1] }

// Rect blends the edge pixels by the part of them that is covered.
func (p *PNG) Rect(b Box, c Colour) {
	k := &p.clips[len(p.clips)-1]
	x0, y0 := max(k.x0, float64(b.X)*p.scale), max(k.y0, float64(b.Y)*p.scale)
	x1, y1 := min(k.x1, float64(b.X+b.W)*p.scale), min(k.y1, float64(b.Y+b.H)*p.scale)
	if !(x0 < x1 && y0 < y1) { // and not a number is nowhere
		return
	}
	cols, rows := pixels(x0, x1), pixels(y0, y1)
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

// stretch is a run of n pixels of which the first and last are covered in part,
// in 256ths. A single pixel has only a first.
type stretch struct{ from, n, first, last int }

func pixels(a, b float64) stretch {
	i, j := int(a), int(math.Ceil(b)) // a is never below zero
	s := stretch{from: i, n: j - i, last: int((b-float64(j-1))*256 + 0.5)}
	if s.n == 1 {
		s.first = int((b-a)*256 + 0.5)
	} else {
		s.first = int((float64(i+1)-a)*256 + 0.5)
	}
	return s
}

// row lays c over a row of pixels, covering it by so many 256ths.
func row(pix []byte, cols stretch, cover int, c Colour) {
	blend(pix, c, cover*cols.first>>8)
	if cols.n == 1 {
		return
	}
	blend(pix[(cols.n-1)*4:], c, cover*cols.last>>8)
	inner := pix[4 : (cols.n-1)*4]
	switch {
	case cover < 256:
		for ; len(inner) >= 4; inner = inner[4:] {
			blend(inner, c, cover)
		}
	case len(inner) > 64: // long: set one and double it
		inner[0], inner[1], inner[2], inner[3] = c.R, c.G, c.B, 255
		for n := 4; n < len(inner); n *= 2 {
			copy(inner[n:], inner[:n])
		}
	default:
		for ; len(inner) >= 4; inner = inner[4:] {
			inner[0], inner[1], inner[2], inner[3] = c.R, c.G, c.B, 255
		}
	}
}

// blend lays c over a pixel, covering it by so many 256ths.
func blend(pix []byte, c Colour, cover int) {
	_ = pix[3]
	if cover >= 256 {
		pix[0], pix[1], pix[2] = c.R, c.G, c.B
		return
	}
	pix[0] = uint8((int(pix[0])*(256-cover) + int(c.R)*cover + 128) >> 8)
	pix[1] = uint8((int(pix[1])*(256-cover) + int(c.G)*cover + 128) >> 8)
	pix[2] = uint8((int(pix[2])*(256-cover) + int(c.B)*cover + 128) >> 8)
}

// Path fills and strokes with the vector rasteriser.
func (p *PNG) Path(path *Path, ink Ink) {
	if !ink.seen(path) {
		return
	}
	fine := 0.05 / p.scale
	lines := path.flatten(fine)
	if ink.Filled {
		p.fill(lines, ink.Fill)
	}
	if ink.StrokeWidth > 0 {
		p.fill(outlines(lines, float64(ink.StrokeWidth), float64(ink.Dash), fine), ink.Stroke)
	}
}

// fill rasterises polygons within their own bounds only: the rasteriser costs
// by area.
func (p *PNG) fill(polys [][]point, c Colour) {
	x0, y0, x1, y1 := p.bounds(polys)
	if x0 >= x1 || y0 >= y1 {
		return
	}
	p.ras.Reset(x1-x0, y1-y0)
	for _, poly := range polys {
		for i, q := range poly {
			x, y := float32(q.x*p.scale-float64(x0)), float32(q.y*p.scale-float64(y0))
			if i == 0 {
				p.ras.MoveTo(x, y)
			} else {
				p.ras.LineTo(x, y)
			}
		}
		p.ras.ClosePath()
	}
	p.ras.Draw(p.img, image.Rect(x0, y0, x1, y1), image.NewUniform(c), image.Point{})
}

// bounds are the pixels that polygons touch within the clip.
func (p *PNG) bounds(polys [][]point) (x0, y0, x1, y1 int) {
	minX, minY, maxX, maxY := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, poly := range polys {
		for _, q := range poly {
			minX, maxX = min(minX, q.x), max(maxX, q.x)
			minY, maxY = min(minY, q.y), max(maxY, q.y)
		}
	}
	if !(minX > -1e6 && maxX < 1e6 && minY > -1e6 && maxY < 1e6) {
		return 0, 0, 0, 0 // a kilometre off, or not a number
	}
	k := p.clips[len(p.clips)-1]
	return int(max(k.x0, math.Floor(minX*p.scale))), int(max(k.y0, math.Floor(minY*p.scale))),
		int(min(k.x1, math.Ceil(maxX*p.scale))), int(min(k.y1, math.Ceil(maxY*p.scale)))
}

// ppem is the size at which outlines are kept; they are scaled from it.
const ppem = 1000

func (p *PNG) Text(x, y measure.MM, s string, f Font) {
	s = clean(s)
	x, y = origin(x, y, s, f)
	fc := faceOf(f.Bold)
	em := float64(f.Size) / ppem / 64
	var polys [][]point
	pen := 0.0
	for _, r := range s {
		place := func(q fixed.Point26_6) point {
			dx, dy := pen+float64(q.X)*em, float64(q.Y)*em
			if f.Up {
				return point{float64(x) + dy, float64(y) - dx}
			}
			return point{float64(x) + dx, float64(y) + dy}
		}
		polys = append(polys, outlineOf(p.glyph(fc, glyph{r, f.Bold}), place, 0.1/p.scale)...)
		pen += fc.advance(r) * float64(f.Size)
	}
	p.fill(polys, f.Colour)
}

// glyph is the outline of a letter, read from the font once.
func (p *PNG) glyph(fc *face, g glyph) sfnt.Segments {
	if segs, ok := p.glyphs[g]; ok {
		return segs
	}
	var out sfnt.Segments
	if i, err := fc.font.GlyphIndex(&p.buf, g.r); err == nil {
		if segs, err := fc.font.LoadGlyph(&p.buf, i, fixed.I(ppem), nil); err == nil {
			out = append(out, segs...) // the buffer is used again
		}
	}
	p.glyphs[g] = out
	return out
}

// outlineOf flattens a glyph.
func outlineOf(segs sfnt.Segments, place func(fixed.Point26_6) point, fine float64) [][]point {
	var polys [][]point
	for _, s := range segs {
		last := len(polys) - 1
		switch s.Op {
		case sfnt.SegmentOpMoveTo:
			polys = append(polys, []point{place(s.Args[0])})
		case sfnt.SegmentOpLineTo:
			polys[last] = append(polys[last], place(s.Args[0]))
		case sfnt.SegmentOpQuadTo:
			a := polys[last][len(polys[last])-1]
			b, c := place(s.Args[0]), place(s.Args[1])
			polys[last] = curve(polys[last], a, a.to(b, 2.0/3), c.to(b, 2.0/3), c, fine)
		case sfnt.SegmentOpCubeTo:
			a := polys[last][len(polys[last])-1]
			polys[last] = curve(polys[last], a, place(s.Args[0]), place(s.Args[1]), place(s.Args[2]), fine)
		}
	}
	return polys
}

// WriteTo encodes the picture.
func (p *PNG) WriteTo(w io.Writer) (int64, error) {
	n := &counter{w: w}
	if err := writePNG(n, p.img, p.scale*1000); err != nil {
		return n.n, fmt.Errorf("write PNG: %w", err)
	}
	return n.n, nil
}

// Image is the picture itself.
func (p *PNG) Image() *image.RGBA { return p.img }
