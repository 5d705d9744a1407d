package surface_test

import (
	"image"
	"testing"

	"urdir/surface"
)

// inked is a hatch in pure black and white, as a laser printer of 300 dpi
// leaves it: 12 dots a millimetre.
func inked(n int, b surface.Box) [][]bool {
	p := surface.NewPNG(b.W, b.H, int(b.W*12))
	surface.Hatch(p, b, n, surface.Black)
	return bits(p.Image())
}

func bits(m *image.RGBA) [][]bool {
	out := make([][]bool, m.Rect.Dy())
	for y := range out {
		out[y] = make([]bool, m.Rect.Dx())
		for x := range out[y] {
			out[y][x] = m.RGBAAt(x, y).R < 128
		}
	}
	return out
}

// apart is the share of ink that does not fall on ink when b is laid on a, moved
// by dx and dy.
func apart(a, b [][]bool, dx, dy, edge int) float64 {
	ink, miss := 0, 0
	for y := edge; y < len(a)-edge; y++ {
		for x := edge; x < len(a[y])-edge; x++ {
			p, q := a[y][x], b[y+dy][x+dx]
			if p || q {
				ink++
			}
			if p != q {
				miss++
			}
		}
	}
	if ink == 0 {
		return 0
	}
	return float64(miss) / float64(ink)
}

// Hatches are told apart however they lie on each other: moved by up to their
// own gap, at most three fifths of the ink of two falls together. (That much of
// the grid is the level and the upright lines it is made of.)
func TestHatch_areTellApart(t *testing.T) {
	for _, b := range []surface.Box{box(0, 0, 14, 14), box(0, 0, 8, 6)} {
		var all [][][]bool
		for n := range surface.Hatches {
			all = append(all, inked(n, b))
		}
		const reach = 12
		for i := range all {
			for j := range i {
				least := 1.0
				for dy := -reach; dy <= reach; dy += 2 {
					for dx := -reach; dx <= reach; dx += 2 {
						least = min(least, apart(all[i], all[j], dx, dy, reach))
					}
				}
				if least < 0.4 {
					t.Errorf("%v x %v mm: hatches %d and %d differ in %.2f of their ink", b.W, b.H, i, j, least)
				}
			}
		}
	}
}

// Enough ink to be seen and not so much that a worn drum fills it in; common
// practice, no source.
func TestHatch_ink(t *testing.T) {
	for n := range surface.Hatches {
		m := inked(n, box(0, 0, 14, 14))
		dots := 0
		for _, row := range m {
			for _, d := range row {
				if d {
					dots++
				}
			}
		}
		share := float64(dots) / float64(len(m)*len(m[0]))
		if n == 0 && share != 0 || n > 0 && (share < 0.06 || share > 0.35) {
			t.Errorf("hatch %d inks %.3f of the area", n, share)
		}
	}
}

func TestHatch_staysInItsBox(t *testing.T) {
	for n := range surface.Hatches {
		p := surface.NewPNG(30, 30, 300)
		surface.Hatch(p, box(10, 10, 10, 10), n, surface.Black)
		for y, row := range bits(p.Image()) {
			for x, d := range row {
				if d && (x < 100 || x >= 200 || y < 100 || y >= 200) {
					t.Fatalf("hatch %d draws at %d,%d", n, x, y)
				}
			}
		}
	}
}

// A chip shows its colour, and its letter in black on white.
func TestChip(t *testing.T) {
	p := surface.NewPNG(20, 20, 400)
	surface.Chip(p, box(2, 2, 16, 12), red, 0, "M")
	m := p.Image()
	if c := m.RGBAAt(60, 60); c.R != red.R || c.G != red.G || c.B != red.B {
		t.Errorf("the corner is %v, want %v", c, red)
	}
	dark, light := 0, 0
	for y := 100; y < 220; y++ {
		for x := 140; x < 260; x++ {
			switch c := m.RGBAAt(x, y); {
			case c.R < 20 && c.G < 20:
				dark++
			case c.R > 240 && c.G > 240:
				light++
			}
		}
	}
	if dark < 1000 || light < 1000 {
		t.Errorf("the letter has %d black and %d white pixels", dark, light)
	}
}
