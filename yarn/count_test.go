package yarn_test

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"

	"urdir/yarn"
)

// near reports whether got is within the relative tolerance of want.
func near(got, want, tolerance float64) bool {
	return math.Abs(got-want) <= tolerance*math.Abs(want)
}

func mustParse(t *testing.T, s string) yarn.Count {
	t.Helper()
	c, err := yarn.ParseCount(s)
	if err != nil {
		t.Fatalf("ParseCount(%q): %v", s, err)
	}
	return c
}

// Exact fractions follow from 1 yd = 0.9144 m and 1 lb = 453.59237 g
// (international agreement of 1959): tex x N = 453592.37 / (k x 0.9144).
func TestTex_exactConstants(t *testing.T) {
	for _, c := range []struct {
		system yarn.System
		want   float64
	}{
		{yarn.Cotton, 32399455.0 / 54864},
		{yarn.Silk, 32399455.0 / 54864},
		{yarn.Worsted, 32399455.0 / 36576},
		{yarn.Linen, 45359237.0 / 27432},
		{yarn.Run, 45359237.0 / 146304},
		{yarn.Yorkshire, 1133980925.0 / 585216},
		{yarn.YardsPerPound, 1133980925.0 / 2286},
		{yarn.Metric, 1000},
		{yarn.Tex, 1},
		{yarn.Decitex, 0.1},
		{yarn.Denier, 1.0 / 9},
		{yarn.Grain, 0.5905412474482357}, // 0.06479891 g in 120 x 0.9144 m
	} {
		got := float64(yarn.Count{System: c.system, Number: 1, Plies: 1}.Tex())
		if !near(got, c.want, 1e-14) {
			t.Errorf("1 %s = %.13f tex, want %.13f", c.system, got, c.want)
		}
	}
	if got, want := len(yarn.Systems()), 12; got != want {
		t.Errorf("%d systems, this table has %d", got, want)
	}
}

// ASTM D2260-03(2013), Table 1 and its two examples.
func TestIn_astmD2260(t *testing.T) {
	for _, c := range []struct {
		from     yarn.System
		number   float64
		to       yarn.System
		want     float64
		decimals float64 // half a unit of the last printed place
	}{
		{yarn.Metric, 1, yarn.Cotton, 0.590541, 5e-7},
		{yarn.Metric, 1, yarn.Worsted, 0.885812, 5e-7},
		{yarn.Metric, 1, yarn.Run, 0.310034, 5e-7},
		{yarn.Metric, 1, yarn.Linen, 1.65352, 5e-6},
		{yarn.Metric, 1, yarn.YardsPerPound, 496.055, 5e-4},
		{yarn.Cotton, 1, yarn.Worsted, 1.5, 1e-12},
		{yarn.Cotton, 1, yarn.Run, 0.525, 1e-12},
		{yarn.Cotton, 1, yarn.Linen, 2.8, 1e-12},
		{yarn.Worsted, 1, yarn.Run, 0.35, 1e-12},
		{yarn.Worsted, 1, yarn.Linen, 1.86667, 5e-6},
		{yarn.Linen, 1, yarn.Run, 0.1875, 1e-12},
		{yarn.Cotton, 1, yarn.YardsPerPound, 840, 1e-9},
		{yarn.Worsted, 1, yarn.YardsPerPound, 560, 1e-9},
		{yarn.Run, 1, yarn.YardsPerPound, 1600, 1e-9},
		{yarn.Linen, 1, yarn.YardsPerPound, 300, 1e-9},
		{yarn.Grain, 1, yarn.Tex, 0.590541, 5e-7},
		{yarn.Grain, 1, yarn.Denier, 5.31487, 5e-6},
		{yarn.Tex, 1, yarn.Denier, 9, 1e-12},
		{yarn.Cotton, 10, yarn.Worsted, 15, 1e-12}, // example 1
		{yarn.Tex, 30, yarn.Cotton, 19.7, 0.05},    // example 2
	} {
		got := yarn.Count{System: c.from, Number: c.number, Plies: 1}.In(c.to)
		if math.Abs(got.Number-c.want) > c.decimals || got.System != c.to {
			t.Errorf("%g %s = %v, want %g %s", c.number, c.from, got, c.want, c.to)
		}
	}
}

// Derived from the exact definitions and rounded as shown.
func TestIn_tableOfCottonCounts(t *testing.T) {
	to := []yarn.System{yarn.Tex, yarn.Metric, yarn.Denier, yarn.Decitex, yarn.Worsted, yarn.Linen, yarn.Run, yarn.YardsPerPound}
	half := []float64{5e-5, 5e-5, 5e-4, 5e-4, 1e-9, 1e-9, 1e-9, 1e-7}
	for _, row := range []struct {
		ne   float64
		want [8]float64
	}{
		{1, [8]float64{590.5412, 1.6934, 5314.871, 5905.412, 1.5, 2.8, 0.525, 840}},
		{4, [8]float64{147.6353, 6.7734, 1328.718, 1476.353, 6, 11.2, 2.1, 3360}},
		{5, [8]float64{118.1082, 8.4668, 1062.974, 1181.082, 7.5, 14, 2.625, 4200}},
		{8, [8]float64{73.8177, 13.5469, 664.359, 738.177, 12, 22.4, 4.2, 6720}},
		{10, [8]float64{59.0541, 16.9336, 531.487, 590.541, 15, 28, 5.25, 8400}},
		{12, [8]float64{49.2118, 20.3203, 442.906, 492.118, 18, 33.6, 6.3, 10080}},
		{16, [8]float64{36.9088, 27.0938, 332.179, 369.088, 24, 44.8, 8.4, 13440}},
		{20, [8]float64{29.5271, 33.8672, 265.744, 295.271, 30, 56, 10.5, 16800}},
		{24, [8]float64{24.6059, 40.6407, 221.453, 246.059, 36, 67.2, 12.6, 20160}},
		{30, [8]float64{19.6847, 50.8009, 177.162, 196.847, 45, 84, 15.75, 25200}},
		{32, [8]float64{18.4544, 54.1876, 166.090, 184.544, 48, 89.6, 16.8, 26880}},
		{40, [8]float64{14.7635, 67.7345, 132.872, 147.635, 60, 112, 21, 33600}},
		{60, [8]float64{9.8424, 101.6017, 88.581, 98.424, 90, 168, 31.5, 50400}},
		{80, [8]float64{7.3818, 135.4689, 66.436, 73.818, 120, 224, 42, 67200}},
		{100, [8]float64{5.9054, 169.3362, 53.149, 59.054, 150, 280, 52.5, 84000}},
	} {
		for i, s := range to {
			got := yarn.Count{System: yarn.Cotton, Number: row.ne, Plies: 1}.In(s).Number
			if math.Abs(got-row.want[i]) > half[i] {
				t.Errorf("Ne %g = %.6f %s, want %g", row.ne, got, s, row.want[i])
			}
		}
	}
}

// Old handbooks: C. P. Brooks, Cotton Manufacturing (c. 1890); W. Davis,
// Hosiery Manufacture (1920), Ex. 37. The French count is half of Nm.
func TestIn_handbookEquivalents(t *testing.T) {
	twenty := mustParse(t, "Ne 20")
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"Brooks: 20s cotton is 30s worsted", twenty.In(yarn.Worsted).Number, 30},
		{"Brooks: 20s cotton is 56s linen", twenty.In(yarn.Linen).Number, 56},
		{"Brooks: 20s cotton is 20s silk", twenty.In(yarn.Silk).Number, 20},
		{"Brooks: 20s cotton is 16.93s French", twenty.In(yarn.Metric).Number / 2, 16.93},
		{"Brooks: 1s French is 1.181s English", mustParse(t, "Nm 2").In(yarn.Cotton).Number, 1.181},
		{"Davis: 10s cotton is 15s worsted", mustParse(t, "Ne 10").In(yarn.Worsted).Number, 15},
		{"Taylor, Cotton Weaving and Designing: a lea of 120 yd of 20 gr is 50s", mustParse(t, "20 gr").In(yarn.Cotton).Number, 50},
		{"Taylor: a lea of 25 gr is 40s", mustParse(t, "25 gr").In(yarn.Cotton).Number, 40},
	} {
		if !near(c.got, c.want, 3e-4) {
			t.Errorf("%s: got %.4f", c.name, c.got)
		}
	}
}

func TestParseCount_notation(t *testing.T) {
	const lb = 453592.37 / 0.9144 // tex of 1 yd/lb
	for _, c := range []struct {
		source, in string
		plies      int
		tex        float64
	}{
		{"handweavers' usage (medieval textiles, on Ashenhurst): 8/2 is 3360 yd/lb", "8/2 cotton", 2, lb / 3360},
		{"the same by the system first", "Ne 8/2", 2, lb / 3360},
		{"the same by its length", "3360 yd/lb", 1, lb / 3360},
		{"Taylor p. 239: 2/40s is resultant 20s", "2/40 Ne", 2, lb / (20 * 840)},
		{"Taylor p. 239: worsted likewise", "worsted 2/40", 2, lb / (20 * 560)},
		{"Taylor p. 239: silk 40/2 is itself 40s", "silk 40/2", 2, lb / (40 * 840)},
		{"Brooks: silk 30s/2 wraps 30s", "seda 30/2", 2, lb / (30 * 840)},
		{"Brooks: 3/300s is 100s resultant", "3/300 Ne", 3, lb / (100 * 840)},
		{"from memory: 2/28 Nm is Nm 14", "2/28 Nm", 2, 1000.0 / 14},
		{"from memory: Nm 28/2 is the same", "Nm 28/2", 2, 1000.0 / 14},
		{"ISO 1139 (from memory): single x plies", "20 tex x 2", 2, 40},
		{"ISO 1139 (from memory): times sign", "20 tex × 2", 2, 40},
		{"ISO 1139 (from memory): R is the resultant", "R 60 tex/2", 2, 60},
		{"definition of denier", "150 den", 1, 150.0 / 9},
		{"definition of decitex, comma as in Spanish", "167,5 dtex", 1, 16.75},
		{"Spanish words", "algodón 20/2", 2, lb / (10 * 840)},
		{"common practice, no source: 1/20 is a single", "1/20 Ne", 1, lb / (20 * 840)},
	} {
		got := mustParse(t, c.in)
		if got.Plies != c.plies || !near(float64(got.Tex()), c.tex, 1e-12) {
			t.Errorf("%s: %q = %+v, %v tex; want %d plies, %v tex", c.source, c.in, got, got.Tex(), c.plies, c.tex)
		}
	}
}

// Codes are the program's own promise, so the cases need no source.
func TestParseCount_refusals(t *testing.T) {
	for in, want := range map[string]string{
		"": "count-empty", "  ": "count-empty", "20": "count-no-system", "20/2": "count-no-system",
		"20 elephants": "count-system", "Ne": "count-number", "Ne 1,500": "count-number", "Ne ..": "count-number",
		"Ne 0": "count-range", "2000000 den": "count-range", "Ne -20": "count-system",
		"30 tex x 0": "count-plies", "30 tex x 25": "count-plies", "30 tex/two": "count-plies",
		"Ne 20/2 x 3": "count-plies", "Ne 1.5/2.5": "count-plies",
	} {
		_, err := yarn.ParseCount(in)
		var ce *yarn.CountError
		if !errors.As(err, &ce) || ce.Code != want {
			t.Errorf("ParseCount(%q): %v, want code %s", in, err, want)
			continue
		}
		if got := ce.Args()["text"]; got != in {
			t.Errorf("ParseCount(%q): args say %q", in, got)
		}
	}
	_, err := yarn.ParseCount("20 elephants")
	var ce *yarn.CountError
	if !errors.As(err, &ce) || ce.Args()["system"] != "elephants" {
		t.Errorf("the unknown system is not named: %v", err)
	}
}

func anyCount(t *rapid.T) yarn.Count {
	c := yarn.Count{
		System: rapid.SampledFrom(yarn.Systems()).Draw(t, "system"),
		Plies:  rapid.IntRange(1, yarn.MaxPlies).Draw(t, "plies"),
	}
	if rapid.Bool().Draw(t, "whole") {
		c.Number = float64(rapid.IntRange(1, 200).Draw(t, "number"))
	} else {
		c.Number = rapid.Float64Range(0.001, 1e6).Draw(t, "number")
	}
	c.Resultant = c.System != yarn.Silk && rapid.Bool().Draw(t, "resultant")
	return c
}

func TestString_readsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := anyCount(t)
		got, err := yarn.ParseCount(want.String())
		if err != nil || got != want {
			t.Fatalf("%+v prints %q, which reads %+v, %v", want, want.String(), got, err)
		}
	})
}

// ISO 1139 (from memory) for tex; hanks by trade usage, common practice, no
// source, with a times sign where a slash would read in the mills' order.
func TestString(t *testing.T) {
	for in, want := range map[string]string{
		"r 60 TEX / 2": "R 60 tex/2", "30tex x2": "30 tex x 2", "2/20 cotton": "Ne 20/2", "Ne 2 x 3": "Ne 2 x 3",
		"seda 2/3": "silk 2/3", "R 3360 yd/lb x 2": "R 3360 yd/lb x 2", "150 denier": "150 den", "1/20 Ne": "Ne 20",
	} {
		if got := mustParse(t, in).String(); got != want {
			t.Errorf("%q prints %q, want %q", in, got, want)
		}
	}
}

func TestIn_thereAndBackKeepsTheYarn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCount(t)
		other := c.In(rapid.SampledFrom(yarn.Systems()).Draw(t, "other"))
		back := other.In(c.System)
		for _, x := range []yarn.Count{other, back} {
			if !near(float64(x.Tex()), float64(c.Tex()), 1e-12) || x.Plies != c.Plies {
				t.Fatalf("%+v is %v tex, %+v is %v tex", c, c.Tex(), x, x.Tex())
			}
		}
		if !c.Resultant && !near(back.Number, c.Number, 1e-12) {
			t.Fatalf("%+v comes back as %+v", c, back)
		}
	})
}

func FuzzParseCount(f *testing.F) {
	for _, s := range []string{
		"Ne 20/2", "2/28 Nm", "R 60 tex/2", "30 tex × 2", "3360 yd/lb x 2", "R 3360 yd/lb", "Ne 2 x 3", "silk 2/3",
		"algodón 20/2", "", "x", "/", "r ", "Ne //", "20 Ne x", "\xffé 1/é", "tex/", "1,500 tex", "yd/lb/",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		c, err := yarn.ParseCount(s)
		if err != nil {
			if _, ok := errors.AsType[*yarn.CountError](err); !ok {
				t.Fatalf("ParseCount(%q): %T", s, err)
			}
			return
		}
		if tex := float64(c.Tex()); !(tex > 0) || math.IsInf(tex, 0) {
			t.Fatalf("ParseCount(%q) = %+v, %v tex", s, c, tex)
		}
		again, err := yarn.ParseCount(c.String())
		if err != nil || again != c {
			t.Fatalf("ParseCount(%q) = %+v, prints %q, reads %+v, %v", s, c, c.String(), again, err)
		}
	})
}
