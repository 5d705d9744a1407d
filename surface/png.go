package surface

import (
	"image"
	"image/draw"
	"math"

	"golang.org/x/image/vector"

	"urdir/measure"
)

// PNG is a picture of pixels. It is not safe for use from several goroutines.
type PNG struct {
	w, h           measure.MM
	scale          float64 // pixels per millimetre
	img            *image.RGBA
	clips          []clip
	ras            vector.Rasterizer
	ink            image.Uniform
	inked          Colour    // of ink
	lines, strokes polys     // scratch
	rows           []stretch // scratch
	columns        columns   // scratch
	letters        letters
}

// clip is a box in whole pixels.
type clip struct{ x0, y0, x1, y1 float64 }

// NewPNG makes a white picture of a page, so many pixels wide. Width and height
// must be more than zero.
func NewPNG(w, h measure.MM, pixels int) *PNG {
	pixels = max(1, pixels)
	scale := float64(pixels) / float64(w)
	rows := max(1, int(math.Round(float64(h)*scale)))
	p := &PNG{w: w, h: h, scale: scale}
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

// Path fills and strokes with the vector rasteriser.
func (p *PNG) Path(path *Path, ink Ink) {
	if !ink.seen(path) {
		return
	}
	fine := 0.05 / p.scale
	path.flatten(&p.lines, fine)
	if ink.Filled {
		p.fill(p.lines.list(), ink.Fill)
	}
	if ink.StrokeWidth > 0 { // last, because it turns lines round in place
		outlines(&p.strokes, p.lines.list(), float64(ink.StrokeWidth), float64(ink.Dash), fine)
		p.fill(p.strokes.list(), ink.Stroke)
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
	if p.ink.C == nil || c != p.inked {
		p.ink.C, p.inked = c, c
	}
	p.ras.Draw(p.img, image.Rect(x0, y0, x1, y1), &p.ink, image.Point{})
}

// bounds are the pixels that polygons touch within the clip.
func (p *PNG) bounds(polys [][]point) (x0, y0, x1, y1 int) {
	minX, minY, maxX, maxY := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, poly := range polys {
		for _, q := range poly { // the builtin min and max are calls in a browser
			if q.x < minX {
				minX = q.x
			}
			if q.x > maxX {
				maxX = q.x
			}
			if q.y < minY {
				minY = q.y
			}
			if q.y > maxY {
				maxY = q.y
			}
			if q.x-q.x != 0 || q.y-q.y != 0 {
				return 0, 0, 0, 0 // not a number
			}
		}
	}
	if !(minX > -1e6 && maxX < 1e6 && minY > -1e6 && maxY < 1e6) {
		return 0, 0, 0, 0 // a kilometre off, or nothing
	}
	k := p.clips[len(p.clips)-1]
	return int(max(k.x0, math.Floor(minX*p.scale))), int(max(k.y0, math.Floor(minY*p.scale))),
		int(min(k.x1, math.Ceil(maxX*p.scale))), int(min(k.y1, math.Ceil(maxY*p.scale)))
}

// Image is the picture itself.
func (p *PNG) Image() *image.RGBA { return p.img }
