package sheet_test

import (
	"bytes"
	"errors"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"urdir/dye"
	"urdir/dyefile"
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/sheet"
)

// lotOf makes a recipe that comes with the program for a lot of eleven skeins in
// pots of 20 L: of some baths four, of others three.
func lotOf(t testing.TB, file string) dye.Batch {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	r, _, ps := dyefile.Read(text)
	b, more := dye.Make(r, dye.Order{Mass: 1100, Skein: 100, Pots: []dye.Pot{{Litres: 20}}, Place: dye.NewPlace()})
	if ps.Failed() || more.Failed() {
		t.Fatal(ps, more)
	}
	return b
}

func recipeFiles(t testing.TB) []string {
	t.Helper()
	files, err := filepath.Glob("../dye/recipes/*.yaml")
	if err != nil || len(files) < 24 {
		t.Fatalf("%d recipes: %v", len(files), err)
	}
	return files
}

func dyerPDF(t testing.TB, b dye.Batch, o sheet.DyerOptions) []byte {
	t.Helper()
	var doc bytes.Buffer
	if err := sheet.Dyer(&doc, b, o); err != nil {
		t.Fatal(err)
	}
	return doc.Bytes()
}

// spoons are measures of a dye house.
var spoons = map[string]sheet.Kitchen{"alum": {Name: "cuchara", Mass: 12}, "soda-ash": {Name: "cucharada rasa de la cocina vieja", Mass: 10}, "detergent": {Name: "tapa", Volume: 0.01}}

// The sheets of all recipes, in both languages on both papers: on the paper, with
// no words over others, none missing, and every bath's amounts told.
func TestDyer(t *testing.T) {
	for _, file := range recipeFiles(t) {
		batch := lotOf(t, file)
		for _, tag := range lang.Languages {
			for _, paper := range []sheet.Paper{sheet.A4, sheet.Letter} {
				w := words(t, tag)
				b := book{w: w, paper: paper, file: dyerPDF(t, batch, sheet.DyerOptions{Options: sheet.Options{Language: tag, Paper: paper}, Lot: "G-12", Measures: spoons})}
				b.pages = read(t, b.file)
				checkWithin(t, b)
				checkApart(t, b)
				checkNothingMissing(t, b)
				checkNotOnlySigned(t, b)
				all := page{}
				for i, pg := range b.pages {
					all.texts = append(all.texts, pg.texts...)
					if !pg.has("G-12") || !pg.has(w.T("page-of", map[string]any{"page": i + 1, "pages": len(b.pages)})) {
						t.Errorf("%s: page %d does not say of which lot or which page it is", file, i+1)
					}
					if math.Abs(float64(pg.w-paper.W)) > 0.01 {
						t.Errorf("%s: page %d is %.1f mm wide", file, i+1, pg.w)
					}
				}
				if t.Failed() {
					t.Fatalf("%s in %s", file, tag)
				}
				checkDyer(t, file, w, batch, all)
			}
		}
	}
}

// checkDyer looks for what a dyer needs on her sheet.
func checkDyer(t *testing.T, file string, w *lang.Words, b dye.Batch, on page) {
	t.Helper()
	for _, a := range b.Amounts {
		if !on.has(sheet.DyeWeight(w, a)) || !on.has(sheet.DyeWhat(w, b.Recipe, a.What)) {
			t.Errorf("%s: %s of %s is not to be weighed", file, sheet.DyeWeight(w, a), a.What)
		}
	}
	for i, s := range b.Steps {
		if !on.has(w.Int(i+1) + " · " + w.T("step-"+string(s.Kind), nil)) {
			t.Errorf("%s: no step %d", file, i+1)
		}
		for _, q := range s.Portions {
			for _, a := range q.Amounts {
				if !on.has(sheet.DyeWeight(w, a)) {
					t.Errorf("%s: step %d does not say %s", file, i+1, sheet.DyeWeight(w, a))
				}
			}
		}
	}
	text := squeeze(on.line())
	wanted := []string{w.T("dye-sample", nil), w.T("care-dye", nil)}
	for _, h := range b.Hazards {
		wanted = append(wanted, w.T("hazard-"+string(h), nil))
	}
	for _, want := range wanted {
		if !strings.Contains(text, squeeze(want)) {
			t.Errorf("%s: the sheet does not say %q", file, want)
		}
	}
}

// The cautions name what hurts: heat, dust, lime, children, food, lifting, and
// whose rules come first.
func TestDyer_cares(t *testing.T) {
	for tag, said := range map[string][]string{
		"en": {"scald", "mask", "gloves", "never water to", "children", "pregnant", "cook", "two people", "ocal rules", "licensed", "H318"},
		"es": {"queman", "mascarilla", "guantes", "nunca el agua", "niños", "embarazadas", "cocina", "entre dos", "reglas locales", "licencia", "H318"},
	} {
		text := ""
		r := lotOf(t, "../dye/recipes/indigo-cotton.yaml").Recipe
		batch, _ := dye.Make(r, dye.Order{Mass: 1000, Pots: []dye.Pot{{Litres: 60}}, Place: dye.NewPlace()})
		for _, pg := range read(t, dyerPDF(t, batch, sheet.DyerOptions{Options: sheet.Options{Language: tag, Paper: sheet.A4}})) {
			text += " " + pg.line()
		}
		for _, want := range said {
			if !strings.Contains(strings.ToLower(text), strings.ToLower(want)) {
				t.Errorf("%s: nothing of %q", tag, want)
			}
		}
	}
}

// By hand: 1100 g at 15 % are 165 g of alum, 13¾ spoons of 12 g; a bath of four
// skeins takes 60 g, five spoons.
func TestDyer_kitchenMeasures(t *testing.T) {
	w := words(t, "es")
	all := page{}
	for _, pg := range read(t, dyerPDF(t, lotOf(t, "../dye/recipes/madder-cotton.yaml"), sheet.DyerOptions{Options: sheet.Options{Language: "es", Paper: sheet.A4}, Measures: spoons})) {
		all.texts = append(all.texts, pg.texts...)
	}
	for _, n := range []string{"13¾", "5"} {
		if want := w.T("dyer-measure", map[string]any{"n": n, "measure": "cuchara"}); !all.has(want) {
			t.Errorf("the sheet does not say %q", want)
		}
	}
}

// A recipe with far too many dips, a long name and long notes still stands on
// paper, its words apart.
func TestDyer_long(t *testing.T) {
	long := strings.Repeat("muy largo ", 30)
	v := &dye.Vat{Dye: "x", Strength: 5, Dips: 60, Dip: 5, Airing: 15}
	r := dye.Recipe{Name: dye.Text{"": long}, Fibre: dye.Cellulose, Liquor: 30, Materials: []dye.Material{{Key: "x", Name: dye.Text{"": long}}},
		Steps: []dye.Step{{Kind: dye.Dip, Vat: v, Note: dye.Text{"": strings.Repeat(long, 8)}}, {Kind: dye.Rest, Stand: measure.Day}}}
	batch, ps := dye.Make(r, dye.Order{Mass: 900, Pots: []dye.Pot{{Litres: 40}}, Place: dye.NewPlace()})
	if ps.Failed() {
		t.Fatal(ps)
	}
	b := book{w: words(t, "en"), paper: sheet.Letter}
	b.pages = read(t, dyerPDF(t, batch, sheet.DyerOptions{Options: sheet.Options{Language: "en", Paper: sheet.Letter}, Lot: long}))
	checkWithin(t, b)
	checkApart(t, b)
	checkNothingMissing(t, b)
}

func TestDyerPictures(t *testing.T) {
	batch := lotOf(t, "../dye/recipes/indigo-wool.yaml")
	o := sheet.DyerOptions{Options: sheet.Options{Language: "es", Paper: sheet.A4}}
	names := map[string]bool{}
	err := sheet.DyerPictures(batch, o, func(p sheet.Page) error {
		names[p.Name] = true
		var b bytes.Buffer
		if _, err := p.PNG.WriteTo(&b); err != nil {
			return err
		}
		img, err := png.Decode(&b)
		if err == nil && img.Bounds().Dx() != 1240 {
			t.Errorf("%s is %d pixels wide", p.Name, img.Bounds().Dx())
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	if want := len(read(t, dyerPDF(t, batch, o))); len(names) != want {
		t.Errorf("%d pictures of %d pages", len(names), want)
	}
	full := errors.New("no space left")
	if err := sheet.DyerPictures(batch, o, func(sheet.Page) error { return full }); !errors.Is(err, full) {
		t.Errorf("got %v", err)
	}
}

func TestDyer_sameEveryTimeAndUnknownLanguage(t *testing.T) {
	batch := lotOf(t, "../dye/recipes/weld-wool.yaml")
	o := sheet.DyerOptions{Options: sheet.Options{Language: "en", Paper: sheet.A4}}
	if !bytes.Equal(dyerPDF(t, batch, o), dyerPDF(t, batch, o)) {
		t.Error("two sheets of one lot differ")
	}
	o.Language = "xx"
	if sheet.Dyer(io.Discard, batch, o) == nil || sheet.DyerPictures(batch, o, func(sheet.Page) error { return nil }) == nil {
		t.Error("no error for a language without words")
	}
}

func BenchmarkDyer(b *testing.B) {
	batch := lotOf(b, "../dye/recipes/madder-cotton.yaml")
	b.ReportAllocs()
	for b.Loop() {
		if err := sheet.Dyer(io.Discard, batch, sheet.DyerOptions{Options: sheet.Options{Language: "es", Paper: sheet.A4}}); err != nil {
			b.Fatal(err)
		}
	}
}
