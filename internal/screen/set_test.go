package screen_test

import (
	"encoding/json"
	"errors"
	"os"
	"slices"
	"strings"
	"testing"

	"urdir/clothfile"
	"urdir/internal/screen"
	"urdir/plan"
)

// example puts one of the examples on the table, with a shelf and a library.
func example(t *testing.T, name string, bench screen.Bench) *screen.Desk {
	t.Helper()
	text, err := os.ReadFile("../../examples/" + name + ".yaml")
	if err != nil {
		t.Fatal(err)
	}
	d, err := screen.Open(string(text), "en", bench)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func asked(t *testing.T, d *screen.Desk, request string) screen.State {
	t.Helper()
	var s screen.State
	if err := json.Unmarshal([]byte(d.Ask(request)), &s); err != nil {
		t.Fatal(err)
	}
	return s
}

// Every field changes what it says, is one step to undo, and is refused with a
// reason and without a change when it cannot be read.
func TestSettings(t *testing.T) {
	const scarfBand = `{"in":"bands","key":"scarf","path":[0,1]}`   // woven 6 cm
	const scarfFringe = `{"in":"bands","key":"scarf","path":[0,0]}` // 10 cm, twist 12 %
	const scarfTurn = `{"in":"stripes","key":"body","path":[0,2]}`  // alternate 1:1
	band := func(c plan.Cloth, i int) plan.Band { return *c.Panels[0].Bands[0].Mirror[i].Band }
	for _, tc := range []struct {
		key, at, in, text string
		ok                func(c plan.Cloth) bool
		bad               string // a text that is refused; empty if there is none
	}{
		{"ratio", scarfTurn, "", "3:2", func(c plan.Cloth) bool {
			y := c.Warps[0].Order.Items[0].Mirror[2].Stripe.Yarns
			return y[0].Ends == 3 && y[1].Ends == 2
		}, "three"},
		{"kind", scarfBand, "", "open", func(c plan.Cloth) bool { return band(c, 1).Kind == plan.Open }, "lace"},
		{"length", scarfBand, "", "8", func(c plan.Cloth) bool { return band(c, 1).Length == 8 }, "long"},
		{"length", scarfBand, "", "95 mm", func(c plan.Cloth) bool { return band(c, 1).Length == 9.5 }, "5 kg"},
		{"rest", scarfBand, "", "yes", func(c plan.Cloth) bool { return band(c, 1).Rest && !band(c, 7).Rest }, "no"},
		{"twist", scarfFringe, "", "15", func(c plan.Cloth) bool { return band(c, 0).Twist == 0.15 }, "a lot"},
		{"weft", scarfBand, "", "slate", func(c plan.Cloth) bool { return band(c, 1).Weft == "slate" }, "gold"},
		{"picks", scarfBand, "", "8,5", func(c plan.Cloth) bool { return band(c, 1).Picks == 8.5 }, "-3"},
		{"name", "", "", "Mar", func(c plan.Cloth) bool { return c.Name == "Mar" }, ""},
		{"pieces", "", "", "5", func(c plan.Cloth) bool { return c.Pieces == 5 }, "2.5"},
		{"width", "", "scarf", "30", func(c plan.Cloth) bool { return c.Panels[0].Width == 30 }, "wide"},
		{"long", "", "scarf", "1.8 m", func(c plan.Cloth) bool { return c.Panels[0].Length == 180 }, "1,500"},
		{"sett", "", "body", "30", func(c plan.Cloth) bool { return c.Warps[0].Sett == 30 }, "thick"},
		{"all-picks", "", "", "6 /cm", func(c plan.Cloth) bool { return c.Picks == 6 }, "six"},
		{"all-weft", "", "", "rose", func(c plan.Cloth) bool { return c.Weft == "rose" }, ""},
		{"shrink-width", "", "", "4", func(c plan.Cloth) bool { return c.Shrink.Width == 0.04 }, "some"},
		{"shrink-length", "", "", "7 %", func(c plan.Cloth) bool { return c.Shrink.Length == 0.07 }, "some"},
	} {
		t.Run(tc.key, func(t *testing.T) {
			d := example(t, "scarf", screen.Bench{})
			before := d.File()
			request := func(text string) string {
				r := map[string]any{"do": "set-" + tc.key, "kind": tc.in, "text": text}
				if tc.at != "" {
					r["at"] = json.RawMessage(tc.at)
				}
				b, err := json.Marshal(r)
				if err != nil {
					t.Fatal(err)
				}
				return string(b)
			}
			if tc.bad != "" {
				if s := asked(t, d, request(tc.bad)); len(s.Refused) == 0 || strings.Contains(s.Refused[0].Text, "[") || d.File() != before || s.Undo != "" {
					t.Errorf("%q: %v, undo %q, changed %v", tc.bad, s.Refused, s.Undo, d.File() != before)
				}
			}
			s := asked(t, d, request(tc.text))
			if slices.ContainsFunc(s.Refused, func(p screen.Said) bool { return !p.Caution }) || !tc.ok(d.Cloth()) {
				t.Errorf("%q: %v\n%s", tc.text, s.Refused, d.File())
			}
			if s.Undo == "" || strings.HasPrefix(s.Undo, "[") {
				t.Errorf("undo says %q", s.Undo)
			}
			if asked(t, d, `{"do":"undo"}`); d.File() != before {
				t.Errorf("after undoing:\n%s", d.File())
			}
		})
	}
}

// A figure in a band is placed; figures come from the library in the yarns of
// the cloth, and cannot be taken away while they stand somewhere.
func TestFigures(t *testing.T) {
	bench := screen.Bench{Figures: []screen.Known{{Key: "comb", Name: "Comb", Sale: "ask",
		Text: "cell: {ends: 4, picks: 2}\ncolours: {x: nothing-here}\nchart: |\n  xxx\n  x.x\n"}}}
	d := example(t, "runner", bench)
	s := asked(t, d, `{}`)
	if len(s.Library) != 1 || s.Library[0].Word != "Comb (ask first)" {
		t.Fatalf("library: %v", s.Library)
	}
	was := len(s.Figures)
	if s = asked(t, d, `{"do":"known-figure","kind":"comb"}`); len(s.Refused) > 0 || len(s.Figures) != was+1 || len(s.Library) != 0 {
		t.Fatalf("%v %v %v", s.Refused, s.Figures, s.Library)
	}
	c := d.Cloth()
	f := c.Figures[was]
	if y := f.Chart.Symbols()[0].Yarn; y != c.Yarns[0].Key || f.Chart.String() != "xxx\nx.x\n" {
		t.Errorf("taken in as %q in %s", f.Chart.String(), y)
	}
	text := strings.Replace(d.Figure("comb"), "x.x", "x..", 1)
	request, err := json.Marshal(map[string]string{"do": "draw-figure", "kind": "comb", "text": text})
	if err != nil {
		t.Fatal(err)
	}
	if s = asked(t, d, string(request)); len(s.Refused) > 0 || d.Cloth().Figures[was].Chart.String() != "xxx\nx..\n" {
		t.Errorf("drawn: %v\n%s", s.Refused, d.File())
	}
	used := c.Figures[0].Key
	if s = asked(t, d, `{"do":"remove-figure","kind":"`+used+`"}`); len(s.Refused) == 0 {
		t.Errorf("%s was taken away though it stands in a band", used)
	}
	if s = asked(t, d, `{"do":"remove-figure","kind":"comb"}`); len(s.Refused) > 0 || len(s.Figures) != was {
		t.Errorf("%v %v", s.Refused, s.Figures)
	}
}

// What cannot be read is not put on the table; the reasons are given.
func TestOpen_unread(t *testing.T) {
	_, err := screen.Open("urdir: 1\npanels: [", "es", screen.Bench{})
	if u, ok := errors.AsType[*screen.Unread](err); !ok || !u.Problems.Failed() || u.Error() == "" {
		t.Errorf("%v", err)
	}
	if _, err := screen.Open("urdir: 1\n", "xx", screen.Bench{}); err == nil {
		t.Error("a language there is not")
	}
	_, _, ps := clothfile.Read([]byte("urdir: 1\npanels: ["))
	if !ps.Failed() {
		t.Error("the file can be read after all")
	}
}
