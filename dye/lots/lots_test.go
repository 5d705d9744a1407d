package lots_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/dye/lots"
	"urdir/internal/lang"
	"urdir/measure"
)

func mustMake(t *testing.T, w lots.Work, steps int) lots.Plan {
	t.Helper()
	p, ps := lots.Make(w, 1, steps)
	if ps.Failed() {
		t.Fatal(ps)
	}
	return p
}

// keys is why each lot is as it is.
func keys(p lots.Plan) (out []string) {
	for _, l := range p.Lots {
		var own []string
		for _, r := range l.Why {
			own = append(own, strings.TrimPrefix(r.Key, "lots-why-"))
		}
		out = append(out, strings.Join(own, " "))
	}
	return out
}

// 0.9 kg strong and 0.6 kg pale: the small pot holds the strong lot (1 kg). Of
// its dye 40 % is left, 0.4 x 0.9 kg x 50 % = 0.18 kg; the pale lot needs 0.6 kg x
// 10 % = 0.06 kg. Days 0 and 1 and the afterbath on day 2: 3 dye days, 4 baths,
// 1 fresh: 9 + 8 + 1 = 18. Both fresh at once: 2 days, 4 baths, 2 fresh: 6 + 8 + 2
// = 16, which is less: an afterbath is not worth a day.
func TestMake_afterbathIsNotWorthADay(t *testing.T) {
	w := plain(lots.Want{Wanted: 900, Due: 9}, lots.Want{Wanted: 600, Due: 9, Strength: 0.1})
	p := mustMake(t, w, 200)
	want := lots.Score{Work: 16, DyeDays: 2, Baths: 4, Fresh: 2, Ready: 4}
	if d := cmp.Diff(want, p.Score); d != "" {
		t.Errorf("-want +got:\n%s", d)
	}

	// With one pot every bath is a day, and the afterbath costs none.
	w = plain(lots.Want{Wanted: 900, Due: 9}, lots.Want{Wanted: 600, Due: 9, Strength: 0.1})
	w.Pots = w.Pots[:1]
	p = mustMake(t, w, 200)
	// 4 days, 4 baths, 1 fresh: 12 + 8 + 1. The strong one is dry on day 3.
	want = lots.Score{Work: 21, DyeDays: 4, Baths: 4, Fresh: 1, After: 1, Ready: 4 + 3}
	if d := cmp.Diff(want, p.Score); d != "" {
		t.Errorf("-want +got:\n%s", d)
	}
	if p.Lots[0].After+p.Lots[1].After == 0 {
		t.Errorf("nothing is dyed in an afterbath: %+v", p.Lots)
	}
}

// 1.55 kg are 16 skeins of 100 g: in the pot of 2 kg one bath, 80 % full, of
// 1.6 x 20 litres; in pots of 1 and 1.2 kg two equal baths.
func TestMake_equalBaths(t *testing.T) {
	w := plain(lots.Want{Wanted: 1550, Due: 9})
	p := mustMake(t, w, 0)
	if b := p.Lots[0].Stages[0].Baths; len(b) != 1 || b[0].Pot != "large" || b[0].Mass != 1_600_000 || b[0].Liquor != 32 || b[0].Fill != 0.8 {
		t.Errorf("%+v", b)
	}
	w.Pots[1].Litres = 30 // 1.2 kg
	p = mustMake(t, w, 0)
	b := p.Lots[0].Stages[1].Baths
	if len(b) != 2 || b[0].Mass != 800_000 || b[1].Mass != 800_000 || b[0].Parts[0] != (lots.Part{Want: "want 1", Skeins: 8, Mass: 800_000}) {
		t.Errorf("%+v", b)
	}
}

// Four skeins in three pots are two, one and one.
func TestMake_unevenBaths(t *testing.T) {
	w := plain(lots.Want{Wanted: 3200, Due: 9})
	w.Wants[0].Skein = 800
	w.Pots = []lots.Pot{{Key: "a", Litres: 20, Fill: 0.8}, {Key: "b", Litres: 20, Fill: 0.8}, {Key: "c", Litres: 40, Fill: 0.8}}
	var got []int
	for _, b := range mustMake(t, w, 0).Lots[0].Stages[0].Baths {
		got = append(got, b.Parts[0].Skeins)
	}
	if d := cmp.Diff([]int{2, 1, 1}, got); d != "" {
		t.Errorf("-want +got:\n%s", d)
	}
}

// Half the dye of 40 % is enough for 20 %, and half of that for 10 %; but what an
// afterbath leaves is not used again. Three days, three baths, two fresh.
func TestMake_noAfterbathOfAnAfterbath(t *testing.T) {
	w := plain(lots.Want{Wanted: 900, Due: 9, Strength: 0.4}, lots.Want{Wanted: 900, Due: 9, Strength: 0.2}, lots.Want{Wanted: 900, Due: 9, Strength: 0.1})
	w.Pots, w.Recipes[0].Stages, w.Recipes[0].Left = w.Pots[:1], w.Recipes[0].Stages[1:], 0.5
	p := mustMake(t, w, 300)
	if p.Score.Work != 3*3+2*3+2 || p.Score.After != 1 || !p.Proven {
		t.Errorf("%+v, bound %+v", p.Score, p.Bound)
	}
}

// Four colours of 1.5 kg, a pot of 1 kg and one of 2 kg. On two days the large pot
// is there twice, and two colours would need two baths each: six baths in four
// pots. On three days one would: 9 + 2 x 5 + 4. On four none: 12 + 2 x 4 + 4. The
// least is 23; what can be done is 24, since the two baths have the same day.
func TestPlan_boundOfLargePots(t *testing.T) {
	w := plain(lots.Want{Wanted: 1500, Due: 9}, lots.Want{Wanted: 1500, Due: 9, Strength: 0.4}, lots.Want{Wanted: 1500, Due: 9, Strength: 0.3},
		lots.Want{Wanted: 1500, Due: 9, Strength: 0.2})
	w.Recipes[0].Stages, w.Recipes[0].Left = w.Recipes[0].Stages[1:], 0
	p := mustMake(t, w, 300)
	if p.Bound.Work != 23 || p.Score.Work != 24 || p.Proven || math.Abs(float64(p.Gap)-1.0/23) > 1e-12 {
		t.Errorf("%+v, bound %+v, gap %v", p.Score, p.Bound, p.Gap)
	}
}

// Each reason, in work made so that it is the one; and every reason has words.
func TestPlan_reasons(t *testing.T) {
	one := plain(lots.Want{Wanted: 900, Due: 9})
	late := plain(lots.Want{Wanted: 900, Due: 9, From: 4})
	closed := plain(lots.Want{Wanted: 900, Due: 9})
	closed.Closed = []int{0}
	pots := plain(lots.Want{Wanted: 1500, Due: 3}, lots.Want{Wanted: 1600, Due: 9})
	pots.Recipes[0].Stages = pots.Recipes[0].Stages[1:]
	stages := plain(lots.Want{Wanted: 1500, Due: 3}, lots.Want{Wanted: 1600, Due: 9})
	line := plain(lots.Want{Wanted: 900, Due: 3}, lots.Want{Wanted: 800, Due: 9, Strength: 0.4})
	line.Line = 1000
	apart := plain(lots.Want{Wanted: 500, Due: 9}, lots.Want{Wanted: 600, Due: 9})
	apart.Line = 1000
	after := plain(lots.Want{Wanted: 900, Due: 9}, lots.Want{Wanted: 600, Due: 9, Strength: 0.1})
	after.Pots = after.Pots[:1]
	baths := plain(lots.Want{Wanted: 1550, Due: 9}, lots.Want{Wanted: 100, Due: 9})
	baths.Pots[1].Litres = 30
	for _, test := range []struct {
		name string
		work lots.Work
		want []string
	}{
		{"first", one, []string{"alone first"}},
		{"yarn", late, []string{"alone yarn"}},
		{"closed", closed, []string{"alone closed"}},
		{"pots", pots, []string{"alone apart-pots first", "alone apart-pots pots"}},
		{"stages", stages, []string{"alone apart-pots first", "alone apart-pots stages"}},
		{"line", line, []string{"alone first", "alone line"}},
		{"apart", apart, []string{"alone apart-line first", "alone apart-line line"}},
		{"after", after, []string{"alone work", "alone after"}}, // without the afterbath it could go first
		{"baths", baths, []string{"together baths first"}},
	} {
		p := mustMake(t, test.work, 200)
		if d := cmp.Diff(test.want, keys(p)); d != "" {
			t.Errorf("%s: -want +got:\n%s", test.name, d)
		}
		for _, tag := range lang.Languages {
			words, err := lang.For(tag)
			if err != nil {
				t.Fatal(err)
			}
			for _, l := range p.Lots {
				for _, r := range l.Why {
					if s := words.T(r.Key, r.Args); !words.Has(r.Key) || strings.ContainsAny(s, "[]{}") {
						t.Errorf("%s %s: %q", tag, r.Key, s)
					}
				}
			}
		}
	}
}

// Nothing wanted is a plan of nothing.
func TestMake_nothing(t *testing.T) {
	p := mustMake(t, plain(), 100)
	if len(p.Lots) != 0 || !p.Proven || p.Score != (lots.Score{}) {
		t.Errorf("%+v", p)
	}
}

// Names in the JSON end in their units, and masses are whole milligrams.
func TestPlan_JSON(t *testing.T) {
	b, err := json.Marshal(mustMake(t, plain(lots.Want{Wanted: 900.5, Due: 9}), 0))
	if err != nil {
		t.Fatal(err)
	}
	for _, part := range []string{`"mass_mg":1000000`, `"dry_day":2`, `"liquor_l":20`, `"fill_fraction":1`, `"strength_fraction":0.5`, `"late_days":0`, `"work_gap_fraction":0`} {
		if !strings.Contains(string(b), part) {
			t.Errorf("no %s in %s", part, b)
		}
	}
}

func TestMilligram(t *testing.T) {
	if m := lots.Milligrams(0.1 + 0.2); m != 300 || m.Gram() != measure.Gram(0.3) {
		t.Errorf("%d, %v", m, m.Gram())
	}
}
