package screen

import (
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
	Seed  uint64    `json:"seed"`
}

// did is a change and the words for it, as undo shows them.
type did = func(*Desk, Request) (plan.Cloth, check.Problems)

// deeds is everything that can be asked, by name; the words are "desk-" and it.
var deeds = map[string]did{
	"remove":    func(d *Desk, q Request) (plan.Cloth, check.Problems) { return design.Remove(d.now.cloth, q.At) },
	"duplicate": func(d *Desk, q Request) (plan.Cloth, check.Problems) { return design.Duplicate(d.now.cloth, q.At) },
	"move": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		c, _, ps := design.Move(d.now.cloth, q.At, q.To)
		return c, ps
	},
	"repeat": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		return design.Repeat(d.now.cloth, q.At, q.Count, max(2, q.Own))
	},
	"mirror": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		return design.Mirror(d.now.cloth, q.At, q.Count)
	},
	"times": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		return design.SetTimes(d.now.cloth, q.At, q.Count)
	},
	"ungroup": func(d *Desk, q Request) (plan.Cloth, check.Problems) { return design.Ungroup(d.now.cloth, q.At) },
	"recolour": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		return design.Recolour(d.now.cloth, q.At, q.Which, q.Yarn)
	},
	"alternate": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		return design.Alternate(d.now.cloth, q.At, q.Yarn, max(1, q.Own), max(1, q.Other))
	},
	"plain": func(d *Desk, q Request) (plan.Cloth, check.Problems) { return design.Plain(d.now.cloth, q.At, q.Which) },
	"split": func(d *Desk, q Request) (plan.Cloth, check.Problems) { return design.Split(d.now.cloth, q.At, q.Count) },
	"join":  func(d *Desk, q Request) (plan.Cloth, check.Problems) { return design.Join(d.now.cloth, q.At) },
	"stripe": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		return design.InsertStripe(d.now.cloth, q.At, warp.Stripe{Yarns: []warp.Lay{{Yarn: q.Yarn}}, Ends: max(1, q.Count)})
	},
	"size":  resize,
	"widen": widen,
	"name": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		c := d.now.cloth
		c.Name = q.Text
		return c, nil
	},
}

// resize gives a stripe the size typed.
func resize(d *Desk, q Request) (plan.Cloth, check.Problems) {
	var ps check.Problems
	v, code := measure.ParseNumber(q.Text)
	if code != "" {
		ps.Wrong("", code, check.Args{"text": q.Text, "unit": q.Unit, "want": []string{"ends", "cm", "parts"}})
		return d.now.cloth, ps
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
			return d.now.cloth, ps
		}
		size.Ends = int(v)
	}
	return design.SetSize(d.now.cloth, q.At, size)
}

// widen moves the boundary after an end by so many ends.
func widen(d *Desk, q Request) (plan.Cloth, check.Problems) {
	c, _, ps := design.WidenAt(d.now.cloth, q.At.Key, q.Which, q.Count)
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
	deed, ok := deeds[q.Do]
	if !ok {
		d.said.Wrong("", "unexpected", check.Args{"reason": q.Do})
		return
	}
	c, ps := deed(d, q)
	if ps.Failed() {
		d.said = ps
		return
	}
	d.set(c, q.Do)
}
