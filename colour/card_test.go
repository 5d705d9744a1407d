package colour_test

import (
	"image"
	"image/color"
	"math"
	"testing"

	"urdir/colour"
	"urdir/measure"
)

// scene is a photograph: what a surface sends back, in the light that falls there,
// coded by the camera in 16 bits.
func scene(surface, light func(x, y int) colour.Linear) *image.RGBA64 {
	m := image.NewRGBA64(image.Rect(0, 0, 240, 120))
	code := func(v float64) uint16 { // IEC 61966-2-1
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = 1.055*math.Pow(v, 1/2.4) - 0.055
		}
		return uint16(math.Round(min(1, max(0, v)) * 0xffff))
	}
	for y := range 120 {
		for x := range 240 {
			s, l := surface(x, y), light(x, y)
			m.SetRGBA64(x, y, color.RGBA64{R: code(s.R * l.R), G: code(s.G * l.G), B: code(s.B * l.B), A: 0xffff})
		}
	}
	return m
}

func even(r, g, b float64) func(int, int) colour.Linear {
	return func(int, int) colour.Linear { return colour.Linear{R: r, G: g, B: b} }
}

var (
	cardAt   = image.Rect(10, 10, 70, 70)
	swatchAt = image.Rect(120, 30, 180, 90)
	madder   = colour.Linear{R: 0.4, G: 0.08, B: 0.05}
)

// table is the card at the left, the swatch at the right.
func table(x, _ int) colour.Linear {
	if x < 100 {
		return colour.Linear{R: 0.18, G: 0.18, B: 0.18}
	}
	return madder
}

// Whatever the light and exposure, the swatch comes out as it is.
func TestCard_lightIsTakenOut(t *testing.T) {
	want := madder.XYZ().Lab()
	for _, light := range []colour.Linear{{R: 1, G: 1, B: 1}, {R: 1.3, G: 1, B: 0.7}, {R: 0.4, G: 0.5, B: 0.7}} {
		m := scene(table, even(light.R, light.G, light.B))
		l, ps := colour.Card{Regions: []image.Rectangle{cardAt}}.Read(m)
		wantCodes(t, "card", ps)
		s, ps := l.Read(m, swatchAt)
		wantCodes(t, "swatch", ps)
		if colour.DifferenceAB(s.Colour, want) > 0.02 || s.Uneven > 0.01 {
			t.Errorf("light %+v: %v; want %v", light, s.Colour, want)
		}
		// By hand: a gain undoes the light; exposure undoes its luminance 0.2126 R +
		// 0.7152 G + 0.0722 B.
		y := 0.2126*light.R + 0.7152*light.G + 0.0722*light.B
		for _, d := range []float64{l.Gain.R*light.R - 1, l.Gain.G*light.G - 1, l.Gain.B*light.B - 1, l.Exposure*y - 1,
			l.Balance.R*l.Exposure - l.Gain.R, l.Balance.B*l.Exposure - l.Gain.B} {
			if math.Abs(d) > 1e-3 {
				t.Errorf("light %+v: %+v", light, l)
			}
		}
	}
}

// A card of L 50 has 18.42 %; taken for 18 %, everything comes out a little dark.
func TestCard_known(t *testing.T) {
	if r := float64(colour.ReflectanceOf(50)); math.Abs(r-0.18419) > 0.00001 { // ((50 + 16) / 116)^3
		t.Errorf("L 50 is %v", r)
	}
	m := scene(table, even(1, 1, 1))
	l, _ := colour.Card{Regions: []image.Rectangle{cardAt}, Known: colour.ReflectanceOf(50)}.Read(m)
	if math.Abs(l.Exposure-0.18419/0.18) > 1e-3 {
		t.Errorf("%+v", l)
	}
	for _, known := range []colour.Reflectance{-0.1, 0.005, 1.1, colour.Reflectance(math.NaN())} {
		_, ps := colour.Card{Regions: []image.Rectangle{cardAt}, Known: known}.Read(m)
		wantCodes(t, "known", ps, "card card-reflectance")
	}
}

// Light that falls off by a fifth across the picture: the card is 60 of 240 wide.
func TestCard_uneven(t *testing.T) {
	m := scene(even(0.18, 0.18, 0.18), func(x, _ int) colour.Linear {
		v := 1.1 - 0.2*float64(x)/240
		return colour.Linear{R: v, G: v, B: v}
	})
	l, ps := colour.Card{Regions: []image.Rectangle{cardAt}}.Read(m)
	wantCodes(t, "one place", ps)
	// By hand: the middles of the outer thirds are 40 pixels apart, 40/240 x 0.2 of
	// a mean of 1.067.
	if math.Abs(float64(l.Within)-0.0333/1.067) > 1e-3 || l.Between != 0 {
		t.Errorf("%+v", l)
	}
	far := []image.Rectangle{cardAt, image.Rect(170, 10, 230, 70)}
	l, ps = colour.Card{Regions: far}.Read(m)
	wantCodes(t, "two places", ps, "card card-uneven?")
	if math.Abs(float64(l.Between)-0.1333) > 2e-3 { // 160 pixels apart, mean 1
		t.Errorf("%+v", l)
	}
	_, ps = colour.Card{Regions: far, Uneven: 0.15}.Read(m)
	wantCodes(t, "a wider limit", ps)
	_, ps = colour.Card{Regions: []image.Rectangle{cardAt}, Uneven: 0.02}.Read(m)
	wantCodes(t, "a narrower limit", ps, "card card-uneven?")
}

func TestCard_problems(t *testing.T) {
	at := func(r ...image.Rectangle) colour.Card { return colour.Card{Regions: r} }
	good := scene(table, even(1, 1, 1))
	squares := scene(func(x, y int) colour.Linear {
		v := 0.1 + 0.3*float64((x/3+y/3)%2)
		return colour.Linear{R: v, G: v, B: v}
	}, even(1, 1, 1))
	for _, test := range []struct {
		name string
		card colour.Card
		m    image.Image
		want []string
	}{
		{"none", at(), good, []string{"card card-missing"}},
		{"outside", at(image.Rect(-5, 0, 40, 40), cardAt, image.Rectangle{}), good, []string{"card[0] region-outside", "card[2] region-outside"}},
		{"small", at(image.Rect(10, 10, 33, 70)), good, []string{"card[0] region-small"}},
		{"least", at(image.Rect(10, 10, 34, 34)), good, nil},
		{"clipped", at(cardAt), scene(table, even(6, 6, 6)), []string{"card[0] region-clipped"}},
		{"dark", at(cardAt), scene(table, even(0.1, 0.1, 0.1)), []string{"card[0] card-dark"}},
		{"black", at(cardAt), image.NewGray(image.Rect(0, 0, 100, 100)), []string{"card[0] card-dark"}},
		{"a red cloth", at(swatchAt), good, []string{"card[0] card-not-found"}},
		{"a checked cloth", at(cardAt), squares, []string{"card[0] card-not-found"}},
		{"candle light", at(cardAt), scene(table, even(2, 1, 0.8)), []string{"card[0] card-coloured?"}},
	} {
		l, ps := test.card.Read(test.m)
		wantCodes(t, test.name, ps, test.want...)
		if ps.Failed() != (l == colour.Light{}) {
			t.Errorf("%s: %+v", test.name, l)
		}
	}
	// One pixel in a hundred at full is let pass, two are not. The glints stand on a
	// bright card, so that they do not roughen it.
	for n, want := range map[int][]string{36: nil, 72: {"card[0] region-clipped"}} {
		m := scene(even(0.8, 0.8, 0.8), even(1, 1, 1))
		for i := range n {
			m.SetRGBA64(10+i%60, 10+i/60*7, color.RGBA64{R: 0xffff, G: 0xffff, B: 0xffff, A: 0xffff})
		}
		_, ps := at(cardAt).Read(m)
		wantCodes(t, "some pixels at full", ps, want...)
	}
}

func TestSwatch_problems(t *testing.T) {
	one := colour.Light{Gain: colour.Linear{R: 1, G: 1, B: 1}}
	stripes := scene(func(x, _ int) colour.Linear {
		if x < 150 {
			return madder
		}
		return colour.Linear{R: 0.2, G: 0.2, B: 0.3}
	}, even(1, 1, 1))
	for _, test := range []struct {
		name   string
		light  colour.Light
		m      image.Image
		region image.Rectangle
		want   []string
	}{
		{"good", one, scene(table, even(1, 1, 1)), swatchAt, nil},
		{"outside", one, stripes, image.Rect(200, 0, 260, 60), []string{"swatch region-outside"}},
		{"small", one, stripes, image.Rect(120, 30, 180, 40), []string{"swatch region-small"}},
		{"clipped", one, scene(table, even(3, 1, 1)), swatchAt, []string{"swatch region-clipped"}},
		{"too bright", colour.Light{Gain: colour.Linear{R: 3, G: 1, B: 1}}, scene(table, even(1, 1, 1)), swatchAt, []string{"swatch swatch-too-bright?"}},
		{"a channel at nothing", one, scene(table, even(1, 1, 0)), swatchAt, []string{"swatch swatch-too-dark?"}},
		{"two colours", one, stripes, swatchAt, []string{"swatch swatch-uneven?"}},
	} {
		_, ps := test.light.Read(test.m, test.region)
		wantCodes(t, test.name, ps, test.want...)
	}
}

// plain is a picture that gives no more than an image must.
type plain struct{ image.Image }

// Every kind of picture reads alike, eight bits to their step.
func TestCard_kindsOfPictures(t *testing.T) {
	deep := scene(table, even(1.2, 1, 0.8))
	shallow := image.NewNRGBA(deep.Bounds())
	for y := range 120 {
		for x := range 240 {
			shallow.Set(x, y, deep.At(x, y))
		}
	}
	card := colour.Card{Regions: []image.Rectangle{cardAt}}
	want, _ := card.Read(deep)
	s, _ := want.Read(deep, swatchAt)
	for name, m := range map[string]image.Image{"eight bits": shallow, "no quick way": plain{deep}} {
		got, ps := card.Read(m)
		wantCodes(t, name, ps)
		if math.Abs(got.Gain.R/want.Gain.R-1) > 0.01 || math.Abs(got.Gain.B/want.Gain.B-1) > 0.01 {
			t.Errorf("%s: %+v; want %+v", name, got, want)
		}
		if o, _ := got.Read(m, swatchAt); colour.Difference(o.Colour, s.Colour) > 0.6 {
			t.Errorf("%s: %v; want %v", name, o.Colour, s.Colour)
		}
	}
	if want.Within > measure.Ratio(1e-9) {
		t.Errorf("%+v", want)
	}
}
