package colour_test

import (
	"errors"
	"math"
	"strconv"
	"testing"

	"github.com/lucasb-eyer/go-colorful"

	"urdir/colour"
)

func near(a, b colour.Lab, by float64) bool {
	return math.Abs(a.L-b.L) <= by && math.Abs(a.A-b.A) <= by && math.Abs(a.B-b.B) <= by
}

// Public test tables of CIELAB for the primaries of sRGB, D65 and 2 degrees, to
// two decimals: 53.24 80.09 67.20, 87.73 -86.18 83.18, 32.30 79.19 -107.86. Here to
// four, derived from them with the white of x = 0.3127, y = 0.3290 (IEC 61966-2-1);
// the mid grey is derived by hand from the formulas.
func TestLab_primaries(t *testing.T) {
	for _, test := range []struct {
		name string
		c    colour.SRGB
		want colour.Lab
		by   float64
	}{
		{"red", colour.SRGB{R: 255}, colour.Lab{L: 53.2371, A: 80.0901, B: 67.2033}, 0.0001},
		{"green", colour.SRGB{G: 255}, colour.Lab{L: 87.7355, A: -86.1816, B: 83.1866}, 0.0001},
		{"blue", colour.SRGB{B: 255}, colour.Lab{L: 32.3009, A: 79.1953, B: -107.8555}, 0.0001},
		{"grey", colour.SRGB{R: 128, G: 128, B: 128}, colour.Lab{L: 53.585}, 0.0005},
		{"white", colour.SRGB{R: 255, G: 255, B: 255}, colour.Lab{L: 100}, 1e-9},
		{"black", colour.SRGB{}, colour.Lab{}, 1e-9},
	} {
		if got := test.c.Lab(); !near(got, test.want, test.by) {
			t.Errorf("%s: %+v; want %+v", test.name, got, test.want)
		}
	}
}

// IEC 61966-2-1 prints the matrix to four decimals (from memory); white is 0.9505,
// 1, 1.0890 as CIE tables have it for D65.
func TestXYZ_matrix(t *testing.T) {
	for _, test := range []struct {
		light colour.Linear
		want  colour.XYZ
	}{
		{colour.Linear{R: 1}, colour.XYZ{X: 0.4124, Y: 0.2126, Z: 0.0193}},
		{colour.Linear{G: 1}, colour.XYZ{X: 0.3576, Y: 0.7152, Z: 0.1192}},
		{colour.Linear{B: 1}, colour.XYZ{X: 0.1805, Y: 0.0722, Z: 0.9505}},
		{colour.Linear{R: 1, G: 1, B: 1}, colour.XYZ{X: 0.9505, Y: 1, Z: 1.0890}},
	} {
		got := test.light.XYZ()
		if d := max(math.Abs(got.X-test.want.X), math.Abs(got.Y-test.want.Y), math.Abs(got.Z-test.want.Z)); d > 0.0001 {
			t.Errorf("%+v: %+v; want %+v", test.light, got, test.want)
		}
		back := got.Linear()
		if d := max(math.Abs(back.R-test.light.R), math.Abs(back.G-test.light.G), math.Abs(back.B-test.light.B)); d > 1e-9 {
			t.Errorf("%+v comes back as %+v", test.light, back)
		}
	}
}

// Every colour of a grid over all of sRGB is the same in the other library, given our
// white, and comes back as itself.
func TestLab_asAnotherLibrary(t *testing.T) {
	w := colour.Linear{R: 1, G: 1, B: 1}.XYZ()
	for i := range 52 * 52 * 52 {
		c := colour.SRGB{R: uint8(i % 52 * 5), G: uint8(i / 52 % 52 * 5), B: uint8(i / 52 / 52 * 5)}
		o := colorful.Color{R: float64(c.R) / 255, G: float64(c.G) / 255, B: float64(c.B) / 255}
		l, a, b := o.LabWhiteRef([3]float64{w.X, w.Y, w.Z})
		got := c.Lab()
		if !near(got, colour.Lab{L: 100 * l, A: 100 * a, B: 100 * b}, 1e-5) {
			t.Fatalf("%v: %+v; want %v %v %v", c, got, 100*l, 100*a, 100*b)
		}
		if back := got.Linear().SRGB(); back != c {
			t.Fatalf("%v comes back as %v", c, back)
		}
		if h := got.LCh(); !near(h.Lab(), got, 1e-9) || h.H < 0 || h.H >= 360 {
			t.Fatalf("%v: %+v comes back as %+v", c, h, h.Lab())
		}
		if s := got.Show(); !s.Inside || s.SRGB != c || s.Given != 0 {
			t.Fatalf("%v is shown as %+v", c, s)
		}
	}
}

func TestParseSRGB(t *testing.T) {
	for in, want := range map[string]colour.SRGB{
		"#23406e": {R: 0x23, G: 0x40, B: 0x6e}, " #23406E ": {R: 0x23, G: 0x40, B: 0x6e}, "23406e": {R: 0x23, G: 0x40, B: 0x6e}, "#000000": {},
	} {
		if got, err := colour.ParseSRGB(in); err != nil || got != want {
			t.Errorf("%q: %v, %v; want %v", in, got, err, want)
		}
	}
	for _, in := range []string{"", "#", "#2340", "#23406g", "#23406e0", "##23406", "+23406", "#-23406", "0x2340", "# 23406", "red"} {
		wantCode(t, in, "colour-value", func() error { _, err := colour.ParseSRGB(in); return err }())
	}
}

func wantCode(t *testing.T, in, want string, err error) {
	t.Helper()
	var pe *colour.ParseError
	if !errors.As(err, &pe) || pe.Code != want || pe.Text != in || pe.Error() != want+": "+strconv.Quote(in) {
		t.Errorf("%q: %v; want %s", in, err, want)
	}
}

func TestParseLab(t *testing.T) {
	want := colour.Lab{L: 52.3, A: 14.1, B: -38}
	for _, in := range []string{
		"52.3, 14.1, -38", "52.3,14.1,-38", "52.3 14.1 -38", " 52.3;14.1 ; -38 ", "52,3; 14,1; -38", "52,3 14,1 -38", "52,3, 14,1, -38", "52.3 ,14.1 ,-38",
		"52.3 , 14.1 , -38",
	} {
		if got, err := colour.ParseLab(in); err != nil || got != want {
			t.Errorf("%q: %v, %v; want %v", in, got, err, want)
		}
	}
	for in, code := range map[string]string{
		"": "colour-value", "52.3": "colour-value", "52.3, 14.1": "colour-value", "52, 14, -38, 1": "colour-value", "52; 14": "colour-value",
		"a, b, c": "colour-value", "NaN 0 0": "colour-value", "50,123 0 0": "colour-value", ";;": "colour-value",
		"100.1, 0, 0": "colour-range", "-1, 0, 0": "colour-range", "50, 200.5, 0": "colour-range", "50, 0, -201": "colour-range",
	} {
		_, err := colour.ParseLab(in)
		wantCode(t, in, code, err)
		_, err = colour.Parse(in)
		wantCode(t, in, code, err)
	}
}

func TestText_readsBack(t *testing.T) {
	var l colour.Lab
	var c colour.SRGB
	text, err := colour.Lab{L: 52.304, A: -0.001, B: -38.126}.MarshalText()
	if err != nil || string(text) != "52.3, 0, -38.13" {
		t.Errorf("%s, %v", text, err)
	}
	if l.UnmarshalText(text) != nil || l != (colour.Lab{L: 52.3, B: -38.13}) {
		t.Errorf("%v", l)
	}
	text, err = colour.SRGB{R: 1, G: 171, B: 255}.MarshalText()
	if err != nil || string(text) != "#01abff" || c.UnmarshalText(text) != nil || c != (colour.SRGB{R: 1, G: 171, B: 255}) {
		t.Errorf("%s, %v, %v", text, err, c)
	}
	if l.UnmarshalText([]byte("x")) == nil || c.UnmarshalText([]byte("x")) == nil {
		t.Error("nonsense is read")
	}
}

// What is printed is read as the same, to a hundredth, and printed the same again.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"#23406e", "23406e", "52.3, 14.1, -38", "52,3; 14,1; -38", "1 2 3", ";;", "0x1p3 1e1 -0", "#１２３４５６"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		c, err := colour.Parse(s)
		if err != nil {
			return
		}
		back, err := colour.ParseLab(c.String())
		if err != nil || !near(c, back, 0.00501) || back.String() != c.String() {
			t.Errorf("%q is %v, printed %q, read as %v, %v", s, c, c.String(), back, err)
		}
		if s := c.Show(); math.IsNaN(float64(s.Away)) || s.Given < -1e-9 {
			t.Errorf("%v is shown as %+v", c, s)
		}
	})
}
