package store

import (
	"context"
	"fmt"
)

// joinKey is under which a context carries the transaction that View and Update
// in it are parts of.
type joinKey struct{}

// Context is the transaction's, for calls that open one by themselves: in it they
// take part in this one. Only while the Update runs, and from its own goroutine.
func (t *Tx) Context() context.Context { return context.WithValue(t.ctx, joinKey{}, t) }

// joins is the transaction that a context is in, if it is in one. One of another
// workshop would wait for it for ever.
func joins(ctx context.Context, workshop string) (*Tx, error) {
	t, in := ctx.Value(joinKey{}).(*Tx)
	if in && t.workshop != workshop {
		return nil, fmt.Errorf("store: a transaction of workshop %s in one of %s", workshop, t.workshop)
	}
	return t, nil
}

// joined runs f as a part of t, unless err says that it cannot be.
func joined(err error, t *Tx, f func(*Tx) error) error {
	if err != nil {
		return err
	}
	return f(t)
}

// as runs f under another act.
func (t *Tx) as(act Act, f func(*Tx) error) error {
	was := t.act
	t.act = act
	defer func() { t.act = was }()
	return f(t)
}

// Changed is a record that was written, and what it was before.
type Changed struct{ Kind, ID, Before string }

// TakeChanged gives the records that were written since it was asked last.
func (t *Tx) TakeChanged() []Changed {
	out := t.changed
	t.changed = nil
	return out
}
