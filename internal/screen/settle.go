package screen

import (
	"urdir/check"
	"urdir/measure"
	"urdir/plan"
)

// Numbers is what is said beside the cloth when the hand rests.
type Numbers struct {
	Facts    []Fact     `json:"facts"`
	Yarns    []YarnLine `json:"yarns"`
	Problems []Said     `json:"problems"`
}

// YarnLine is a yarn of the cloth, what is needed and what there is.
type YarnLine struct {
	Chip
	Need   string `json:"need"`
	Shelf  string `json:"shelf"`
	Enough string `json:"enough"` // "enough for 5 of 6"; empty if none is on the shelf
	Short  bool   `json:"short"`
}

// settle plans the cloth with everything the workshop adds. If that cannot be
// done, the numbers are of the plan on the table and the problems say why.
func (d *Desk) settle() Numbers {
	c := d.whole()
	p, ps := plan.Make(c)
	n := Numbers{Problems: d.say(ps)}
	if ps.Failed() {
		p = d.made
	}
	n.Facts = d.facts(p)
	shelf := d.shelf()
	can := map[string]int{}
	if !ps.Failed() {
		can = enough(c, p, shelf)
	}
	n.Yarns = d.yarnLines(p, shelf, can)
	return n
}

// facts are the numbers beside the cloth.
func (d *Desk) facts(p plan.Plan) []Fact {
	w, out := d.words, []Fact{}
	if len(p.Warps) == 0 {
		return out
	}
	add := func(key, value string) { out = append(out, Fact{w.T(key, nil), value}) }
	add("size", w.S(p.Piece.Width)+" × "+w.S(p.Piece.Length))
	ends, circuits := 0, 0.0
	for _, x := range p.Warps {
		ends, circuits = ends+x.Ends*x.Layings, circuits+float64(x.Circuits)*float64(x.Layings)
	}
	add("ends", w.Int(ends))
	add("circuits", w.Num(circuits, 1))
	add("lay-length", w.Long(p.Warps[0].LayLength()))
	add("weight", w.S(p.Piece.Mass))
	add("hand", w.T(p.Piece.Hand, nil)+", "+w.S(p.Piece.PerM2))
	return out
}

// shelf is the grams of each yarn of the cloth that lie on the shelf.
func (d *Desk) shelf() map[string]measure.Gram {
	grams := map[string]measure.Gram{}
	for _, y := range d.steps.Now().Yarns {
		for _, l := range d.bench.Lots {
			if l.is(y) {
				grams[y.Key] += measure.Gram(l.Grams)
			}
		}
	}
	return grams
}

// yarnLines are the yarns of the cloth, with what is needed of each and for how
// many pieces the shelf has enough.
func (d *Desk) yarnLines(p plan.Plan, shelf map[string]measure.Gram, can map[string]int) []YarnLine {
	out := []YarnLine{}
	for _, y := range d.steps.Now().Yarns {
		l := YarnLine{Chip: d.chip(y.Key, 0)}
		if n := p.Yarn(y.Key); n != nil {
			l.Need = d.words.S(n.Mass)
		}
		if grams, ok := shelf[y.Key]; ok {
			l.Shelf = d.words.S(grams)
		}
		if n, ok := can[y.Key]; ok {
			l.Short = n < p.Pieces
			l.Enough = d.words.T("desk-enough", check.Args{"can": n, "of": p.Pieces})
		}
		out = append(out, l)
	}
	return out
}
