package surface

import "urdir/measure"

// Columns fills every bar from one top down, all as high as h: a Rect for each,
// which a surface may have a faster way for.
func Columns(s Surface, bars []Bar, y, h measure.MM) {
	if fast, ok := s.(interface {
		Columns(bars []Bar, y, h measure.MM)
	}); ok {
		fast.Columns(bars, y, h)
		return
	}
	for _, b := range bars {
		s.Rect(Box{X: b.X, Y: y, W: b.W, H: h}, b.Colour)
	}
}

// columns is what Columns works out on the way.
type columns struct {
	cols  []stretch
	whole []bool   // by pixel from the left: some bar covers it whole
	spans [][2]int // bytes of a row that are so, from and to
	mixes []mixture
}

// mixture is a colour laid over a pixel of a row that no bar covers whole.
type mixture struct {
	at       int // of the pixel's bytes in the row
	c, cover uint32
}

// Columns is what the function Columns does. Rows that are covered whole are
// alike, but for the pixels that let through what lies under them: one is laid,
// the others are copied.
func (p *PNG) Columns(bars []Bar, y, h measure.MM) {
	k := &p.clips[len(p.clips)-1]
	rows := pixels(float64(y)*p.scale, float64(y+h)*p.scale, k.y0, k.y1)
	if rows.n == 0 {
		return
	}
	w := &p.columns
	w.cols = w.cols[:0]
	for _, b := range bars {
		w.cols = append(w.cols, pixels(float64(b.X)*p.scale, float64(b.X+b.W)*p.scale, k.x0, k.x1))
	}
	p.bars(bars, rows.from, rows.first)
	if rows.n == 1 {
		return
	}
	p.bars(bars, rows.from+rows.n-1, rows.last)
	if rows.n == 2 {
		return
	}
	p.bars(bars, rows.from+1, 256)
	w.sort(bars, p.img.Rect.Dx())
	first := p.img.Pix[(rows.from+1)*p.img.Stride:][:p.img.Stride]
	for n := 2; n < rows.n-1; n++ {
		next := p.img.Pix[(rows.from+n)*p.img.Stride:][:p.img.Stride]
		for _, s := range w.spans {
			copy(next[s[0]:s[1]], first[s[0]:s[1]])
		}
		for _, m := range w.mixes {
			words.PutUint32(next[m.at:], mix(words.Uint32(next[m.at:]), m.c, m.cover))
		}
	}
}

// bars lays all bars over one row.
func (p *PNG) bars(bars []Bar, y int, cover uint32) {
	pix := p.img.Pix[y*p.img.Stride:]
	for i, cols := range p.columns.cols {
		if cols.n > 0 {
			row(pix[cols.from*4:], cols, cover, word(bars[i].Colour))
		}
	}
}

// sort tells the pixels that some bar covers whole from those that let what lies
// under them through, and lists what is laid over the latter, in order.
func (w *columns) sort(bars []Bar, wide int) {
	w.whole, w.mixes = append(w.whole[:0], make([]bool, wide)...), w.mixes[:0]
	each := func(do func(bar, x int, cover uint32)) {
		for i, c := range w.cols {
			for k := range c.n {
				cover := uint32(256)
				switch k {
				case 0:
					cover = c.first
				case c.n - 1:
					cover = c.last
				}
				do(i, c.from+k, cover)
			}
		}
	}
	each(func(_, x int, cover uint32) { w.whole[x] = w.whole[x] || cover == 256 })
	w.spans = w.spans[:0]
	for x, whole := range w.whole {
		last := len(w.spans) - 1
		switch {
		case !whole:
		case last >= 0 && w.spans[last][1] == 4*x:
			w.spans[last][1] += 4
		default:
			w.spans = append(w.spans, [2]int{4 * x, 4*x + 4})
		}
	}
	each(func(bar, x int, cover uint32) {
		if !w.whole[x] {
			w.mixes = append(w.mixes, mixture{4 * x, word(bars[bar].Colour), cover})
		}
	})
}
