package yamlfile_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/check"
	"urdir/internal/yamlfile"
	"urdir/measure"
)

// A kind of file of this test's own: what is on a shelf.
type shelf struct {
	Name  string
	Depth measure.CM
	Kind  string
	Balls []ball
	Tags  []string
}

type ball struct {
	Key   string
	Mass  measure.Gram
	Count int
	Parts float64
	Open  bool
}

type fields = yamlfile.Fields

var kind = yamlfile.Kind{First: "shelf", Version: 3, Bytes: 2000, Depth: 5, Entries: 30, List: 4}

func read(text string) (shelf, yamlfile.Source, check.Problems) {
	var s shelf
	source, ps := yamlfile.Read([]byte(text), kind, fields{
		"shelf": kind.CheckVersion,
		"name":  yamlfile.ToText(&s.Name),
		"depth": yamlfile.To(measure.ParseLength, &s.Depth),
		"kind":  yamlfile.ToChoice(&s.Kind, "wall", "box"),
		"tags":  yamlfile.ToList(&s.Tags, yamlfile.ToText),
		"balls": func(n *yamlfile.Node) {
			n.Named(func(n *yamlfile.Node) {
				b := ball{Key: n.Key(), Count: 1}
				fields{
					"mass": yamlfile.To(measure.ParseMass, &b.Mass), "count": yamlfile.ToCount(&b.Count),
					"parts": yamlfile.ToNumber(&b.Parts), "open": yamlfile.ToYesNo(&b.Open),
				}.Read(n)
				s.Balls = append(s.Balls, b)
			})
		},
	}.Read)
	return s, source, ps
}

func write(s shelf) string {
	var p yamlfile.Parts
	p.Add("shelf", "3")
	p.Prose("name", s.Name)
	yamlfile.Put(&p, "depth", s.Depth, 0, func(v measure.CM) string { return yamlfile.Quantity(v, measure.ParseLength, "cm", "m") })
	yamlfile.Put(&p, "kind", s.Kind, "", yamlfile.Word)
	p.AddLines("tags", yamlfile.List(s.Tags, yamlfile.Text))
	p.AddLines("balls", yamlfile.Each(s.Balls, func(b *ball) string { return b.Key }, func(b *ball) (p yamlfile.Parts) {
		yamlfile.Put(&p, "mass", b.Mass, 0, func(v measure.Gram) string { return yamlfile.Quantity(v, measure.ParseMass, "g") })
		yamlfile.Put(&p, "count", b.Count, 1, func(n int) string { return fmt.Sprint(n) })
		yamlfile.Put(&p, "parts", b.Parts, 0, yamlfile.Decimal)
		yamlfile.Put(&p, "open", b.Open, false, yamlfile.YesNo)
		return p
	}))
	return p.Lines() + "\n"
}

// placed is the problems as "line:column code".
func placed(source yamlfile.Source, ps check.Problems) (out []string) {
	for _, p := range ps {
		at, _ := source.Locate(p.Path)
		out = append(out, fmt.Sprintf("%d:%d %s", at.Line, at.Column, p.Code))
	}
	return out
}

func TestRead(t *testing.T) {
	got, source, ps := read("\xef\xbb\xbfshelf: 3\r\nname: \" by the door \" # a remark\r\ndepth: 0,4 m\r\nkind: box\r\ntags: [12, yes]\r\n" +
		"balls:\r\n  red: {mass: 250 g, parts: \"1,5\", open: sí}\r\n  añil: {count: 3}\r\n")
	want := shelf{"by the door", 40, "box", []ball{{"red", 250, 1, 1.5, true}, {"añil", 0, 3, 0, false}}, []string{"12", "yes"}}
	if diff := cmp.Diff(want, got); diff != "" || len(ps) > 0 {
		t.Errorf("%v (-want +got)\n%s", ps, diff)
	}
	for path, want := range map[string]yamlfile.Position{
		"name": {2, 7}, "tags": {5, 1}, "tags[1]": {5, 12}, "balls": {6, 1}, "balls.red": {7, 3}, "balls.red.mass": {7, 15}, "balls.red.mass.scale": {7, 15},
	} {
		if got, ok := source.Locate(path); got != want || !ok {
			t.Errorf("%s stands at %v, %v; want %v", path, got, ok, want)
		}
	}
	if at, ok := source.Locate("door"); ok || at != (yamlfile.Position{Line: 1, Column: 1}) {
		t.Errorf("what is not there stands at %v, %v", at, ok)
	}
	if source.Has("balls.red.count") || !source.Has("balls.red.parts") {
		t.Error("Has is wrong about balls.red")
	}
}

// All that is wrong is found in one reading, in the order of the file.
func TestRead_allProblems(t *testing.T) {
	for name, test := range map[string]struct{ text, want string }{
		"everything": {`shelf: 2
nome: x
depth: 40
kind: floor
kind: wall
tags: [a, [b], ]
balls:
  2red: {mass: 1 g}
  red: {mass: 1 cm, count: 1.5, parts: x, open: perhaps, mess: 1}
  blue: 3
  grey:
`, "1:8 file-version, 2:1 field-unknown, 3:8 quantity-no-unit, 4:7 value-choice, 5:1 field-twice, 6:11 value-not-value, " +
			"8:3 key-bad, 9:15 quantity-unit, 9:28 number-not-whole, 9:40 quantity-number, 9:49 value-choice, 9:58 field-unknown, " +
			"10:9 value-not-mapping, 11:3 value-missing"},
		"other signs":   {"shelf: 3\nname: &a x\nkind: *a\ntags: !!set {}\nballs:\n  - red\n", "2:7 value-alias, 3:7 value-alias, 4:7 value-alias, 5:1 value-not-mapping"},
		"no version":    {"name: x", "1:1 file-version"},
		"empty":         {"\n \n", "1:1 file-empty"},
		"a remark":      {"# x\n", "1:1 file-empty"},
		"not text":      {"name: \xff", "1:1 file-not-text"},
		"nothing in it": {"name: \x00", "1:1 file-not-text"},
		"a list":        {"\n- a\n", "2:1 file-syntax"},
		"no bracket":    {"shelf: 3\nname: {a", "2:8 file-syntax"},
		"two files":     {"shelf: 3\n---\nshelf: 3\n", "2:1 file-two-documents"},
		"too big":       {"name: " + strings.Repeat("x", 2000), "1:1 file-too-big"},
		"too many":      {strings.Repeat("a: 1\n", 31), "1:1 parts-too-many"},
		"too long":      {"shelf: 3\ntags: [a, b, c, d, e]\n", "2:1 parts-too-many"},
		"too deep":      {"shelf: 3\nname: [[[[[[x]]]]]]\n", "2:1 file-too-deep"},
		"lists begun":   {"- - - - - - x\n", "1:1 file-too-deep"},
		"indented":      {"shelf: 3\n" + strings.Repeat(" ", 41) + "x\n", "2:1 file-too-deep"},
	} {
		_, source, ps := read(test.text)
		if got := strings.Join(placed(source, ps), ", "); got != test.want {
			t.Errorf("%s:\n got %s\nwant %s", name, got, test.want)
		}
	}
}

// Of a field that is not known the likeliest six are named, by the fewest
// letters changed (counted by hand).
func TestFields_nearest(t *testing.T) {
	for field, want := range map[string]string{
		"nane": "name, kind, tags, balls, depth, shelf", "dept": "depth, kind, name, shelf, tags, balls", "shelves": "shelf, balls, depth, name, tags, kind",
	} {
		_, _, ps := read("shelf: 3\n" + field + ": 1\n")
		if got := ps[0].Args["known"]; got != want {
			t.Errorf("%s: %v; want %s", field, got, want)
		}
	}
}

// Whatever is written is read back, and so is what it says.
func TestWrite_readBack(t *testing.T) {
	text := func(t *rapid.T, name string) string {
		return strings.TrimSpace(rapid.OneOf(
			rapid.StringOfN(rapid.RuneFrom([]rune("ab1 -:#,'\"\\[]{}\n\t|>&*!%@ñ\u0301\u0000")), 0, 12, -1),
			rapid.SampledFrom([]string{"yes", "Null", "2027-05-02", "1e5", "- a", "a: b", "~", "<<", "one, two\nthree"}),
		).Draw(t, name))
	}
	rapid.Check(t, func(t *rapid.T) {
		want := shelf{Name: text(t, "name"), Depth: measure.CM(rapid.Float64Range(0, 1e4).Draw(t, "depth")), Kind: rapid.SampledFrom([]string{"", "wall", "box"}).Draw(t, "kind")}
		for range rapid.IntRange(0, 3).Draw(t, "tags") {
			want.Tags = append(want.Tags, text(t, "tag"))
		}
		for _, key := range rapid.SliceOfNDistinct(rapid.StringMatching(`\pL[\pL0-9-]{0,5}\pL`), 0, 3, rapid.ID).Draw(t, "balls") {
			want.Balls = append(want.Balls, ball{key, measure.Gram(rapid.Float64Range(0, 1e4).Draw(t, "mass")), rapid.IntRange(-9, 9).Draw(t, "count"), 0.5, rapid.Bool().Draw(t, "open")})
		}
		written := write(want)
		got, _, ps := read(written)
		if len(ps) > 0 {
			t.Fatalf("%v in\n%s", ps, written)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("(-written +read)\n%s\n%s", diff, written)
		}
		if again := write(got); again != written {
			t.Fatalf("written again:\n%s", cmp.Diff(written, again))
		}
	})
}
