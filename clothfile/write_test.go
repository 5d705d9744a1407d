package clothfile_test

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/clothfile"
	"urdir/figure"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
	"urdir/warp/frame"
	"urdir/yarn"
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
		{"a note of several lines", "note: |\n  Uno.\n\n  Dos: tres.\n", "note: |\n  Uno.\n\n  Dos: tres.\n"},
		{"lines with brackets", "note: \"a\\n[b\"", `note: "a\n\x5bb"` + "\n"},
		{"a mark of order of bytes", `note: "a\uFEFFb\x07"`, `note: "a\ufeffb\x07"` + "\n"},
		{"one part", "warps: {a: {stripes: [1 part b, 2.5 parts c]}}", "      - 1 part b\n      - 2.5 parts c\n"},
		{"a mirrored repeat", "warps: {a: {stripes: [{mirror: [{repeat: 2, of: [3 mm b]}]}]}}",
			"      - mirror:\n          - repeat: 2\n            of:\n              - 3 mm b\n"},
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
		f.Add("urdir: 1\n" + text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		c, _, ps := clothfile.Read([]byte(text))
		if len(ps) > 0 {
			return
		}
		sameBack(t, c)
	})
}

// The rest draws cloths. What is drawn can be read; it need not be woven.

// odd is characters that mean something to YAML, to the reader or to a screen.
var odd = []rune(" :#-?\"'\\[]{},&*!|>%@`~=.yn0é̈ñ漢👩‍🦱\t\n\r\x00\x1b\u0085\u00a0\u2028\ufeff\ufffd")

func anyText(t *rapid.T, name string) string {
	runes := rapid.OneOf(rapid.SampledFrom(odd), rapid.Rune(), rapid.SampledFrom([]rune("aeñT ")))
	special := rapid.SampledFrom([]string{"yes", "NO", "null", "~", "1e3", "0x1F", ".inf", "2027-03-05", "---", "...", "<<", "a: b", "a #b", "[[[[[[", "Uno.\nDos, tres.\n\nCuatro."})
	s := rapid.OneOf(rapid.StringOfN(runes, 0, 30, -1), special).Draw(t, name)
	return strings.TrimSpace(s)
}

// anyKey is a name by the rule of docs/cloth-file.md.
func anyKey(t *rapid.T, name string) string {
	return rapid.OneOf(rapid.StringMatching(`[a-zñéß漢][a-z0-9ñ-]{0,8}[a-z0-9]`), rapid.SampledFrom([]string{"y", "no", "null", "true", "e", "ñ"})).Draw(t, name)
}

func keys(t *rapid.T, name string, least, most int) []string {
	return rapid.SliceOfNDistinct(rapid.Custom(func(t *rapid.T) string { return anyKey(t, name) }), least, most, rapid.ID[string]).Draw(t, name)
}

// number is a number as people write it, or one with many digits.
func number(t *rapid.T, name string) string {
	return rapid.OneOf(
		rapid.Map(rapid.IntRange(0, 300), func(n int) string { return fmt.Sprint(n) }),
		rapid.Map(rapid.IntRange(0, 9999), func(n int) string { return fmt.Sprint(float64(n) / 100) }),
		rapid.Map(rapid.Float64Range(0, 500), func(v float64) string { return fmt.Sprintf("%.17f", v) }),
	).Draw(t, name)
}

// drawn is a quantity that a file can say, in any of its units.
func drawn[T ~float64](t *rapid.T, name string, parse func(string) (T, error), units ...string) T {
	v, err := parse(number(t, name) + " " + rapid.SampledFrom(units).Draw(t, name+" unit"))
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return v
}

func anyLength(t *rapid.T, name string) measure.CM {
	return drawn(t, name, measure.ParseLength, "mm", "cm", "m", "in", "yd")
}

// someLength is a length that is not nothing.
func someLength(t *rapid.T, name string) measure.CM { return anyLength(t, name) + 0.5 }

func anyShare(t *rapid.T, name string) measure.Ratio { return drawn(t, name, measure.ParseShare, "%") }

func anyDensity(t *rapid.T, name string) measure.PerCM {
	return drawn(t, name, measure.ParseDensity, "/cm", "/in")
}

func anyMass(t *rapid.T, name string) measure.Gram {
	return drawn(t, name, measure.ParseMass, "g", "kg", "oz", "lb")
}

func anyCount(t *rapid.T, name string) int { return rapid.IntRange(0, 40).Draw(t, name) }

func sometimes(t *rapid.T, name string, do func()) {
	if rapid.Bool().Draw(t, name) {
		do()
	}
}

func anyCloth(t *rapid.T) plan.Cloth {
	c := plan.NewCloth()
	c.Name, c.Note, c.Customer, c.Due = anyText(t, "name"), anyText(t, "note"), anyText(t, "customer"), anyText(t, "due")
	c.Pieces, c.Learners = anyCount(t, "pieces"), rapid.IntRange(0, 3).Draw(t, "learners")
	c.Weft = anyText(t, "weft")
	sometimes(t, "shares", func() {
		c.Picks = anyDensity(t, "picks")
		c.Shrink = plan.Shrinkage{Length: anyShare(t, "shrinkage of length"), Width: anyShare(t, "shrinkage of width")}
		c.Flatness, c.Spare, c.Crimp = anyShare(t, "flatness"), anyShare(t, "spare"), anyShare(t, "crimp")
	})
	c.Join = rapid.SampledFrom([]plan.Join{plan.JoinSide, plan.JoinEnd, plan.JoinApart}).Draw(t, "join")
	for _, key := range keys(t, "yarns", 0, 4) {
		c.Yarns = append(c.Yarns, anyYarn(t, key))
	}
	for _, key := range keys(t, "figures", 0, 2) {
		c.Figures = append(c.Figures, anyFigure(t, key))
	}
	for _, key := range keys(t, "warps", 0, 2) {
		c.Warps = append(c.Warps, anyWarp(t, key))
	}
	for _, key := range keys(t, "panels", 0, 2) {
		c.Panels = append(c.Panels, anyPanel(t, key))
	}
	for range rapid.IntRange(0, 3).Draw(t, "kit") {
		c.Kit = append(c.Kit, plan.KitItem{Name: anyText(t, "item"), Each: anyCount(t, "each"), All: anyCount(t, "all")})
	}
	sometimes(t, "frame", func() { c.Frame = anyFrame(t) })
	return c
}

func anyYarn(t *rapid.T, key string) plan.Yarn {
	y := plan.NewYarn(key)
	sometimes(t, "label", func() { y.Label = anyText(t, "label") })
	y.Letter, y.Colour, y.Fibre = anyText(t, "letter"), anyText(t, "colour"), anyText(t, "fibre")
	y.Spec.Strands = anyCount(t, "strands")
	if rapid.Bool().Draw(t, "count") {
		y.Spec.Count = yarn.Count{System: rapid.SampledFrom(yarn.Systems()).Draw(t, "system"),
			Number: rapid.Float64Range(0.001, 1e6).Draw(t, "number"), Plies: rapid.IntRange(1, yarn.MaxPlies).Draw(t, "plies")}
		y.Spec.Count.Resultant = y.Spec.Count.System != yarn.Silk && rapid.Bool().Draw(t, "resultant")
	} else {
		y.Spec.SkeinLength, y.Spec.SkeinMass = anyLength(t, "skein").M(), anyMass(t, "skein mass")
	}
	sometimes(t, "measured", func() {
		y.Spec.Wraps, y.Spec.Contraction = anyDensity(t, "wraps"), anyShare(t, "twist")
		y.Spec.Volume, y.Skein = drawn(t, "volume", measure.ParseSpecificVolume, "cm3/g"), anyMass(t, "hank")
	})
	return y
}

func anyFigure(t *rapid.T, key string) plan.Figure {
	signs := rapid.SliceOfNDistinct(rapid.SampledFrom([]rune("xoy#:-|>'\"\\é漢~0,&*!%@`")), 0, 5, rapid.ID[rune]).Draw(t, "signs")
	var symbols []figure.Symbol
	for _, s := range signs {
		symbols = append(symbols, figure.Symbol{Char: s, Yarn: anyText(t, "yarn")})
	}
	cells := rapid.SampledFrom(append(signs, figure.Ground, figure.Ground, figure.Ground))
	width := rapid.IntRange(1, 9).Draw(t, "columns")
	rows := rapid.SliceOfN(rapid.StringOfN(cells, width, width, -1), 1, 9).Draw(t, "rows")
	chart, ps := figure.Parse(strings.Join(rows, "\n"), symbols)
	if len(ps) > 0 {
		t.Fatalf("%q: %v", rows, ps)
	}
	chart.Kind, chart.Cell = figure.PickUp, figure.Cell{Ends: 2, Picks: 1}
	sometimes(t, "brocade", func() {
		chart.Kind = figure.Brocade
		chart.Cell = figure.Cell{Ends: rapid.IntRange(1, 9).Draw(t, "ends"), Picks: rapid.IntRange(1, 9).Draw(t, "picks")}
	})
	chart.Way = rapid.SampledFrom([]figure.Way{figure.Each, figure.Across}).Draw(t, "way")
	chart.Limit = drawn(t, "float", measure.ParseDiameter, "mm", "cm", "m", "in", "yd")
	f := plan.Figure{Key: key, Chart: chart, Origin: anyText(t, "origin"), Meaning: anyText(t, "meaning"), Owner: anyText(t, "owner"), Ask: anyText(t, "ask")}
	f.Sale = rapid.SampledFrom([]plan.Sale{plan.SaleYes, plan.SaleNo, plan.SaleAsk, ""}).Draw(t, "sale")
	if f.Owner == "" && f.Sale == "" {
		f.Sale = plan.SaleYes
	}
	return f
}

func anyWarp(t *rapid.T, key string) plan.Warp {
	w := plan.NewWarp(key)
	w.Sett, w.Scale = anyDensity(t, "sett"), rapid.Bool().Draw(t, "fit")
	w.Lay = rapid.SampledFrom([]plan.Lay{plan.LayTogether, plan.LayPerPiece, plan.LayPerPanel}).Draw(t, "lay")
	sometimes(t, "laying", func() {
		w.Balls, w.Check, w.Waste, w.Between, w.Heddle = anyCount(t, "balls"), anyCount(t, "check"), anyLength(t, "waste"), anyLength(t, "between"), anyLength(t, "heddle")
		w.MeasuredTakeUp, w.MeasuredPieces = anyShare(t, "take-up"), anyCount(t, "pieces")
	})
	w.Order = warp.Order{Border: anyItems(t, 0, 1), Items: anyItems(t, 0, 4)}
	return w
}

func anyItems(t *rapid.T, least, deep int) (items []warp.Item) {
	for range rapid.IntRange(least, 3).Draw(t, "stripes") {
		switch kind := rapid.IntRange(0, 3).Draw(t, "stripe"); {
		case kind == 0 && deep > 0:
			items = append(items, warp.Item{Repeat: anyCount(t, "repeat"), Of: anyItems(t, 1, deep-1)})
		case kind == 1 && deep > 0:
			items = append(items, warp.Item{Mirror: anyItems(t, 1, deep-1)})
		default:
			items = append(items, warp.Item{Stripe: anyStripe(t)})
		}
	}
	return items
}

func anyStripe(t *rapid.T) *warp.Stripe {
	s := &warp.Stripe{Yarns: []warp.Lay{{Yarn: anyKey(t, "yarn")}}}
	sometimes(t, "alternate", func() {
		s.Yarns = nil
		for range rapid.IntRange(1, 3).Draw(t, "lays") {
			s.Yarns = append(s.Yarns, warp.Lay{Yarn: anyKey(t, "yarn"), Ends: anyCount(t, "ends")})
		}
	})
	switch rapid.IntRange(0, 2).Draw(t, "size") {
	case 0:
		s.Ends = 1 + anyCount(t, "ends")
	case 1:
		s.Width = someLength(t, "width")
	default:
		s.Share = rapid.OneOf(rapid.Just(1.0), rapid.Just(2.0), rapid.Float64Range(0.01, 9)).Draw(t, "parts")
	}
	return s
}

func anyPanel(t *rapid.T, key string) plan.Panel {
	p := plan.NewPanel(key)
	p.Warp, p.Count, p.Width, p.Length = anyText(t, "warp"), anyCount(t, "count"), anyLength(t, "width"), anyLength(t, "length")
	sometimes(t, "seam", func() {
		p.Seam = plan.Seam{Left: anyLength(t, "left"), Right: anyLength(t, "right"), Top: anyLength(t, "top"), Bottom: anyLength(t, "bottom")}
	})
	p.Bands = anyBands(t, 0, 4)
	return p
}

func anyBands(t *rapid.T, least, deep int) (items []plan.BandItem) {
	for range rapid.IntRange(least, 3).Draw(t, "bands") {
		switch kind := rapid.IntRange(0, 3).Draw(t, "band"); {
		case kind == 0 && deep > 0:
			items = append(items, plan.BandItem{Repeat: anyCount(t, "repeat"), Of: anyBands(t, 1, deep-1)})
		case kind == 1 && deep > 0:
			items = append(items, plan.BandItem{Mirror: anyBands(t, 1, deep-1)})
		default:
			items = append(items, plan.BandItem{Band: anyBand(t)})
		}
	}
	return items
}

func anyBand(t *rapid.T) *plan.Band {
	b := plan.NewBand()
	b.Kind = rapid.SampledFrom([]plan.BandKind{plan.Woven, plan.Figured, plan.Open, plan.Hem, plan.Fringe}).Draw(t, "kind")
	b.Length = someLength(t, "length")
	sometimes(t, "rest", func() { b.Length, b.Rest = 0, true })
	switch b.Kind {
	case plan.Fringe:
		b.Twist = anyShare(t, "twist")
		return &b
	case plan.Open:
		return &b
	case plan.Hem:
		b.Under = anyLength(t, "under")
	case plan.Figured:
		sometimes(t, "fit", func() { b.Length, b.Rest = 0, false })
		b.Place = plan.Placement{Figure: anyText(t, "chart"), Count: anyCount(t, "count"), Spacing: anyLength(t, "spacing"), Margin: anyLength(t, "margin"),
			Mirror: rapid.Bool().Draw(t, "alternate"), Upright: anyCount(t, "upright"), Turned: rapid.Bool().Draw(t, "turned")}
	}
	b.Weft, b.Picks = anyText(t, "weft"), anyDensity(t, "picks")
	return &b
}

func anyFrame(t *rapid.T) *frame.Frame {
	ids := rapid.SliceOfNDistinct(rapid.Custom(func(t *rapid.T) string { return anyText(t, "peg") }), 2, 6, rapid.ID[string]).Draw(t, "pegs")
	f := &frame.Frame{Cross: [2]string{ids[0], ids[1]}, Start: ids[:1], Turn: ids[1:]}
	thick := someLength(t, "peg")
	for _, id := range ids {
		f.Pegs = append(f.Pegs, frame.Peg{ID: id, X: anyLength(t, "x"), Y: anyLength(t, "y"), Diameter: thick})
	}
	return f
}
