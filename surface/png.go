package surface

import (
	"image"
	"image/draw"
	"image/png"
	"io"
	"math"
	"sync"

	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/image/vector"

	"urdir/measure"
)

// PNG is a picture of pixels.
type PNG struct {
	w, h  measure.MM
	scale float64 // pixels per millimetre
	img   *image.RGBA
	clips []clip
	buf   sfnt.Buffer
	ras   vector.Rasterizer
}

// clip is a box in pixels.
type clip struct{ x0, y0, x1, y1 float64 }

// NewPNG makes a white picture of a page, so many pixels wide.
func NewPNG(w, h measure.MM, pixels int) *PNG {
	scale := float64(pixels) / float64(w)
	p := &PNG{w: w, h: h, scale: scale}
	rows := int(math.Round(float64(h) * scale))
	p.img = image.NewRGBA(image.Rect(0, 0, pixels, max(1, rows)))
	draw.Draw(p.img, p.img.Bounds(), image.White, image.Point{}, draw.Src)
	p.clips = []clip{{0, 0, float64(pixels), float64(rows)}}
	return p
}

func (p *PNG) Size() (w, h measure.MM) { return p.w, p.h }

// Lap is a pixel and a bit.
func (p *PNG) Lap() measure.MM { return measure.MM(1.05 / p.scale) }

func (p *PNG) Fine() measure.MM { return measure.MM(1 / p.scale) }

func (p *PNG) Clip(b Box) {
	c := p.clips[len(p.clips)-1]
	x, y := float64(b.X)*p.scale, float64(b.Y)*p.scale
	p.clips = append(p.clips, clip{
		math.Max(c.x0, x), math.Max(c.y0, y),
		math.Min(c.x1, x+float64(b.W)*p.scale), math.Min(c.y1, y+float64(b.H)*p.scale),
	})
}

func (p *PNG) Restore() { p.clips = p.clips[:len(p.clips)-1] }

// Rect blends the edge pixels by the part of them that is covered.
func (p *PNG) Rect(b Box, c Colour) {
	k := p.clips[len(p.clips)-1]
	x0, y0 := math.Max(k.x0, float64(b.X)*p.scale), math.Max(k.y0, float64(b.Y)*p.scale)
	x1, y1 := math.Min(k.x1, float64(b.X+b.W)*p.scale), math.Min(k.y1, float64(b.Y+b.H)*p.scale)
	if x0 >= x1 || y0 >= y1 {
		return
	}
	cols, left, right := edges(x0, x1)
	rows, top, bottom := edges(y0, y1)
	for i := 0; i < rows.n; i++ {
		cover := 256
		switch {
		case i == 0:
			cover = top
		case i == rows.n-1:
			cover = bottom
		}
		p.row(rows.first+i, cols, cover, left, right, c)
	}
}

// span is a run of pixels.
type span struct{ first, n int }

// edges cuts a stretch into pixels; the first and last are covered in part, in
// 256ths. A stretch within one pixel has only a first.
func edges(a, b float64) (s span, first, last int) {
	i, j := int(math.Floor(a)), int(math.Ceil(b))
	s = span{i, j - i}
	if s.n == 1 {
		return s, int((b-a)*256 + 0.5), 0
	}
	return s, int((float64(i+1)-a)*256 + 0.5), int((b-float64(j-1))*256 + 0.5)
}

func (p *PNG) row(y int, cols span, cover, left, right int, c Colour) {
	pix := p.img.Pix[y*p.img.Stride+cols.first*4:]
	blend(pix, c, cover*left>>8)
	if cols.n == 1 {
		return
	}
	blend(pix[(cols.n-1)*4:], c, cover*right>>8)
	inner := pix[4 : (cols.n-1)*4]
	if cover < 256 {
		for i := 0; i+3 < len(inner); i += 4 {
			blend(inner[i:], c, cover)
		}
		return
	}
	if len(inner) == 0 {
		return
	}
	inner[0], inner[1], inner[2], inner[3] = c.R, c.G, c.B, 255
	for n := 4; n < len(inner); n *= 2 {
		copy(inner[n:], inner[:n])
	}
}

// blend lays c over a pixel, covering it by so many 256ths.
func blend(pix []byte, c Colour, cover int) {
	if cover >= 256 {
		pix[0], pix[1], pix[2] = c.R, c.G, c.B
		return
	}
	pix[0] += uint8((int(c.R) - int(pix[0])) * cover >> 8)
	pix[1] += uint8((int(c.G) - int(pix[1])) * cover >> 8)
	pix[2] += uint8((int(c.B) - int(pix[2])) * cover >> 8)
}

// Path fills and strokes with the vector rasteriser.
func (p *PNG) Path(path *Path, ink Ink) {
	lines := path.flatten(0.1 / p.scale)
	if ink.Filled {
		p.fill(lines, ink.Fill)
	}
	if ink.StrokeWidth > 0 {
		p.fill(outlines(lines, float64(ink.StrokeWidth), float64(ink.Dash), 0.1/p.scale), ink.Stroke)
	}
}

// fill rasterises polygons within their own bounds only: the rasteriser costs
// by area.
func (p *PNG) fill(polys [][]point, c Colour) {
	k := p.clips[len(p.clips)-1]
	minX, minY, maxX, maxY := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, poly := range polys {
		for _, q := range poly {
			minX, maxX = math.Min(minX, q.x*p.scale), math.Max(maxX, q.x*p.scale)
			minY, maxY = math.Min(minY, q.y*p.scale), math.Max(maxY, q.y*p.scale)
		}
	}
	x0, y0 := int(math.Floor(math.Max(minX, k.x0))), int(math.Floor(math.Max(minY, k.y0)))
	x1, y1 := int(math.Ceil(math.Min(maxX, k.x1))), int(math.Ceil(math.Min(maxY, k.y1)))
	if x0 >= x1 || y0 >= y1 {
		return
	}
	p.ras.Reset(x1-x0, y1-y0)
	p.ras.DrawOp = draw.Over
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
	p.ras.Draw(p.img, image.Rect(x0, y0, x1, y1), image.NewUniform(rgba{c}), image.Point{})
}

type rgba struct{ c Colour }

func (r rgba) RGBA() (uint32, uint32, uint32, uint32) {
	return uint32(r.c.R) * 0x101, uint32(r.c.G) * 0x101, uint32(r.c.B) * 0x101, 0xffff
}

func (p *PNG) Text(x, y measure.MM, s string, f Font) {
	s = clean(s)
	x, y = origin(x, y, s, f)
	fc := faceOf(f.Bold)
	const ppem = 1000 // outlines are scaled from this
	var polys [][]point
	pen := 0.0
	for _, r := range s {
		i, err := fc.font.GlyphIndex(&p.buf, r)
		if err != nil {
			continue
		}
		segs, err := fc.font.LoadGlyph(&p.buf, i, fixed.I(ppem), nil)
		if err != nil {
			continue
		}
		em := float64(f.Size) / ppem
		place := func(q fixed.Point26_6) point {
			dx, dy := pen+float64(q.X)/64*em, float64(q.Y)/64*em
			if f.Up {
				return point{float64(x) + dy, float64(y) - dx}
			}
			return point{float64(x) + dx, float64(y) + dy}
		}
		polys = append(polys, outlineOf(segs, place, 0.1/p.scale)...)
		pen += fc.advance(r) * float64(f.Size)
	}
	p.fill(polys, f.Colour)
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

// buffers keeps the encoder's memory from one picture to the next.
type buffers struct{ sync.Pool }

func (b *buffers) Get() *png.EncoderBuffer {
	e, _ := b.Pool.Get().(*png.EncoderBuffer)
	return e
}
func (b *buffers) Put(e *png.EncoderBuffer) { b.Pool.Put(e) }

var encoder = png.Encoder{CompressionLevel: png.BestSpeed, BufferPool: &buffers{}}

// WriteTo encodes the picture.
func (p *PNG) WriteTo(w io.Writer) (int64, error) {
	n := &counter{w: w}
	err := encoder.Encode(n, p.img)
	return n.n, err
}

// Image is the picture itself.
func (p *PNG) Image() *image.RGBA { return p.img }

type counter struct {
	w io.Writer
	n int64
}

func (c *counter) Write(b []byte) (int, error) {
	n, err := c.w.Write(b)
	c.n += int64(n)
	return n, err
}
