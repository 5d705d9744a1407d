package screen

import (
	"slices"
	"strconv"
	"strings"

	"urdir/check"
	"urdir/design"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp/tie"
)

// TiedPanel is what is tied of a panel before dyeing, as a page shows it.
type TiedPanel struct {
	Key    string    `json:"key"`
	Title  string    `json:"title"`
	Count  string    `json:"count"` // bundles and ties; empty if there are none
	Undyed string    `json:"undyed"`
	Bundle string    `json:"bundle"`
	Shift  string    `json:"shift"`
	Before string    `json:"before"`
	Begins string    `json:"begins"` // start or turn
	Rows   []TiedRow `json:"rows"`
}

// TiedRow is one mark.
type TiedRow struct {
	Name   string `json:"name"`
	Ends   string `json:"ends"`
	From   string `json:"from"`
	To     string `json:"to"`
	Every  string `json:"every"`
	Mirror bool   `json:"mirror"`
}

// TieAsked is a mark or a setup as typed or drawn. Drawn lengths are as seen,
// from the lower edge of the panel.
type TieAsked struct {
	Ends   string `json:"ends"`
	From   string `json:"from"`
	To     string `json:"to"`
	Every  string `json:"every"`
	Mirror bool   `json:"mirror"`
	Drawn  bool   `json:"drawn"`

	Undyed string `json:"undyed"`
	Bundle string `json:"bundle"`
	Shift  string `json:"shift"`
	Before string `json:"before"`
	Begins string `json:"begins"`
}

// tiedDeeds is what can be asked of ties; At.Key is the panel, Which the mark.
var tiedDeeds = map[string]did{
	"tie": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		m, ps := d.mark(q)
		if ps.Failed() {
			return d.steps.Now(), ps
		}
		return d.tied(design.Tie(d.steps.Now(), q.At.Key, m))
	},
	"tie-change": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		m, ps := d.mark(q)
		if ps.Failed() {
			return d.steps.Now(), ps
		}
		return d.tied(design.SetTie(d.steps.Now(), q.At.Key, q.Which, m))
	},
	"untie": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		return design.Untie(d.steps.Now(), q.At.Key, q.Which)
	},
	"untie-all": func(d *Desk, q Request) (plan.Cloth, check.Problems) {
		return design.UntieAll(d.steps.Now(), q.At.Key)
	},
	"tie-setup": setTying,
}

// mark reads a mark as typed or drawn.
func (d *Desk) mark(q Request) (m tie.Mark, ps check.Problems) {
	first, last, ok := tie.ParseEnds(q.Tie.Ends)
	if !ok {
		ps.Wrong("", "tie-ends-unread", check.Args{"text": q.Tie.Ends})
	}
	cm := func(text string) measure.CM { return typed(text, "cm", measure.ParseLength, &ps) }
	m = tie.Mark{First: first, Last: last, From: cm(q.Tie.From), To: cm(q.Tie.To), Every: cm(q.Tie.Every), Mirror: q.Tie.Mirror}
	if !q.Tie.Drawn {
		return m, ps
	}
	for i := range d.made.Panels {
		if p := &d.made.Panels[i]; p.Key == q.At.Key {
			m.From, m.To = tenth(p.Opened(m.From)), tenth(p.Opened(m.To))
		}
	}
	return m, ps
}

// tenth is a length to the millimetre: no hand draws finer.
func tenth(v measure.CM) measure.CM {
	cm, err := measure.ParseLength(strconv.FormatFloat(float64(v), 'f', 1, 64) + " cm")
	if err != nil {
		return v
	}
	return cm
}

func setTying(d *Desk, q Request) (plan.Cloth, check.Problems) {
	var ps check.Problems
	s := tie.Setup{
		Bundle: whole(q.Tie.Bundle, &ps), Shift: typed(q.Tie.Shift, "cm", measure.ParseLength, &ps),
		Before: typed(q.Tie.Before, "%", measure.ParseShare, &ps), AtTurn: q.Tie.Begins == "turn",
	}
	if ps.Failed() {
		return d.steps.Now(), ps
	}
	return d.tied(design.SetTying(d.steps.Now(), q.At.Key, q.Tie.Undyed, s))
}

// tied refuses ties that cannot be made, unless the cloth cannot be made anyway.
func (d *Desk) tied(c plan.Cloth, ps check.Problems) (plan.Cloth, check.Problems) {
	if ps.Failed() || !d.fresh {
		return c, ps
	}
	bare := c
	bare.Frame = nil
	_, found := plan.Make(bare)
	found = slices.DeleteFunc(found, func(p check.Problem) bool { return p.Severity == check.Caution })
	return c, found
}

// tiedPanels lists what is tied of every panel.
func (d *Desk) tiedPanels() []TiedPanel {
	out := []TiedPanel{}
	w := d.words
	for _, p := range d.steps.Now().Panels {
		t, some := plan.NewTied(), p.Tied != nil
		if some {
			t = *p.Tied
		}
		v := TiedPanel{
			Key: p.Key, Title: w.T("desk-panel", check.Args{"panel": p.Key}), Undyed: t.Undyed, Bundle: strconv.Itoa(t.Setup.Bundle),
			Shift: d.cm(t.Setup.Shift), Before: w.Num(float64(t.Setup.Before)*100, 1) + " %", Begins: "start", Rows: []TiedRow{},
		}
		if t.Setup.AtTurn {
			v.Begins = "turn"
		}
		for i, m := range t.Marks {
			v.Rows = append(v.Rows, d.tiedRow(m, i, len(t.Marks)))
		}
		for i := range d.made.Panels {
			if made := &d.made.Panels[i]; some && made.Key == p.Key && made.Tied != nil {
				v.Count = w.T("desk-tied-count", check.Args{"bundles": w.N("desk-tied-bundles", len(made.Tied.Guide.Bundles), nil), "ties": w.N("desk-tied-ties", made.Tied.Ties, nil)})
			}
		}
		out = append(out, v)
	}
	return out
}

func (d *Desk) tiedRow(m tie.Mark, i, of int) TiedRow {
	r := TiedRow{Ends: m.Ends(), From: d.cm(m.From), To: d.cm(m.To), Mirror: m.Mirror}
	args := check.Args{"n": i + 1, "of": of, "first": m.First, "last": m.Last, "from": r.From, "to": r.To}
	parts := []string{d.words.T("desk-tied-row", args)}
	if m.Every > 0 {
		r.Every = d.cm(m.Every)
		parts = append(parts, d.words.T("desk-tied-every", check.Args{"every": r.Every}))
	}
	if m.Mirror {
		parts = append(parts, d.words.T("desk-tied-mirror", nil))
	}
	r.Name = strings.Join(parts, ", ")
	return r
}
