package cloth_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"urdir/cloth"
	"urdir/measure"
	"urdir/yarn"
)

// Exact by the agreement of 1959.
const (
	cmPerInch = 2.54
	cmPerYard = 91.44
	gPerPound = 453.59237
)

func cotton(ne float64, perInch, crimp float64) cloth.Direction {
	return cloth.Direction{
		Per: measure.PerCM(perInch / cmPerInch), Crimp: measure.Ratio(crimp),
		Tex: yarn.Count{System: yarn.Cotton, Number: ne, Plies: 1}.Tex(),
	}
}

// Derived: 60 ends of 20s at 5 % and 50 picks of 20s at 7 %, per inch.
func TestWeight_arealMass(t *testing.T) {
	if got := float64(cloth.Weight(cotton(20, 60, 0.05), cotton(20, 50, 0.07))); !near(got, 135.4292, 5e-5) {
		t.Errorf("%.5f g/m2, want 135.4292", got)
	}
	// mytextilenotes, May 2026, inputs; by hand: all counts and setts times 5/6
	// (count by its square) is 1/5 heavier.
	old := cloth.Weight(cotton(15, 56, 0), cotton(18, 60, 0))
	heavy := cloth.Weight(cotton(15*25.0/36, 56*5.0/6, 0), cotton(12.5, 50, 0))
	if got := float64(heavy / old); !near(got, 1.2, 1e-12) {
		t.Errorf("heavier by %v, want 1.2", got)
	}
}

// Weight of the warp and weft of pieces in the handbooks, in pounds.
func TestWeight_handbookPieces(t *testing.T) {
	var none cloth.Direction
	for _, c := range []struct {
		source          string
		warp, weft      cloth.Direction
		inches, yards   float64
		pounds, printed float64 // half a unit of the printed figure
	}{
		{"Brooks, Weight of a Piece: 38 in of 60 a inch, 36 yd of cloth from 38 of warp, 30s", cotton(30, 60, 2.0/36), none, 38, 36, 3 + 7.0/16, 0.5 / 16},
		{"Brooks, the weft: 37.5 in, 64 picks, 36s, 2 lb 13 3/4 oz", none, cotton(36, 64, 0), 37.5, 36, 2 + 13.75/16, 0.125 / 16},
		{"Brooks p. 96, Scotch: 2300 picks a yard, 37.5 in, 36s (the piece length put in)", none, cotton(36, 2300.0/36, 0), 37.5, 36, 2.85, 0.005},
		{"Brooks, 38-inch piece: 40 in, 56 picks, 38.25 yd, 38s (2 lb 10 3/4 oz, rounded down)", none, cotton(38, 56, 0), 40, 38.25, 2 + 10.75/16, 0.25 / 16},
		{"Taylor p. 245, warp: 70 an inch on 30 in, 95 yd for 90 (answer derived)", cotton(30, 70, 5.0/90), none, 30, 90, 7.916667, 1e-6},
		{"Taylor p. 245, weft: 80 picks of 40s (answer derived)", none, cotton(40, 80, 0), 30, 90, 6.428571, 1e-6},
		{"Taylor p. 245, both", cotton(30, 70, 5.0/90), cotton(40, 80, 0), 30, 90, 14.345238, 1e-6},
		{"Taylor p. 436: 34 in, 60 picks, 84 yd are 204 hanks; as 1s, 204 lb", none, cotton(1, 60, 0), 34, 84, 204, 1e-9},
		{"measuredthreads, towels: 24 an inch on 22 in, 4 yd of 8/2, almost 2/3 lb", cotton(4, 24, 0), none, 22, 4, 0.628571, 1e-6},
	} {
		area := c.inches * cmPerInch / 100 * c.yards * cmPerYard / 100
		got := float64(cloth.Weight(c.warp, c.weft)) * area / gPerPound
		if math.Abs(got-c.pounds) > c.printed {
			t.Errorf("%s: %.6f lb, want %.6f", c.source, got, c.pounds)
		}
	}
}

func TestPickLength(t *testing.T) {
	// mytextilenotes, May 2026: 30 in x 60 picks are 1800 yd in a yard of cloth
	// (2160 picks); the turns are ours and come off.
	const picks = 60 / cmPerInch
	one := cloth.PickLength(30*cmPerInch, 0, picks) - cloth.Turn(picks)
	if got := float64(one) * 60 * 36 / cmPerYard; !near(got, 1800, 1e-9) {
		t.Errorf("%v yd, want 1800", got)
	}
	// By hand: half a circle one pick across. 5 picks/cm: pi/2 x 0.2 = 0.3142 cm.
	if got := float64(cloth.Turn(5)); !near(got, 0.314159, 1e-6) {
		t.Errorf("turn %v cm", got)
	}
	if got := float64(cloth.PickLength(100, 0.02, 5)); !near(got, 102.314159, 1e-6) {
		t.Errorf("pick %v cm", got)
	}
	if got := cloth.Turn(0); got != 0 {
		t.Errorf("no picks turn %v cm", got)
	}
}

func TestLoomAndFinished(t *testing.T) {
	for _, c := range []struct {
		source                string
		loom, share, finished float64
	}{
		{"weavers' guild, on shrinkage: 10 in lose 20 %", 10, 0.20, 8},
		{"the same: 12 in leave 9.6, not 10", 12, 0.20, 9.6},
		{"derived: 10 in need 12.5", 12.5, 0.20, 10},
		{"P. Osterkamp, on shrinkage: 10 to 8.5 in is 15 %", 10, 0.15, 8.5},
		{"rogueweaver, August 2025, scarf off the loom: 75 to 65 in", 75, 10.0 / 75, 65},
	} {
		if got := float64(cloth.Finished(measure.CM(c.loom), measure.Ratio(c.share))); !near(got, c.finished, 1e-12) {
			t.Errorf("%s: finished %v, want %v", c.source, got, c.finished)
		}
		if got := float64(cloth.Loom(measure.CM(c.finished), measure.Ratio(c.share))); !near(got, c.loom, 1e-12) {
			t.Errorf("%s: loom %v, want %v", c.source, got, c.loom)
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		l := rapid.Float64Range(1, 1e4).Draw(t, "finished")
		s := measure.Ratio(rapid.Float64Range(0, 0.5).Draw(t, "share"))
		if back := float64(cloth.Finished(cloth.Loom(measure.CM(l), s), s)); !near(back, l, 1e-9) {
			t.Fatalf("%v comes back as %v", l, back)
		}
	})
}

func TestHandOf(t *testing.T) {
	// From memory: scarves lie under about 250 g/m2, bags and belts above 450.
	for _, c := range []struct {
		cover measure.Ratio
		w     measure.PerM2
		want  string
	}{{1.3, 200, cloth.Drapes}, {0.5, 250, cloth.Drapes}, {1.3, 400, cloth.Firm}, {1.6, 450, cloth.Stiff}, {1.3, 700, cloth.Stiff}} {
		if got := cloth.HandOf(c.cover, c.w); got != c.want {
			t.Errorf("cover %v, %v g/m2: %s, want %s", c.cover, c.w, got, c.want)
		}
	}
}
