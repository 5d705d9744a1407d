package surface

import (
	"math"

	"urdir/measure"
)

// Hatches is the number of different hatches; a cloth with more yarns has them
// again, with the letters to tell them apart.
const Hatches = 12

// Hatch fills a box with one of the hatches, so that a colour can be told
// without colour. They differ in kind and not in how dense they are, so that a
// worn printer or a copy of a copy still tells them apart; in a small box they
// are drawn smaller, down to six tenths.
func Hatch(s Surface, b Box, n int, c Colour) {
	h := hatching{box: b, size: min(max(min(b.W, b.H)/10, 0.6), 1)}
	ink := Line(c, 0.22)
	switch n % Hatches {
	case 0: // empty: the first yarn is usually the ground
		return
	case 1:
		h.slant(2.1, b.H)
	case 2:
		h.slant(2.1, -b.H)
	case 3:
		h.level(1.5)
	case 4:
		h.slant(1.5, 0)
	case 5:
		h.marks(1.65, func(x, y measure.MM) { h.ring(x, y, 0.32) })
		ink = Fill(c)
	case 6:
		h.slant(2.7, b.H)
		h.slant(2.7, -b.H)
	case 7:
		h.level(2)
		h.slant(2, 0)
	case 8:
		h.marks(2.25, func(x, y measure.MM) { h.ring(x, y, 0.5) })
	case 9:
		h.waves(1.8)
	case 10:
		h.marks(2.1, func(x, y measure.MM) {
			h.line(x, y, -0.45, 0, 0.45, 0)
			h.line(x, y, 0, -0.45, 0, 0.45)
		})
	case 11:
		h.marks(2.1, func(x, y measure.MM) { h.line(x, y, -0.5, 0.4, 0, -0.4, 0.5, 0.4) })
	}
	s.Clip(b)
	s.Path(&h.path, ink)
	s.Restore()
}

// hatching gathers a hatch in one path. Sizes given to its methods are in
// millimetres, before they are made smaller.
type hatching struct {
	box  Box
	size measure.MM
	path Path
}

// line goes through points given from x, y.
func (h *hatching) line(x, y measure.MM, v ...measure.MM) {
	h.path.MoveTo(x+v[0]*h.size, y+v[1]*h.size)
	for i := 2; i < len(v); i += 2 {
		h.path.LineTo(x+v[i]*h.size, y+v[i+1]*h.size)
	}
}

func (h *hatching) ring(x, y, r measure.MM) {
	h.path.segs = append(h.path.segs, Circle(x, y, r*h.size).segs...)
}

// level draws lines across.
func (h *hatching) level(step measure.MM) {
	b := h.box
	step *= h.size
	for y := b.Y + step/2; y < b.Y+b.H; y += step {
		h.path.MoveTo(b.X, y).LineTo(b.X+b.W, y)
	}
}

// slant draws lines from top to bottom that go to the left by lean.
func (h *hatching) slant(step, lean measure.MM) {
	b := h.box
	step *= h.size
	for x := b.X + min(0, lean) + step/2; x < b.X+b.W+max(0, lean); x += step {
		h.path.MoveTo(x, b.Y).LineTo(x-lean, b.Y+b.H)
	}
}

// marks places marks in staggered rows.
func (h *hatching) marks(gap measure.MM, mark func(x, y measure.MM)) {
	b := h.box
	gap *= h.size
	for row, y := 0, b.Y+gap/2; y < b.Y+b.H+gap/2; row, y = row+1, y+gap*0.75 {
		x := b.X + gap/2
		if row%2 == 1 {
			x = b.X
		}
		for ; x < b.X+b.W+gap/2; x += gap {
			mark(x, y)
		}
	}
}

func (h *hatching) waves(gap measure.MM) {
	b := h.box
	gap *= h.size
	for y := b.Y + gap/2; y < b.Y+b.H+gap; y += gap {
		h.path.MoveTo(b.X, y)
		for i := 1; ; i++ {
			x := measure.MM(i) * 0.3 * h.size
			h.path.LineTo(b.X+x, y+h.size*measure.MM(0.35*math.Sin(float64(i)*0.9)))
			if x > b.W {
				break
			}
		}
	}
}

// Chip is a patch of a yarn's colour with its hatch and, on a white tag so that
// it reads on any colour and hatch, its letter.
func Chip(s Surface, b Box, c Colour, hatch int, letter string) {
	s.Rect(b, c)
	Hatch(s, b, hatch, InkOn(c).Mix(c, 0.35))
	s.Path(Outline(b), Line(Black, 0.25))
	if letter == "" {
		return
	}
	f := Fit(letter, Font{Size: b.H * 0.62, Bold: true, Align: Centre}, b.W*0.8)
	w := TextWidth(letter, f) + f.Size*0.3
	x, y := b.X+b.W/2, b.Y+b.H/2
	s.Rect(Box{x - w/2, y - f.Size*0.52, w, f.Size * 1.04}, White)
	s.Text(x, y+f.Size*0.36, letter, f)
}
