package draw_test

import (
	"testing"

	"urdir/draw"
	"urdir/measure"
	"urdir/surface"
)

// Pictures of the dye house keep to their box, at every shape of it, and no two
// are alike: who does not read tells a pot on the fire from a tub, rinsing from
// soaking, airing from drying.
func TestDyehouse(t *testing.T) {
	pictures := map[string]func(surface.Surface, surface.Box){
		"tub": func(s surface.Surface, b surface.Box) { draw.Pot(s, b, draw.Bath{Skeins: true}) },
		"pot": func(s surface.Surface, b surface.Box) { draw.Pot(s, b, draw.Bath{Skeins: true, Flame: true}) },
		"warm": func(s surface.Surface, b surface.Box) {
			draw.Pot(s, b, draw.Bath{Skeins: true, Flame: true, Warm: "85 °C"})
		},
		"rinse":  func(s surface.Surface, b surface.Box) { draw.Pot(s, b, draw.Bath{Skeins: true, Drops: true}) },
		"empty":  func(s surface.Surface, b surface.Box) { draw.Pot(s, b, draw.Bath{}) },
		"line":   draw.Line,
		"airing": draw.Airing,
	}
	for _, box := range []surface.Box{{X: 10, Y: 10, W: 25, H: 22}, {X: 12, Y: 8, W: 12, H: 30}, {X: 4, Y: 20, W: 40, H: 11}} {
		seen := map[string]string{}
		for name, picture := range pictures {
			const perMM = 10
			s := surface.NewPNG(50, 50, 50*perMM)
			picture(s, box)
			img, marks := s.Image(), 0
			for y := range img.Bounds().Dy() {
				for x := range img.Bounds().Dx() {
					if r, g, b, _ := img.At(x, y).RGBA(); r+g+b == 3*0xffff {
						continue
					}
					marks++
					mx, my := measure.MM(x)/perMM, measure.MM(y)/perMM
					if mx < box.X-0.2 || mx > box.X+box.W+0.2 || my < box.Y-0.2 || my > box.Y+box.H+0.2 {
						t.Fatalf("%s: ink at %.1f, %.1f mm, outside %+v", name, mx, my, box)
					}
				}
			}
			if marks < 500 {
				t.Errorf("%s: hardly anything is drawn", name)
			}
			if other, twice := seen[string(img.Pix)]; twice {
				t.Errorf("%s looks like %s", name, other)
			}
			seen[string(img.Pix)] = name
		}
	}
}
