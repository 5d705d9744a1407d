package surface_test

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"urdir/measure"
	"urdir/surface"
)

var (
	black = surface.Black
	white = surface.White
	red   = surface.Colour{R: 200, G: 30, B: 40}
	blue  = surface.Colour{R: 20, G: 60, B: 160}
)

func box(x, y, w, h measure.MM) surface.Box { return surface.Box{X: x, Y: y, W: w, H: h} }

func TestContrast(t *testing.T) {
	for _, tc := range []struct {
		a, b   string
		want   float64
		source string
	}{
		{"#000000", "#ffffff", 21, "WCAG 2.2, definition of contrast ratio: ratios range from 1 to 21"},
		{"#3c7a51", "#3c7a51", 1, "WCAG 2.2, definition of contrast ratio: ratios range from 1 to 21"},
		{"#777777", "#ffffff", 4.48, "the grey that just fails AA, much published; from memory"},
		{"#767676", "#ffffff", 4.54, "the lightest grey that passes AA, much published; from memory"},
		{"#333333", "#ffffff", 12.63, "by hand: 0.2 gives ((0.2 + 0.055) / 1.055)^2.4 = 0.0331; 1.05 / 0.0831"},
		{"#0000ff", "#ffffff", 8.59, "by hand: 1.05 / (0.0722 + 0.05)"},
		{"#ff0000", "#ffffff", 4.00, "by hand: 1.05 / (0.2126 + 0.05)"},
		{"#00ff00", "#000000", 15.30, "by hand: (0.7152 + 0.05) / 0.05"},
	} {
		got := surface.Contrast(surface.ParseColour(tc.a), surface.ParseColour(tc.b))
		if math.Abs(got-tc.want) > 0.005 {
			t.Errorf("Contrast(%s, %s) = %.3f, want %.2f (%s)", tc.a, tc.b, got, tc.want, tc.source)
		}
		if back := surface.Contrast(surface.ParseColour(tc.b), surface.ParseColour(tc.a)); back != got {
			t.Errorf("Contrast(%s, %s) = %v, the other way round %v", tc.b, tc.a, back, got)
		}
	}
}

// Black and white ink cross where (L+0.05)/0.05 = 1.05/(L+0.05), at a contrast
// of sqrt(21) = 4.58: the better of the two always passes AA's 4.5.
func TestInkOn_alwaysPassesAA(t *testing.T) {
	for r := 0; r < 256; r += 5 {
		for g := 0; g < 256; g += 5 {
			for b := 0; b < 256; b += 5 {
				c := surface.Colour{R: uint8(r), G: uint8(g), B: uint8(b)}
				if got := surface.Contrast(c, surface.InkOn(c)); got < 4.5 {
					t.Fatalf("ink on %v has contrast %.2f", c, got)
				}
			}
		}
	}
}

func TestParseColour(t *testing.T) {
	for in, want := range map[string]surface.Colour{
		"#1a2B3c": {R: 0x1a, G: 0x2b, B: 0x3c}, "#ffffff": white, "": black, "red": black, "1a2b3c0": black,
	} {
		if got := surface.ParseColour(in); got != want {
			t.Errorf("ParseColour(%q) = %v, want %v", in, got, want)
		}
	}
}

func FuzzParseColour(f *testing.F) {
	f.Add("#1a2b3c")
	f.Add("#ñ1234")
	f.Add("")
	whole := regexp.MustCompile(`^#[0-9a-fA-F]{6}$`)
	f.Fuzz(func(t *testing.T, s string) {
		c := surface.ParseColour(s)
		back := fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B)
		if whole.MatchString(s) && back != strings.ToLower(s) {
			t.Errorf("ParseColour(%q) = %s", s, back)
		}
	})
}

func TestMix(t *testing.T) {
	if got, want := black.Mix(white, 0.2), (surface.Colour{R: 51, G: 51, B: 51}); got != want { // 255/5
		t.Errorf("a fifth of the way to white = %v, want %v", got, want)
	}
	if got := red.Mix(blue, 0); got != red {
		t.Errorf("no way = %v, want %v", got, red)
	}
	if got := red.Mix(blue, 1); got != blue {
		t.Errorf("all the way = %v, want %v", got, blue)
	}
}

// page draws something by every means there is.
func page(s surface.Surface) {
	s.Rect(box(5, 5, 20, 10), red)
	s.Rect(box(25, 5, 20.0004, 10), red)
	s.Rect(box(45, 5, 10, 10), blue)
	s.Rect(box(60, 5, 0, 10), blue)
	s.Path(surface.Polyline(5, 20, 105, 20), surface.Line(black, 0.5))
	s.Path(surface.Circle(15, 30, 5), surface.Ink{Fill: blue, Filled: true, Stroke: red, StrokeWidth: 0.3, Dash: 1})
	s.Path(&surface.Path{}, surface.Fill(red))
	s.Clip(box(30, 24, 30, 12))
	s.Rect(box(20, 20, 20, 20), red)
	s.Text(32, 30, "caída <3 & más>", surface.Font{Size: 4, Bold: true, Colour: blue})
	s.Restore()
	s.Text(105, 30, "n\u0303andú", surface.Font{Size: 4, Align: surface.Right})
	s.Text(4, 40, "urdimbre", surface.Font{Size: 3, Up: true, Colour: red})
	surface.Chip(s, box(70, 24, 8, 6), blue, 5, "Ñ")
}

// odd are texts and figures that nobody means to draw; no surface may fail on
// them.
func odd(s surface.Surface) {
	nan, inf := measure.MM(math.NaN()), measure.MM(math.Inf(1))
	for _, b := range []surface.Box{box(nan, 0, 1, 1), box(0, 0, inf, inf), box(-inf, 0, inf, 1), box(0, 0, -5, 5), box(0, 0, 1e-9, 5), box(-500, -500, 1e4, 1e4)} {
		s.Rect(b, red)
		s.Clip(b)
		s.Rect(box(1, 1, 5, 5), red)
		s.Path(surface.Outline(b), surface.Ink{Filled: true, StrokeWidth: 1, Dash: 0.01})
		s.Restore()
	}
	s.Path(new(surface.Path).LineTo(1, 1).LineTo(3, 3).Close(), surface.Line(red, 1))
	s.Path(new(surface.Path).Close(), surface.Line(red, 1))
	s.Path(new(surface.Path).CurveTo(1, 1, 2, 2, 3, 3), surface.Line(red, 1))
	s.Path(surface.Polyline(), surface.Fill(red))
	s.Path(surface.Polyline(3, 3, 3, 3, 3, 3), surface.Line(red, 1))
	for _, text := range []string{"", "\x00\x1f\t\n", "\xff\xfe", "🧶漢字", "a\u200bb\u202ec", "q\u0303\u0323", ")(\\", "]]>&<"} {
		s.Text(1, 5, text, surface.Font{Size: 3})
		s.Text(1, 5, text, surface.Font{})
	}
	for n := -3; n < 20; n++ {
		surface.Chip(s, box(1, 1, 4, 3), red, n, "AB")
		surface.Hatch(s, box(1, 1, 0, 0), n, red)
	}
}
