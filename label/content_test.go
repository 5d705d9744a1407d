package label_test

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/check"
	"urdir/label"
)

func has(ps check.Problems, severity check.Severity, code string) bool {
	return slices.ContainsFunc(ps, func(p check.Problem) bool { return p.Code == code && p.Severity == severity })
}

// Reckoned by hand from the rules: Regulation (EU) 1007/2011 Arts. 7, 9 and 10;
// 16 CFR 303.3, 303.26 and 300.3 (limits from memory).
func TestReckon_byTheRules(t *testing.T) {
	plain := func(f label.Fibre, g int64) label.Part { return label.Part{Fibre: f, Mass: g * 1000} }
	figure := func(f label.Fibre, g int64) label.Part {
		return label.Part{Fibre: f, Mass: g * 1000, Decoration: true}
	}
	eu, us := label.Options{Rule: label.EU}, label.Options{Rule: label.US}
	gather := label.Options{Rule: label.EU, Gather: true}
	without := label.Options{Rule: label.EU, WithoutDecoration: true}
	for _, test := range []struct {
		why   string
		o     label.Options
		parts []label.Part
		want  label.Content
	}{
		{"one fibre", eu, []label.Part{plain("cotton", 200), plain("cotton", 100)}, label.Content{Shares: []label.Share{{"cotton", 100}}, Pure: true}},
		{"descending", eu, []label.Part{plain("wool", 30), plain("cotton", 70)}, label.Content{Shares: []label.Share{{"cotton", 70}, {"wool", 30}}}},
		{"thirds", eu, []label.Part{plain("silk", 1), plain("wool", 1), plain("cotton", 1)}, label.Content{Shares: []label.Share{{"cotton", 34}, {"silk", 33}, {"wool", 33}}}},
		{"half way", eu, []label.Part{plain("cotton", 125), plain("silk", 75)}, label.Content{Shares: []label.Share{{"cotton", 63}, {"silk", 37}}}},
		{"a thread is named, and there is no 100 %", eu, []label.Part{plain("cotton", 999), plain("metal", 1)}, label.Content{Shares: []label.Share{{"cotton", 99}, {"metal", 1}}}},
		{"5 % may be other fibres", gather, []label.Part{plain("cotton", 95), plain("silk", 5)}, label.Content{Shares: []label.Share{{"cotton", 95}, {"others", 5}}}},
		{"6 % may not", gather, []label.Part{plain("cotton", 94), plain("silk", 6)}, label.Content{Shares: []label.Share{{"cotton", 94}, {"silk", 6}}}},
		{"several up to 15 %", gather, []label.Part{plain("cotton", 85), plain("silk", 5), plain("wool", 5), plain("alpaca", 5)}, label.Content{Shares: []label.Share{{"cotton", 85}, {"others", 15}}}},
		{"several over 15 %", gather, []label.Part{plain("cotton", 80), plain("silk", 5), plain("wool", 5), plain("alpaca", 5), plain("linen", 5)},
			label.Content{Shares: []label.Share{{"cotton", 80}, {"alpaca", 5}, {"linen", 5}, {"silk", 5}, {"wool", 5}}}},
		{"below 5 % is other fibre in the United States", us, []label.Part{plain("cotton", 96), plain("silk", 4)}, label.Content{Shares: []label.Share{{"cotton", 96}, {"others", 4}}}},
		{"5 % is not", us, []label.Part{plain("cotton", 95), plain("silk", 5)}, label.Content{Shares: []label.Share{{"cotton", 95}, {"silk", 5}}}},
		{"wool is always named", us, []label.Part{plain("cotton", 98), plain("alpaca", 2)}, label.Content{Shares: []label.Share{{"cotton", 98}, {"alpaca", 2}}}},
		{"what does something is named", us, []label.Part{plain("cotton", 97), {Fibre: "elastane", Mass: 3000, Named: true}}, label.Content{Shares: []label.Share{{"cotton", 97}, {"elastane", 3}}}},
		{"decoration of 7 % left out", without, []label.Part{plain("cotton", 93), figure("silk", 7)}, label.Content{Shares: []label.Share{{"cotton", 100}}, WithoutDecoration: true}},
		{"of 8 % not", without, []label.Part{plain("cotton", 92), figure("silk", 8)}, label.Content{Shares: []label.Share{{"cotton", 92}, {"silk", 8}}}},
		{"not unless asked", eu, []label.Part{plain("cotton", 93), figure("silk", 7)}, label.Content{Shares: []label.Share{{"cotton", 93}, {"silk", 7}}}},
		{"5 % in the United States", label.Options{Rule: label.US, WithoutDecoration: true}, []label.Part{plain("cotton", 94), figure("silk", 6)},
			label.Content{Shares: []label.Share{{"cotton", 94}, {"silk", 6}}}},
	} {
		got, ps := label.Reckon(test.parts, test.o)
		if ps != nil {
			t.Errorf("%s: %v", test.why, ps)
		}
		if diff := cmp.Diff(test.want, got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", test.why, diff)
		}
	}
}

// Whatever the parts: 100 together, most first, each within the three per cents that
// both rules tolerate (but for more than three traces), and nothing that is there left unsaid.
func TestReckon_addsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sums, total := map[label.Fibre]int64{}, int64(0)
		parts := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) label.Part {
			return label.Part{Fibre: rapid.SampledFrom(label.Fibres()).Draw(t, "fibre"), Mass: rapid.Int64Range(1, 1_000_000).Draw(t, "mass")}
		}), 1, 8).Draw(t, "parts")
		for _, p := range parts {
			sums[p.Fibre], total = sums[p.Fibre]+p.Mass, total+p.Mass
		}
		o := label.Options{Rule: rapid.SampledFrom([]label.Rule{label.EU, label.US}).Draw(t, "rule"), Gather: rapid.Bool().Draw(t, "gather")}
		c, ps := label.Reckon(parts, o)
		if ps != nil {
			t.Fatal(ps)
		}
		traces := int64(0) // others give each of them up to 1
		for _, m := range sums {
			if 100*m < total {
				traces++
			}
		}
		sum, named, tolerance := 0, int64(0), max(3, traces)
		for i, s := range c.Shares {
			sum += s.Percent
			mass := sums[s.Fibre]
			if named += mass; s.Fibre == label.Others {
				mass = total - named
			}
			if off := int64(s.Percent)*total - 100*mass; off > tolerance*total || off < -tolerance*total || s.Percent < 1 {
				t.Fatalf("%s is %d of %d, said %d %%", s.Fibre, mass, total, s.Percent)
			}
			if i > 0 && s.Fibre != label.Others && s.Percent > c.Shares[i-1].Percent {
				t.Fatalf("not descending: %+v", c.Shares)
			}
		}
		if sum != 100 || c.Pure != (len(sums) == 1) || len(c.Shares) > 1 && c.Shares[0].Percent == 100 {
			t.Fatalf("%+v of %v", c, parts)
		}
	})
}

func TestReckon_problems(t *testing.T) {
	cotton := label.Part{Fibre: label.Cotton, Mass: 1}
	for _, test := range []struct {
		code  string
		rule  label.Rule
		parts []label.Part
	}{
		{"rule-unknown", "xx", []label.Part{cotton}},
		{"content-none", label.EU, nil},
		{"fibre-name", label.EU, []label.Part{{Fibre: "mixed", Mass: 1}}},
		{"fibre-name", label.EU, []label.Part{{Fibre: label.Others, Mass: 1}}},
		{"content-mass", label.EU, []label.Part{{Fibre: label.Cotton}}},
		{"content-mass", label.EU, []label.Part{{Fibre: label.Cotton, Mass: 2_000_000_000}}},
	} {
		if _, ps := label.Reckon(test.parts, label.Options{Rule: test.rule}); !has(ps, check.Error, test.code) {
			t.Errorf("want %s: %v", test.code, ps)
		}
	}
}

func TestTag_check(t *testing.T) {
	cotton, _ := label.Reckon([]label.Part{{Fibre: label.Cotton, Mass: 1}}, label.Options{Rule: label.US})
	whole := label.Tag{Content: cotton, Care: label.Care{Wash: label.WashByHand}, Country: "XX", Maker: "a workshop"}
	for _, r := range []label.Rule{label.EU, label.US} {
		if ps := whole.Check(r); ps != nil {
			t.Errorf("%s: %v", r, ps)
		}
	}
	bare := label.Tag{}
	for _, code := range []string{"tag-country", "tag-maker", "tag-care"} {
		if !has(bare.Check(label.US), check.Error, code) || !has(bare.Check(label.EU), check.Caution, code) {
			t.Errorf("%s: %v, %v", code, bare.Check(label.US), bare.Check(label.EU))
		}
	}
	if !has(bare.Check(label.EU), check.Error, "tag-content") {
		t.Error("a tag without fibres")
	}
	whole.AnimalParts = true
	if !has(whole.Check(label.EU), check.Caution, "tag-animal-parts") || whole.Check(label.US) != nil {
		t.Error("parts of animals")
	}
}
