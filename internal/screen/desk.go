package screen

import (
	"encoding/json"
	"errors"

	"urdir/check"
	"urdir/clothfile"
	"urdir/internal/lang"
	"urdir/plan"
)

// Lot is yarn that can be laid: what the shelf holds of a colour.
type Lot struct {
	ID     string  `json:"id"`
	Label  string  `json:"label"`
	Letter string  `json:"letter"`
	Colour string  `json:"colour"`
	Fibre  string  `json:"fibre"`
	Count  string  `json:"count"`
	Grams  float64 `json:"grams"`
}

// Desk is a cloth being designed. It is not safe for use by several goroutines.
type Desk struct {
	words *lang.Words
	lots  []Lot
	now   step
	past  []step
	ahead []step
	made  plan.Plan
	bad   check.Problems // of the cloth as it is
	said  check.Problems // of the last thing asked that could not be done
	fresh bool           // made is of the cloth as it is
}

// step is a cloth and what was done to get there.
type step struct {
	cloth plan.Cloth
	did   string
}

// mostSteps is how far back one can go; a step shares what it did not change.
const mostSteps = 2000

// Open puts a cloth file on the table. The error is a *Unread when it cannot be
// read; it is then to be mended as a text.
func Open(text, language string, lots []Lot) (*Desk, error) {
	words, err := lang.For(language)
	if err != nil {
		return nil, err
	}
	c, _, ps := clothfile.Read([]byte(text))
	if ps.Failed() {
		return nil, &Unread{ps}
	}
	d := &Desk{words: words, lots: lots, now: step{cloth: c}}
	d.make()
	return d, nil
}

// Unread is a cloth file that cannot be read.
type Unread struct{ Problems check.Problems }

func (u *Unread) Error() string { return u.Problems.Error() }

// make plans the cloth. If it cannot be planned, the plan before stays, so that
// there is something to look at, and the problems say why.
func (d *Desk) make() {
	p, ps := plan.Make(d.now.cloth)
	d.bad, d.fresh = ps, !ps.Failed()
	if d.fresh {
		d.made = p
	}
}

// set is a step forward.
func (d *Desk) set(c plan.Cloth, did string) {
	d.past = append(d.past, d.now)
	if len(d.past) > mostSteps {
		d.past = d.past[1:]
	}
	d.now, d.ahead = step{c, did}, nil
	d.make()
}

// Undo goes a step back, Redo forward again; they say whether there was one.
func (d *Desk) Undo() bool {
	n := len(d.past)
	if n == 0 {
		return false
	}
	d.ahead = append(d.ahead, d.now)
	d.now, d.past = d.past[n-1], d.past[:n-1]
	d.make()
	return true
}

// Redo is described with Undo.
func (d *Desk) Redo() bool {
	n := len(d.ahead)
	if n == 0 {
		return false
	}
	d.past = append(d.past, d.now)
	d.now, d.ahead = d.ahead[n-1], d.ahead[:n-1]
	d.make()
	return true
}

// File is the cloth as a cloth file.
func (d *Desk) File() string { return string(clothfile.Write(d.now.cloth)) }

// Cloth is the cloth as it is.
func (d *Desk) Cloth() plan.Cloth { return d.now.cloth }

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

// State is everything a page shows, as JSON.
func (d *Desk) State() string {
	b, err := json.Marshal(d.state())
	if err != nil {
		b, _ = json.Marshal(map[string]string{"error": errors.Join(errors.New("state"), err).Error()})
	}
	return string(b)
}
