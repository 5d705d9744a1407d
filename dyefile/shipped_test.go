package dyefile_test

import (
	"io/fs"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/dye"
	"urdir/dye/recipes"
	"urdir/dyefile"
)

// shipped is the recipe files that come with the program, by name.
func shipped(t testing.TB) map[string][]byte {
	t.Helper()
	names, err := fs.Glob(recipes.Files, "*.yaml")
	if err != nil || len(names) < 24 {
		t.Fatalf("%d recipes: %v", len(names), err)
	}
	out := map[string][]byte{}
	for _, name := range names {
		if out[name], err = fs.ReadFile(recipes.Files, name); err != nil {
			t.Fatal(err)
		}
	}
	return out
}

func recipeOf(t testing.TB, text []byte) dye.Recipe {
	t.Helper()
	r, _, ps := dyefile.Read(text)
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	return r
}

// Every shipped recipe is without fault up to 2000 m, where water boils at 93 °C;
// has names in both languages and its plant by its botanical name; says where
// each amount is from, and to try a sample first; and uses no heavy metal.
func TestShipped(t *testing.T) {
	latin := regexp.MustCompile(`^[A-Z][a-z]+ [a-z]+$`)
	classes := map[dye.Fibre]int{}
	for name, text := range shipped(t) {
		r := recipeOf(t, text)
		classes[r.Fibre]++
		if ps := dye.Check(r, 2000); len(ps) > 0 {
			t.Errorf("%s: %v", name, ps)
		}
		if !r.Sample {
			t.Errorf("%s does not say to try a sample first", name)
		}
		texts := []dye.Text{r.Name, r.Shade}
		for _, m := range r.Materials {
			if texts = append(texts, m.Name); !latin.MatchString(m.Latin) {
				t.Errorf("%s: %q is no botanical or zoological name", name, m.Latin)
			}
		}
		for i, s := range r.Steps {
			if s.Note != nil {
				texts = append(texts, s.Note)
			}
			for _, a := range s.Amounts {
				if a.Source == "" {
					t.Errorf("%s: step %d does not say where its %s is from", name, i+1, a.What)
				}
				if x := dye.SubstanceOf(a.What); x != nil && x.Heavy {
					t.Errorf("%s uses %s", name, a.What)
				}
			}
			if v := s.Vat; v != nil && (v.Source == "" || v.Stock[0].Source == "") {
				t.Errorf("%s: step %d does not say where its vat is from", name, i+1)
			}
		}
		for _, x := range texts {
			if x["en"] == "" || x["es"] == "" || x["en"] == x["es"] && r.Materials[0].Latin != "Coreopsis tinctoria" {
				t.Errorf("%s: %v is not in both languages", name, x)
			}
		}
	}
	if classes[dye.Cellulose] < 10 || classes[dye.Protein] < 10 {
		t.Errorf("recipes by class: %v", classes)
	}
}

// Write is the inverse of Read.
func TestWrite_shipped(t *testing.T) {
	for name, text := range shipped(t) {
		want := recipeOf(t, text)
		again, err := dyefile.Write(want)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want, recipeOf(t, again)); diff != "" {
			t.Errorf("%s (-was +read again):\n%s", name, diff)
		}
		if !strings.HasPrefix(string(again), "recipe: 1\nname:") {
			t.Errorf("%s is written as\n%s", name, again)
		}
	}
}

func TestWrite_longerThanReadTakes(t *testing.T) {
	r := dye.Recipe{Name: dye.Text{"": strings.Repeat("x", dyefile.MaxBytes)}}
	if text, err := dyefile.Write(r); err == nil {
		t.Errorf("wrote %d bytes", len(text))
	}
}
