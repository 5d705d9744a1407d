package workshop

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"strings"
	"sync"
	"time"

	"urdir/check"
	"urdir/clothfile"
	"urdir/internal/store"
	"urdir/plan"
	"urdir/warp/frame"
)

// Planned is a plan made of a sheet, with where its problems stand in the file.
type Planned struct {
	Plan     plan.Plan
	Problems check.Problems
	Source   clothfile.Source
}

// Failed says that there is no plan, only problems.
func (p Planned) Failed() bool { return p.Problems.Failed() }

// memo keeps plans that were made lately: making one is a pure function of its
// sheet, and pages ask for the same few again and again.
type memo struct {
	mu   sync.Mutex
	made map[string]Planned
}

// memoMost is how many plans are kept; a plan takes about 100 kB.
const memoMost = 400

// plan makes a plan, or finds one that differs only in whose it is and by when.
func (m *memo) plan(s Sheet) Planned {
	who, due := s.Customer, s.Due
	if who != "" {
		s.Customer = "someone" // that it is for somebody matters: some figures may not be sold
	}
	if _, err := time.Parse(time.DateOnly, due); err == nil {
		s.Due = ""
	}
	made := m.alike(s)
	made.Plan.Customer, made.Plan.Due = who, due
	return made
}

func (m *memo) alike(s Sheet) Planned {
	body, err := json.Marshal(s)
	if err != nil {
		return s.Make()
	}
	sum := sha256.Sum256(body)
	key := string(sum[:])
	m.mu.Lock()
	made, ok := m.made[key]
	m.mu.Unlock()
	if ok {
		return made
	}
	made = s.Make()
	m.mu.Lock()
	defer m.mu.Unlock()
	if len(m.made) >= memoMost || m.made == nil {
		m.made = map[string]Planned{}
	}
	m.made[key] = made
	return made
}

// Make plans a sheet.
func (s Sheet) Make() Planned {
	c, source, ps := clothfile.Read([]byte(s.Text))
	out := Planned{Source: source, Problems: ps}
	if ps.Failed() {
		return out
	}
	s.apply(&c)
	var more check.Problems
	out.Plan, more = plan.Make(c)
	out.Problems = append(out.Problems, more...)
	return out
}

// apply lays over a cloth what the order and the workshop say.
func (s Sheet) apply(c *plan.Cloth) {
	if s.Quantity > 0 {
		c.Pieces = s.Quantity
	}
	c.Customer, c.Due = s.Customer, s.Due
	if c.Frame == nil && s.Frame != "" {
		c.Frame = readFrame(s.Frame)
	}
	for i := range c.Figures {
		if sale, ok := s.Sale[c.Figures[i].Key]; ok {
			c.Figures[i].Sale = plan.Sale(sale)
		}
	}
	for i := range c.Yarns {
		if l, ok := s.Lots[c.Yarns[i].Key]; ok {
			c.Yarns[i].Label, c.Yarns[i].Letter, c.Yarns[i].Colour = l.Label, l.Letter, l.Colour
		}
	}
	if len(s.Lots) > 0 {
		ownLetters(c.Yarns)
	}
}

// ownLetters leaves a letter to the first yarn that has it; the others get one
// with the plan. Lots are lettered without regard to one another.
func ownLetters(ys []plan.Yarn) {
	seen := map[string]bool{"": true}
	for i := range ys {
		if seen[strings.ToUpper(ys[i].Letter)] {
			ys[i].Letter = ""
		}
		seen[strings.ToUpper(ys[i].Letter)] = true
	}
}

// readFrame reads the frame's part of a cloth file; nil if it cannot be read.
func readFrame(text string) *frame.Frame {
	c, _, ps := clothfile.Read([]byte("urdir: 1\n" + text))
	if ps.Failed() || c.Frame == nil || c.Frame.Validate().Failed() {
		return nil
	}
	return c.Frame
}

// sheet gathers what a line of an order is planned from.
func (h *House) sheet(tx *store.Tx, text string, o Order, l Line) (Sheet, error) {
	s := Sheet{Text: text, Quantity: l.Quantity, Due: o.Due, Sale: map[string]string{}, Lots: map[string]Lot{}}
	if o.Customer != "" {
		c, err := customers.get(tx, o.Customer)
		if err != nil {
			return s, err
		}
		s.Customer = c.Value.Name
	}
	set, err := readSettings(tx)
	if err != nil {
		return s, err
	}
	if len(set.Value.Frames) > 0 {
		s.Frame = set.Value.Frames[0].Text
	}
	figs, err := figures.list(tx, Page{}, false)
	if err != nil {
		return s, err
	}
	for _, f := range figs.Items {
		key := figureKey(f.Value.Name)
		if s.Sale[key] == "" || s.Sale[key] == "yes" { // of two of a name, the stricter
			s.Sale[key] = f.Value.Sale
		}
	}
	for yarn, id := range l.Lots {
		lot, err := lots.get(tx, id)
		if err != nil {
			return s, err
		}
		s.Lots[yarn] = lot.Value
	}
	return s, nil
}

// Change is a number that differs between two plans.
type Change struct {
	Path     string
	Was, Now any
}

// Changes compares the main numbers of two plans: those a weaver would notice.
func Changes(was, now plan.Plan) (out []Change) {
	before := map[string]any{}
	for _, n := range was.Numbers() {
		before[n.Path] = n.Value
	}
	for _, n := range now.Numbers() {
		if !notable(n.Path) {
			continue
		}
		old, ok := before[n.Path]
		if !ok {
			out = append(out, Change{n.Path, nil, n.Value})
		} else if differ(old, n.Value) {
			out = append(out, Change{n.Path, old, n.Value})
		}
		delete(before, n.Path)
	}
	for _, n := range was.Numbers() {
		if _, gone := before[n.Path]; gone && notable(n.Path) {
			out = append(out, Change{n.Path, n.Value, nil})
		}
	}
	return out
}

// notable leaves out what follows from other numbers stripe by stripe and band
// by band.
func notable(path string) bool {
	for _, c := range path {
		if c == '[' {
			return false
		}
	}
	return true
}

func differ(a, b any) bool {
	x, y := reflect.ValueOf(a), reflect.ValueOf(b)
	if x.CanInt() && y.CanInt() {
		return x.Int() != y.Int()
	}
	return x.CanFloat() && y.CanFloat() && math.Abs(x.Float()-y.Float()) > 1e-6*math.Max(1, math.Abs(x.Float()))
}

// freeze keeps the sheet and the plan of a line as they are now.
func (h *House) freeze(tx *store.Tx, o Kept[Order], l Line) (plan.Plan, error) {
	v, err := versions.get(tx, versionID(l.Cloth, l.Version))
	if err != nil {
		return plan.Plan{}, err
	}
	s, err := h.sheet(tx, v.Value.Text, o.Value, l)
	if err != nil {
		return plan.Plan{}, err
	}
	made := h.plans.plan(s)
	if made.Failed() {
		return plan.Plan{}, &Error{Code: Invalid, Problems: under(fmt.Sprintf("lines.%s", l.ID), made.Problems)}
	}
	body, err := json.Marshal(made.Plan)
	if err != nil {
		return plan.Plan{}, err
	}
	_, err = frozens.put(tx, Kept[Frozen]{ID: o.ID + "." + l.ID, Value: Frozen{
		Order: o.ID, Line: l.ID, Cloth: l.Cloth, Version: l.Version, Sheet: s, Plan: string(body)}})
	return made.Plan, err
}

func under(path string, ps check.Problems) (out check.Problems) {
	out.Under(path, ps)
	return out
}

// Drawn is the figure as a chart to be drawn by itself, at a usual sett and
// picks; ok is false if its text cannot be read.
func (f Figure) Drawn() (p plan.Plan, c *plan.Chart, ok bool) {
	read, ps := f.Chart()
	if ps.Failed() || len(read.Figures) != 1 {
		return p, nil, false
	}
	return plan.Alone(read.Figures[0])
}

// DrawnFrame is a frame as read from its text, or what is wrong with it.
type DrawnFrame struct {
	Frame    *frame.Frame
	Problems check.Problems
}

// ReadFrame reads a frame's text.
func ReadFrame(text string) DrawnFrame {
	return DrawnFrame{readFrame(text), frameProblems(text)}
}

// Warp is a warp that shows the frame with its longest way; nil if there is no
// frame.
func (d DrawnFrame) Warp() *plan.WarpPlan {
	if d.Frame == nil {
		return nil
	}
	longest := d.Frame.Longest()
	return &plan.WarpPlan{Frame: d.Frame, Path: &longest.Path}
}
