package workshop

import (
	"encoding/json"
	"slices"
	"time"

	"urdir/internal/store"
)

// OrderStep is how far an order is, in one word: what other programs are told.
type OrderStep string

// The steps of an order, in order; a cancelled one has no other.
const (
	StepDraft     OrderStep = "draft"
	StepConfirmed OrderStep = "confirmed" // nobody has a warp of it yet
	StepWeaving   OrderStep = "weaving"   // some warp is out
	StepWoven     OrderStep = "woven"     // every warp is back
	StepFinished  OrderStep = "finished"  // every piece can be delivered
	StepDelivered OrderStep = "delivered" // every piece is
	StepDone      OrderStep = "done"      // and everybody is paid
	StepCancelled OrderStep = "cancelled"
)

// OrderSteps is every step.
var OrderSteps = []OrderStep{StepDraft, StepConfirmed, StepWeaving, StepWoven, StepFinished, StepDelivered, StepDone, StepCancelled}

// Step is how far an order with these warps and pieces is. It follows from the facts.
func Step(o Order, js []Kept[Job], xs []Kept[Piece]) OrderStep {
	switch {
	case o.Cancelled != "":
		return StepCancelled
	case o.Confirmed == "":
		return StepDraft
	case o.Done != "":
		return StepDone
	}
	out, back, finished, delivered := false, len(js) > 0, len(xs) > 0, len(xs) > 0
	for _, j := range js {
		s := j.Value.State()
		out, back = out || s != Waiting, back && s == Off
	}
	for _, x := range xs {
		s := x.Value.State()
		delivered = delivered && s == Delivered
		finished = finished && (s == Finished || s == Delivered)
	}
	switch {
	case delivered:
		return StepDelivered
	case finished:
		return StepFinished
	case back:
		return StepWoven
	case out:
		return StepWeaving
	}
	return StepConfirmed
}

// Promised is the event that a day was promised; the others are the steps of an
// order, "order." before each. Ping is a trial.
const (
	eventPromised = "order.promised"
	eventPing     = "ping"
)

// HookEvents is everything other programs can be told.
var HookEvents = func() (out []string) {
	for _, s := range OrderSteps {
		out = append(out, "order."+string(s))
	}
	return append(out, eventPromised)
}()

// Event is what another program is told. It names nobody.
type Event struct {
	ID    string      `json:"id"` // the same however often it is sent
	Event string      `json:"event"`
	At    time.Time   `json:"at"`
	Order *EventOrder `json:"order,omitempty"`
}

// EventOrder is the order an event is about.
type EventOrder struct {
	ID     string    `json:"id"`
	Number int64     `json:"number"`
	Was    OrderStep `json:"was,omitempty"` // empty: it is new
	Step   OrderStep `json:"step"`
	Due    string    `json:"due,omitempty"` // date
}

// touched is the records of one order that were written, and what they were.
type touched struct {
	order  string            // body before; empty if it was not there
	fresh  bool              // the order itself was not there
	wrote  bool              // the order itself was written
	bodies map[string]string // of warps and pieces, by kind and id
}

// announce keeps messages for whoever wants to be told of what the transaction has
// written: they are on disk with it, or not at all.
func (h *House) announce(tx *store.Tx) error {
	of, err := touchedOrders(tx)
	if err != nil || len(of) == 0 {
		return err
	}
	to, err := hooks.list(tx, Page{State: string(HookOn) + "," + string(HookRests)}, false)
	if err != nil || len(to.Items) == 0 {
		return err
	}
	ids := make([]string, 0, len(of))
	for id := range of {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	for _, id := range ids {
		if err := h.announceOrder(tx, id, of[id], to.Items); err != nil {
			return err
		}
	}
	return nil
}

// touchedOrders is the orders of which something was written, by id.
func touchedOrders(tx *store.Tx) (map[string]*touched, error) {
	of := map[string]*touched{}
	at := func(id string) *touched {
		if of[id] == nil {
			of[id] = &touched{bodies: map[string]string{}}
		}
		return of[id]
	}
	for _, c := range tx.TakeChanged() {
		switch c.Kind {
		case orders.name:
			if t := at(c.ID); !t.wrote { // the first body is the one before all
				t.order, t.wrote, t.fresh = c.Before, true, c.Before == ""
			}
		case jobs.name, pieces.name:
			id, err := orderOf(tx, c)
			if err != nil {
				return nil, err
			}
			if t, key := at(id), c.Kind+c.ID; t.bodies[key] == "" {
				t.bodies[key] = c.Before
			}
		}
	}
	return of, nil
}

// orderOf is the order a warp or piece that was written is of.
func orderOf(tx *store.Tx, c store.Changed) (string, error) {
	body := c.Before
	if body == "" {
		r, err := tx.Get(c.Kind, c.ID)
		if missing(err) {
			return "", nil // made and taken away at once
		}
		if err != nil {
			return "", err
		}
		body = r.Body
	}
	var of struct{ Order string }
	err := json.Unmarshal([]byte(body), &of)
	return of.Order, err
}

// announceOrder compares an order with what it was before the transaction.
func (h *House) announceOrder(tx *store.Tx, id string, t *touched, to []Kept[Hook]) error {
	o, err := orders.get(tx, id)
	if missing(err) {
		return nil
	}
	if err != nil {
		return err
	}
	js, err := jobs.list(tx, Page{Parent: id}, false)
	if err != nil {
		return err
	}
	xs, err := pieces.list(tx, Page{Parent: id}, false)
	if err != nil {
		return err
	}
	now := Step(o.Value, js.Items, xs.Items)
	was, before, err := t.before(o.Value, js.Items, xs.Items)
	if err != nil {
		return err
	}
	e := Event{Event: "order." + string(now), Order: &EventOrder{ID: id, Number: o.Value.Number, Was: was, Step: now, Due: o.Value.Due}}
	if was != now {
		if err = h.tellHooks(tx, e, to); err != nil {
			return err
		}
	}
	if !t.wrote || before.Promise == o.Value.Promise {
		return nil
	}
	e.Event = eventPromised
	return h.tellHooks(tx, e, to)
}

// before is the step an order was at, and the order as it was.
func (t *touched) before(o Order, js []Kept[Job], xs []Kept[Piece]) (OrderStep, Order, error) {
	if t.fresh {
		return "", Order{}, nil
	}
	if t.wrote {
		o = Order{}
		if err := json.Unmarshal([]byte(t.order), &o); err != nil {
			return "", o, err
		}
	}
	oldJobs, err := asWere(js, jobs.name, t.bodies)
	if err != nil {
		return "", o, err
	}
	oldPieces, err := asWere(xs, pieces.name, t.bodies)
	return Step(o, oldJobs, oldPieces), o, err
}

// asWere is records with the bodies they had; those that are new are left out.
func asWere[T any](now []Kept[T], kind string, bodies map[string]string) (out []Kept[T], _ error) {
	for _, k := range now {
		if body, changed := bodies[kind+k.ID]; changed {
			if body == "" {
				continue
			}
			var v T
			if err := json.Unmarshal([]byte(body), &v); err != nil {
				return nil, err
			}
			k.Value = v
		}
		out = append(out, k)
	}
	return out, nil
}

// tellHooks keeps an event for every address that wants it.
func (h *House) tellHooks(tx *store.Tx, e Event, to []Kept[Hook]) error {
	e.ID, e.At = newID(), h.now().UTC()
	body, err := json.Marshal(e)
	if err != nil {
		return err
	}
	for _, k := range to {
		if e.Event != eventPing && len(k.Value.Events) > 0 && !slices.Contains(k.Value.Events, e.Event) {
			continue
		}
		if _, err = tx.Tell(store.Message{Hook: k.ID, Event: e.Event, Made: h.now(), Body: string(body)}); err != nil {
			return err
		}
	}
	return nil
}
