package label_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/check"
	"urdir/internal/lang"
	"urdir/label"
)

// Every fibre and every treatment has words in every language, and no two the same.
func TestWords(t *testing.T) {
	var keys []string
	for _, f := range append(label.Fibres(), label.Others) {
		keys = append(keys, f.Word())
	}
	for group := range 5 {
		for _, c := range label.Treatments(group) {
			keys = append(keys, string(c))
		}
	}
	if len(keys) < 55 || label.Treatments(5) != nil || label.Treatments(-1) != nil {
		t.Fatalf("%d keys", len(keys))
	}
	for _, l := range lang.Languages {
		w, err := lang.For(l)
		if err != nil {
			t.Fatal(err)
		}
		said := map[string]string{}
		for _, k := range keys {
			text := w.T(k, nil)
			if other := said[text]; !w.Has(k) || other != "" {
				t.Errorf("%s %s: %q, said of %q too", l, k, text, other)
			}
			said[text] = k
		}
	}
}

// The order of ISO 3758: washing, bleaching, drying, ironing, professional care.
func TestCare_words(t *testing.T) {
	c := label.Care{Clean: label.CleanNot, Iron: label.Iron110, Wash: label.WashByHand, Dry: label.FlatShade, Bleach: label.BleachNot}
	want := []label.Treatment{"care-wash-hand", "care-bleach-not", "care-dry-flat-shade", "care-iron-110", "care-clean-not"}
	if diff := cmp.Diff(want, c.Words()); diff != "" {
		t.Error(diff)
	}
	if got := (label.Care{}).Words(); got != nil {
		t.Errorf("nothing said is %v", got)
	}
}

// Common practice, no source: wool by hand and flat, silk by a cool iron, cotton
// dyed with plants in the shade and without bleach.
func TestUsual(t *testing.T) {
	for _, test := range []struct {
		of    []label.Fibre
		dyed  bool
		wash  label.Treatment
		dry   label.Treatment
		iron  label.Treatment
		clean label.Treatment
	}{
		{[]label.Fibre{label.Cotton}, false, label.Wash40Mild, label.Line, label.Iron200, label.CleanDry},
		{[]label.Fibre{label.Cotton}, true, label.Wash30Gentle, label.LineShade, label.Iron150, label.CleanNot},
		{[]label.Fibre{label.Wool, label.Cotton}, false, label.WashByHand, label.Flat, label.Iron150, label.CleanDryMild},
		{[]label.Fibre{label.Silk, label.Cotton}, false, label.WashByHand, label.LineShade, label.Iron110, label.CleanDryMild},
		{nil, false, "", "", "", ""},
	} {
		if c := label.Usual(test.of, test.dyed); c.Wash != test.wash || c.Dry != test.dry || c.Iron != test.iron || c.Clean != test.clean {
			t.Errorf("%v, dyed %v: %+v", test.of, test.dyed, c)
		}
	}
}

// And is the gentler of two, whichever comes first; usual care is never too strong
// for its own fibres.
func TestCare_and(t *testing.T) {
	anyCare := rapid.Custom(func(t *rapid.T) label.Care {
		pick := func(group int) label.Treatment {
			return rapid.SampledFrom(append(label.Treatments(group), "")).Draw(t, "treatment")
		}
		return label.Care{Wash: pick(0), Bleach: pick(1), Dry: pick(2), Iron: pick(3), Clean: pick(4)}
	})
	rapid.Check(t, func(t *rapid.T) {
		a, b, c := anyCare.Draw(t, "a"), anyCare.Draw(t, "b"), anyCare.Draw(t, "c")
		if a.And(b) != b.And(a) || a.And(a) != a || a.And(b).And(c) != a.And(b.And(c)) || a.And(label.Care{}) != a {
			t.Fatalf("%+v and %+v", a, b)
		}
		of := rapid.SliceOfN(rapid.SampledFrom(label.Fibres()), 1, 4).Draw(t, "fibres")
		dyed := rapid.Bool().Draw(t, "dyed")
		if ps := label.Usual(of, dyed).Check(of, dyed); ps != nil {
			t.Fatalf("usual care of %v: %v", of, ps)
		}
	})
}

func TestCare_check(t *testing.T) {
	wool := []label.Fibre{label.Wool}
	if ps := (label.Care{Wash: label.Wash60, Iron: label.Iron110}).Check(wool, false); len(ps) != 1 || !has(ps, check.Caution, "care-strong") || ps[0].Path != "wash" {
		t.Errorf("wool at 60: %v", ps)
	}
	if ps := (label.Care{Iron: label.IronNot}).Check(wool, false); !has(ps, check.Caution, "care-missing") {
		t.Errorf("no washing: %v", ps)
	}
	if ps := (label.Care{Wash: "care-boil"}).Check(wool, false); !has(ps, check.Error, "care-unknown") {
		t.Errorf("boiling: %v", ps)
	}
	if !slices.IsSorted([]int{slices.Index(label.Treatments(0), label.Wash95), slices.Index(label.Treatments(0), label.Wash30), slices.Index(label.Treatments(0), label.WashNot)}) {
		t.Error("washing does not go from strong to gentle")
	}
}
