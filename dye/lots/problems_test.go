package lots_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/check"
	"urdir/dye/lots"
	"urdir/measure"
)

// plain is a workshop that is right: a recipe of mordant and dye, 20 litres of
// bath for a kilogram, and two pots that take 1 kg and 2 kg.
func plain(wants ...lots.Want) lots.Work {
	for i := range wants {
		v := &wants[i]
		v.Recipe, v.Fibre, v.Skein = "madder", "cellulose", 100
		if v.Key == "" {
			v.Key = fmt.Sprint("want ", i+1)
		}
		if v.Strength == 0 {
			v.Strength = 0.5
		}
	}
	return lots.Work{
		Wants: wants,
		Recipes: []lots.Recipe{{Key: "madder", Fibres: []string{"cellulose"}, Liquor: 20, Dry: 1, Left: 0.4,
			Stages: []lots.Stage{{Key: "mordant"}, {Key: "dye", Min: 1, Max: 3}}}},
		Pots: []lots.Pot{{Key: "small", Litres: 25, Fill: 0.8}, {Key: "large", Litres: 50, Fill: 0.8}},
		Line: 5000,
	}
}

// Every problem is found, in one go, each at its place.
func TestValidate(t *testing.T) {
	good := lots.Want{Wanted: 300, Due: 9}
	for _, test := range []struct {
		name string
		bad  func(*lots.Work)
		want []string
	}{
		{"right", func(*lots.Work) {}, nil},
		{"no pots", func(w *lots.Work) { w.Pots = nil }, []string{"pots lots-pots"}},
		{"pots", func(w *lots.Work) {
			w.Pots[0] = lots.Pot{Key: "large", Litres: measure.Litre(math.NaN()), Fill: 1.2}
		}, []string{"pots[0].litres lots-litres", "pots[0].fill lots-fill", "pots[1].key lots-pot-twice"}},
		{"house", func(w *lots.Work) { w.Line, w.Closed = measure.Gram(math.Inf(1)), []int{3, -1} }, []string{"line lots-line", "closed[1] lots-day"}},
		{"recipe", func(w *lots.Work) {
			w.Recipes[0] = lots.Recipe{Key: "madder", Liquor: 0.5, Left: 1, Stages: []lots.Stage{{}, {Min: 3, Max: 2}}}
		}, []string{"recipes[0].liquor lots-liquor", "recipes[0].stages[1] lots-wait", "recipes[0].dry lots-dry", "recipes[0].left lots-left"}},
		{"stages", func(w *lots.Work) { w.Recipes[0].Stages = nil }, []string{"recipes[0].stages lots-stages"}},
		{"recipe twice", func(w *lots.Work) { w.Recipes = append(w.Recipes, w.Recipes[0]) }, []string{"recipes[1].key lots-recipe-twice"}},
		{"want", func(w *lots.Work) {
			w.Wants[0] = lots.Want{Key: "x", Recipe: "weld", Strength: 20, Wanted: 0, Skein: measure.Gram(math.NaN()), From: -1, Due: 5000, Weight: -1}
		}, []string{"wants[0].recipe lots-recipe", "wants[0].wanted lots-zero", "wants[0].skein lots-skein", "wants[0].strength lots-strength",
			"wants[0].from lots-day", "wants[0].due lots-day", "wants[0].weight lots-weight"}},
		{"fibre", func(w *lots.Work) { w.Wants[0].Fibre = "protein" }, []string{"wants[0].fibre lots-fibre"}},
		{"twice", func(w *lots.Work) { w.Wants = append(w.Wants, w.Wants[0]) }, []string{"wants[1].key lots-want-twice"}},
		// skeins of 100 g in two equal baths: 10 in the small pot, which takes 1 kg, and 11 in the large one
		{"pots just hold it", func(w *lots.Work) { w.Wants[0].Wanted = 2100 }, nil},
		{"too much for the pots", func(w *lots.Work) { w.Wants[0].Wanted = 2101 }, []string{"wants[0].wanted lots-over-pots"}},
		{"too much for the line", func(w *lots.Work) { w.Line = 250 }, []string{"wants[0].wanted lots-over-line"}},
		{"all of them", func(w *lots.Work) {
			w.Wants = append(w.Wants, lots.Want{Key: "huge", Recipe: "madder", Fibre: "cellulose", Strength: 1, Wanted: 90000, Skein: 50, Due: 9}, lots.Want{})
		}, []string{"wants[2].recipe lots-recipe", "wants[2].wanted lots-zero", "wants[2].skein lots-skein", "wants[2].strength lots-strength",
			"wants[1].wanted lots-over-pots", "wants[1].wanted lots-over-line"}},
		{"too many", func(w *lots.Work) {
			for len(w.Wants) <= lots.MaxWants {
				w.Wants = append(w.Wants, w.Wants[0])
				w.Wants[len(w.Wants)-1].Key = fmt.Sprint(len(w.Wants))
			}
		}, []string{"wants lots-too-many"}},
	} {
		t.Run(test.name, func(t *testing.T) {
			w := plain(good)
			test.bad(&w)
			ps := w.Validate()
			var got []string
			for _, p := range ps {
				got = append(got, p.Path+" "+p.Code)
			}
			if d := cmp.Diff(test.want, got); d != "" {
				t.Errorf("-want +got:\n%s", d)
			}
			if s, more := lots.New(w, 1); (s == nil) != ps.Failed() || len(more) != len(ps) {
				t.Errorf("New gives %v, %v", s, more)
			}
		})
	}
}

// What is late anyway is pointed out, and planned.
func TestValidate_cautions(t *testing.T) {
	// mordant on day 0, dye on day 1, dry on day 2
	p, ps := lots.Make(plain(lots.Want{Wanted: 300, Due: -3}, lots.Want{Wanted: 300, Due: 1}, lots.Want{Wanted: 300, Due: 2}), 1, 50)
	want := check.Problems{
		{Severity: check.Caution, Path: "wants[0].due", Code: "lots-past", Args: check.Args{"want": "want 1", "days": 3}},
		{Severity: check.Caution, Path: "wants[1].due", Code: "lots-soon", Args: check.Args{"want": "want 2", "days": 1}},
	}
	if d := cmp.Diff(want, ps); d != "" {
		t.Errorf("-want +got:\n%s", d)
	}
	if d := cmp.Diff([]lots.Late{{Want: "want 1", Lot: 1, Days: 5, Fewest: 5}, {Want: "want 2", Lot: 1, Days: 1, Fewest: 1}}, p.Late); d != "" {
		t.Errorf("-want +got:\n%s", d)
	}
	if p.Score.Late != 6 || !p.Proven {
		t.Errorf("%+v, proven %v", p.Score, p.Proven)
	}
}
