package photo

import (
	"image"
	"image/color"
	"image/draw"
	"math"
)

// light is linear sRGB, each from 0 to 1; lab is a colour in Oklab.
type (
	light [3]float64
	lab   [3]float64
)

// linear is the light of each code of sRGB (IEC 61966-2-1).
var linear = func() (t [256]float64) {
	for i := range t {
		c := float64(i) / 255
		if c <= 0.04045 {
			t[i] = c / 12.92
		} else {
			t[i] = math.Pow((c+0.055)/1.055, 2.4)
		}
	}
	return t
}()

// code is the nearest code of sRGB to a light, within what can be shown.
func code(l float64) uint8 {
	c := 12.92 * l
	if l > 0.0031308 {
		c = 1.055*math.Pow(l, 1/2.4) - 0.055
	}
	return uint8(math.Round(255 * min(1, max(0, c))))
}

func lightOf(r, g, b uint8) light { return light{linear[r], linear[g], linear[b]} }

func (l light) rgb() (r, g, b uint8) { return code(l[0]), code(l[1]), code(l[2]) }

// The matrices of Oklab for linear sRGB, and their inverses, as published.
func (l light) lab() lab {
	a := math.Cbrt(0.4122214708*l[0] + 0.5363325363*l[1] + 0.0514459929*l[2])
	b := math.Cbrt(0.2119034982*l[0] + 0.6806995451*l[1] + 0.1073969566*l[2])
	c := math.Cbrt(0.0883024619*l[0] + 0.2817188376*l[1] + 0.6299787005*l[2])
	return lab{
		0.2104542553*a + 0.7936177850*b - 0.0040720468*c,
		1.9779984951*a - 2.4285922050*b + 0.4505937099*c,
		0.0259040371*a + 0.7827717662*b - 0.8086757660*c,
	}
}

func (p lab) light() light {
	a := p[0] + 0.3963377774*p[1] + 0.2158037573*p[2]
	b := p[0] - 0.1055613458*p[1] - 0.0638541728*p[2]
	c := p[0] - 0.0894841775*p[1] - 1.2914855480*p[2]
	a, b, c = a*a*a, b*b*b, c*c*c
	return light{
		+4.0767416621*a - 3.3077115913*b + 0.2309699292*c,
		-1.2684380046*a + 2.6097574011*b - 0.3413193965*c,
		-0.0041960863*a - 0.7034186147*b + 1.7076147010*c,
	}
}

// off is the squared distance of two colours.
func (p lab) off(q lab) float64 {
	x, y, z := p[0]-q[0], p[1]-q[1], p[2]-q[2]
	return x*x + y*y + z*z
}

// nearest is the index of the nearest of some colours, the first of those
// equally near.
func (p lab) nearest(of []lab) int {
	best := 0
	for i := range of {
		if p.off(of[i]) < p.off(of[best]) {
			best = i
		}
	}
	return best
}

// cells is the mean light of each cell of a grid laid over a picture, row by
// row. Cells may be smaller than pixels.
func cells(img image.Image, columns, rows int) []light {
	box := img.Bounds()
	w, h := box.Dx(), box.Dy()
	out := make([]light, columns*rows)
	line, across := make([]light, w), make([]light, columns)
	strip := image.NewRGBA(image.Rect(0, 0, w, 1))
	for y := range h {
		read(img, strip, box.Min.Add(image.Pt(0, y)), line)
		for c := range across {
			across[c] = mean(line, c, columns)
		}
		// Pixel row y covers rows y*rows to (y+1)*rows, in parts of which a cell is h high.
		for r := y * rows / h; r < rows && r*h < (y+1)*rows; r++ {
			part := float64(min((r+1)*h, (y+1)*rows)-max(r*h, y*rows)) / float64(h)
			for c, l := range across {
				o := &out[r*columns+c]
				for i := range o {
					o[i] += part * l[i]
				}
			}
		}
	}
	return out
}

// read is the light of one line of a picture.
func read(img image.Image, strip *image.RGBA, from image.Point, line []light) {
	draw.Draw(strip, strip.Rect, image.NewUniform(color.White), image.Point{}, draw.Src)
	draw.Draw(strip, strip.Rect, img, from, draw.Over)
	for x := range line {
		p := strip.Pix[4*x : 4*x+3]
		line[x] = lightOf(p[0], p[1], p[2])
	}
}

// mean is the mean of what cell c of n covers of a line.
func mean(line []light, c, n int) (sum light) {
	w := len(line)
	for x := c * w / n; x < w && x*n < (c+1)*w; x++ {
		part := float64(min((x+1)*n, (c+1)*w)-max(x*n, c*w)) / float64(w)
		for i := range sum {
			sum[i] += part * line[x][i]
		}
	}
	return sum
}
