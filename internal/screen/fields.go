package screen

import (
	"strconv"

	"urdir/check"
	"urdir/design"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
)

// Field is something that can be typed, ticked or chosen. It is changed by
// asking for "set-" and its key.
type Field struct {
	Key   string `json:"key"`
	Word  string `json:"word"`
	Kind  string `json:"kind"` // text, yes or choice
	Value string `json:"value"`
	Of    []Word `json:"of,omitempty"`
	Key2  string `json:"in,omitempty"` // the panel or warp it belongs to
}

// fields are those of a stripe or band, or of the cloth.
func (d *Desk) fields(at design.At) []Field {
	switch at.In {
	case design.Bands:
		if b := bandAt(d.steps.Now(), at); b != nil {
			return d.bandFields(*b)
		}
	case design.Stripes, design.Border:
		if s := stripeAt(d.steps.Now(), at); s != nil && len(s.Yarns) == 2 {
			return []Field{d.text("ratio", strconv.Itoa(s.Yarns[0].Ends)+":"+strconv.Itoa(s.Yarns[1].Ends))}
		}
	default:
		return d.clothFields()
	}
	return []Field{}
}

func (d *Desk) text(key, value string) Field {
	return Field{Key: key, Word: d.words.T("desk-set-"+key, nil), Kind: "text", Value: value}
}

func (d *Desk) yes(key string, on bool) Field {
	f := Field{Key: key, Word: d.words.T("desk-set-"+key, nil), Kind: "yes"}
	if on {
		f.Value = "yes"
	}
	return f
}

func (d *Desk) choice(key, value string, of []Word) Field {
	return Field{Key: key, Word: d.words.T("desk-set-"+key, nil), Kind: "choice", Value: value, Of: of}
}

func (d *Desk) cm(v measure.CM) string       { return d.words.Num(float64(v), 2) + " cm" }
func (d *Desk) perCM(v measure.PerCM) string { return d.words.Num(float64(v), 2) + " /cm" }

// yarns are the yarns of the cloth and the lots of the shelf.
func (d *Desk) yarnWords() []Word {
	var out []Word
	for _, y := range d.steps.Now().Yarns {
		c := d.chip(y.Key, 0)
		out = append(out, Word{y.Key, c.Letter + " " + c.Label})
	}
	for _, c := range d.offer() {
		out = append(out, Word{c.Yarn, d.words.T("desk-from-shelf", check.Args{"lot": c.Label})})
	}
	return out
}

// wefts is yarnWords with the weft of the cloth before them.
func (d *Desk) wefts() []Word {
	return append([]Word{{"", d.words.T("desk-as-cloth", nil)}}, d.yarnWords()...)
}

func (d *Desk) bandFields(b plan.Band) []Field {
	var kinds []Word
	for _, k := range []plan.BandKind{plan.Woven, plan.Figured, plan.Open, plan.Hem, plan.Fringe} {
		kinds = append(kinds, Word{string(k), d.words.T("band-"+string(k), nil)})
	}
	out := []Field{d.choice("kind", string(b.Kind), kinds)}
	length := ""
	if b.Length > 0 {
		length = d.cm(b.Length)
	}
	if !b.Rest {
		out = append(out, d.text("length", length))
	}
	if b.Kind != plan.Fringe {
		out = append(out, d.yes("rest", b.Rest))
	}
	switch b.Kind {
	case plan.Fringe:
		return append(out, d.text("twist", d.words.Num(float64(b.Twist)*100, 1)+" %"))
	case plan.Open:
		return out
	case plan.Hem:
		out = append(out, d.text("under", d.cm(b.Under)))
	case plan.Figured:
		out = append(out, d.placeFields(b.Place)...)
	}
	picks := ""
	if b.Picks > 0 {
		picks = d.perCM(b.Picks)
	}
	return append(out, d.choice("weft", b.Weft, d.wefts()), d.text("picks", picks))
}

func (d *Desk) placeFields(p plan.Placement) []Field {
	own, _ := d.figures()
	count := ""
	if p.Count > 0 {
		count = strconv.Itoa(p.Count)
	}
	return []Field{
		d.choice("figure", p.Figure, own), d.text("count", count), d.text("spacing", d.cm(p.Spacing)), d.text("margin", d.cm(p.Margin)),
		d.text("upright", strconv.Itoa(max(1, p.Upright))), d.yes("mirrored", p.Mirror), d.yes("turned", p.Turned),
	}
}

// clothFields are the sizes of the cloth: what is settled before the stripes.
func (d *Desk) clothFields() []Field {
	c := d.steps.Now()
	out := []Field{d.text("name", c.Name), d.text("pieces", strconv.Itoa(c.Pieces))}
	in := func(f Field, key string, many bool) Field {
		f.Key2 = key
		if many {
			f.Word += " (" + key + ")"
		}
		return f
	}
	for _, p := range c.Panels {
		out = append(out, in(d.text("width", d.cm(p.Width)), p.Key, len(c.Panels) > 1))
		length := ""
		if p.Length > 0 {
			length = d.cm(p.Length)
		}
		out = append(out, in(d.text("long", length), p.Key, len(c.Panels) > 1))
	}
	for _, w := range c.Warps {
		out = append(out, in(d.text("sett", d.perCM(w.Sett)), w.Key, len(c.Warps) > 1))
	}
	return append(out, d.text("all-picks", d.perCM(c.Picks)), d.choice("all-weft", c.Weft, d.yarnWords()),
		d.text("shrink-width", d.words.Num(float64(c.Shrink.Width)*100, 1)+" %"), d.text("shrink-length", d.words.Num(float64(c.Shrink.Length)*100, 1)+" %"))
}

// bandAt is the band at an address; nil if there is a group or nothing.
func bandAt(c plan.Cloth, at design.At) *plan.Band {
	for _, r := range design.Outline(c, at.In, at.Key) {
		if r.Band != nil && samePath(r.At.Path, at.Path) {
			return r.Band
		}
	}
	return nil
}

func stripeAt(c plan.Cloth, at design.At) *warp.Stripe {
	for _, r := range design.Outline(c, at.In, at.Key) {
		if r.Stripe != nil && samePath(r.At.Path, at.Path) {
			return r.Stripe
		}
	}
	return nil
}
