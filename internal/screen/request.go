package screen

import (
	"strings"

	"urdir/check"
	"urdir/design"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp"
)

// Request is one thing asked of a desk. Which fields are used is said with its
// kind in do.
type Request struct {
	Do    string    `json:"do"`
	At    design.At `json:"at"`
	To    design.At `json:"to"`
	Count int       `json:"count"` // items, times, ends
	Own   int       `json:"own"`
	Other int       `json:"other"`
	Which int       `json:"which"`
	Yarn  string    `json:"yarn"`
	Text  string    `json:"text"` // a quantity as typed
	Unit  string    `json:"unit"` // ends, cm or parts
	Kind  string    `json:"kind"`
	Dye   string    `json:"dye"` // key of a recipe
	Seed  uint64    `json:"seed"`
	Tie   TieAsked  `json:"tie"`
	Again bool      `json:"again"` // goes on with the step before, as while dragging: one step to undo
}

// did is a change and the words for it, as undo shows them.
type did = func(*Desk, Request) (plan.Cloth, check.Problems)

// deeds is everything that can be asked, by name; the words are "desk-" and it.
var deeds = map[string]did{
	"remove":    func(d *Desk, q Request) (plan.Cloth, check.Problems) { return design.Remove(d.steps.Now(), q.At) },
	"duplicate": func(d *Desk, q Request) (plan.Cloth, check.Problems) { return design.Duplicate(d.steps.Now(), q.At) },
	"move": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		c, _, ps := design.Move(d.steps.Now(), q.At, q.To)
		return c, ps
	},
	"repeat": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		return design.Repeat(d.steps.Now(), q.At, q.Count, max(2, q.Own))
	},
	"mirror": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		return design.Mirror(d.steps.Now(), q.At, q.Count)
	},
	"times": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		return design.SetTimes(d.steps.Now(), q.At, q.Count)
	},
	"ungroup": func(d *Desk, q Request) (plan.Cloth, check.Problems) { return design.Ungroup(d.steps.Now(), q.At) },
	"recolour": inYarn(func(c plan.Cloth, yarn string, q Request) (plan.Cloth, check.Problems) {
		return design.Recolour(c, q.At, q.Which, yarn)
	}),
	"alternate": inYarn(func(c plan.Cloth, yarn string, q Request) (plan.Cloth, check.Problems) {
		return design.Alternate(c, q.At, yarn, max(1, q.Own), max(1, q.Other))
	}),
	"plain": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		return design.Plain(d.steps.Now(), q.At, q.Which)
	},
	"split": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		return design.Split(d.steps.Now(), q.At, q.Count)
	},
	"join": func(d *Desk, q Request) (plan.Cloth, check.Problems) { return design.Join(d.steps.Now(), q.At) },
	"stripe": inYarn(func(c plan.Cloth, yarn string, q Request) (plan.Cloth, check.Problems) {
		return design.InsertStripe(c, q.At, warp.Stripe{Yarns: []warp.Lay{{Yarn: yarn}}, Ends: max(1, q.Count)})
	}),
	"band": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		b := plan.NewBand()
		b.Kind, b.Length = plan.Woven, newBandLength
		return design.InsertBand(d.steps.Now(), q.At, b)
	},
	"shuffle": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		return design.Shuffle(d.steps.Now(), q.At, q.Count, q.Seed)
	},
	"fill":          fill,
	"size":          resize,
	"widen":         widen,
	"use":           use,
	"colour":        newColour,
	"draw-figure":   drawFigure,
	"known-figure":  knownFigure,
	"remove-figure": dropFigure,
}

// newBandLength is how long a band is before anyone says.
const newBandLength measure.CM = 5

// inYarn is a deed with a yarn, which may be a lot that is not in the cloth yet.
func inYarn(do func(c plan.Cloth, yarn string, q Request) (plan.Cloth, check.Problems)) did {
	return func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		c, key, ps := d.with(d.steps.Now(), q.Yarn)
		if ps.Failed() {
			return c, ps
		}
		return do(c, key, q)
	}
}

// fill lets a stripe take up what the others leave of the width there is.
func fill(d *Desk, q Request) (plan.Cloth, check.Problems) {
	var width measure.CM
	for _, p := range d.steps.Now().Panels {
		if p.Warp == q.At.Key {
			width = p.Width
		}
	}
	return design.FitTo(d.steps.Now(), q.At, width)
}

// resize gives a stripe the size typed.
func resize(d *Desk, q Request) (plan.Cloth, check.Problems) {
	var ps check.Problems
	v, code := measure.ParseNumber(q.Text)
	if code != "" {
		ps.Wrong("", code, check.Args{"text": q.Text, "unit": q.Unit, "want": []string{"ends", "cm", "parts"}})
		return d.steps.Now(), ps
	}
	var size design.Size
	switch q.Unit {
	case "cm":
		size.Width = measure.CM(v)
	case "parts":
		size.Share = v
	default:
		if v != float64(int(v)) {
			ps.Wrong("", "number-not-whole", check.Args{"text": q.Text})
			return d.steps.Now(), ps
		}
		size.Ends = int(v)
	}
	return design.SetSize(d.steps.Now(), q.At, size)
}

// widen moves the boundary after an end by so many ends.
func widen(d *Desk, q Request) (plan.Cloth, check.Problems) {
	c, _, ps := design.WidenAt(d.steps.Now(), q.At.Key, q.Which, q.Count)
	return c, ps
}

// do does what is asked, or says why not.
func (d *Desk) do(q Request) {
	switch q.Do {
	case "undo":
		d.Undo()
		return
	case "redo":
		d.Redo()
		return
	case "":
		return
	}
	c, ps := d.done(q)
	if !ps.Failed() {
		ps = append(ps, unreadable(q.Do, c)...)
	}
	if ps.Failed() {
		d.said = ps
		return
	}
	d.set(c, q.Do, q.Again)
	d.said = ps // cautions
}

// done is the cloth after what is asked.
func (d *Desk) done(q Request) (plan.Cloth, check.Problems) {
	if key, ok := strings.CutPrefix(q.Do, "set-"); ok {
		return d.put(key, q)
	}
	if deed, ok := deeds[q.Do]; ok {
		return deed(d, q)
	}
	if deed, ok := tiedDeeds[q.Do]; ok {
		return deed(d, q)
	}
	var ps check.Problems
	ps.Wrong("", "unexpected", check.Args{"reason": q.Do})
	return d.steps.Now(), ps
}
