package clothfile_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/clothfile"
	"urdir/plan"
)

var update = flag.Bool("update", false, "write the golden file anew")

// failer is what testing.T and rapid.T have in common.
type failer interface {
	Helper()
	Fatalf(string, ...any)
}

// sameBack writes a cloth, reads that, and writes it again. It gives the text.
func sameBack(t failer, c plan.Cloth) []byte {
	t.Helper()
	text := clothfile.Write(c)
	back, _, ps := clothfile.Read(text)
	if len(ps) > 0 {
		t.Fatalf("what was written has problems: %v\n%s", ps, text)
	}
	if diff := cmp.Diff(c, back, cmp.Exporter(func(reflect.Type) bool { return true })); diff != "" {
		t.Fatalf("read back (-written +read):\n%s\n%s", diff, text)
	}
	if again := clothfile.Write(back); !bytes.Equal(again, text) {
		t.Fatalf("written again:\n%s", cmp.Diff(string(text), string(again)))
	}
	return text
}

func TestWrite_examplesReadBack(t *testing.T) {
	s := validator(t)
	for _, file := range append(examples(t), "testdata/mat.yaml") {
		before := readFile(t, file)
		c, _, ps := clothfile.Read([]byte(before))
		if len(ps) > 0 {
			t.Fatalf("%s: %v", file, ps)
		}
		text := sameBack(t, c)
		back, _, _ := clothfile.Read(text)
		if got, want := planned(t, back), planned(t, c); got != want {
			t.Errorf("%s: the plan is another one:\n%s", file, cmp.Diff(want, got))
		}
		if !valid(t, s, string(text)) {
			t.Errorf("the schema refuses %s as written:\n%s", file, text)
		}
	}
}

// planned is the plan of a cloth in JSON.
func planned(t *testing.T, c plan.Cloth) string {
	t.Helper()
	p, ps := plan.Make(c)
	if ps.Failed() {
		t.Fatal(ps)
	}
	text, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// The form of a file is for people, so it is looked at as a whole.
func TestWrite_scarf(t *testing.T) {
	const golden = "testdata/written-scarf.yaml"
	c, _, _ := clothfile.Read([]byte(readFile(t, "../examples/scarf.yaml")))
	got := clothfile.Write(c)
	if *update {
		if err := os.WriteFile(golden, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if diff := cmp.Diff(readFile(t, golden), string(got)); diff != "" {
		t.Errorf("the scarf is written in another way (-want +got):\n%s", diff)
	}
}

// What is written, and how. The right-hand sides are the notation that
// docs/cloth-file.md gives.
func TestWrite_fields(t *testing.T) {
	tests := []struct{ name, text, want string }{
		{"shares keep their number", "shrinkage: {length: 7 %, width: 5 %}\nflatness: 57 %", "shrinkage: {length: 7 %}\nflatness: 57 %\n"},
		{"other units", "panels: {a: {width: 10 in, length: 1.6 m}}", "  a:\n    width: 25.4 cm\n    length: 160 cm\n"},
		{"a sett by the inch", "picks: 50.8 /in", "picks: 20 /cm\n"},
		{"a sett that is short only by the inch", "picks: 50 /in", "picks: 50 /in\n"},
		{"a width that is short only in inches", "panels: {a: {width: 0.7 in}}", "    width: 0.7 in\n"},
		{"a date", "order: {due: 2027-03-05}", "  due: 2027-03-05\n"},
		{"a class has its pieces", "class: {learners: 8}", "urdir: 1\nclass: {learners: 8}\n"},
		{"a class of one piece", "class: {learners: 8}\norder: {pieces: 1}", "order:\n  pieces: 1\nclass: {learners: 8}\n"},
		{"a text with commas", "note: Algodón, lana y más", "note: Algodón, lana y más\n"},
		{"the same in brackets", "kit: [{item: 'Algodón, lana y más'}]", "  - {item: \"Algodón, lana y más\"}\n"},
		{"a word for truth", "name: No", "name: \"No\"\n"},
		{"a number", "name: 12", "name: \"12\"\n"},
		{"a remark that is none", "name: \"a #b: c\"", "name: \"a #b: c\"\n"},
		{"quotation marks", `name: Faja "La 'Ola'" \ azul`, `name: "Faja \"La 'Ola'\" \\ azul"` + "\n"},
		{"a note of several lines", "note: |\n  Uno.\n\n\n\n  Dos: tres.\n", "note: |\n  Uno.\n\n\n\n  Dos: tres.\n"},
		{"lines with brackets", "note: \"a\\n[b\"", `note: "a\n\x5bb"` + "\n"},
		{"a mark of order of bytes", `note: "a\uFEFFb\x07"`, `note: "a\ufeffb\x07"` + "\n"},
		{"one part", "warps: {a: {stripes: [1 part b, 2.5 parts c]}}", "      - 1 part b\n      - 2.5 parts c\n"},
		{"a mirrored repeat", "warps: {a: {stripes: [{mirror: [{repeat: 2, of: [3 mm b]}]}]}}",
			"      - mirror:\n          - repeat: 2\n            of:\n              - 0.3 cm b\n"},
		{"a figure to be asked for", "figures: {a: {owner: us, sale: ask, chart: .x, colours: {x: b}}}",
			"  a:\n    colours: {x: b}\n    owner: us\n    sale: ask\n    chart: |\n      .x\n"},
		{"yarns of different fields", "yarns: {a: {letter: A}, long: {colour: red}}", "yarns:\n  a:    {letter: A}\n  long: {colour: red}\n"},
		{"a yarn of nothing", "yarns: {a: {}}", "yarns:\n  a: {}\n"},
		{"a float in inches", "figures: {a: {float: 1 in, chart: .}}", "    float: 25.4 mm\n"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			head := "urdir: 1\n"
			c, _, ps := clothfile.Read([]byte(head + tt.text))
			if len(ps) > 0 {
				t.Fatal(ps)
			}
			if got := string(sameBack(t, c)); !strings.Contains("\n"+got, "\n"+tt.want) {
				t.Errorf("written\n%s\nshould hold\n%s", got, tt.want)
			}
		})
	}
}

func TestWrite_leavesDefaultsOut(t *testing.T) {
	c := plan.NewCloth()
	hem := plan.NewBand()
	hem.Kind, hem.Length = plan.Hem, 2
	panel := plan.NewPanel("b")
	panel.Bands = []plan.BandItem{{Band: &hem}}
	c.Yarns, c.Warps, c.Panels = []plan.Yarn{plan.NewYarn("a")}, []plan.Warp{plan.NewWarp("w")}, []plan.Panel{panel}
	const want = "urdir: 1\n\nyarns:\n  a: {}\n\nwarps:\n  w: {}\n\npanels:\n  b:\n    bands:\n      - {hem: 2 cm}\n"
	if got := string(sameBack(t, c)); got != want {
		t.Errorf("written\n%s\nwant\n%s", got, want)
	}
}

// A cloth may hold what no file says: it is brought into form once.
func TestWrite_settles(t *testing.T) {
	c := plan.NewCloth()
	c.Name, c.Note = " Faja\t", "a\xffb"
	c.Spare = 0.57 // 57 hundredths, each rounded, are not the nearest to this
	text := clothfile.Write(c)
	back, _, ps := clothfile.Read(text)
	if len(ps) > 0 || back.Name != "Faja" || back.Note != "a\uFFFDb" || float64(back.Spare-0.57) > 1e-15 {
		t.Errorf("read back as %q, %q, %v: %v", back.Name, back.Note, back.Spare, ps)
	}
	if again := clothfile.Write(back); !bytes.Equal(again, text) {
		t.Errorf("written once:\n%s\nand again:\n%s", text, again)
	}
}

func TestWrite_generatedClothsReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { sameBack(t, anyCloth(t)) })
}

// Whatever Read takes is written so that it is read as the same.
func FuzzWrite(f *testing.F) {
	for _, file := range append(examples(f), "testdata/mat.yaml") {
		f.Add(readFile(f, file))
	}
	for _, text := range []string{
		"name: \"\\x00\\e\\u2028[\"\nkit: [{item: '- a: b #'}, {}]",
		"weft: ' - '\nnote: |\n  a\n   b\n\n  - c: [\n", "panels: {a: {bands: [{figure: fit}, {repeat: -1, of: [{fringe: rest}]}]}}",
		"figures: {y: {kind: pick-up, float: 0.3 yd, colours: {'#': ' a', '\"': ''}, chart: '#\".'}}",
		"frame: {peg: 1 in, pegs: {'': [-0 cm, 1000000 yd], '[': [0.1 m, 3 mm]}, cross: ['', '['], start: ~a}",
		"warps: {a: {fit: scale, stripes: [-1 b, 0.1 parts '\"', {alternate: [], over: 3 yd}, {of: [1 x]}]}}",
		"yarns: {no: {label: '', twist: 57 %, skein: {length: 1 yd}, hank: 9999999 lb, count: R 60 tex/2}}",
	} {
		text = "urdir: 1\n" + text
		if _, _, ps := clothfile.Read([]byte(text)); len(ps) > 0 {
			f.Fatalf("%v in\n%s", ps, text)
		}
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, _, ps := clothfile.Read([]byte(text))
		if len(ps) > 0 {
			return
		}
		sameBack(t, c)
	})
}
