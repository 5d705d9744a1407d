package photo_test

import (
	"image"
	"image/color"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/figure"
	"urdir/figure/photo"
	"urdir/measure"
)

func TestChart_letters(t *testing.T) {
	for _, c := range []struct {
		name        string
		k           int // pixels to a cell
		blur, noise int
	}{
		{"clean", 10, 0, 0}, {"one pixel a cell", 1, 0, 0}, {"noise", 20, 0, 40}, {"blur", 10, 3, 0}, {"both", 12, 4, 40},
	} {
		img := disturbed(painted(letters, c.k), c.blur, c.noise)
		g := mustChart(t, img, yarns(16, 9))
		same(t, c.name, g.String(), letters)
		// Without being told the yarns: the same cells, in colours like the yarns.
		o := yarns(16, 9)
		o.Yarns = nil
		found := mustChart(t, img, o)
		same(t, c.name+", colours found", inYarns(t, found), letters)
	}
}

// inYarns draws a grid with the sign of the yarn nearest to each colour.
func inYarns(t *testing.T, g photo.Grid) string {
	t.Helper()
	draw := []string{}
	for _, s := range append([]photo.Symbol{g.Ground}, g.Symbols...) {
		sign, least := "", 0.1 // of Oklab: beyond that it is another colour
		for _, r := range ".xo" {
			if d := distance(labOf(t, s.Hex), photo.Oklab(rgb[r].R, rgb[r].G, rgb[r].B)); d < least {
				sign, least = string(r), d
			}
		}
		draw = append(draw, string(s.Char), sign)
	}
	return strings.NewReplacer(draw...).Replace(g.String())
}

// A figure reads back as the chart it was painted from.
func TestGrid_Figure(t *testing.T) {
	g := mustChart(t, painted(letters, 7), yarns(16, 9))
	got, ps := g.Figure([]string{"indigo", "madder"})
	want, _ := figure.Parse(letters, []figure.Symbol{{Char: 'x', Yarn: "indigo"}, {Char: 'o', Yarn: "madder"}})
	if ps.Failed() || got.String() != want.String() || !cmp.Equal(got.Symbols(), want.Symbols()) {
		t.Errorf("%v: got %v\n%v, want %v\n%v", ps, got.Symbols(), got, want.Symbols(), want)
	}
}

// A disc of radius 6 cells: a cell is of the disc where more than half of it is.
// Counted here on 64 x 64 points of each cell, no such share is near a half.
func TestChart_disc(t *testing.T) {
	const n, k, r = 16, 20, 6.0
	img := image.NewNRGBA(image.Rect(0, 0, n*k, n*k))
	inside := func(x, y float64) bool { return math.Hypot(x-n/2, y-n/2) < r }
	for y := range n * k {
		for x := range n * k {
			c := rgb['.']
			if inside((float64(x)+0.5)/k, (float64(y)+0.5)/k) {
				c = rgb['x']
			}
			img.SetNRGBA(x, y, c)
		}
	}
	// In light, half sand and half indigo looks nearer to sand: the limit is
	// where a mixture is as far from one as from the other, here found by halving.
	a, b := photo.Oklab(0xd8, 0xc8, 0xa8), photo.Oklab(0x2b, 0x44, 0x70)
	limit := balance(a, b, rgb['.'], rgb['x'])
	var want strings.Builder
	for row := range n {
		for column := range n {
			hits := 0
			for i := range 64 * 64 {
				if inside(float64(column)+(float64(i%64)+0.5)/64, float64(row)+(float64(i/64)+0.5)/64) {
					hits++
				}
			}
			share := float64(hits) / (64 * 64)
			if math.Abs(share-limit) < 0.005 {
				t.Fatalf("cell %d, %d is too near to call: %v", row, column, share)
			}
			want.WriteByte(".x"[min(1, int(share/limit))])
		}
		want.WriteByte('\n')
	}
	same(t, "disc", mustChart(t, img, yarns(n, n)).String(), want.String())
}

// balance is the share of the second of two colours of which a mixture of their
// light is as far from one as from the other in Oklab.
func balance(a, b [3]float64, first, second color.NRGBA) float64 {
	low, high := 0.0, 1.0
	for range 40 {
		mid := (low + high) / 2
		mix := func(x, y uint8) float64 { return (1-mid)*decoded(x) + mid*decoded(y) }
		p := oklab(mix(first.R, second.R), mix(first.G, second.G), mix(first.B, second.B))
		if distance(p, a) < distance(p, b) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

func distance(a, b [3]float64) float64 {
	return math.Hypot(math.Hypot(a[0]-b[0], a[1]-b[1]), a[2]-b[2])
}

// decoded is the light of a code (IEC 61966-2-1).
func decoded(c uint8) float64 {
	if v := float64(c) / 255; v > 0.04045 {
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return float64(c) / 255 / 12.92
}

// A checkerboard of single cells is no island: cells touch at their corners.
func TestChart_checkerboard(t *testing.T) {
	board := strings.Repeat("x.x.x.x.\n.x.x.x.x\n", 4)
	o := yarns(8, 8)
	same(t, "checkerboard", mustChart(t, painted(board, 9), o).String(), board)
	// Four columns of it see half of each in every cell: all alike.
	o.Columns, o.Rows = 4, 4
	g := mustChart(t, painted(board, 9), o)
	if first := g.At(0, 0); strings.Count(g.String(), "x") != 16*first {
		t.Errorf("half and half is not alike everywhere:\n%v", g)
	}
}

// Half black, half white is half the light: code 188 (0.5 is 1.055 x
// 0.5^(1/2.4) - 0.055 = 0.7354, x 255 = 187.5), not 128.
func TestChart_addsLight(t *testing.T) {
	img := image.NewGray(image.Rect(0, 0, 40, 40))
	for i := range img.Pix {
		img.Pix[i] = uint8(i % 2 * 255)
	}
	o := photo.NewOptions(4)
	o.Yarns = []string{"#808080", "#bcbcbc"}
	g := mustChart(t, img, o)
	if g.Ground.Hex != "#bcbcbc" || g.Ground.Share != 1 {
		t.Errorf("ground %+v, want #bcbcbc", g.Ground)
	}
}

// A gradient of light from black to white over 64 columns: the middle of column
// c has the light (c + 0.5) / 64. Oklab's lightness of grey is the cube root of
// its light, so black and white part at 0.5^3 = 1/8: after column 8.
func TestChart_gradient(t *testing.T) {
	img := image.NewGray16(image.Rect(0, 0, 640, 10))
	for x := range 640 {
		l := (float64(x) + 0.5) / 640
		v := 12.92 * l
		if l > 0.0031308 {
			v = 1.055*math.Pow(l, 1/2.4) - 0.055
		}
		for y := range 10 {
			img.SetGray16(x, y, color.Gray16{Y: uint16(65535 * v)})
		}
	}
	o := photo.NewOptions(64)
	o.Rows, o.Yarns, o.Ground = 1, []string{"#ffffff", "#000000"}, 0
	same(t, "gradient", mustChart(t, img, o).String(), strings.Repeat("x", 8)+strings.Repeat(".", 56))
}

func TestChart_clears(t *testing.T) {
	for _, c := range []struct {
		name        string
		from        string
		islands     bool
		run         int
		want        string
		wantSymbols int
	}{
		{"an island is dropped", ".....\n..x..\n.....", false, 1, ".....\n.....\n.....", 0},
		{"or left", ".....\n..x..\n.....", true, 1, ".....\n..x..\n.....", 1},
		{"most of those around", "ooo.\noxo.\noo..", false, 1, "xxx.\nxxx.\nxx..", 1},
		{"a slanted line is no island", "x...\n.x..\n..x.", false, 1, "x...\n.x..\n..x.", 1},
		{"a short run goes to the longer neighbour", "xx.ooo\nxx.ooo", true, 2, "xxoooo\nxxoooo", 2},
		{"at the edge there is one", "x.....", true, 2, "......", 0},
		{"the shortest first", "....xx.xxx", true, 3, "....xxxxxx", 1},
		{"all short", "x.x.x.", true, 6, "......", 0},
	} {
		lines := strings.Fields(c.from)
		o := yarns(len(lines[0]), len(lines))
		o.Islands, o.Run, o.Ground = c.islands, c.run, 0
		g := mustChart(t, painted(c.from, 5), o)
		got := g.String()
		if c.name == "all short" {
			// Which of two colours is left does not matter, only that one is.
			if len(strings.Trim(got, "x\n")) != 0 && len(strings.Trim(got, ".\n")) != 0 {
				t.Errorf("%s: %q", c.name, got)
			}
			continue
		}
		same(t, c.name, got, c.want)
		if len(g.Symbols) != c.wantSymbols {
			t.Errorf("%s: symbols %+v", c.name, g.Symbols)
		}
	}
}

// Of two colours as good otherwise, the one that the picture is nearer to.
func TestChart_between(t *testing.T) {
	for _, c := range []struct {
		from, want string
		run        int
	}{
		{"..moo", "..ooo", 2},
		{"oom..", "ooo..", 2},
		{"..o\n.mo\n.oo", "..o\n.oo\n.oo", 1},
		{"oo.\nom.\no..", "oo.\noo.\no..", 1},
	} {
		lines := strings.Fields(c.from)
		o := yarns(len(lines[0]), len(lines))
		o.Yarns, o.Run, o.Ground = []string{sand, madder, brown}, c.run, 0
		same(t, c.from, mustChart(t, painted(c.from, 3), o).String(), strings.ReplaceAll(c.want, "o", "x"))
	}
}

// The ground is what most of the edge is: 28 of 64 cells here.
func TestChart_ground(t *testing.T) {
	drawing := "xxxxxxxx\n" + strings.Repeat("xoooooox\n", 6) + "xxxxxxxx"
	g := mustChart(t, painted(drawing, 4), yarns(8, 8))
	if g.Ground.Hex != indigo || g.Ground.Yarn != 1 || g.Symbols[0].Hex != madder || g.Symbols[0].Yarn != 2 {
		t.Errorf("ground %+v, symbols %+v", g.Ground, g.Symbols)
	}
	if g.Ground.Share != 28.0/64 || g.Symbols[0].Share != 36.0/64 {
		t.Errorf("shares %v, %v", g.Ground.Share, g.Symbols[0].Share)
	}
	o := yarns(8, 8)
	o.Ground = 2
	same(t, "ground as told", mustChart(t, painted(drawing, 4), o).String(), strings.ReplaceAll(drawing, "o", "."))
	// Of an edge that is half and half, the one that there is more of: 5 of 9.
	if g := mustChart(t, painted("xxx\nxoo\nooo", 4), yarns(3, 3)); g.Ground.Hex != madder {
		t.Errorf("ground of a halved edge %v", g.Ground)
	}
}

// 40 columns of a picture 200 x 100: cells 0.5 mm wide and 2 mm high, four times
// as high as wide, make 40 x 100/200 / 4 = 5 rows.
func TestChart_shape(t *testing.T) {
	for _, c := range []struct {
		width, height measure.MM
		rows          int
	}{{1, 1, 20}, {0.5, 2, 5}, {2, 0.5, 80}, {0.01, 10, 1}} {
		o := photo.NewOptions(40)
		o.CellWidth, o.CellHeight = c.width, c.height
		if g := mustChart(t, image.NewGray(image.Rect(0, 0, 200, 100)), o); g.Rows != c.rows {
			t.Errorf("cells %v x %v mm: %d rows, want %d", c.width, c.height, g.Rows, c.rows)
		}
	}
}

// The same picture larger, or elsewhere on its plane, has the same chart.
func TestChart_scale(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(1, 12).Draw(t, "w"), rapid.IntRange(1, 12).Draw(t, "h")
		k := rapid.IntRange(2, 5).Draw(t, "k")
		small, large := image.NewNRGBA(image.Rect(0, 0, w, h)), image.NewNRGBA(image.Rect(-7, 30, w*k-7, h*k+30))
		for y := range h * k {
			for x := range w * k {
				if x%k == 0 && y%k == 0 {
					small.SetNRGBA(x/k, y/k, rgb[rapid.SampledFrom([]rune(".xo")).Draw(t, "c")])
				}
				large.SetNRGBA(x-7, y+30, small.NRGBAAt(x/k, y/k))
			}
		}
		o := yarns(rapid.IntRange(1, 20).Draw(t, "columns"), rapid.IntRange(1, 20).Draw(t, "rows"))
		a, b := mustChart(t, small, o), mustChart(t, large, o)
		if a.String() != b.String() {
			t.Errorf("small\n%vlarge\n%v", a, b)
		}
	})
}

func TestChart_properties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(1, 30).Draw(t, "w"), rapid.IntRange(1, 30).Draw(t, "h")
		img := image.NewNRGBA(image.Rect(0, 0, w, h))
		copy(img.Pix, rapid.SliceOfN(rapid.Byte(), len(img.Pix), len(img.Pix)).Draw(t, "pixels"))
		o := photo.NewOptions(rapid.IntRange(1, 40).Draw(t, "columns"))
		o.Rows, o.Colours = rapid.IntRange(1, 40).Draw(t, "rows"), rapid.IntRange(1, photo.MaxColours).Draw(t, "colours")
		o.Run = rapid.IntRange(1, min(5, o.Columns)).Draw(t, "run")
		g := mustChart(t, img, o)
		if again := mustChart(t, img, o); !cmp.Equal(g, again) {
			t.Errorf("not the same again:\n%v%v", g, again)
		}
		chart, ps := g.Figure(make([]string, len(g.Symbols)))
		if ps.Failed() || chart.Columns() != o.Columns || chart.Rows() != o.Rows {
			t.Errorf("as a figure: %v\n%v", ps, g)
		}
		sum := g.Ground.Share
		for _, s := range g.Symbols {
			sum += s.Share
		}
		if math.Abs(float64(sum)-1) > 1e-9 {
			t.Errorf("shares add up to %v", sum)
		}
		for row := range strings.FieldsSeq(g.String()) {
			if n := shortest(row); n < o.Run {
				t.Errorf("a run of %d in %s, want %d", n, row, o.Run)
			}
		}
		if o.Run == 1 {
			noIslands(t, g)
		}
	})
}

// shortest is the shortest run of a row.
func shortest(row string) int {
	least, n := len(row), 0
	for i := range row {
		if n++; i == len(row)-1 || row[i+1] != row[i] {
			least, n = min(least, n), 0
		}
	}
	return least
}

func noIslands(t *rapid.T, g photo.Grid) {
	if g.Columns*g.Rows == 1 {
		return
	}
	for r := range g.Rows {
		for c := range g.Columns {
			alike := 0
			for y := max(0, r-1); y <= min(g.Rows-1, r+1); y++ {
				for x := max(0, c-1); x <= min(g.Columns-1, c+1); x++ {
					if g.At(y, x) == g.At(r, c) {
						alike++
					}
				}
			}
			if alike < 2 {
				t.Errorf("island at row %d, column %d of\n%v", r, c, g)
			}
		}
	}
}

func TestChart_problems(t *testing.T) {
	img := painted(letters, 2)
	with := func(change func(*photo.Options)) photo.Options {
		o := photo.NewOptions(16)
		change(&o)
		return o
	}
	for _, c := range []struct {
		name string
		img  image.Image
		o    photo.Options
		want []string
	}{
		{"no picture", nil, photo.NewOptions(10), []string{"photo-empty"}},
		{"no pixels", image.NewGray(image.Rect(5, 5, 5, 9)), photo.NewOptions(10), []string{"photo-empty"}},
		{"a picture without end", image.NewUniform(color.White), photo.NewOptions(10), []string{"photo-large"}},
		{"2000 x 2000", img, with(func(o *photo.Options) { o.Columns, o.Rows = 2000, 2000 }), []string{"columns photo-columns", "rows photo-rows"}},
		{"rows by shape", img, with(func(o *photo.Options) { o.CellHeight = 0.01 }), []string{"rows photo-rows"}},
		{"no columns", img, with(func(o *photo.Options) { o.Columns, o.Rows = 0, 3 }), []string{"columns photo-columns"}},
		{"rows below none", img, with(func(o *photo.Options) { o.Rows = -1 }), []string{"rows photo-rows"}},
		{"a cell of no height", img, with(func(o *photo.Options) { o.CellHeight = 0 }), []string{"cell photo-cell"}},
		{"a cell of no number", img, with(func(o *photo.Options) { o.CellWidth = measure.MM(math.NaN()) }), []string{"cell photo-cell"}},
		{"no colours", img, with(func(o *photo.Options) { o.Colours = 0 }), []string{"colours photo-colours"}},
		{"14 yarns", img, with(func(o *photo.Options) { o.Yarns = make([]string, 14) }), []string{"colours photo-colours"}},
		{"a yarn of no colour", img, with(func(o *photo.Options) { o.Yarns = []string{sand, "#12345g"} }), []string{"yarns photo-yarn"}},
		{"a ground of no yarn", img, with(func(o *photo.Options) { o.Yarns, o.Ground = []string{sand, indigo}, 2 }), []string{"ground photo-ground"}},
		{"a ground below none", img, with(func(o *photo.Options) { o.Ground = -2 }), []string{"ground photo-ground"}},
		{"a run wider than the chart", img, with(func(o *photo.Options) { o.Run = 17 }), []string{"run photo-run"}},
		{"no run", img, with(func(o *photo.Options) { o.Run = 0 }), []string{"run photo-run"}},
		{"one yarn", img, with(func(o *photo.Options) { o.Yarns = []string{sand} }), []string{"photo-blank"}},
	} {
		g, ps := photo.Chart(c.img, c.o)
		if diff := cmp.Diff(c.want, codes(ps)); diff != "" {
			t.Errorf("%s (-want +got):\n%s", c.name, diff)
		}
		if ps.Failed() != (g.Columns == 0) {
			t.Errorf("%s: %d columns", c.name, g.Columns)
		}
	}
}
