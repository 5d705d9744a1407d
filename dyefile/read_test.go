package dyefile_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/dye"
	"urdir/dyefile"
)

const good = `recipe: 1
name: Rubia de la casa
fibre: cellulose
liquor: 30 L/kg
sample: no
left: 40 %
materials:
  root: {latin: Rubia tinctorum, name: raíz, fresh: no, toxic: sí}
steps:
  - kind: mordant
    amounts: [{what: alum, amount: 15 %, low: 10 %, high: 20 %, source: our own}]
    heat: [{from: 25 °C, to: 131 °F, rate: "1,5 °C/min", hold: 1.5 h}]
    work: 20 min
    stand: 12 h
  - kind: dye
    next-day: yes
    wait: 30 d
    amounts: [{what: root, amount: 50 %}, {what: chalk, amount: 5 g/L}, {what: vinegar, amount: 10 mL/L}, {what: detergent, amount: 20 mL/kg}]
    hazards: [poison]
    waste: collect
    note: {en: Slowly, es: Despacio}
  - kind: rinse
    waters: 2
    liquor: 20 L/kg
  - kind: vat
    vat: {dye: root, strength: 3 g/L, stock: [{what: lime, parts: 2.5}], warm: 45 °C, dips: 4, dip: 5 min, airing: 15 min, pickup: 2 L/kg}
`

func TestRead(t *testing.T) {
	got := recipeOf(t, []byte(good))
	want := dye.Recipe{Name: dye.Text{"": "Rubia de la casa"}, Fibre: dye.Cellulose, Liquor: 30, Left: 0.4,
		Materials: []dye.Material{{Key: "root", Latin: "Rubia tinctorum", Name: dye.Text{"": "raíz"}, Toxic: true}},
		Steps: []dye.Step{
			{Kind: dye.Mordant, Amounts: []dye.Amount{{What: "alum", Share: 0.15, Low: 0.1, High: 0.2, Source: "our own"}},
				Heat: []dye.Segment{{From: 25, To: 55, Rate: 1.5, Hold: 90}}, Work: 20, Stand: 720},
			{Kind: dye.Dye, NextDay: true, Wait: 43200, Amounts: []dye.Amount{{What: "root", Share: 0.5}, {What: "chalk", PerLitre: 5},
				{What: "vinegar", MLPerLitre: 10}, {What: "detergent", MLPerKG: 20}}, Hazards: []dye.Hazard{dye.Poison}, Waste: dye.Collect,
				Note: dye.Text{"en": "Slowly", "es": "Despacio"}},
			{Kind: dye.Rinse, Times: 2, Liquor: 20},
			{Kind: dye.Dip, Vat: &dye.Vat{Dye: "root", Strength: 3, Stock: []dye.Part{{What: "lime", Parts: 2.5}}, Warm: 45, Dips: 4, Dip: 5, Airing: 15, Pickup: 2}},
		}}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

// All that is wrong with a file is found in one reading, each where it stands.
func TestRead_allProblems(t *testing.T) {
	text := `recipe: 2
fibre: silk
liquor: 30
colour: red
materials:
  alum: {latin: Alumen}
steps:
  - kind: boil
    amounts: [{what: alum, amount: 15 g}, {amount: much, amount: 5 %, unit: g}]
    heat: {to: 90 °C}
    waters: two
  - kind:
    same-bath: perhaps
    hazards: [wolf]
    note: {english: Slowly}
`
	_, source, ps := dyefile.Read([]byte(text))
	var got []string
	for _, p := range ps {
		at, _ := source.Locate(p.Path)
		got = append(got, fmt.Sprintf("%d:%d %s", at.Line, at.Column, p.Code))
	}
	want := []string{"1:1 recipe-no-name", "1:9 file-version", "2:8 value-choice", "3:9 quantity-no-unit", "4:9 recipe-colour", "6:3 recipe-key",
		"8:11 value-choice", "9:36 quantity-unit", "9:52 quantity-empty", "9:58 field-twice", "9:71 field-unknown", "10:5 value-not-list", "11:13 number-not-whole",
		"12:5 value-missing", "13:16 value-choice", "14:15 value-choice", "15:12 recipe-language"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

func TestRead_notARecipe(t *testing.T) {
	for text, want := range map[string]string{
		"": "file-empty", "# nothing\n": "file-empty", "- a\n- b\n": "file-syntax", "a: [": "file-syntax", "a: 1\n---\nb: 2\n": "file-two-documents",
		"a: \x00": "file-not-text", strings.Repeat("[", 50): "file-too-deep", strings.Repeat("a: 1\n", 5000): "parts-too-many",
		"name: " + strings.Repeat("x", dyefile.MaxBytes): "file-too-big", "recipe: 1\nname: &a x\nsteps: *a\n": "value-alias",
	} {
		_, _, ps := dyefile.Read([]byte(text))
		if len(ps) == 0 || ps[0].Code != want {
			t.Errorf("%.20q: %v, want %s", text, ps, want)
		}
	}
}

// Whatever is read without complaint is written and read again as it was.
func FuzzRead(f *testing.F) {
	f.Add([]byte(good))
	for _, text := range shipped(f) {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		r, source, ps := dyefile.Read(text)
		for _, p := range ps {
			if at, _ := source.Locate(p.Path); at.Line < 1 {
				t.Errorf("%v stands nowhere", p)
			}
		}
		if ps.Failed() || dye.Check(r, 0).Failed() {
			return
		}
		written, err := dyefile.Write(r)
		if err != nil {
			t.Fatal(err)
		}
		if _, _, ps := dyefile.Read(written); ps.Failed() {
			t.Errorf("%v in\n%s", ps, written)
		}
	})
}

func BenchmarkRead(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		dyefile.Read([]byte(good))
	}
}
