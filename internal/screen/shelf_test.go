package screen_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"

	"urdir/internal/screen"
	"urdir/plan"
)

// plainCloth is a cloth of one yarn, warp and weft. What so many pieces need is the
// plan's own number for so many.
const plainCloth = `urdir: 1
name: Cinta
weft: a
picks: 5 /cm
order: {pieces: 3}
yarns: {a: {label: Arena, colour: "#d9c8a0", fibre: cotton, count: 100 tex}}
warps: {w: {sett: 10 /cm, lay: per-piece, stripes: [1 part a]}}
panels: {p: {warp: w, width: 20 cm, length: 100 cm, bands: [{woven: rest}]}}
`

func TestEnough(t *testing.T) {
	d, err := screen.Open(plainCloth, "en", screen.Bench{})
	if err != nil {
		t.Fatal(err)
	}
	need := func(pieces int) float64 {
		c := d.Cloth()
		c.Pieces = pieces
		p, ps := plan.Make(c)
		if ps.Failed() {
			t.Fatal(ps)
		}
		return float64(p.Yarns[0].Mass)
	}
	for _, tc := range []struct {
		grams float64
		want  string
		short bool
	}{{need(2) + 0.01, "enough for 2 of 3", true}, {need(3) - 0.01, "enough for 2 of 3", true}, {need(3), "enough for 3 of 3", false}, {0, "enough for 0 of 3", true}} {
		d, err := screen.Open(plainCloth, "en", screen.Bench{Lots: []screen.Lot{{ID: "1", Label: "arena", Colour: "#D9C8A0", Count: "100 tex", Grams: tc.grams}}})
		if err != nil {
			t.Fatal(err)
		}
		var n screen.Numbers
		if err := json.Unmarshal([]byte(d.Settle()), &n); err != nil {
			t.Fatal(err)
		}
		if y := n.Yarns[0]; y.Enough != tc.want || y.Short != tc.short {
			t.Errorf("%.2f g: %q, short %v; want %q, %v", tc.grams, y.Enough, y.Short, tc.want, tc.short)
		}
	}
}

// shelf is two lots beside the yarn of the cloth.
var shelf = screen.Bench{Lots: []screen.Lot{
	{ID: "1", Label: "Arena", Letter: "A", Colour: "#d9c8a0", Fibre: "cotton", Count: "100 tex", Grams: 400},
	{ID: "2", Label: "Añil hondo", Letter: "A", Colour: "#2f4b73", Fibre: "cotton", Count: "100 tex", Grams: 400},
	{ID: "3", Label: "Grana", Letter: "G", Colour: "#a8324a", Fibre: "cotton", Count: "100 tex", Grams: 400},
	{ID: "4", Label: "Rota", Letter: "R", Colour: "#000000", Fibre: "cotton", Count: "thick", Grams: 10},
}, Recipes: []screen.Recipe{{Key: "weld-cotton", Name: "Weld on cotton", Shade: "lemon yellow", Colour: "#d8c440", Fibres: "cellulose"}}}

// A lot of the shelf becomes a yarn of the cloth when it is laid, once, with a
// key and a letter of its own; a new colour is wound as the yarn it is like.
func TestLots(t *testing.T) {
	d, err := screen.Open(plainCloth, "en", shelf)
	if err != nil {
		t.Fatal(err)
	}
	asked(t, d, `{"do":"stripe","at":{"in":"stripes","key":"w","path":[1]},"yarn":"lot:2","count":6}`)
	s := asked(t, d, `{"do":"stripe","at":{"in":"stripes","key":"w","path":[2]},"yarn":"lot:2","count":4}`)
	c := d.Cloth()
	if len(s.Refused) > 0 || len(c.Yarns) != 2 || c.Yarns[1].Key != "añil-hondo" || c.Yarns[1].Label != "Añil hondo" || c.Yarns[1].Spec.Count != c.Yarns[0].Spec.Count {
		t.Fatalf("%v %+v", s.Refused, c.Yarns)
	}
	if len(s.Offer) != 2 || s.Yarns[0].Letter == s.Yarns[1].Letter {
		t.Errorf("on offer %v, letters %v", s.Offer, s.Yarns)
	}
	for _, q := range []string{`{"do":"recolour","at":{"in":"stripes","key":"w","path":[0]},"yarn":"lot:4"}`, `{"do":"recolour","at":{"in":"stripes","key":"w","path":[0]},"yarn":"lot:9"}`,
		`{"do":"colour","yarn":"a","text":" "}`, `{"do":"colour","yarn":"a","dye":"dragon"}`, `{"do":"colour","yarn":"b","text":"x"}`} {
		if s = asked(t, d, q); len(s.Refused) == 0 {
			t.Errorf("not refused: %s", q)
		}
	}
	s = asked(t, d, `{"do":"colour","yarn":"a","text":"Musgo claro","kind":"#9db27a"}`)
	if y := d.Cloth().Yarns[2]; len(s.Refused) > 0 || y.Key != "musgo-claro" || y.Colour != "#9db27a" || y.Spec != c.Yarns[0].Spec {
		t.Errorf("%v %+v", s.Refused, y)
	}
	s = asked(t, d, `{"do":"colour","yarn":"a","text":"","kind":"#000000","dye":"weld-cotton"}`)
	if y := d.Cloth().Yarns[3]; len(s.Refused) > 0 || y.Label != "lemon yellow" || y.Colour != "#d8c440" || y.Dye != "weld-cotton" {
		t.Errorf("by a recipe: %v %+v", s.Refused, y)
	}
}

// Proposals come from the shelf, fill the width, and are laid as they are shown.
func TestPropose(t *testing.T) {
	d, err := screen.Open(plainCloth, "en", shelf)
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		Ideas   []screen.Idea
		Refused []screen.Said
	}
	propose := func(wish string) {
		t.Helper()
		got.Ideas, got.Refused = nil, nil
		if err := json.Unmarshal([]byte(d.Propose(wish)), &got); err != nil {
			t.Fatal(err)
		}
	}
	propose(`{"warp":"w","lots":["a","lot:2"],"series":"even","mirrored":true}`)
	if len(got.Ideas) < 2 {
		t.Fatalf("%v %v", got.Ideas, got.Refused)
	}
	// 20 cm at 10 a cm, shrinking 5 %: 210.5 ends, so 210.
	for i, idea := range got.Ideas {
		ends := 0
		for _, s := range idea.Stripes {
			ends += s.Ends
		}
		if ends != 210 {
			t.Errorf("%d: %d ends", i, ends)
		}
		s := asked(t, d, fmt.Sprintf(`{"do":"use","which":%d}`, i))
		p, ps := plan.Make(d.Cloth())
		if len(s.Refused) > 0 || ps.Failed() {
			t.Fatalf("%d: %v %v", i, s.Refused, ps)
		}
		if len(p.Warps[0].Stripes) != len(idea.Stripes) || p.Warps[0].Ends != ends {
			t.Errorf("%d: laid %d stripes, %d ends; shown %d and %d", i, len(p.Warps[0].Stripes), p.Warps[0].Ends, len(idea.Stripes), ends)
		}
		asked(t, d, `{"do":"undo"}`)
	}
	// A picture three parts blue and one part red: the lots nearest to those.
	propose(`{"warp":"w","colours":["#101f60","#ff0040"],"shares":[0.75,0.25]}`)
	if len(got.Ideas) == 0 {
		t.Fatal(got.Refused)
	}
	for _, idea := range got.Ideas {
		for _, s := range idea.Stripes {
			if s.Label != "Añil hondo" && s.Label != "Grana" {
				t.Errorf("a stripe of %s", s.Label)
			}
		}
	}
	for _, wish := range []string{`{`, `{"warp":"x"}`, `{"warp":"w"}`, `{"warp":"w","lots":["a"],"series":"wild"}`, `{"warp":"w","lots":["a","a"],"series":"even"}`} {
		propose(wish)
		if len(got.Ideas) > 0 || len(got.Refused) == 0 {
			t.Errorf("%s: %v", wish, got.Ideas)
		}
	}
	if s := asked(t, d, `{"do":"use","which":0}`); len(s.Refused) == 0 {
		t.Error("a proposal that is gone was laid")
	}
}

// Two thirds blue and one third red, by area.
func TestColours(t *testing.T) {
	const w, h = 30, 12
	pixels := make([]byte, 4*w*h)
	for i := range w * h {
		c := []byte{16, 32, 96, 255}
		if i%w >= 20 {
			c = []byte{160, 32, 64, 255}
		}
		copy(pixels[4*i:], c)
	}
	got := screen.Colours(pixels, w)
	if !strings.Contains(got, `"#102060","#a02040"`) || !strings.Contains(got, `0.66`) {
		t.Error(got)
	}
	for _, bad := range []string{screen.Colours(nil, 10), screen.Colours(pixels, 0), screen.Colours(pixels[:3], 1)} {
		if bad != `{"colours":[],"shares":[]}` {
			t.Error(bad)
		}
	}
}
