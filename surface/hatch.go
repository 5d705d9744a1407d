package surface

import (
	"math"

	"urdir/measure"
)

// Hatches is the number of different hatches; a cloth with more yarns has them
// again, with the letters to tell them apart.
const Hatches = 12

// Hatch fills a box with one of the hatches, so that a colour can be told
// without colour. Lines are thin enough for a letter to be read above them.
func Hatch(s Surface, b Box, n int, c Colour) {
	const gap = 1.5
	s.Clip(b)
	defer s.Restore()
	line := Line(c, 0.22)
	slant := func(step measure.MM, dx measure.MM) {
		for x := b.X - b.H; x < b.X+b.W+b.H; x += step {
			s.Path(Polyline(x+(b.H-dx)/2, b.Y, x+(b.H+dx)/2, b.Y+b.H), line)
		}
	}
	across := func(step measure.MM) {
		for y := b.Y + step/2; y < b.Y+b.H; y += step {
			s.Path(Polyline(b.X, y, b.X+b.W, y), line)
		}
	}
	switch n % Hatches {
	case 0: // empty: the first yarn is usually the ground
	case 1:
		slant(gap*1.4, -b.H)
	case 2:
		slant(gap*1.4, b.H)
	case 3:
		across(gap)
	case 4:
		slant(gap, 0)
	case 5:
		dots(s, b, gap*1.1, func(x, y measure.MM) { s.Path(Circle(x, y, 0.32), Fill(c)) })
	case 6:
		slant(gap*1.8, -b.H)
		slant(gap*1.8, b.H)
	case 7:
		across(gap * 1.3)
		slant(gap*1.3, 0)
	case 8:
		dots(s, b, gap*1.5, func(x, y measure.MM) { s.Path(Circle(x, y, 0.5), line) })
	case 9:
		waves(s, b, gap*1.2, line)
	case 10:
		dots(s, b, gap*1.4, func(x, y measure.MM) {
			s.Path(Polyline(x-0.45, y, x+0.45, y), line)
			s.Path(Polyline(x, y-0.45, x, y+0.45), line)
		})
	case 11:
		dots(s, b, gap*1.4, func(x, y measure.MM) {
			s.Path(Polyline(x-0.5, y+0.4, x, y-0.4, x+0.5, y+0.4), line)
		})
	}
}

// dots places marks in staggered rows.
func dots(_ Surface, b Box, gap measure.MM, mark func(x, y measure.MM)) {
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

func waves(s Surface, b Box, gap measure.MM, line Ink) {
	for y := b.Y + gap/2; y < b.Y+b.H+gap; y += gap {
		p := &Path{}
		for i := 0; ; i++ {
			x := b.X + measure.MM(i)*0.3
			dy := measure.MM(0.35 * math.Sin(float64(i)*0.9))
			if i == 0 {
				p.MoveTo(x, y+dy)
			} else {
				p.LineTo(x, y+dy)
			}
			if x > b.X+b.W {
				break
			}
		}
		s.Path(p, line)
	}
}

// Chip is a patch of a yarn's colour with its hatch and its letter.
func Chip(s Surface, b Box, c Colour, hatch int, letter string) {
	s.Rect(b, c)
	ink := InkOn(c)
	Hatch(s, b, hatch, ink.Mix(c, 0.35))
	s.Path(Outline(b), Line(Black, 0.25))
	if letter == "" {
		return
	}
	f := Font{Size: b.H * 0.62, Bold: true, Align: Centre}
	f = Fit(letter, f, b.W*0.8)
	w := TextWidth(letter, f) + f.Size*0.3
	mid := b.Y + b.H/2
	s.Rect(Box{b.X + b.W/2 - w/2, mid - f.Size*0.52, w, f.Size * 1.04}, White)
	f.Colour = Black
	s.Text(b.X+b.W/2, mid+f.Size*0.36, letter, f)
}
