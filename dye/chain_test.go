package dye_test

import (
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/dye"
)

// By hand: half, a quarter and an eighth of 50 %; a fourth would have a
// sixteenth, which is no colour any more.
func TestAfterbaths(t *testing.T) {
	got := ""
	for _, a := range madder().Afterbaths(9) {
		got += fmt.Sprintf("%d: %.4g of it, %s %.4g; ", a.Number, float64(a.Strength), a.Shares[0].What, float64(a.Shares[0].Share))
	}
	if want := "1: 0.5 of it, root 0.25; 2: 0.25 of it, root 0.125; 3: 0.125 of it, root 0.0625; "; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	r := madder()
	if r.Left = 0; len(r.Afterbaths(3)) > 0 {
		t.Error("a bath with nothing left has afterbaths")
	}
}

// Madder over weld: the second scours no more and mordants no more, is wetted
// anew another day, and its root is not the first's.
func TestOver(t *testing.T) {
	first, second := madder(), madder()
	first.Key, first.Name = "weld", dye.Text{"en": "Weld", "es": "Gualda"}
	first.Materials = []dye.Material{{Key: "root", Latin: "Reseda luteola"}}
	second.Name, second.Liquor = dye.Text{"en": "Madder", "es": "Rubia"}, 25
	r, ps := dye.Over(first, second)
	if len(ps) > 0 || len(dye.Check(r, 0)) > 0 {
		t.Fatal(ps, dye.Check(r, 0))
	}
	var kinds []dye.Kind
	for _, s := range r.Steps {
		kinds = append(kinds, s.Kind)
	}
	want := []dye.Kind{dye.Scour, dye.Mordant, dye.Extract, dye.Dye, dye.Rinse, dye.Dry, dye.Soak, dye.Extract, dye.Dye, dye.Rinse, dye.Dry}
	if diff := cmp.Diff(want, kinds); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	soak, extract := r.Steps[6], r.Steps[7]
	if !soak.NextDay || extract.Amounts[0].What != "root-2" || extract.Liquor != 25 || r.Material("root-2").Latin != "Rubia tinctorum" {
		t.Errorf("%+v\n%+v\n%+v", soak, extract, r.Materials)
	}
	if r.Name["es"] != "Gualda + Rubia" || r.Key != "weld+madder" || !r.Sample {
		t.Errorf("%v %s", r.Name, r.Key)
	}
	if second.Steps[2].Amounts[0].What != "root" {
		t.Error("the second recipe was changed")
	}
	second.Fibre = dye.Protein
	if _, ps := dye.Over(first, second); fmt.Sprint(told(ps)) != "[fibre dye-for-protein]" {
		t.Errorf("%v", ps)
	}
}

// A different mordant is not left out.
func TestOver_otherMordant(t *testing.T) {
	second := madder()
	second.Steps[1].Amounts[0].What = "aluminium-acetate"
	r, _ := dye.Over(madder(), second)
	mordants := 0
	for _, s := range r.Steps {
		if s.Kind == dye.Mordant {
			mordants++
		}
	}
	if mordants != 2 {
		t.Errorf("%d mordant baths, want 2", mordants)
	}
}

func TestText_In(t *testing.T) {
	for _, test := range []struct {
		text      dye.Text
		tag, want string
	}{
		{dye.Text{"en": "red", "es": "rojo"}, "es-MX", "rojo"}, {dye.Text{"": "rojo"}, "en", "rojo"}, {dye.Text{"en": "red"}, "es", "red"},
		{dye.Text{"nah": "tlapalli", "qu": "puka"}, "es", "tlapalli"}, {nil, "es", ""}, {dye.Text{"es-MX": "grana", "es": "cochinilla"}, "es-MX", "grana"},
	} {
		if got := test.text.In(test.tag); got != test.want {
			t.Errorf("%v in %s: %q, want %q", test.text, test.tag, got, test.want)
		}
	}
}
