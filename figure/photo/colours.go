package photo

import (
	"cmp"
	"fmt"
	"image"
	"math"
	"slices"

	"urdir/check"
	"urdir/figure"
	"urdir/measure"
)

// MaxColours is the most colours of a picture: those of a chart and its ground.
const MaxColours = figure.MaxColours + 1

// Colour is an sRGB colour and the share of the picture, or of the chart, that
// has it.
type Colour struct {
	Hex   string        `json:"colour"` // "#rrggbb"
	Share measure.Ratio `json:"share_fraction"`
}

// Colours finds at most n main colours, the largest share first. There are fewer
// only if the picture has fewer. Large pictures are looked at on a grid of at
// most 9216 cells.
//
// Codes: photo-empty, photo-large, photo-colours.
func Colours(img image.Image, n int) ([]Colour, check.Problems) {
	ps := usable(img)
	if n < 1 || n > MaxColours {
		ps.Wrong("colours", "photo-colours", check.Args{"colours": n, "most": MaxColours})
	}
	if ps.Failed() {
		return nil, ps
	}
	return mainColours(img, n), ps
}

func usable(img image.Image) (ps check.Problems) {
	if img == nil {
		ps.Wrong("", "photo-empty", nil)
		return ps
	}
	roomFor(img.Bounds().Dx(), img.Bounds().Dy(), maxPixels, &ps)
	return ps
}

// grid is how many points of a picture its colours are found from.
const grid = 96 * 96

func mainColours(img image.Image, n int) []Colour {
	w, h := float64(img.Bounds().Dx()), float64(img.Bounds().Dy())
	columns, rows := int(w), int(h)
	if f := math.Sqrt(grid / (w * h)); f < 1 {
		columns = max(1, int(min(w*f, grid)))
		rows = max(1, min(int(h*f), grid/columns))
	}
	points := pointsOf(cells(img, columns, rows))
	var out []Colour
	for _, g := range means(points, n) {
		r, gr, b := g.at.light().rgb()
		out = append(out, Colour{hex(r, gr, b), measure.Ratio(g.weight / float64(columns*rows))})
	}
	slices.SortFunc(out, func(a, b Colour) int {
		return cmp.Or(cmp.Compare(b.Share, a.Share), cmp.Compare(a.Hex, b.Hex))
	})
	return out
}

func hex(r, g, b uint8) string { return fmt.Sprintf("#%02x%02x%02x", r, g, b) }

// pointsOf counts cells of the same code together, in the order of the codes.
func pointsOf(all []light) []point {
	codes := make([]int, len(all))
	for i, l := range all {
		r, g, b := l.rgb()
		codes[i] = int(r)<<16 | int(g)<<8 | int(b)
	}
	slices.Sort(codes)
	var out []point
	for i, c := range codes {
		if i == 0 || c != codes[i-1] {
			out = append(out, point{at: lightOf(uint8(c>>16), uint8(c>>8), uint8(c)).lab()})
		}
		out[len(out)-1].weight++
	}
	return out
}

// Lightest is the index of the lightest of some colours, -1 of none: by the L of
// Oklab.
func Lightest(all []Colour) int {
	best, most := -1, math.Inf(-1)
	for i, c := range all {
		if l, ok := read6(c.Hex); ok && l.lab()[0] > most {
			best, most = i, l.lab()[0]
		}
	}
	return best
}

// Nearest is the index of the colour of a list ("#rrggbb") that looks most like
// another, and how far apart they are in Oklab; -1 when none can be read.
func Nearest(colour string, of []string) (index int, apart float64) {
	index, apart = -1, math.Inf(1)
	c, ok := read6(colour)
	if !ok {
		return index, apart
	}
	for i, h := range of {
		if l, ok := read6(h); ok {
			if off := math.Sqrt(c.lab().off(l.lab())); off < apart {
				index, apart = i, off
			}
		}
	}
	return index, apart
}
