package photo_test

import (
	"image"
	"image/color"
	"math/rand/v2"
	"strings"
	"testing"

	"urdir/check"
	"urdir/figure/photo"
)

// The yarns of the pictures, and a brown that is nearer to madder than to sand.
const sand, indigo, madder, brown = "#d8c8a8", "#2b4470", "#8f2438", "#70303c"

var rgb = map[rune]color.NRGBA{
	'.': {0xd8, 0xc8, 0xa8, 255}, 'x': {0x2b, 0x44, 0x70, 255}, 'o': {0x8f, 0x24, 0x38, 255},
	'm': {0x70, 0x30, 0x3c, 255},
}

// letters are L and T in two colours, in strokes of two cells.
const letters = `
................
..xx......oooooo
..xx......oooooo
..xx........oo..
..xx........oo..
..xx........oo..
..xxxxxxx...oo..
..xxxxxxx...oo..
................
`

// painted draws a chart with k pixels to a cell.
func painted(drawing string, k int) *image.NRGBA {
	lines := strings.Fields(drawing)
	img := image.NewNRGBA(image.Rect(0, 0, len(lines[0])*k, len(lines)*k))
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			img.SetNRGBA(x, y, rgb[rune(lines[y/k][x/k])])
		}
	}
	return img
}

// disturbed blurs a picture over so many pixels to either side and adds noise.
func disturbed(img *image.NRGBA, blur, noise int) *image.NRGBA {
	dice := rand.New(rand.NewPCG(1, 2))
	out := image.NewNRGBA(img.Rect)
	at := func(x, y, c int) int {
		x, y = min(max(x, 0), img.Rect.Dx()-1), min(max(y, 0), img.Rect.Dy()-1)
		return int(img.Pix[img.PixOffset(x, y)+c])
	}
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			i := out.PixOffset(x, y)
			for c := range 3 {
				sum := 0
				for dy := -blur; dy <= blur; dy++ {
					for dx := -blur; dx <= blur; dx++ {
						sum += at(x+dx, y+dy, c)
					}
				}
				v := sum/((2*blur+1)*(2*blur+1)) + dice.IntN(2*noise+1) - noise
				out.Pix[i+c] = uint8(min(max(v, 0), 255))
			}
			out.Pix[i+3] = 255
		}
	}
	return out
}

func yarns(columns, rows int) photo.Options {
	o := photo.NewOptions(columns)
	o.Rows, o.Yarns = rows, []string{sand, indigo, madder}
	return o
}

func mustChart(t interface{ Fatalf(string, ...any) }, img image.Image, o photo.Options) photo.Grid {
	g, ps := photo.Chart(img, o)
	if ps.Failed() {
		t.Fatalf("Chart: %v", ps)
	}
	return g
}

func same(t testing.TB, what, got, want string) {
	t.Helper()
	if strings.TrimSpace(got) != strings.TrimSpace(want) {
		t.Errorf("%s: got\n%s\nwant\n%s", what, strings.TrimSpace(got), strings.TrimSpace(want))
	}
}

func codes(ps check.Problems) (out []string) {
	for _, p := range ps {
		out = append(out, strings.TrimSpace(p.Path+" "+p.Code))
	}
	return out
}
