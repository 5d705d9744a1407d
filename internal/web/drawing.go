package web

import (
	"encoding/json"
	"strings"

	"urdir/check"
	"urdir/clothfile"
	"urdir/design"
	"urdir/figure"
	"urdir/internal/screen"
	"urdir/internal/workshop"
	"urdir/measure"
	"urdir/plan"
)

// drawView is a figure on the board.
type drawView struct {
	workshop.Kept[workshop.Figure]
	Words   string // JSON, for what the page itself says
	Yarns   string // JSON: what colours may be
	Sett    measure.PerCM
	Picks   measure.PerCM
	Columns string // of a new figure, as asked for
	Rows    string
	Kind    string
}

// MaxPhoto is how many bytes a picture may have.
func (drawView) MaxPhoto() int { return maxPhoto }

// drawWords are the words the page's script needs, without "draw-".
var drawWords = []string{"unsaved", "reading", "away", "too-big", "older"}

// The figure that is drawn when nothing else is asked for.
const (
	newColumns = 21
	newRows    = 21
)

// drawPage puts a figure on the board, a kept one or a new one.
func drawPage(v *visit) error {
	id := v.r.PathValue("id")
	if id == "" {
		return v.newDrawing()
	}
	k, err := v.s.house.Figure(v.r.Context(), v.Person, id)
	if err != nil {
		return err
	}
	view, err := v.board(k)
	if err != nil {
		return err
	}
	return v.page("figure-draw", v.drawTitle(k), view)
}

// newDrawing is a blank figure of the kind and size the address asks for; one
// that cannot be made is said, and a usual one is there.
func (v *visit) newDrawing() error {
	q := v.r.URL.Query()
	kind := figure.Brocade
	if q.Get("kind") == string(figure.PickUp) {
		kind = figure.PickUp
	}
	f := &form{v: v}
	columns, rows := f.asked("columns", newColumns), f.asked("rows", newRows)
	yarns, err := v.yarns()
	if err != nil {
		return err
	}
	text, ps := blank(kind, rows, columns, yarns)
	if ps = append(f.ps, ps...); ps.Failed() {
		v.Problems = ps
		text, _ = blank(kind, newRows, newColumns, yarns)
	}
	view, err := v.board(workshop.Kept[workshop.Figure]{Value: workshop.Figure{Sale: "yes", Text: text}})
	if err != nil {
		return err
	}
	view.Columns, view.Rows, view.Kind = q.Get("columns"), q.Get("rows"), string(kind)
	return v.page("figure-draw", v.drawTitle(view.Kept), view)
}

// asked reads a whole number of the address.
func (f *form) asked(name string, usual int) int {
	s := strings.TrimSpace(f.v.r.URL.Query().Get(name))
	if s == "" {
		return usual
	}
	return f.wholeOf(name, s)
}

// blank is the text of a figure of ground, in the first yarns there are, with
// the usual limit for floats.
func blank(kind figure.Kind, rows, columns int, yarns []screen.Chip) (string, check.Problems) {
	symbols := []figure.Symbol{{Char: 'x', Yarn: "figure"}}
	if kind == figure.PickUp {
		symbols = append(symbols, figure.Symbol{Char: 'o', Yarn: "figure-2"})
	}
	for i := range symbols {
		if i < len(yarns) {
			symbols[i].Yarn = yarns[i].Yarn
		}
	}
	c, ps := figure.Parse(string(figure.Ground), symbols)
	if ps.Failed() {
		return "", ps
	}
	c.Kind, c.Way, c.Cell, c.Limit = kind, figure.Each, figure.Cell{Ends: 6, Picks: 2}, plan.AloneFloat
	if kind == figure.PickUp {
		c.Cell = figure.Cell{Ends: 2, Picks: 1}
	}
	g, ps := design.NewGrid(c, rows, columns)
	if ps.Failed() {
		return "", ps
	}
	c, ps = g.Chart()
	return clothfile.WriteFigure(plan.Figure{Chart: c, Sale: plan.SaleYes}), ps
}

func (v *visit) drawTitle(k workshop.Kept[workshop.Figure]) string {
	if k.ID == "" {
		return v.T("draw-new")
	}
	return v.T("draw") + ": " + k.Value.Name
}

// board gathers what the page of a drawing needs, and lets the page run the
// program.
func (v *visit) board(k workshop.Kept[workshop.Figure]) (drawView, error) {
	out := drawView{Kept: k, Sett: plan.AloneSett, Picks: plan.AlonePicks}
	words := map[string]string{}
	for _, w := range drawWords {
		words[w] = v.T("draw-" + w)
	}
	yarns, err := v.yarns()
	if err != nil {
		return out, err
	}
	w, err := json.Marshal(words)
	if err != nil {
		return out, err
	}
	y, err := json.Marshal(yarns)
	if err != nil {
		return out, err
	}
	out.Words, out.Yarns = string(w), string(y)
	v.w.Header().Set("Content-Security-Policy", policy("script-src 'self' 'wasm-unsafe-eval'")) // the board is a program
	return out, nil
}

// figureAgain shows the form a figure was sent from, with what was typed.
func (v *visit) figureAgain(err error, k workshop.Kept[workshop.Figure]) error {
	if v.r.PostForm.Get("page") != "draw" {
		return v.again(err, "figure-form", v.titleOf("figure-new", k.ID, k.Value.Name), k)
	}
	view, e := v.board(k)
	if e != nil {
		return e
	}
	return v.again(err, "figure-draw", v.drawTitle(k), view)
}
