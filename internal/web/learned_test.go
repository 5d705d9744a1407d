package web

import (
	"math"
	"net/http"
	"strings"
	"testing"

	"urdir/colour"
	"urdir/dye"
	"urdir/dye/learned"
	"urdir/internal/lang"
	"urdir/internal/workshop"
)

// The page has every bath with both colours, and says of each question what
// package learned says of the same baths.
func TestLearned(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	got := s.get("/dye/learned", "seller")
	s.want("learned", got, http.StatusOK)
	baths, _, err := s.house.Reached(ctx, s.people["head"])
	if err != nil || len(baths) == 0 {
		t.Fatal("the demo has no bath to learn from")
	}
	es := must(lang.For("es"))
	for _, b := range baths {
		s.says("bath", got, b.Dyeing.Value.Label)
	}
	report, ps := learned.Study(observations(baths), factors...)
	if ps.Failed() {
		t.Fatal(ps)
	}
	for _, f := range report.Factors {
		s.says(string(f.Factor), got, es.T("factor-"+string(f.Factor), nil))
		s.says(string(f.Factor), got, es.T("chance-is-"+string(f.Verdict), nil))
	}
	s.noFaults()
}

// Each verdict is said in plain words with its numbers.
func TestLearned_words(t *testing.T) {
	t.Parallel()
	v := &visit{Words: must(lang.For("en"))}
	for want, c := range map[string]learned.Chance{
		"p = 0.012, n = 9; 512 arrangements compared, all there are":                         {Verdict: learned.MoreThanChance, Adjusted: 0.0117, Tried: 512, Exact: true},
		"p = 0.34, n = 9; 10,000 arrangements compared":                                      {Verdict: learned.NoMoreThanChance, Adjusted: 0.341, Tried: 10000},
		"p = < 0.001, n = 9; 10,000 arrangements compared":                                   {Verdict: learned.MoreThanChance, Adjusted: 0.0001, Tried: 10000},
		"n = 9: so few cannot show it, whatever colours came (the least possible p is 0.25)": {Verdict: learned.TooFew, Least: 0.25},
	} {
		if got := v.Chance(c, 9); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

// A bath without a day, of a recipe that is gone, with plants of which nothing is
// known, is compared as far as it goes.
func TestLearned_gaps(t *testing.T) {
	t.Parallel()
	baths := []workshop.Reached{{Expected: colour.Lab{L: 50}, Colour: colour.Lab{L: 52}, Day: "", Plants: []string{"x"}},
		{Expected: colour.Lab{L: 50}, Colour: colour.Lab{L: 51}, Day: "2027-02-03", Moon: dye.FullMoon}}
	obs := observations(baths)
	if obs[0].Day != (dye.Day{}) || obs[1].Day != (dye.Day{Year: 2027, Month: 2, Day: 3}) || obs[1].Moon != dye.FullMoon {
		t.Errorf("got %+v", obs)
	}
	view := learnedView{Names: map[string]string{}, Plants: map[string]workshop.Supply{"x": {What: "Rubia tinctorum", Gathered: "la barra", Day: "2027-01-02"}}}
	if got := view.PlantNames([]string{"x"}); !strings.Contains(got, "Rubia tinctorum") || !strings.Contains(got, "la barra") {
		t.Errorf("got %q", got)
	}
	if got := view.RecipeName("gone"); got != "gone" {
		t.Errorf("got %q", got)
	}
	report, _ := learned.Study(obs, factors...)
	if len(report.Recipes) != 1 || math.Abs(float64(report.Recipes[0].Offset.L)-1.5) > 1e-9 {
		t.Errorf("got %+v", report.Recipes)
	}
}
