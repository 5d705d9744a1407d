package surface_test

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/png"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"urdir/measure"
	"urdir/surface"
)

// cover is how far a pixel of black on white is covered, 0 to 1.
func cover(m *image.RGBA, x, y int) float64 { return 1 - float64(m.RGBAAt(x, y).R)/255 }

// area is all that is covered, in square pixels.
func area(m *image.RGBA) float64 {
	sum := 0.0
	for y := range m.Rect.Dy() {
		for x := range m.Rect.Dx() {
			sum += cover(m, x, y)
		}
	}
	return sum
}

// A pixel shall be covered by the part of its square that lies in the
// rectangle: overlap across times overlap down.
func TestPNG_rectCoversExactly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.Float64Range(-2, 12)
		x0, x1, y0, y1 := at.Draw(t, "x0"), at.Draw(t, "x1"), at.Draw(t, "y0"), at.Draw(t, "y1")
		x0, x1, y0, y1 = min(x0, x1), max(x0, x1), min(y0, y1), max(y0, y1)
		p := surface.NewPNG(10, 10, 10)
		p.Rect(box(measure.MM(x0), measure.MM(y0), measure.MM(x1-x0), measure.MM(y1-y0)), black)
		lap := func(i int, a, b float64) float64 { return max(0, min(b, float64(i+1))-max(a, float64(i))) }
		for y := range 10 {
			for x := range 10 {
				got, want := cover(p.Image(), x, y), lap(x, x0, x1)*lap(y, y0, y1)
				if math.Abs(got-want) > 2.0/255 {
					t.Fatalf("pixel %d,%d is covered %.4f, want %.4f", x, y, got, want)
				}
			}
		}
	})
}

// Where an area reaches under the next by Lap, the pixels on the border hold
// those two colours in the right parts and nothing of the paper.
func TestPNG_noSeam(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		border := rapid.Float64Range(3, 7).Draw(t, "border")
		p := surface.NewPNG(10, 10, 10)
		p.Rect(box(1, 1, measure.MM(border-1)+p.Lap(), 8), black)
		p.Rect(box(measure.MM(border), 1, measure.MM(9-border), 8), black)
		for x := 1; x < 9; x++ {
			if got := cover(p.Image(), x, 4); got != 1 {
				t.Fatalf("border %v: pixel %d is covered %.3f", border, x, got)
			}
		}
		q := surface.NewPNG(10, 10, 10)
		q.Rect(box(1, 1, measure.MM(border-1)+q.Lap(), 8), red)
		q.Rect(box(measure.MM(border), 1, measure.MM(9-border), 8), blue)
		x := int(border)
		got := q.Image().RGBAAt(x, 4)
		want := red.Mix(blue, float64(x+1)-border)
		if math.Abs(float64(got.R)-float64(want.R)) > 1.5 || math.Abs(float64(got.B)-float64(want.B)) > 1.5 {
			t.Fatalf("border %v: pixel %v, want %v", border, got, want)
		}
	})
	// And so it is not for nothing: without Lap the paper shows.
	p := surface.NewPNG(10, 10, 10)
	p.Rect(box(1, 1, 3.5, 8), black)
	p.Rect(box(4.5, 1, 4.5, 8), black)
	if got := cover(p.Image(), 4, 4); math.Abs(got-0.75) > 0.01 { // 1 - 1/2 x 1/2
		t.Errorf("abutting without lap: %.3f, want 0.75", got)
	}
}

func TestPNG_strokeArea(t *testing.T) {
	const w, r = 2.0, 1.0
	for _, tc := range []struct {
		name string
		path *surface.Path
		ink  surface.Ink
		want float64 // mm2, by plane geometry
	}{
		{"line: its length by its width, and a half circle at each end", surface.Polyline(10, 10, 40, 20), surface.Line(black, w),
			math.Hypot(30, 10)*w + math.Pi*r*r},
		{"right angle: the inner squares overlap, a quarter circle outside", surface.Polyline(10, 10, 30, 10, 30, 30), surface.Line(black, w),
			40*w - r*r + math.Pi/4*r*r + math.Pi*r*r},
		{"there and back: once", surface.Polyline(10, 10, 30, 10, 10, 10), surface.Line(black, w), 20*w + math.Pi*r*r},
		{"ring", surface.Circle(25, 25, 15), surface.Line(black, w), 2 * math.Pi * 15 * w},
		{"ring the other way", new(surface.Path).Arc(25, 25, 15, 0, -2*math.Pi).Close(), surface.Line(black, w), 2 * math.Pi * 15 * w},
		{"square: four outer quarter circles", surface.Outline(box(10, 10, 20, 20)), surface.Line(black, w), 4*20*w - 4*r*r + math.Pi*r*r},
		{"dot", surface.Polyline(10, 10, 10, 10), surface.Line(black, w), math.Pi * r * r},
		{"five dashes of 4", surface.Polyline(5, 10, 41, 10), surface.Ink{Stroke: black, StrokeWidth: w, Dash: 4}, 5 * (4*w + math.Pi*r*r)},
		{"disc", surface.Circle(25, 25, 15), surface.Fill(black), math.Pi * 15 * 15},
		{"disc with a hole", new(surface.Path).Arc(25, 25, 15, 0, 2*math.Pi).Close().MoveTo(30, 25).Arc(25, 25, 5, 0, -2*math.Pi).Close(),
			surface.Fill(black), math.Pi * (15*15 - 5*5)},
	} {
		p := surface.NewPNG(50, 50, 500)
		p.Path(tc.path, tc.ink)
		if got := area(p.Image()) / 100; math.Abs(got-tc.want)/tc.want > 0.01 { // arcs are drawn to a twentieth of a pixel
			t.Errorf("%s: %.3f mm2, want %.3f", tc.name, got, tc.want)
		}
	}
}

// A stroke is what lies within half its width of the line, whichever way the
// line turns and however short its pieces.
func TestPNG_strokeIsNearTheLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := rapid.Custom(func(t *rapid.T) [2]float64 {
			v := rapid.Float64Range(3, 9)
			return [2]float64{v.Draw(t, "x"), v.Draw(t, "y")}
		})
		line := rapid.SliceOfN(at, 2, 7).Draw(t, "line")
		r := rapid.Float64Range(0.2, 2).Draw(t, "r")
		nearTheLine(t, line, r, rapid.Bool().Draw(t, "closed"))
	})
	// Triangles smaller than the pen: the inner sides cross each other.
	nearTheLine(t, [][2]float64{{3, 3}, {3, 4}, {3.5, 3}}, 1.5, true)
	nearTheLine(t, [][2]float64{{3, 3}, {3.5, 3}, {3, 4}}, 1.5, true)
}

func nearTheLine(t rapid.TB, line [][2]float64, r float64, closed bool) {
	t.Helper()
	path := &surface.Path{}
	for _, q := range line {
		path.LineTo(measure.MM(q[0]), measure.MM(q[1]))
	}
	if closed {
		path.Close()
		line = append(slices.Clip(line), line[0])
	}
	p := surface.NewPNG(12, 12, 120)
	p.Path(path, surface.Line(black, measure.MM(2*r)))
	for y := range 120 {
		for x := range 120 {
			away := math.Inf(1)
			for i := 1; i < len(line); i++ {
				away = min(away, distance(float64(x)/10+0.05, float64(y)/10+0.05, line[i-1], line[i]))
			}
			got := cover(p.Image(), x, y)
			if away < r-0.1 && got < 0.99 || away > r+0.1 && got > 0.01 { // a pixel either way
				t.Fatalf("pixel %d,%d is %.2f mm from the line and covered %.2f", x, y, away, got)
			}
		}
	}
}

// distance is that of a point from a straight piece.
func distance(x, y float64, a, b [2]float64) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	k := 0.0
	if l := dx*dx + dy*dy; l > 0 {
		k = min(1, max(0, ((x-a[0])*dx+(y-a[1])*dy)/l))
	}
	return math.Hypot(x-a[0]-k*dx, y-a[1]-k*dy)
}

func TestPNG_ruler(t *testing.T) {
	p := surface.NewPNG(120, 20, 1200) // 10 pixels a millimetre
	p.Rect(box(10, 5, 100, 1), black)
	p.Path(surface.Polyline(10, 15, 110, 15), surface.Line(black, 0.4))
	dark := func(y int) (n float64) {
		for x := range 1200 {
			n += cover(p.Image(), x, y)
		}
		return n
	}
	if got := dark(55); got != 1000 {
		t.Errorf("a rectangle of 100 mm is %v pixels long, want 1000", got)
	}
	// The round ends add half a line's width each, a little less at half height.
	if got := dark(150); math.Abs(got-1004) > 0.5 {
		t.Errorf("a line of 100 mm is %v pixels long, want 1004", got)
	}
}

func TestPNG_clip(t *testing.T) {
	p := surface.NewPNG(20, 20, 200)
	p.Clip(box(5, 5, 10, 10))
	p.Clip(box(0, 8, 20, 20))
	p.Rect(box(0, 0, 20, 20), black)
	p.Path(surface.Circle(5, 8, 30), surface.Fill(black))
	p.Path(surface.Polyline(-5, 9, 25, 9), surface.Line(black, 1))
	p.Restore()
	if got, want := area(p.Image()), 100*70.0; got != want {
		t.Errorf("within two clips %v pixels are drawn, want %v", got, want)
	}
	p.Restore()
	p.Path(surface.Circle(-1, 10, 5), surface.Fill(black))
	if cover(p.Image(), 0, 100) != 1 || cover(p.Image(), 45, 100) != 0 {
		t.Error("a circle over the left edge is not drawn up to x = 4")
	}
}

// A path that begins left of or above the clip covers what is right of it just
// as it would without a clip.
func TestPNG_clipKeepsShape(t *testing.T) {
	whole, part := surface.NewPNG(20, 20, 200), surface.NewPNG(20, 20, 200)
	shape := surface.Circle(8, 9, 6.3)
	whole.Path(shape, surface.Fill(black))
	part.Clip(box(5, 6, 6, 7))
	part.Path(shape, surface.Fill(black))
	for y := range 200 {
		for x := range 200 {
			want := 0.0
			if x >= 50 && x < 110 && y >= 60 && y < 130 {
				want = cover(whole.Image(), x, y)
			}
			if got := cover(part.Image(), x, y); math.Abs(got-want) > 3.0/255 {
				t.Fatalf("pixel %d,%d: %.3f, want %.3f", x, y, got, want)
			}
		}
	}
}

func TestPNG_fileReadsBack(t *testing.T) {
	p := surface.NewPNG(120, 60, 480)
	page(p)
	var buf bytes.Buffer
	n, err := p.WriteTo(&buf)
	if err != nil || n != int64(buf.Len()) {
		t.Fatalf("WriteTo = %d, %v; wrote %d", n, err, buf.Len())
	}
	// pHYs of the PNG specification: pixels a metre; here 4 a millimetre.
	i := bytes.Index(buf.Bytes(), []byte("pHYs"))
	if i < 0 || binary.BigEndian.Uint32(buf.Bytes()[i+4:]) != 4000 {
		t.Error("the file does not say 4000 pixels a metre")
	}
	got, err := png.Decode(&buf)
	if err != nil {
		t.Fatal(err)
	}
	if got.Bounds() != p.Image().Bounds() {
		t.Fatalf("bounds %v, want %v", got.Bounds(), p.Image().Bounds())
	}
	for y := range got.Bounds().Dy() {
		for x := range got.Bounds().Dx() {
			if r, g, b, a := got.At(x, y).RGBA(); a != 0xffff || uint8(r>>8) != p.Image().RGBAAt(x, y).R ||
				uint8(g>>8) != p.Image().RGBAAt(x, y).G || uint8(b>>8) != p.Image().RGBAAt(x, y).B {
				t.Fatalf("pixel %d,%d reads %v, want %v", x, y, got.At(x, y), p.Image().RGBAAt(x, y))
			}
		}
	}
}

func TestPNG_textStands(t *testing.T) {
	const text = "Ñandú 12.5"
	f := surface.Font{Size: 6}
	w := surface.TextWidth(text, f)
	draw := func(x measure.MM, a surface.Align, up bool) *image.RGBA {
		p := surface.NewPNG(60, 60, 600)
		f := f
		f.Align, f.Up = a, up
		if up {
			p.Text(30, x, text, f)
		} else {
			p.Text(x, 30, text, f)
		}
		return p.Image()
	}
	left := draw(10, surface.Left, false)
	if a := area(left); a < 300 {
		t.Fatalf("the text covers %v pixels", a)
	}
	near := func(name string, other *image.RGBA, at func(x, y int) (int, int)) {
		for y := range 600 {
			for x := range 600 {
				ox, oy := at(x, y)
				if math.Abs(cover(left, x, y)-cover(other, ox, oy)) > 0.05 {
					t.Fatalf("%s: pixel %d,%d differs", name, x, y)
				}
			}
		}
	}
	same := func(x, y int) (int, int) { return x, y }
	near("right", draw(10+w, surface.Right, false), same)
	near("centred", draw(10+w/2, surface.Centre, false), same)
	near("up", draw(50, surface.Left, true), func(x, y int) (int, int) { return y, 599 - x }) // a quarter to the left
	near("up, centred", draw(50-w/2, surface.Centre, true), func(x, y int) (int, int) { return y, 599 - x })
}

// Bold is a heavier face, not only a wider one, also beside the same letters in
// plain.
func TestPNG_bold(t *testing.T) {
	p := surface.NewPNG(40, 20, 400)
	p.Text(2, 8, "lomo", surface.Font{Size: 6})
	plain := area(p.Image())
	p.Text(2, 18, "lomo", surface.Font{Size: 6, Bold: true})
	if bold := area(p.Image()) - plain; bold < plain*1.2 {
		t.Errorf("bold inks %.0f pixels, plain %.0f", bold, plain)
	}
}

func TestPNG_oddThingsDoNoHarm(t *testing.T) {
	for _, px := range []int{-1, 0, 1, 300} {
		p := surface.NewPNG(50, 50, px)
		odd(p)
		var buf bytes.Buffer
		if _, err := p.WriteTo(&buf); err != nil {
			t.Error(err)
		}
		if _, err := png.Decode(&buf); err != nil {
			t.Errorf("%d pixels: %v", px, err)
		}
	}
}
