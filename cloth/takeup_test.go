package cloth_test

import (
	"errors"
	"testing"

	"pgregory.net/rapid"

	"urdir/cloth"
	"urdir/measure"
	"urdir/yarn"
)

// cottonDiameter is that of Ne 8/2, 0.4547 mm by Peirce 1937 (v = 1.1).
func cottonDiameter() measure.MM {
	tex := yarn.Count{System: yarn.Cotton, Number: 8, Plies: 2}.Tex()
	return yarn.Diameter(tex, yarn.DefaultVolume)
}

// By hand, Ne 8/2 for warp and weft. Round: D 0.9094, p 1.6667, sin t 0.5457,
// l 1.9215. Flat: D 0.6366, t 0.3919, l 1.7898. Weavers report 5 to 15 %.
// Peirce's approximation (3D/4p)^2, h2 = 0, is near the round figure.
func TestStraightWeft_cottonBand(t *testing.T) {
	d := cottonDiameter()
	for _, c := range []struct {
		flatness          measure.Ratio
		picks             measure.PerCM
		takeUp, tolerance float64
	}{
		{1, 6, 0.153, 0.0005},
		{1, 6, 0.1675, 0.1675 * 0.1}, // 4/3 rule: five per cent of h, ten of the crimp
		{cloth.DefaultFlatness, 6, 0.0739, 0.0005},
	} {
		g, err := cloth.StraightWeft(cloth.Crossing{Warp: d, Weft: d, Picks: c.picks, Flatness: c.flatness})
		if err != nil || !near(float64(g.TakeUp), c.takeUp, c.tolerance) {
			t.Errorf("flatness %v: %+v, %v; want take-up %v", c.flatness, g, err, c.takeUp)
		}
	}
}

func TestStraightWeft_jams(t *testing.T) {
	// By hand: threads of half a millimetre, round, fill a centimetre with 10.
	if got := cloth.MostPicks(0.5, 0.5, 1); got != 10 {
		t.Errorf("most picks %v, want 10", got)
	}
	if got := cloth.MostPicks(0.5, 0.5, 0.5); got != 20 {
		t.Errorf("most picks of flat threads %v, want 20", got)
	}
	for picks, want := range map[measure.PerCM]error{9.99: nil, 10: cloth.ErrJammed, 12: cloth.ErrJammed} {
		_, err := cloth.StraightWeft(cloth.Crossing{Warp: 0.5, Weft: 0.5, Picks: picks, Flatness: 1})
		if !errors.Is(err, want) {
			t.Errorf("%v picks: %v, want %v", picks, err, want)
		}
	}
	if _, err := cloth.StraightWeft(cloth.Crossing{Picks: 6, Flatness: 1}); !errors.Is(err, cloth.ErrJammed) {
		t.Errorf("threads of no thickness: %v", err)
	}
}

func TestStraightWeft_morePicksNeverLessTakeUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x := cloth.Crossing{Warp: 0.45, Weft: measure.MM(rapid.Float64Range(0.1, 2).Draw(t, "weft")), Flatness: 0.7}
		most := float64(cloth.MostPicks(x.Warp, x.Weft, x.Flatness))
		a := rapid.Float64Range(0.01, 0.999).Draw(t, "few")
		b := rapid.Float64Range(a, 0.999).Draw(t, "many")
		take := func(share float64) float64 {
			x.Picks = measure.PerCM(share * most)
			g, err := cloth.StraightWeft(x)
			if err != nil {
				t.Fatal(err)
			}
			return float64(g.TakeUp)
		}
		few, many := take(a), take(b)
		if few > many+1e-12 || few < 0 {
			t.Fatalf("take-up falls from %v to %v", few, many)
		}
	})
}

// ISO 7211-3: crimp is (straight - in cloth) / in cloth, not over the straight
// length. Interweave, Determining Warp Length: four towels of 34 in took up 13.
func TestCrimp(t *testing.T) {
	for _, c := range []struct{ straight, inCloth, want float64 }{
		{136 + 13, 136, 13.0 / 136}, // 9.56 %
		{110, 100, 0.1},
		{95, 90, 5.0 / 90}, // Taylor p. 245: 95 yd of warp for 90 of cloth
		{38, 36, 2.0 / 36}, // Brooks, Weight of a Piece: 36 to 38, "about 6 per cent"
	} {
		got := float64(cloth.Crimp(measure.CM(c.straight), measure.CM(c.inCloth)))
		if !near(got, c.want, 1e-12) {
			t.Errorf("%v in %v: crimp %v, want %v", c.straight, c.inCloth, got, c.want)
		}
	}
}

func TestFlatnessRange(t *testing.T) {
	// A tenth to either side, but never rounder than round.
	for f, want := range map[measure.Ratio][2]float64{0.7: {0.6, 0.8}, 1: {0.9, 1}, 0.1: {0.05, 0.2}} {
		low, high := cloth.FlatnessRange(f)
		if !near(float64(low), want[0], 1e-12) || !near(float64(high), want[1], 1e-12) {
			t.Errorf("around %v: %v to %v, want %v", f, low, high, want)
		}
	}
}

// Normal-normal model, a prior worth four pieces: n/(n+4) of the way to the mean.
func TestToward(t *testing.T) {
	for n, want := range map[int]float64{0: 0.07, 1: 0.076, 4: 0.085, 12: 0.0925} {
		got := cloth.Records{Mean: 0.10, Pieces: n}.Toward(0.07)
		if !near(float64(got), want, 1e-12) {
			t.Errorf("%d pieces: %v, want %v", n, got, want)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		mean := rapid.Float64Range(0, 0.5).Draw(t, "mean")
		geometry := rapid.Float64Range(0, 0.5).Draw(t, "geometry")
		n := rapid.IntRange(0, 1000).Draw(t, "pieces")
		at := func(n int) float64 {
			return float64(cloth.Records{Mean: measure.Ratio(mean), Pieces: n}.Toward(measure.Ratio(geometry)))
		}
		got := at(n)
		if got < min(mean, geometry)-1e-12 || got > max(mean, geometry)+1e-12 {
			t.Fatalf("%v is not between %v and %v", got, mean, geometry)
		}
		if next := at(n + 1); (next-got)*(mean-geometry) < -1e-12 {
			t.Fatalf("one more piece leads from %v to %v, away from %v", got, next, mean)
		}
	})
}
