package dye_test

import (
	"io/fs"
	"maps"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"urdir/dye"
	"urdir/dye/recipes"
	"urdir/dyefile"
	"urdir/measure"
)

// shipped is every recipe that comes with the program.
func shipped(t *testing.T) map[string]dye.Recipe {
	t.Helper()
	out := map[string]dye.Recipe{}
	names, err := fs.Glob(recipes.Files, "*.yaml")
	if err != nil || len(names) < 24 {
		t.Fatalf("%d recipes: %v", len(names), err)
	}
	for _, name := range names {
		text, err := recipes.Files.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		r, _, ps := dyefile.Read(text)
		if ps.Failed() {
			t.Fatal(name, ps)
		}
		out[name] = r
	}
	return out
}

// Every shipped recipe colours, and can be made half as strong: what colours is
// halved, the mordant is what it was.
func TestAt(t *testing.T) {
	for name, r := range shipped(t) {
		own := r.Dyestuff()
		if own <= 0 {
			t.Errorf("%s colours nothing", name)
			continue
		}
		half, ps := r.At(own / 2)
		if ps.Failed() {
			t.Errorf("%s: %v", name, ps)
		}
		got, step := half.Dyestuff(), measure.Ratio(0)
		for i, s := range r.Steps {
			if s.Kind == dye.Dip {
				step = own / measure.Ratio(s.Vat.Dips) // whole dips
			}
			if s.Kind == dye.Mordant && s.Amounts[0] != half.Steps[i].Amounts[0] {
				t.Errorf("%s: mordant %v became %v", name, s.Amounts[0], half.Steps[i].Amounts[0])
			}
		}
		if math.Abs(float64(got-own/2)) > float64(step)/2+1e-12 {
			t.Errorf("%s: half of %v is %v", name, own, got)
		}
		if ps := dye.Check(half, 0); ps.Failed() {
			t.Errorf("%s at half: %v", name, ps)
		}
	}
}

// Zero per cent leaves the recipe's own strength; 300 % of a dried root and less
// than nothing are refused, as is a strength for what does not colour.
func TestAt_refused(t *testing.T) {
	r := shipped(t)["madder-cotton.yaml"]
	if same, ps := r.At(0); ps.Failed() || same.Dyestuff() != r.Dyestuff() {
		t.Errorf("at 0: %v", ps)
	}
	for _, share := range []measure.Ratio{3, -0.1, measure.Ratio(math.NaN()), measure.Ratio(math.Inf(1))} {
		if _, ps := r.At(share); !ps.Failed() {
			t.Errorf("%v was not refused", share)
		}
	}
	if _, ps := (dye.Recipe{}).At(0.5); !ps.Failed() {
		t.Error("a recipe without dye at 50 % was not refused")
	}
}

// Indigo on cotton by common practice, 5 dips of 3.3 g/L carrying 1.5 L/kg each,
// leaves 2.5 % of the fibre's weight, as its note says of a medium blue.
func TestDyestuff_vat(t *testing.T) {
	got := shipped(t)["indigo-cotton.yaml"].Dyestuff()
	if want := 5 * 3.3 * 1.5 / 1000; math.Abs(float64(got)-want) > 1e-12 {
		t.Errorf("%v, want %v", got, want)
	}
}

// The days of a recipe hold every step up to the last bath, in order, and each
// has work at a pot.
func TestStages(t *testing.T) {
	for name, r := range shipped(t) {
		stages := r.Stages()
		if len(stages) == 0 || stages[0].From != 0 {
			t.Errorf("%s: %v", name, stages)
			continue
		}
		for i, s := range stages {
			if i > 0 && s.From != stages[i-1].To || s.To <= s.From {
				t.Errorf("%s: %v", name, stages)
			}
			if i > 0 && !r.Steps[s.From].NextDay {
				t.Errorf("%s: stage %d begins without another day", name, i)
			}
		}
		last := stages[len(stages)-1]
		for _, s := range r.Steps[last.To:] {
			if s.Kind != dye.Dry && s.Kind != dye.Rest {
				t.Errorf("%s: %s after the last stage", name, s.Kind)
			}
		}
		if last.Kind != dye.Dye && last.Kind != dye.Dip {
			t.Errorf("%s ends with %s", name, last.Kind)
		}
	}
	days := shipped(t)["madder-cotton.yaml"].Stages()
	if len(days) != 2 || days[0].Kind != dye.Mordant || days[1].Wait != 30*measure.Day {
		t.Errorf("madder on cotton: %+v", days)
	}
}

// What goes on in a bath that was left adds nothing that colours.
func TestOnward(t *testing.T) {
	for name, r := range shipped(t) {
		on := r.Onward()
		for _, s := range on.Steps {
			if s.Kind == dye.Extract {
				t.Errorf("%s extracts anew", name)
			}
		}
		if r.Left > 0 && on.Dyestuff() != 0 {
			t.Errorf("%s: %v of dyestuff in an afterbath", name, on.Dyestuff())
		}
		if ps := dye.Check(on, 0); ps.Failed() {
			t.Errorf("%s onward: %v", name, ps)
		}
	}
}

// Stronger is never weaker, and no strength that At takes fails the check.
func TestAt_any(t *testing.T) {
	all := shipped(t)
	rapid.Check(t, func(t *rapid.T) {
		r := all[rapid.SampledFrom(keys(all)).Draw(t, "recipe")]
		a, b := rapid.Float64Range(0.001, 7).Draw(t, "a"), rapid.Float64Range(0.001, 7).Draw(t, "b")
		one, no1 := r.At(measure.Ratio(min(a, b)))
		two, no2 := r.At(measure.Ratio(max(a, b)))
		if no1.Failed() && !no2.Failed() {
			t.Fatalf("%v refused, %v not", min(a, b), max(a, b))
		}
		if no2.Failed() {
			return
		}
		if one.Dyestuff() > two.Dyestuff()+1e-12 {
			t.Errorf("%v gives %v, %v gives %v", min(a, b), one.Dyestuff(), max(a, b), two.Dyestuff())
		}
		if ps := dye.Check(two, 0); ps.Failed() {
			t.Errorf("%v", ps)
		}
	})
}

func keys(all map[string]dye.Recipe) []string { return slices.Sorted(maps.Keys(all)) }
