package colour_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/lucasb-eyer/go-colorful"

	"urdir/colour"
)

// sharma is all pairs of Sharma, Wu and Dalal, Col. Res. Appl. 30(1), 2005,
// 21-30, Table 1, with the difference as printed.
var sharma = []struct {
	a, b colour.Lab
	want float64
}{
	{colour.Lab{L: 50, A: 2.6772, B: -79.7751}, colour.Lab{L: 50, A: 0, B: -82.7485}, 2.0425},
	{colour.Lab{L: 50, A: 3.1571, B: -77.2803}, colour.Lab{L: 50, A: 0, B: -82.7485}, 2.8615},
	{colour.Lab{L: 50, A: 2.8361, B: -74.0200}, colour.Lab{L: 50, A: 0, B: -82.7485}, 3.4412},
	{colour.Lab{L: 50, A: -1.3802, B: -84.2814}, colour.Lab{L: 50, A: 0, B: -82.7485}, 1},
	{colour.Lab{L: 50, A: -1.1848, B: -84.8006}, colour.Lab{L: 50, A: 0, B: -82.7485}, 1},
	{colour.Lab{L: 50, A: -0.9009, B: -85.5211}, colour.Lab{L: 50, A: 0, B: -82.7485}, 1},
	{colour.Lab{L: 50, A: 0, B: 0}, colour.Lab{L: 50, A: -1, B: 2}, 2.3669},
	{colour.Lab{L: 50, A: -1, B: 2}, colour.Lab{L: 50, A: 0, B: 0}, 2.3669},
	{colour.Lab{L: 50, A: 2.4900, B: -0.0010}, colour.Lab{L: 50, A: -2.4900, B: 0.0009}, 7.1792},
	{colour.Lab{L: 50, A: 2.4900, B: -0.0010}, colour.Lab{L: 50, A: -2.4900, B: 0.0010}, 7.1792},
	{colour.Lab{L: 50, A: 2.4900, B: -0.0010}, colour.Lab{L: 50, A: -2.4900, B: 0.0011}, 7.2195},
	{colour.Lab{L: 50, A: 2.4900, B: -0.0010}, colour.Lab{L: 50, A: -2.4900, B: 0.0012}, 7.2195},
	{colour.Lab{L: 50, A: -0.0010, B: 2.4900}, colour.Lab{L: 50, A: 0.0009, B: -2.4900}, 4.8045},
	{colour.Lab{L: 50, A: -0.0010, B: 2.4900}, colour.Lab{L: 50, A: 0.0010, B: -2.4900}, 4.8045},
	{colour.Lab{L: 50, A: -0.0010, B: 2.4900}, colour.Lab{L: 50, A: 0.0011, B: -2.4900}, 4.7461},
	{colour.Lab{L: 50, A: 2.5000, B: 0}, colour.Lab{L: 50, A: 0, B: -2.5000}, 4.3065},
	{colour.Lab{L: 50, A: 2.5000, B: 0}, colour.Lab{L: 73, A: 25, B: -18}, 27.1492},
	{colour.Lab{L: 50, A: 2.5000, B: 0}, colour.Lab{L: 61, A: -5, B: 29}, 22.8977},
	{colour.Lab{L: 50, A: 2.5000, B: 0}, colour.Lab{L: 56, A: -27, B: -3}, 31.9030},
	{colour.Lab{L: 50, A: 2.5000, B: 0}, colour.Lab{L: 58, A: 24, B: 15}, 19.4535},
	{colour.Lab{L: 50, A: 2.5000, B: 0}, colour.Lab{L: 50, A: 3.1736, B: 0.5854}, 1},
	{colour.Lab{L: 50, A: 2.5000, B: 0}, colour.Lab{L: 50, A: 3.2972, B: 0}, 1},
	{colour.Lab{L: 50, A: 2.5000, B: 0}, colour.Lab{L: 50, A: 1.8634, B: 0.5757}, 1},
	{colour.Lab{L: 50, A: 2.5000, B: 0}, colour.Lab{L: 50, A: 3.2592, B: 0.3350}, 1},
	{colour.Lab{L: 60.2574, A: -34.0099, B: 36.2677}, colour.Lab{L: 60.4626, A: -34.1751, B: 39.4387}, 1.2644},
	{colour.Lab{L: 63.0109, A: -31.0961, B: -5.8663}, colour.Lab{L: 62.8187, A: -29.7946, B: -4.0864}, 1.2630},
	{colour.Lab{L: 61.2901, A: 3.7196, B: -5.3901}, colour.Lab{L: 61.4292, A: 2.2480, B: -4.9620}, 1.8731},
	{colour.Lab{L: 35.0831, A: -44.1164, B: 3.7933}, colour.Lab{L: 35.0232, A: -40.0716, B: 1.5901}, 1.8645},
	{colour.Lab{L: 22.7233, A: 20.0904, B: -46.6940}, colour.Lab{L: 23.0331, A: 14.9730, B: -42.5619}, 2.0373},
	{colour.Lab{L: 36.4612, A: 47.8580, B: 18.3852}, colour.Lab{L: 36.2715, A: 50.5065, B: 21.2231}, 1.4146},
	{colour.Lab{L: 90.8027, A: -2.0831, B: 1.4410}, colour.Lab{L: 91.1528, A: -1.6435, B: 0.0447}, 1.4441},
	{colour.Lab{L: 90.9257, A: -0.5406, B: -0.9208}, colour.Lab{L: 88.6381, A: -0.8985, B: -0.7239}, 1.5381},
	{colour.Lab{L: 6.7747, A: -0.2908, B: -2.4247}, colour.Lab{L: 5.8714, A: -0.0985, B: -2.2286}, 0.6377},
	{colour.Lab{L: 2.0776, A: 0.0795, B: -1.1350}, colour.Lab{L: 0.9033, A: -0.0636, B: -0.5514}, 0.9082},
}

func TestDifference_published(t *testing.T) {
	for i, test := range sharma {
		for _, got := range []colour.DeltaE{colour.Difference(test.a, test.b), colour.Difference(test.b, test.a)} {
			if math.Abs(float64(got)-test.want) > 0.00005001 {
				t.Errorf("pair %d: %.6f; printed %v", i+1, got, test.want)
			}
		}
	}
	// White and black, of the list that the ICC's working group on high dynamic
	// range adds.
	if d := colour.Difference(colour.Lab{L: 100}, colour.Lab{}); math.Abs(float64(d)-100) > 1e-12 {
		t.Errorf("white and black: %v; want 100", d)
	}
}

// The other library is an independent implementation; its scale is a hundredth.
func TestDifference_asAnotherLibrary(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 20000 {
		a, b := colour.SRGB{R: uint8(r.Uint32()), G: uint8(r.Uint32()), B: uint8(r.Uint32())}, colour.SRGB{R: uint8(r.Uint32()), G: uint8(r.Uint32()), B: uint8(r.Uint32())}
		x, y := a.Lab(), b.Lab()
		// It takes colours by way of its own CIELAB, whose white differs in the
		// fifth figure; so both are given the same.
		want := 100 * other(x).DistanceCIEDE2000(other(y))
		l1, a1, b1 := other(x).Lab()
		l2, a2, b2 := other(y).Lab()
		got := colour.Difference(colour.Lab{L: 100 * l1, A: 100 * a1, B: 100 * b1}, colour.Lab{L: 100 * l2, A: 100 * a2, B: 100 * b2})
		if math.Abs(float64(got)-want) > 1e-8 {
			t.Fatalf("%v to %v: %v; want %v", a, b, got, want)
		}
		if back := colour.Difference(y, x); math.Abs(float64(back-colour.Difference(x, y))) > 1e-9 {
			t.Fatalf("%v to %v is not the same both ways", a, b)
		}
	}
}

func other(c colour.Lab) colorful.Color { return colorful.Lab(c.L/100, c.A/100, c.B/100) }

// The parts are those of a right-angled box, so their squares add up.
func TestPartsOf_addUp(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 5000 {
		a := colour.Lab{L: 100 * r.Float64(), A: 200*r.Float64() - 100, B: 200*r.Float64() - 100}
		b := colour.Lab{L: 100 * r.Float64(), A: 200*r.Float64() - 100, B: 200*r.Float64() - 100}
		p := colour.PartsOf(a, b)
		d := float64(colour.DifferenceAB(a, b))
		if math.Abs(p.L*p.L+p.C*p.C+p.H*p.H-d*d) > 1e-8*(1+d*d) {
			t.Fatalf("%v to %v: %+v do not make %v", a, b, p, d)
		}
	}
}

// From the axes of CIELAB: red lies at 0 degrees, yellow at 90, green at 180, blue
// at 270.
func TestWaysOf(t *testing.T) {
	at := func(l, c, h float64) colour.Lab { return colour.LCh{L: l, C: c, H: degrees(h)}.Lab() }
	for _, test := range []struct {
		name         string
		standard, of colour.Lab
		want         []colour.Way
	}{
		{"the same", at(50, 30, 40), at(50.4, 30.4, 40), nil},
		{"lighter, then duller", at(50, 30, 40), at(55, 27, 40), []colour.Way{colour.Lighter, colour.Duller}},
		{"orange turned to red", at(50, 40, 40), at(48, 40, 30), []colour.Way{colour.Redder, colour.Darker}},
		{"orange turned to yellow", at(50, 40, 40), at(50, 42, 50), []colour.Way{colour.Yellower, colour.Stronger}},
		{"yellow past 90 turned to green", at(50, 40, 95), at(50, 40, 105), []colour.Way{colour.Greener}},
		{"teal turned to blue", at(50, 40, 200), at(50, 40, 210), []colour.Way{colour.Bluer}},
		{"violet turned to red over 0", at(50, 40, 350), at(50, 40, 5), []colour.Way{colour.Redder}},
		{"crimson turned back over 0", at(50, 40, 5), at(50, 40, 350), []colour.Way{colour.Bluer}},
		{"bare yarn yellowed", colour.Lab{L: 88, A: 1, B: 5}, colour.Lab{L: 87.8, A: 1, B: 9}, []colour.Way{colour.Yellower}},
		{"grey gone green and dark", colour.Lab{L: 50}, colour.Lab{L: 45, A: -2}, []colour.Way{colour.Darker, colour.Greener}},
		{"navy turned to green", at(50, 40, 260), at(50, 40, 250), []colour.Way{colour.Greener}},
	} {
		got := colour.WaysOf(test.standard, test.of)
		if len(got) != len(test.want) {
			t.Errorf("%s: %v; want %v", test.name, got, test.want)
			continue
		}
		for i := range got {
			if got[i] != test.want[i] {
				t.Errorf("%s: %v; want %v", test.name, got, test.want)
			}
		}
	}
}
