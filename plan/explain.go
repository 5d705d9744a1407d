package plan

import (
	"fmt"
	"slices"
	"strings"
)

// Explanation tells where a number of a plan is from. Words are keys: what a
// reader sees is chosen elsewhere.
type Explanation struct {
	Path  string // as Numbers writes it
	Value any
	// Formula is an expression in the names of Terms; empty for what is given,
	// counted or fitted.
	Formula string
	Terms   []Term
	How     string // key of a sentence on how it is found; may be empty
}

// Term is a value put into a formula.
type Term struct {
	Name  string
	Value any
	// Path is another number of the plan or, for Given, a field of the cloth
	// file; empty for a constant.
	Path    string
	Given   bool
	Formula string // of a step reckoned on the way, in the names of other terms
	Source  string // key of words for where a constant is from
}

// UnknownNumber says that a plan has no number of a name, and what comes near.
type UnknownNumber struct {
	Path string
	Near []string
}

func (e *UnknownNumber) Error() string {
	return fmt.Sprintf("no number %q; near: %s", e.Path, strings.Join(e.Near, ", "))
}

// Explain tells where a number is from. The path may be shortened: units may be
// left out, a list named in the singular stands for its first part, and the
// length of a warp for what is laid of it; so warp.length is
// warps.body.length.lay_cm. The error is an *UnknownNumber.
func (p *Plan) Explain(path string) (Explanation, error) {
	numbers := p.Numbers()
	full, near := resolve(path, numbers)
	if full == "" {
		return Explanation{}, &UnknownNumber{path, near}
	}
	x := p.explaining(numbers)
	return x.of(full), nil
}

// Explanations tells where every number is from, in the order of Numbers.
func (p *Plan) Explanations() []Explanation {
	numbers := p.Numbers()
	x := p.explaining(numbers)
	out := make([]Explanation, len(numbers))
	for i, n := range numbers {
		out[i] = x.of(n.Path)
	}
	return out
}

// singular names the first part of a list.
var singular = map[string]string{
	"warp": "warps", "panel": "panels", "yarn": "yarns", "figure": "figures",
}

// resolve finds the number a path means, or up to eight that come near.
func resolve(path string, numbers []Number) (full string, near []string) {
	for _, n := range numbers {
		if n.Path == path {
			return path, nil
		}
	}
	want := strings.Split(path, ".")
	for _, n := range numbers {
		if means(want, strings.Split(n.Path, "."), n) {
			return n.Path, nil
		}
	}
	last := strings.Trim(want[len(want)-1], "[]0123456789")
	for _, n := range numbers {
		if len(near) < 8 && strings.Contains(n.Path, last) && !strings.Contains(n.Path, "[") {
			near = append(near, n.Path)
		}
	}
	if near == nil {
		for _, n := range numbers[:min(8, len(numbers))] {
			near = append(near, n.Path)
		}
	}
	return "", near
}

// means says whether a shortened path stands for a number.
func means(want, have []string, n Number) bool {
	if many, ok := singular[want[0]]; ok && len(have) > 1 && have[0] == many {
		want = slices.Concat([]string{many, have[1]}, want[1:])
	}
	if len(want) == len(have)-1 && have[len(have)-2] == "length" && have[len(have)-1] == "lay_cm" {
		want = slices.Concat(want, []string{"lay"})
	}
	if len(want) != len(have) {
		return false
	}
	last := len(have) - 1
	return slices.Equal(want[:last], have[:last]) &&
		(want[last] == have[last] || want[last] == strings.TrimSuffix(have[last], unitOf(n.Value)))
}

// explaining gathers one explanation.
type explaining struct {
	p       *Plan
	c       *Cloth
	numbers map[string]any
	out     Explanation
}

func (p *Plan) explaining(numbers []Number) *explaining {
	x := &explaining{p: p, c: &p.cloth, numbers: make(map[string]any, len(numbers))}
	for _, n := range numbers {
		x.numbers[n.Path] = n.Value
	}
	return x
}

// of is the explanation of one number.
func (x *explaining) of(path string) Explanation {
	x.out = Explanation{Path: path, Value: x.numbers[path]}
	x.explain(path)
	return x.out
}

// is sets the formula.
func (x *explaining) is(formula string) { x.out.Formula = formula }

// how sets the sentence.
func (x *explaining) how(key string) { x.out.How = key }

// from adds a number of the plan as a term.
func (x *explaining) from(name, path string) {
	x.out.Terms = append(x.out.Terms, Term{Name: name, Value: x.numbers[path], Path: path})
}

// given adds a field of the cloth file as a term.
func (x *explaining) given(name, field string, v any) {
	x.out.Terms = append(x.out.Terms, Term{Name: name, Value: v, Path: field, Given: true})
}

// known adds a constant.
func (x *explaining) known(name string, v any, source string) {
	x.out.Terms = append(x.out.Terms, Term{Name: name, Value: v, Source: source})
}

// step adds a value reckoned on the way.
func (x *explaining) step(name string, v any, formula string) {
	x.out.Terms = append(x.out.Terms, Term{Name: name, Value: v, Formula: formula})
}

// same says that a number is just what a field of the cloth file gives.
func (x *explaining) same(field string, v any) {
	x.is("given")
	x.given("given", field, v)
}

// numbered is a name with a number, for terms of which there are several.
func numbered(name string, i int) string { return fmt.Sprintf("%s_%d", name, i+1) }

// sum writes the parts of a sum of several terms.
func sum(parts []string) string {
	if len(parts) == 0 {
		return "0"
	}
	return strings.Join(parts, " + ")
}

// most writes the largest of several terms.
func most(parts []string) string {
	if len(parts) == 1 {
		return parts[0]
	}
	return "max(" + strings.Join(parts, ", ") + ")"
}

// explain finds the room the number is in.
func (x *explaining) explain(path string) {
	room, rest, _ := strings.Cut(path, ".")
	key, field, _ := strings.Cut(rest, ".")
	switch {
	case room == "warps":
		x.warp(x.p.Warp(key), field)
	case room == "panels":
		x.panel(key, field)
	case room == "yarns":
		x.yarn(x.p.Yarn(key), field)
	case room == "figures":
		x.figure(x.p.Figure(key), field)
	case room == "piece":
		x.piece(rest)
	case strings.HasPrefix(room, "kit"):
		x.kit(room, rest)
	case room == "frame":
		x.framePeg(rest)
	case room == "pieces":
		x.same("order.pieces", x.c.Pieces)
	case room == "learners":
		x.same("class.learners", x.c.Learners)
	}
}

// index cuts "bands[3]" into its name and number; -1 where there is none.
func index(s string) (name string, i int) {
	name, number, ok := strings.Cut(strings.TrimSuffix(s, "]"), "[")
	if !ok {
		return s, -1
	}
	for _, d := range number {
		i = i*10 + int(d-'0')
	}
	return name, i
}

// piece explains the outline and the weight of a piece.
func (x *explaining) piece(field string) {
	side, end := x.c.Join == JoinSide, x.c.Join == JoinEnd
	each := func(part func(i int, at string) string) (parts []string) {
		for i, pan := range x.p.Panels {
			parts = append(parts, part(i, "panels."+pan.Key))
		}
		return parts
	}
	times := func(name, leaf string) []string {
		return each(func(i int, at string) string {
			x.from(numbered("count", i), at+".count")
			x.from(numbered(name, i), at+"."+leaf)
			return numbered("count", i) + "*" + numbered(name, i)
		})
	}
	one := func(name, leaf string) []string {
		return each(func(i int, at string) string {
			x.from(numbered(name, i), at+"."+leaf)
			return numbered(name, i)
		})
	}
	switch field {
	case "width_cm":
		if side {
			x.is(sum(times("width", "width_cm")))
			return
		}
		x.is(most(one("width", "width_cm")))
	case "length_cm":
		if end {
			x.is(sum(times("length", "length_cm")))
			return
		}
		x.is(most(one("length", "length_cm")))
	case "overall_length_cm":
		parts := each(func(i int, at string) string {
			x.from(numbered("length", i), at+".length_cm")
			x.from(numbered("fringes", i), at+".fringes_cm")
			s := numbered("length", i) + " + " + numbered("fringes", i)
			if end {
				x.from(numbered("count", i), at+".count")
				s = numbered("count", i) + "*(" + s + ")"
			}
			return s
		})
		if end {
			x.is(sum(parts))
			return
		}
		x.is(most(parts))
	case "area_m2":
		x.is("(" + sum(each(func(i int, at string) string {
			x.from(numbered("count", i), at+".count")
			x.from(numbered("cut_width", i), at+".cut_width_cm")
			x.from(numbered("cut_length", i), at+".cut_length_cm")
			return numbered("count", i) + "*" + numbered("cut_width", i) + "*" + numbered("cut_length", i)
		})) + ") / 10000")
	case "mass_g":
		x.is(sum(times("mass", "mass_g")))
	case "weight_g_per_m2":
		fringes := times("fringes", "fringes_g")
		x.is("(mass - (" + sum(fringes) + ")) / area")
		x.from("mass", "piece.mass_g")
		x.from("area", "piece.area_m2")
	case "panels":
		x.is(sum(one("count", "count")))
	}
}

// kit explains what to pack.
func (x *explaining) kit(room, field string) {
	_, i := index(room)
	k, at := x.c.Kit[i], fmt.Sprintf("kit[%d]", i)
	if field == "each" {
		x.same(at+".each", k.Each)
		return
	}
	x.is("each*learners + class")
	x.given("each", at+".each", k.Each)
	x.given("learners", "class.learners", x.c.Learners)
	x.given("class", at+".all", k.All)
}

// framePeg explains where a peg stands and how thick it is.
func (x *explaining) framePeg(rest string) {
	list, field := cutFirst(rest)
	_, i := index(list)
	peg := x.p.Frame.Pegs[i]
	if field == "diameter_cm" {
		x.same("frame.peg", peg.Diameter)
		return
	}
	x.same("frame.pegs."+peg.ID, x.out.Value)
}
