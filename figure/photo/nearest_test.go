package photo_test

import (
	"math"
	"testing"

	"urdir/figure/photo"
)

// White is the lightest of all, black the darkest; yellow is lighter than blue
// (L of Oklab 0.968 and 0.452, B. Ottosson 2020's own conversion of sRGB).
func TestLightest(t *testing.T) {
	list := func(all ...string) (out []photo.Colour) {
		for _, h := range all {
			out = append(out, photo.Colour{Hex: h})
		}
		return out
	}
	for _, tc := range []struct {
		all  []photo.Colour
		want int
	}{
		{list("#000000", "#ffffff", "#ffff00"), 1},
		{list("#0000ff", "#ffff00"), 1},
		{list("#808080"), 0},
		{list("pink"), -1},
		{nil, -1},
	} {
		if got := photo.Lightest(tc.all); got != tc.want {
			t.Errorf("%v: %d, want %d", tc.all, got, tc.want)
		}
	}
}

// Black and white are 1 apart: they differ in L alone, which is 0 and 1.
func TestNearest_apart(t *testing.T) {
	if i, apart := photo.Nearest("#000000", []string{"none", "#ffffff"}); i != 1 || math.Abs(apart-1) > 1e-4 {
		t.Errorf("black to white: %d, %v apart", i, apart)
	}
	if i, apart := photo.Nearest("#2b4470", []string{"#8f2438", "#2b4471", "#ffffff"}); i != 1 || apart > 0.01 {
		t.Errorf("a blue: %d, %v apart", i, apart)
	}
	for _, of := range [][]string{nil, {"red"}} {
		if i, _ := photo.Nearest("#000000", of); i != -1 {
			t.Errorf("of %v: %d", of, i)
		}
	}
	if i, _ := photo.Nearest("red", []string{"#ff0000"}); i != -1 {
		t.Errorf("of no colour: %d", i)
	}
}
