package colour_test

import (
	"fmt"
	"image"
	"image/color"
	"image/draw"

	"urdir/colour"
)

// Pair 1 of Sharma, Wu and Dalal (2005), Table 1: 2.0425.
func ExampleDifference() {
	a, _ := colour.Parse("50, 2.6772, -79.7751")
	b, _ := colour.Parse("50, 0, -82.7485")
	fmt.Printf("%.4f\n", colour.Difference(a, b))
	// Output: 2.0425
}

// The red of sRGB in CIELAB, as published tables have it.
func ExampleParse() {
	red, _ := colour.Parse("#ff0000")
	fmt.Println(red)
	// Output: 53.24, 80.09, 67.2
}

// No screen shows this turquoise; the nearest of the same lightness and hue has
// less chroma.
func ExampleLab_Show() {
	c := colour.Lab{L: 60, A: -40, B: -40}
	s := c.Show()
	was, is := c.LCh(), s.Lab.LCh()
	fmt.Println(s.Inside, was.L == is.L, was.C > is.C, was.H-is.H < 1e-6)
	// Output: false true true true
}

// A grey sample that washing made lighter by 3.4 has grade 3 (ISO 105-A02, Table 1).
func ExampleRateChange() {
	fmt.Println(colour.RateChange(colour.Lab{L: 40}, colour.Lab{L: 43.4}).Grade)
	// Output: 3
}

// A white cloth that greyed by 4.3 beside the sample has grade 4 (ISO 105-A03).
func ExampleRateStaining() {
	fmt.Println(colour.RateStaining(colour.Lab{L: 94}, colour.Lab{L: 89.7}).Grade)
	// Output: 4
}

// By hand: (1 - 0.5)^2 / (2 x 0.5) = 0.25.
func ExampleReflectance_KS() {
	fmt.Println(colour.Reflectance(0.5).KS())
	// Output: 0.25
}

// Bare yarn of reflectance 0.8 that 1 % of dye brings to 0.4: K/S goes from 0.025
// to 0.45. A wish of K/S 0.2375 lies half way, so it takes half the dye.
func ExampleShade_Strength() {
	shade, _ := colour.Series{
		Substrate: colour.Reading{Bands: colour.Bands{0.8}},
		Samples:   []colour.Sample{{Amount: 0.01, Reading: colour.Reading{Bands: colour.Bands{0.4}}}},
	}.Fit()
	wish := colour.KS(0.2375).Reflectance()
	s, _ := shade.Strength(colour.Reading{Bands: colour.Bands{wish}})
	fmt.Printf("%.2f %%\n", 100*s.Amount)
	// Output: 0.50 %
}

// A card of lightness 50 sends back ((50 + 16) / 116)^3 of the light.
func ExampleReflectanceOf() {
	fmt.Printf("%.1f %%\n", 100*colour.ReflectanceOf(50))
	// Output: 18.4 %
}

// A grey card photographed as dark as half its light: the exposure is doubled. sRGB
// codes 9 % of light as 85 (84.8), 18 % as 118 (118.0).
func ExampleCard_Read() {
	picture := image.NewRGBA(image.Rect(0, 0, 60, 60))
	draw.Draw(picture, picture.Bounds(), image.NewUniform(color.Gray{Y: 85}), image.Point{}, draw.Src)
	light, _ := colour.Card{Regions: []image.Rectangle{image.Rect(10, 10, 50, 50)}}.Read(picture)
	fmt.Printf("%.1f\n", light.Exposure)
	// Output: 2.0
}

// Pairs 21 and 17 of Sharma, Wu and Dalal (2005): 1.0000 and 27.1492 from the wish.
func ExampleNearest() {
	wish := colour.Lab{L: 50, A: 2.5}
	for _, n := range colour.Nearest(wish, []colour.Lab{{L: 73, A: 25, B: -18}, {L: 50, A: 3.1736, B: 0.5854}}) {
		fmt.Printf("%d %.4f\n", n.Index, n.Difference)
	}
	// Output:
	// 1 1.0000
	// 0 27.1492
}

// Pair 30 of Sharma, Wu and Dalal (2005) is 1.4146 apart: it passes at 2.
func ExampleJudge() {
	v, ps := colour.Judge(colour.Lab{L: 36.2715, A: 50.5065, B: 21.2231}, colour.Lab{L: 36.4612, A: 47.8580, B: 18.3852}, 2)
	fmt.Printf("%v %.4f %v, %d problems\n", v.Accepted, v.Difference, v.Ways, len(ps))
	// Output: true 1.4146 [stronger yellower], 0 problems
}
