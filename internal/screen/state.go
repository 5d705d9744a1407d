package screen

import (
	"fmt"
	"strings"

	"urdir/check"
	"urdir/design"
	"urdir/plan"
	"urdir/warp"
)

// State is what a page shows.
type State struct {
	Title    string     `json:"title"`
	Fresh    bool       `json:"fresh"` // the numbers are of the cloth as it is
	Facts    []Fact     `json:"facts"`
	Warps    []List     `json:"warps"`
	Panels   []List     `json:"panels"`
	Yarns    []YarnLine `json:"yarns"`
	Problems []Said     `json:"problems"`
	Refused  []Said     `json:"refused"` // of what was just asked
	Undo     string     `json:"undo"`    // words for what would be undone; empty if nothing
	Redo     string     `json:"redo"`
}

// Fact is a number with its word.
type Fact struct {
	Word  string `json:"word"`
	Value string `json:"value"`
}

// Said is a problem in words.
type Said struct {
	Caution bool   `json:"caution"`
	Text    string `json:"text"`
}

// List is the stripes of a warp or the bands of a panel.
type List struct {
	Key   string `json:"key"`
	Title string `json:"title"`
	Rows  []Row  `json:"rows"`
}

// Row is one stripe, band or group.
type Row struct {
	At    design.At `json:"at"`
	Depth int       `json:"depth"`
	Kind  string    `json:"kind"` // stripe, repeat, mirror, or a band's kind
	Yarns []Chip    `json:"yarns"`
	Size  string    `json:"size"`
	Unit  string    `json:"unit"`
	Times int       `json:"times"`
	Name  string    `json:"name"` // what a screen reader says
	Word  string    `json:"word"` // short, beside the chip
}

// Chip is a yarn of a row.
type Chip struct {
	Yarn   string `json:"yarn"`
	Letter string `json:"letter"`
	Colour string `json:"colour"`
	Label  string `json:"label"`
	Ends   int    `json:"ends"`
}

// YarnLine is a yarn of the cloth, what is needed and what there is.
type YarnLine struct {
	Chip
	Need   string `json:"need"`
	Shelf  string `json:"shelf"`
	Enough string `json:"enough"` // "enough for 5 of 6", or empty
	Short  bool   `json:"short"`
}

func (d *Desk) state() State {
	c, w := d.now.cloth, d.words
	s := State{Title: c.Name, Fresh: d.fresh, Problems: d.say(d.bad), Refused: d.say(d.said), Facts: d.facts(), Yarns: d.yarnLines()}
	for _, x := range c.Warps {
		l := List{Key: x.Key, Title: w.T("desk-warp", check.Args{"warp": x.Key}), Rows: []Row{}}
		d.stripes(x.Order.Items, design.At{In: design.Stripes, Key: x.Key}, 0, &l.Rows)
		s.Warps = append(s.Warps, l)
	}
	for _, p := range c.Panels {
		l := List{Key: p.Key, Title: w.T("desk-panel", check.Args{"panel": p.Key}), Rows: []Row{}}
		d.bands(p.Bands, design.At{In: design.Bands, Key: p.Key}, 0, &l.Rows)
		s.Panels = append(s.Panels, l)
	}
	if d.now.did != "" {
		s.Undo = w.T("desk-"+d.now.did, nil)
	}
	if n := len(d.ahead); n > 0 {
		s.Redo = w.T("desk-"+d.ahead[n-1].did, nil)
	}
	return s
}

func (d *Desk) say(ps check.Problems) []Said {
	out := []Said{} // an empty list, and not nothing, for scripts
	for _, p := range ps {
		what, mend := d.words.Problem(p)
		out = append(out, Said{p.Severity == check.Caution, what + " " + mend})
	}
	return out
}

// facts are the numbers beside the cloth, of the last plan that could be made.
func (d *Desk) facts() []Fact {
	p, w, out := d.made, d.words, []Fact{}
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

// chip is a yarn as rows show it.
func (d *Desk) chip(key string, ends int) Chip {
	if y := d.made.Yarn(key); y != nil {
		return Chip{key, y.Letter, y.Colour, y.Label, ends}
	}
	for _, y := range d.now.cloth.Yarns {
		if y.Key == key {
			return Chip{key, y.Letter, y.Colour, y.Label, ends}
		}
	}
	return Chip{Yarn: key, Label: key, Colour: "#888888", Ends: ends}
}

// stripes lists the stripes of a warp, groups before what is in them.
func (d *Desk) stripes(items []warp.Item, at design.At, depth int, rows *[]Row) {
	for i, it := range items {
		here := at
		here.Path = append(append([]int{}, at.Path...), i)
		r := Row{At: here, Depth: depth, Times: it.Repeat, Yarns: []Chip{}}
		place := check.Args{"n": i + 1, "of": len(items)}
		switch {
		case it.Stripe != nil:
			d.stripe(*it.Stripe, &r, place)
			*rows = append(*rows, r)
		case len(it.Mirror) > 0:
			r.Kind, r.Word = "mirror", d.words.T("desk-mirrored", nil)
			r.Name = d.words.T("desk-row-mirror", place)
			*rows = append(*rows, r)
			d.stripes(it.Mirror, here, depth+1, rows)
		default:
			place["times"] = it.Repeat
			r.Kind, r.Word = "repeat", d.words.T("desk-times", check.Args{"times": it.Repeat})
			r.Name = d.words.T("desk-row-repeat", place)
			*rows = append(*rows, r)
			d.stripes(it.Of, here, depth+1, rows)
		}
	}
}

func (d *Desk) stripe(s warp.Stripe, r *Row, place check.Args) {
	var names, letters []string
	for _, l := range s.Yarns {
		c := d.chip(l.Yarn, l.Ends)
		r.Yarns = append(r.Yarns, c)
		names, letters = append(names, c.Label), append(letters, fmt.Sprint(l.Ends))
	}
	switch {
	case s.Width > 0:
		r.Size, r.Unit = d.words.Num(float64(s.Width), 2), "cm"
	case s.Share > 0:
		r.Size, r.Unit = d.words.Num(s.Share, 2), "parts"
	default:
		r.Size, r.Unit = fmt.Sprint(s.Ends), "ends"
	}
	r.Kind, r.Word = "stripe", strings.Join(names, " + ")
	if len(s.Yarns) > 1 {
		r.Word += " " + strings.Join(letters, ":")
	}
	place["yarns"], place["size"] = strings.Join(names, " "+d.words.T("desk-and", nil)+" "), r.Size+" "+d.words.T("desk-unit-"+r.Unit, nil)
	r.Name = d.words.T("desk-row-stripe", place)
}

// bands lists the bands of a panel, groups before what is in them.
func (d *Desk) bands(items []plan.BandItem, at design.At, depth int, rows *[]Row) {
	for i, it := range items {
		here := at
		here.Path = append(append([]int{}, at.Path...), i)
		r := Row{At: here, Depth: depth, Times: it.Repeat, Yarns: []Chip{}}
		place := check.Args{"n": i + 1, "of": len(items)}
		switch {
		case it.Band != nil:
			d.band(*it.Band, &r, place)
			*rows = append(*rows, r)
		case len(it.Mirror) > 0:
			r.Kind, r.Word = "mirror", d.words.T("desk-mirrored", nil)
			r.Name = d.words.T("desk-row-mirror", place)
			*rows = append(*rows, r)
			d.bands(it.Mirror, here, depth+1, rows)
		default:
			place["times"] = it.Repeat
			r.Kind, r.Word = "repeat", d.words.T("desk-times", check.Args{"times": it.Repeat})
			r.Name = d.words.T("desk-row-repeat", place)
			*rows = append(*rows, r)
			d.bands(it.Of, here, depth+1, rows)
		}
	}
}

func (d *Desk) band(b plan.Band, r *Row, place check.Args) {
	r.Kind, r.Word, r.Unit = string(b.Kind), d.words.T("band-"+string(b.Kind), nil), "cm"
	switch {
	case b.Rest:
		r.Size, r.Unit = "", "rest"
	case b.Length == 0 && b.Kind == plan.Figured:
		r.Size, r.Unit = "", "fit"
	default:
		r.Size = d.words.Num(float64(b.Length), 2)
	}
	if b.Kind == plan.Figured {
		r.Word += " " + b.Place.Figure
	}
	if b.Weft != "" {
		r.Yarns = []Chip{d.chip(b.Weft, 0)}
	}
	place["kind"], place["size"] = r.Word, strings.TrimSpace(r.Size+" "+d.words.T("desk-unit-"+r.Unit, nil))
	r.Name = d.words.T("desk-row-band", place)
}

// yarnLines are the yarns of the cloth with what is needed of each and what the
// shelf holds of its like.
func (d *Desk) yarnLines() (out []YarnLine) {
	for _, y := range d.now.cloth.Yarns {
		l := YarnLine{Chip: d.chip(y.Key, 0)}
		need := 0.0
		if n := d.made.Yarn(y.Key); n != nil {
			need = float64(n.Mass)
			l.Need = d.words.S(n.Mass)
		}
		for _, lot := range d.lots {
			if !strings.EqualFold(lot.Colour, y.Colour) || lot.Label != y.Label {
				continue
			}
			l.Shelf = d.words.S(gram(lot.Grams))
			pieces := d.now.cloth.Pieces
			if need > 0 && pieces > 0 {
				can := min(pieces, int(lot.Grams/(need/float64(pieces))))
				l.Short = can < pieces
				l.Enough = d.words.T("desk-enough", check.Args{"can": can, "of": pieces})
			}
		}
		out = append(out, l)
	}
	return out
}
