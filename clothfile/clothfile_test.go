package clothfile_test

import (
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"urdir/check"
	"urdir/clothfile"
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
	"urdir/warp/frame"
	"urdir/yarn"
)

func readFile(t testing.TB, name string) string {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// mat is a good cloth file.
func mat(t testing.TB) string { return readFile(t, "testdata/mat.yaml") }

// examples are the cloth files that come with the program.
func examples(t testing.TB) []string {
	t.Helper()
	files, err := filepath.Glob("../examples/*.yaml")
	if err != nil || len(files) != 8 {
		t.Fatalf("found %d examples, want 8: %v", len(files), err)
	}
	return files
}

// change spoils a text in one place. Two changes are divided by a line "--".
func change(t testing.TB, text, old, new string) string {
	t.Helper()
	olds, news := strings.Split(old, "\n--\n"), strings.Split(new, "\n--\n")
	for i := range olds {
		if strings.Count(text, olds[i]) != 1 {
			t.Fatalf("%q stands %d times in the text, want once", olds[i], strings.Count(text, olds[i]))
		}
		text = strings.Replace(text, olds[i], news[i], 1)
	}
	return text
}

// problems reads a text and, if it can be read, plans it. It gives what stops
// the plan as "line:column code".
func problems(t testing.TB, text string) []string {
	t.Helper()
	c, src, ps := clothfile.Read([]byte(text))
	if ps.Failed() {
		plan.Check(c) // what could be read is checked beside; it must bear that
	} else {
		_, ps = plan.Make(c)
	}
	var got []string
	for _, p := range ps {
		if p.Severity == check.Error {
			at, _ := src.Locate(p.Path)
			got = append(got, fmt.Sprintf("%d:%d %s", at.Line, at.Column, p.Code))
			checkWords(t, p)
		}
	}
	return got
}

// checkWords checks that every language says what is wrong and how to mend it.
func checkWords(t testing.TB, p check.Problem) {
	t.Helper()
	for _, l := range lang.Languages {
		w, err := lang.For(l)
		if err != nil {
			t.Fatal(err)
		}
		what, mend := w.Problem(p)
		for key, s := range map[string]string{p.Code: what, p.Code + ".mend": mend} {
			if s == "" || strings.Contains(s, "<no value>") || s == "["+key+"]" {
				t.Errorf("%s: %s %v says %q", l, key, p.Args, s)
			}
		}
	}
}

func TestRead_examplesPlan(t *testing.T) {
	for _, file := range append(examples(t), "testdata/mat.yaml") {
		c, _, ps := clothfile.Read([]byte(readFile(t, file)))
		if len(ps) > 0 {
			t.Errorf("%s: %v", file, ps)
			continue
		}
		if _, ps := plan.Make(c); ps.Failed() {
			t.Errorf("%s: %v", file, ps)
		}
	}
}

// What the scarf's file says, read by eye.
func TestRead_scarf(t *testing.T) {
	c, src, ps := clothfile.Read([]byte(readFile(t, "../examples/scarf.yaml")))
	if len(ps) > 0 {
		t.Fatal(ps)
	}
	mirror := c.Warps[0].Order.Items[0].Mirror
	bands := c.Panels[0].Bands[0].Mirror
	tests := []struct {
		what      string
		got, want any
	}{
		{"name", c.Name, "Bufanda Bruma"},
		{"customer", c.Customer, "Librería La Boya"},
		{"pieces", c.Pieces, 2},
		{"due", c.Due, "2027-03-05"},
		{"weft", c.Weft, "mist"},
		{"picks", c.Picks, measure.PerCM(7)},
		{"shrinkage", c.Shrink, plan.Shrinkage{Length: 0.06, Width: 0.05}},
		{"spare, not said", c.Spare, plan.DefaultSpare},
		{"yarns", len(c.Yarns), 4},
		{"order of yarns", c.Yarns[2].Key, "indigo"},
		{"label", c.Yarns[3].Label, "Palo de rosa"},
		{"count", c.Yarns[0].Spec.Count, yarn.Count{System: yarn.Metric, Number: 34, Plies: 2}},
		{"strands, not said", c.Yarns[0].Spec.Strands, 1},
		{"hank", c.Yarns[0].Skein, measure.Gram(100)},
		{"sett", c.Warps[0].Sett, measure.PerCM(36)},
		{"border", *c.Warps[0].Order.Border[0].Stripe, warp.Stripe{Yarns: []warp.Lay{{Yarn: "indigo"}}, Ends: 12}},
		{"stripes of the half", len(mirror), 9},
		{"a stripe of parts", *mirror[0].Stripe, warp.Stripe{Yarns: []warp.Lay{{Yarn: "mist"}}, Share: 3}},
		{"an alternation", *mirror[2].Stripe, warp.Stripe{Yarns: []warp.Lay{{Yarn: "slate", Ends: 1}, {Yarn: "mist", Ends: 1}}, Share: 2}},
		{"waste, not said", c.Warps[0].Waste, plan.DefaultWaste},
		{"panel width", c.Panels[0].Width, measure.CM(24)},
		{"bands of the half", len(bands), 8},
		{"fringe", *bands[0].Band, plan.Band{Kind: plan.Fringe, Length: 10, Twist: 0.12, Under: plan.DefaultUnder, Place: plan.Placement{Upright: 1}}},
		{"the middle", bands[7].Band.Rest, true},
		{"pegs", len(c.Frame.Pegs), 12},
		{"a peg", c.Frame.Pegs[5], frame.Peg{ID: "F", X: 110, Y: 25, Diameter: 2}},
		{"cross", c.Frame.Cross, [2]string{"B", "C"}},
		{"where the sett stands", at(src, "warps.body.sett"), clothfile.Position{Line: 22, Column: 11}},
		{"where a part of the order stands", at(src, "order.pieces"), clothfile.Position{Line: 7, Column: 11}},
		{"where what is not in the file would stand", at(src, "warps.body.waste"), at(src, "warps.body")},
		{"where the warp stands", at(src, "warps.body"), clothfile.Position{Line: 21, Column: 3}},
	}
	for _, tt := range tests {
		if !reflect.DeepEqual(tt.got, tt.want) {
			t.Errorf("%s: got %v, want %v", tt.what, tt.got, tt.want)
		}
	}
	if src.Has("warps.body.waste") || !src.Has("warps.body.sett") {
		t.Error("Has is wrong about what stands in the file")
	}
	if p, ok := src.Locate("nothing"); ok || p.Line != 1 {
		t.Errorf("a field of no part of the file stands at %v, %v", p, ok)
	}
}

func at(src clothfile.Source, path string) clothfile.Position {
	p, _ := src.Locate(path)
	return p
}

// A class weaves a piece for each learner unless the order says otherwise.
func TestRead_classPieces(t *testing.T) {
	for _, tt := range []struct {
		text string
		want int
	}{{"class: {learners: 8}", 8}, {"class: {learners: 8}\norder: {pieces: 3}", 3}, {"order: {pieces: 3}\nclass: {learners: 0}", 3}} {
		c, _, ps := clothfile.Read([]byte("urdir: 1\n" + tt.text))
		if c.Pieces != tt.want || len(ps) > 0 {
			t.Errorf("%s: %d pieces, want %d %v", tt.text, c.Pieces, tt.want, ps)
		}
	}
}
