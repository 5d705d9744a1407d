package screen

import (
	"encoding/json"
	"slices"

	"urdir/check"
	"urdir/clothfile"
	"urdir/design"
	"urdir/internal/lang"
	"urdir/plan"
	"urdir/surface"
	"urdir/warp/frame"
)

// Bench is what lies ready beside the cloth.
type Bench struct {
	Lots    []Lot    `json:"lots"`
	Recipes []Recipe `json:"recipes"`
	Figures []Known  `json:"figures"`
	Frame   string   `json:"frame"` // of the workshop, as in a cloth file; empty if it has none
}

// Lot is yarn that can be laid: what the shelf holds of a colour.
type Lot struct {
	ID     string  `json:"id"`
	Label  string  `json:"label"`
	Letter string  `json:"letter"`
	Colour string  `json:"colour"`
	Fibre  string  `json:"fibre"`
	Count  string  `json:"count"`
	Skein  float64 `json:"skein"` // grams
	Grams  float64 `json:"grams"` // on the shelf
}

// Recipe is a way to dye that the workshop knows.
type Recipe struct {
	Key    string `json:"key"`
	Name   string `json:"name"`
	Shade  string `json:"shade"`  // its colour in words
	Colour string `json:"colour"` // about
	Fibres string `json:"fibres"` // cellulose or protein
}

// Known is a figure of the library.
type Known struct {
	Key  string `json:"key"`
	Name string `json:"name"`
	Text string `json:"text"` // as in a cloth file
	Sale string `json:"sale"`
}

// Desk is a cloth being designed. It is not safe for use by several goroutines.
//
// A plan is made after every step, without the frame, so that the picture
// follows the hand; Settle makes the whole plan, when the hand rests.
type Desk struct {
	words *lang.Words
	bench Bench
	frame *frame.Frame
	steps design.History[plan.Cloth]
	made  plan.Plan
	bad   check.Problems // of the cloth as it is
	said  check.Problems // of the last thing asked that could not be done
	fresh bool           // made is of the cloth as it is
	ideas []idea         // proposed last
	drawn *surface.PNG   // the last picture
}

// mostSteps is how far back one can go; a step shares what it did not change.
const mostSteps = 2000

// Open puts a cloth file on the table. The error is a *Unread when it cannot be
// read; it is then to be mended as a text.
func Open(text, language string, bench Bench) (*Desk, error) {
	words, err := lang.For(language)
	if err != nil {
		return nil, err
	}
	c, _, ps := clothfile.Read([]byte(text))
	if ps.Failed() {
		return nil, &Unread{ps}
	}
	d := &Desk{words: words, bench: bench, steps: design.NewHistory(c, mostSteps)}
	if f, _, ps := clothfile.Read([]byte("urdir: 1\n" + bench.Frame)); !ps.Failed() {
		d.frame = f.Frame
	}
	d.make()
	return d, nil
}

// Unread is a cloth file that cannot be read.
type Unread struct{ Problems check.Problems }

func (u *Unread) Error() string { return u.Problems.Error() }

// make plans the cloth without its frame. If it cannot be planned, the plan
// before stays, so that there is something to look at, and the problems say why.
func (d *Desk) make() {
	c := d.steps.Now()
	c.Frame = nil
	p, ps := plan.Make(c)
	d.bad, d.fresh = ps, !ps.Failed()
	if d.fresh {
		d.made = p
	}
}

// whole is the cloth with what the workshop adds: its frame, unless the cloth
// names one, and what may be sold of its figures.
func (d *Desk) whole() plan.Cloth {
	c := d.steps.Now()
	if c.Frame == nil {
		c.Frame = d.frame
	}
	c.Figures = slices.Clone(c.Figures)
	for i := range c.Figures {
		for _, k := range d.bench.Figures {
			if k.Key == c.Figures[i].Key {
				c.Figures[i].Sale = plan.Sale(k.Sale)
			}
		}
	}
	return c
}

// set is a step forward, or goes on with the last.
func (d *Desk) set(c plan.Cloth, did string, again bool) {
	if again {
		d.steps = d.steps.Again(did, c)
	} else {
		d.steps = d.steps.Do(did, c)
	}
	d.make()
}

// Undo goes a step back, Redo forward again; they say whether there was one.
func (d *Desk) Undo() bool {
	_, ok := d.steps.CanUndo()
	d.steps = d.steps.Undo()
	d.make()
	return ok
}

// Redo is described with Undo.
func (d *Desk) Redo() bool {
	_, ok := d.steps.CanRedo()
	d.steps = d.steps.Redo()
	d.make()
	return ok
}

// File is the cloth as a cloth file.
func (d *Desk) File() string { return string(clothfile.Write(d.steps.Now())) }

// Cloth is the cloth as it is.
func (d *Desk) Cloth() plan.Cloth { return d.steps.Now() }

// Ask does what is asked in JSON (see Request) and answers with the state.
func (d *Desk) Ask(text string) string {
	var q Request
	d.said = nil
	if err := json.Unmarshal([]byte(text), &q); err != nil {
		d.said.Wrong("", "unexpected", check.Args{"reason": err.Error()})
	} else {
		d.do(q)
	}
	return d.State()
}

// State is what a page shows after every step, as JSON.
func (d *Desk) State() string { return written(d.state()) }

// Settle is the numbers of the whole plan, as JSON (see Numbers).
func (d *Desk) Settle() string { return written(d.settle()) }

// Fields is what can be typed about one stripe or band, or about the cloth if
// the address is empty, as JSON: a list of Field.
func (d *Desk) Fields(at string) string {
	var a design.At
	if at != "" && json.Unmarshal([]byte(at), &a) != nil {
		return "[]"
	}
	return written(d.fields(a))
}

func written(v any) string {
	b, err := json.Marshal(v)
	if err != nil { // a number that is not one; a plan has none
		b, _ = json.Marshal(map[string]string{"error": err.Error()})
	}
	return string(b)
}
