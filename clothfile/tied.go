package clothfile

import (
	"strconv"

	"github.com/goccy/go-yaml/ast"

	"urdir/check"
	"urdir/measure"
	"urdir/plan"
	"urdir/warp/tie"
)

// tied reads what is tied of a panel before dyeing.
func (r *reader) tied(n ast.Node, path string, dst **plan.Tied) {
	t := plan.NewTied()
	begins := atStart
	r.mapping(n, path, fields{
		"undyed": r.toText(&t.Undyed),
		"bundle": r.toCount(&t.Setup.Bundle),
		"shift":  to(r, measure.ParseLength, &t.Setup.Shift),
		"before": to(r, measure.ParseShare, &t.Setup.Before),
		"begins": toChoice(r, &begins, atStart, atTurn),
		"marks": func(n ast.Node, path string) {
			r.items(n, path, func(n ast.Node, path string) { t.Marks = append(t.Marks, r.mark(n, path)) })
		},
	})
	t.Setup.AtTurn = begins == atTurn
	*dst = &t
}

// Which end of the warp on the frame weaving begins at.
const (
	atStart = "start"
	atTurn  = "turn"
)

func (r *reader) mark(n ast.Node, path string) (m tie.Mark) {
	said := len(r.ps)
	r.mapping(n, path, fields{
		"ends":   func(n ast.Node, path string) { r.ends(n, path, &m) },
		"from":   to(r, measure.ParseLength, &m.From),
		"to":     to(r, measure.ParseLength, &m.To),
		"every":  to(r, measure.ParseLength, &m.Every),
		"mirror": r.toYesNo(&m.Mirror),
	})
	if m.First == 0 && len(r.ps) == said {
		r.ps.Wrong(path, "tie-ends-unread", check.Args{"text": ""})
	}
	return m
}

// ends reads "10-40", or "10" for a single end.
func (r *reader) ends(n ast.Node, path string, m *tie.Mark) {
	s, ok := r.text(n, path)
	if !ok {
		return
	}
	first, last, ok := tie.ParseEnds(s)
	if !ok {
		r.ps.Wrong(path, "tie-ends-unread", check.Args{"text": clip(s)})
		return
	}
	m.First, m.Last = first, last
}

func writeTied(t *plan.Tied) (p parts) {
	usual := plan.NewTied()
	put(&p, "undyed", t.Undyed, usual.Undyed, text)
	put(&p, "bundle", t.Setup.Bundle, usual.Setup.Bundle, strconv.Itoa)
	put(&p, "shift", t.Setup.Shift, usual.Setup.Shift, length)
	put(&p, "before", t.Setup.Before, usual.Setup.Before, share)
	if t.Setup.AtTurn {
		p.add("begins", atTurn)
	}
	p.addLines("marks", list(t.Marks, func(m tie.Mark) string { return writeMark(m).flow() }))
	return p
}

func writeMark(m tie.Mark) (p parts) {
	p.add("ends", m.Ends())
	put(&p, "from", m.From, 0, length)
	p.add("to", length(m.To))
	put(&p, "every", m.Every, 0, length)
	put(&p, "mirror", m.Mirror, false, yesNo)
	return p
}
