package web

import (
	"strconv"

	"urdir/clothfile"
	"urdir/draw"
	"urdir/internal/screen"
	"urdir/internal/workshop"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// draftWord stands in an address for what its reader has not saved yet.
const draftWord = "draft"

// versionOf reads a version from the address; 0 is the newest.
func (v *visit) versionOf(field string) int {
	s := v.r.URL.Query().Get(field)
	if s == draftWord {
		return workshop.OwnDraft
	}
	n, err := strconv.Atoi(s)
	if err != nil || n < 0 || n > 1e6 {
		return 0
	}
	return n
}

// compareView is two states of a cloth beside each other.
type compareView struct {
	workshop.Comparison
	Choices []choice
	A, B    string // as the address names them
	Facts   []factPair
	Lists   []screen.Differing
	Drawn   bool // both can be drawn
}

// choice is a state of the cloth that can be compared.
type choice struct {
	Value string
	N     int // 0 for the draft
}

// factPair is a number of both.
type factPair struct {
	Word, A, B string
}

// Apart says whether the two differ.
func (f factPair) Apart() bool { return f.A != f.B }

func comparePage(v *visit) error {
	id, ctx := v.r.PathValue("id"), v.r.Context()
	vs, err := v.s.house.Versions(ctx, v.Person, id)
	if err != nil {
		return err
	}
	a, b := v.versionOf("a"), v.versionOf("b")
	if a == 0 && len(vs) > 0 {
		a = max(1, vs[0].Value.N-1)
	}
	c, err := v.s.house.Compare(ctx, v.Person, id, a, b)
	if err != nil {
		return err
	}
	view := compareView{Comparison: c, A: stateWord(c.Sides[0].N), B: stateWord(c.Sides[1].N)}
	if d, err := v.s.house.Drafts(ctx, v.Person, id); err != nil {
		return err
	} else if d.Mine != nil {
		view.Choices = append(view.Choices, choice{Value: draftWord})
	}
	for _, k := range vs {
		view.Choices = append(view.Choices, choice{strconv.Itoa(k.Value.N), k.Value.N})
	}
	was, now := c.Sides[0], c.Sides[1]
	view.Drawn = !was.Made.Failed() && !now.Made.Failed()
	if view.Drawn {
		view.Facts = v.factPairs(was.Made.Plan, now.Made.Plan)
	}
	x, _, ps := clothfile.Read([]byte(was.Text))
	y, _, more := clothfile.Read([]byte(now.Text))
	if !ps.Failed() && !more.Failed() {
		view.Lists = screen.Differences(x, y, v.Words)
	}
	return v.page("compare", v.T("compare")+": "+c.Cloth.Value.Name, view)
}

func stateWord(n int) string {
	if n == workshop.OwnDraft {
		return draftWord
	}
	return strconv.Itoa(n)
}

// factPairs is the numbers a weaver asks for, of both plans.
func (v *visit) factPairs(a, b plan.Plan) (out []factPair) {
	of := func(p plan.Plan) (facts []factPair) {
		add := func(word, value string) { facts = append(facts, factPair{Word: word, A: value}) }
		add(v.T("size"), v.S(p.Piece.Width)+" × "+v.S(p.Piece.Length))
		add(v.T("overall"), v.S(p.Piece.Overall))
		add(v.T("weight"), v.S(p.Piece.Mass))
		add(v.T("hand"), v.T(p.Piece.Hand)+", "+v.S(p.Piece.PerM2))
		for _, w := range p.Warps {
			add(w.Key+": "+v.T("ends"), v.Words.Int(w.Ends))
			add(w.Key+": "+v.T("length"), v.Words.Long(w.LayLength()))
		}
		for _, x := range p.Panels {
			add(x.Key+": "+v.T("picks"), v.Words.Int(x.Picks))
		}
		for _, y := range p.Yarns {
			add(y.Label, v.S(y.Mass))
		}
		return facts
	}
	out = of(a)
	at := map[string]int{}
	for i, f := range out {
		at[f.Word] = i
	}
	for _, f := range of(b) {
		if i, both := at[f.Word]; both {
			out[i].B = f.A
		} else {
			out = append(out, factPair{Word: f.Word, B: f.A})
		}
	}
	return out
}

// clothBeside draws one state of a cloth on paper that is large enough for
// another as well, so that two such pictures of one width have one scale.
func clothBeside(v *visit) error {
	c, err := v.s.house.Compare(v.r.Context(), v.Person, v.r.PathValue("id"), v.versionOf("v"), v.versionOf("beside"))
	if err != nil {
		return err
	}
	own, other := c.Sides[0].Made, c.Sides[1].Made
	if own.Failed() || other.Failed() {
		return &workshop.Error{Code: workshop.NotFound}
	}
	w, h := draw.Size(own.Plan)
	w2, h2 := draw.Size(other.Plan)
	wide, tall := max(w, w2), max(h, h2)
	scale := 240 / float64(max(wide, tall)) // mm of paper a cm of cloth
	mm := func(l measure.CM) measure.MM { return measure.MM(float64(l) * scale) }
	return v.picture(own.Plan.Name, max(mm(wide), 6), max(mm(tall), 6), func(s surface.Surface, box surface.Box) {
		draw.Cloth(s, surface.Box{X: (box.W - mm(w)) / 2, Y: box.H - mm(h), W: mm(w), H: mm(h)}, own.Plan)
	})
}
