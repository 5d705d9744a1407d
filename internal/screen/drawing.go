package screen

import (
	"encoding/json"
	"errors"
	"math"
	"slices"

	"urdir/check"
	"urdir/clothfile"
	"urdir/design"
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/plan"
)

// Drawing is a figure being drawn, cell by cell. It is not safe for use by
// several goroutines.
type Drawing struct {
	words *lang.Words
	yarns []Chip // what colours may be, and how they look
	sett  measure.PerCM
	picks measure.PerCM
	steps design.History[drawn]
	trial *design.Grid // shown in place of the drawing, until the next thing asked
	clip  *design.Grid // what was copied
	said  check.Problems
	bars  map[string][]uint16 // see Barred
}

// drawn is a figure: its chart as a grid, and what else its text says.
type drawn struct {
	grid  design.Grid
	story plan.Figure
}

// Surroundings are where a figure is to be woven; zero sett and picks are not
// known, and taken as usual. Yarns are those its colours may have; a colour of
// another is shown in a colour of its own.
type Surroundings struct {
	Sett  measure.PerCM `json:"sett"`
	Picks measure.PerCM `json:"picks"`
	Yarns []Chip        `json:"yarns"`
}

// OpenDrawing puts a figure's text (see clothfile.ReadFigure) on the table. The
// error is a *Unread when it cannot be read.
func OpenDrawing(text, language string, in Surroundings) (*Drawing, error) {
	words, err := lang.For(language)
	if err != nil {
		return nil, err
	}
	now, ps := readDrawn(text)
	if ps.Failed() {
		return nil, &Unread{ps}
	}
	d := &Drawing{words: words, yarns: in.Yarns, sett: plan.AloneSett, picks: plan.AlonePicks, bars: map[string][]uint16{},
		steps: design.NewHistory(now, math.MaxInt)}
	if in.Sett > 0 {
		d.sett = in.Sett
	}
	if in.Picks > 0 {
		d.picks = in.Picks
	}
	return d, nil
}

// ReadProblems are the problems of a text that OpenDrawing refused, in words.
func ReadProblems(err error, language string) []Said {
	words, e := lang.For(language)
	var unread *Unread
	if e != nil || !errors.As(err, &unread) {
		return []Said{}
	}
	return say(words, unread.Problems)
}

// figureKey is the name figures have here; which, their text does not say.
const figureKey = "figure"

// readDrawn reads a figure's text. A chart that cannot be woven, in pick-up of
// too many colours, is refused as it would be if it were drawn so.
func readDrawn(text string) (drawn, check.Problems) {
	c, ps := clothfile.ReadFigure(figureKey, text)
	switch {
	case ps.Failed():
		return drawn{}, ps
	case len(c.Figures) != 1:
		ps.Wrong("", "chart-missing", check.Args{"figure": figureKey})
		return drawn{}, ps
	}
	f := c.Figures[0]
	g, ps := design.GridOf(f.Chart).Reformed(func(*design.Form) {})
	return drawn{g, f}, ps
}

// Text is the figure as OpenDrawing reads it.
func (d *Drawing) Text() string {
	now := d.steps.Now()
	f := now.story
	f.Chart, _ = now.grid.Chart() // a grid is always drawn in colours of its own
	return clothfile.WriteFigure(f)
}

// Grid is the drawing as it is shown.
func (d *Drawing) Grid() design.Grid {
	if d.trial != nil {
		return *d.trial
	}
	return d.steps.Now().grid
}

// Ask does what is asked in JSON (see Stroke) and answers with the state.
func (d *Drawing) Ask(text string) string {
	var q Stroke
	d.said, d.trial = nil, nil
	if err := json.Unmarshal([]byte(text), &q); err != nil {
		d.said.Wrong("", "unexpected", check.Args{"reason": err.Error()})
	} else {
		d.do(q)
	}
	return d.State()
}

// do does what is asked, or says why not.
func (d *Drawing) do(q Stroke) {
	now := d.steps.Now()
	switch q.Do {
	case "":
		return
	case "undo":
		d.steps = d.steps.Undo()
		return
	case "redo":
		d.steps = d.steps.Redo()
		return
	case "density":
		d.density(q)
		return
	case "copy":
		d.copy(q)
		return
	case "text":
		then, ps := readDrawn(q.Text)
		if ps.Failed() {
			d.said = ps
			return
		}
		d.step(q.Do, then)
		return
	}
	deed, ok := strokes[q.Do]
	if !ok {
		d.said.Wrong("", "unexpected", check.Args{"reason": q.Do})
		return
	}
	g, ps := deed(d, now.grid, q)
	switch {
	case ps.Failed():
		d.said = ps
	case q.Trial:
		d.trial = &g
	default:
		d.step(q.Do, drawn{g, now.story})
	}
}

// step is a step forward, unless nothing changed.
func (d *Drawing) step(did string, then drawn) {
	now := d.steps.Now()
	same := now.grid.Form() == then.grid.Form() && slices.Equal(now.grid.Colours(), then.grid.Colours()) &&
		now.grid.String() == then.grid.String() && sameStory(now.story, then.story)
	if !same {
		d.steps = d.steps.Do(did, then)
	}
}

// sameStory compares what texts say of figures beside their charts.
func sameStory(a, b plan.Figure) bool {
	return a.Origin == b.Origin && a.Meaning == b.Meaning && a.Owner == b.Owner && a.Sale == b.Sale && a.Ask == b.Ask
}

// density sets sett and picks, which are not part of the figure.
func (d *Drawing) density(q Stroke) {
	for _, x := range []struct {
		path, text string
		to         *measure.PerCM
	}{{"sett", q.Sett, &d.sett}, {"picks", q.Picks, &d.picks}} {
		v, code := measure.ParseNumber(x.text)
		switch {
		case code != "":
			d.said.Wrong(x.path, code, check.Args{"text": x.text, "unit": "/cm", "want": []string{"/cm"}})
		case v < 1 || v > 100:
			d.said.Wrong(x.path, "out-of-range", check.Args{"value": v, "low": 1.0, "high": 100.0})
		default:
			*x.to = measure.PerCM(v)
		}
	}
	clear(d.bars)
}

// copy remembers a part of the drawing.
func (d *Drawing) copy(q Stroke) {
	part, ps := d.Grid().Copy(q.part(d.Grid()))
	if ps.Failed() {
		d.said = ps
		return
	}
	d.clip = &part
}
