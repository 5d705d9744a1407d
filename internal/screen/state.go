package screen

import (
	"fmt"
	"slices"
	"strings"

	"urdir/check"
	"urdir/design"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
)

// State is what a page shows after every step.
type State struct {
	Title string       `json:"title"`
	Fresh bool         `json:"fresh"` // the picture is of the cloth as it is
	Wide  []measure.CM `json:"wide"`  // of each panel of the picture
	// What a figure is drawn for: ends and picks a cm of the first warp.
	Sett     measure.PerCM `json:"sett"`
	Picks    measure.PerCM `json:"picks"`
	Warps    []List        `json:"warps"`
	Panels   []List        `json:"panels"`
	Yarns    []Chip        `json:"yarns"`    // of the cloth
	Offer    []Chip        `json:"offer"`    // lots of the shelf that are not in the cloth
	Figures  []Word        `json:"figures"`  // of the cloth
	Library  []Word        `json:"library"`  // figures that are not in the cloth
	Tied     []TiedPanel   `json:"tied"`     // of every panel
	Problems []Said        `json:"problems"` // if the cloth cannot be planned
	Refused  []Said        `json:"refused"`  // of what was just asked
	Undo     string        `json:"undo"`     // words for what would be undone; empty if nothing
	Redo     string        `json:"redo"`
}

// Word is a key and what people call it.
type Word struct {
	Key  string `json:"key"`
	Word string `json:"word"`
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
	Hatch  int    `json:"hatch"`
}

func (d *Desk) state() State {
	c, w := d.steps.Now(), d.words
	s := State{Title: c.Name, Fresh: d.fresh, Problems: []Said{}, Refused: d.say(d.said), Offer: d.offer(), Yarns: []Chip{}, Wide: []measure.CM{}}
	if !d.fresh {
		s.Problems = d.say(d.bad)
	}
	if len(c.Warps) > 0 {
		s.Sett, s.Picks = c.Warps[0].Sett, c.Picks
	}
	for _, p := range d.made.Panels {
		s.Wide = append(s.Wide, p.Width)
	}
	for _, x := range c.Warps {
		l := List{Key: x.Key, Title: w.T("desk-warp", check.Args{"warp": x.Key}), Rows: []Row{}}
		d.stripes(x.Order.Items, design.At{In: design.Stripes, Key: x.Key}, 0, &l.Rows)
		s.Warps = append(s.Warps, l)
		if len(x.Order.Border) > 0 {
			l := List{Key: x.Key, Title: w.T("desk-border", check.Args{"warp": x.Key}), Rows: []Row{}}
			d.stripes(x.Order.Border, design.At{In: design.Border, Key: x.Key}, 0, &l.Rows)
			s.Warps = append(s.Warps, l)
		}
	}
	for _, p := range c.Panels {
		l := List{Key: p.Key, Title: w.T("desk-panel", check.Args{"panel": p.Key}), Rows: []Row{}}
		d.bands(p.Bands, design.At{In: design.Bands, Key: p.Key}, 0, &l.Rows)
		s.Panels = append(s.Panels, l)
	}
	for _, y := range c.Yarns {
		s.Yarns = append(s.Yarns, d.chip(y.Key, 0))
	}
	s.Figures, s.Library = d.figures()
	s.Tied = d.tiedPanels()
	if did, ok := d.steps.CanUndo(); ok {
		s.Undo = w.T("desk-"+did, nil)
	}
	if did, ok := d.steps.CanRedo(); ok {
		s.Redo = w.T("desk-"+did, nil)
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

// chip is a yarn as rows show it.
func (d *Desk) chip(key string, ends int) Chip {
	if y := d.made.Yarn(key); y != nil {
		return Chip{key, y.Letter, y.Colour, y.Label, ends, y.Hatch}
	}
	for _, y := range d.steps.Now().Yarns {
		if y.Key == key {
			return Chip{Yarn: key, Letter: y.Letter, Colour: y.Colour, Label: y.Label, Ends: ends}
		}
	}
	return Chip{Yarn: key, Label: key, Colour: "#888888", Ends: ends}
}

// stripes lists the stripes of a warp, groups before what is in them.
func (d *Desk) stripes(items []warp.Item, at design.At, depth int, rows *[]Row) {
	for i, it := range items {
		r, place := newRow(at, depth, i, len(items))
		if it.Stripe != nil {
			d.stripe(*it.Stripe, &r, place)
		} else {
			d.group(&r, len(it.Mirror) > 0, it.Repeat, place)
		}
		*rows = append(*rows, r)
		d.stripes(it.Mirror, r.At, depth+1, rows)
		d.stripes(it.Of, r.At, depth+1, rows)
	}
}

// newRow is the row of entry i of so many, and what its words say of its place.
func newRow(at design.At, depth, i, of int) (Row, check.Args) {
	at.Path = append(slices.Clone(at.Path), i)
	return Row{At: at, Depth: depth, Yarns: []Chip{}}, check.Args{"n": i + 1, "of": of}
}

// group is the row of a group of stripes or bands.
func (d *Desk) group(r *Row, mirrored bool, times int, place check.Args) {
	r.Times = times
	if mirrored {
		r.Kind, r.Word = "mirror", d.words.T("desk-mirrored", nil)
		r.Name = d.words.T("desk-row-mirror", place)
		return
	}
	place["times"] = times
	r.Kind, r.Word = "repeat", d.words.T("desk-times", check.Args{"times": times})
	r.Name = d.words.T("desk-row-repeat", place)
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
		r, place := newRow(at, depth, i, len(items))
		if it.Band != nil {
			d.band(*it.Band, &r, place)
		} else {
			d.group(&r, len(it.Mirror) > 0, it.Repeat, place)
		}
		*rows = append(*rows, r)
		d.bands(it.Mirror, r.At, depth+1, rows)
		d.bands(it.Of, r.At, depth+1, rows)
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
		r.Word += " " + d.figureName(b.Place.Figure)
	}
	if b.Weft != "" {
		r.Yarns = []Chip{d.chip(b.Weft, 0)}
	}
	place["kind"], place["size"] = r.Word, strings.TrimSpace(r.Size+" "+d.words.T("desk-unit-"+r.Unit, nil))
	r.Name = d.words.T("desk-row-band", place)
}
