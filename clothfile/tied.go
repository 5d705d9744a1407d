package clothfile

import (
	"strconv"

	"urdir/check"
	"urdir/internal/yamlfile"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp/tie"
)

// toTied reads what is tied of a panel before dyeing.
func toTied(to **plan.Tied) func(*yamlfile.Node) {
	return func(n *yamlfile.Node) {
		t := plan.NewTied()
		begins := atStart
		fields{
			"undyed": yamlfile.ToText(&t.Undyed),
			"bundle": yamlfile.ToCount(&t.Setup.Bundle),
			"shift":  yamlfile.To(measure.ParseLength, &t.Setup.Shift),
			"before": yamlfile.To(measure.ParseShare, &t.Setup.Before),
			"begins": yamlfile.ToChoice(&begins, atStart, atTurn),
			"marks":  yamlfile.ToList(&t.Marks, toMark),
		}.Read(n)
		t.Setup.AtTurn = begins == atTurn
		*to = &t
	}
}

// Which end of the warp on the frame weaving begins at.
const (
	atStart = "start"
	atTurn  = "turn"
)

func toMark(m *tie.Mark) func(*yamlfile.Node) {
	return func(n *yamlfile.Node) {
		before := n.Found()
		fields{
			"ends":   toEnds(m),
			"from":   yamlfile.To(measure.ParseLength, &m.From),
			"to":     yamlfile.To(measure.ParseLength, &m.To),
			"every":  yamlfile.To(measure.ParseLength, &m.Every),
			"mirror": yamlfile.ToYesNo(&m.Mirror),
		}.Read(n)
		if m.First == 0 && n.Found() == before {
			n.Refuse("tie-ends-unread", check.Args{"text": ""})
		}
	}
}

// toEnds reads "10-40", or "10" for a single end.
func toEnds(m *tie.Mark) func(*yamlfile.Node) {
	return yamlfile.FromText(func(n *yamlfile.Node, s string) {
		first, last, ok := tie.ParseEnds(s)
		if !ok {
			n.Refuse("tie-ends-unread", check.Args{"text": yamlfile.Clip(s)})
			return
		}
		m.First, m.Last = first, last
	})
}

func writeTied(t *plan.Tied) (p yamlfile.Parts) {
	usual := plan.NewTied()
	p.Text("undyed", t.Undyed, usual.Undyed)
	yamlfile.Put(&p, "bundle", t.Setup.Bundle, usual.Setup.Bundle, strconv.Itoa)
	yamlfile.Put(&p, "shift", t.Setup.Shift, usual.Setup.Shift, length)
	yamlfile.Put(&p, "before", t.Setup.Before, usual.Setup.Before, share)
	if t.Setup.AtTurn {
		p.Add("begins", atTurn)
	}
	p.AddLines("marks", yamlfile.List(t.Marks, func(m tie.Mark) string { return writeMark(m).Flow() }))
	return p
}

func writeMark(m tie.Mark) (p yamlfile.Parts) {
	p.Add("ends", m.Ends())
	yamlfile.Put(&p, "from", m.From, 0, length)
	p.Add("to", length(m.To))
	yamlfile.Put(&p, "every", m.Every, 0, length)
	yamlfile.Put(&p, "mirror", m.Mirror, false, yamlfile.YesNo)
	return p
}
