package workshop

import (
	"context"
	"errors"

	"urdir/internal/store"
)

// answerDays is how long it is remembered what was answered under a key.
const answerDays = 7

// Asker is another program that asks for a change, under a key it gives to that
// change alone. Without a key nothing is remembered.
type Asker struct {
	Workshop, Account string
	Key               string
	Digest            string // of what is asked: the same key with another is a mistake
}

// Reply is what is answered to a change.
type Reply struct {
	Status    int
	Tag, Body string
	Again     bool // answered before; nothing was changed now
}

// Once runs f as one transaction: the calls it makes in the context it is given are
// kept together, with what is answered, or none of them. Whoever asks the same under
// the same key gets that answer and changes nothing, also when both ask at once: a
// workshop has one change at a time. What is refused is not remembered.
func (h *House) Once(ctx context.Context, a Asker, f func(context.Context) (Reply, error)) (out Reply, _ error) {
	now, told := h.now(), false
	err := h.db.Update(ctx, a.Workshop, store.Act{At: now, Who: a.Account, What: "Once"}, func(tx *store.Tx) error {
		if err := tx.DropGiven(now.AddDate(0, 0, -answerDays)); err != nil {
			return err
		}
		if a.Key != "" {
			was, err := tx.Given(a.Account, a.Key)
			if err == nil && was.Digest != a.Digest {
				return wrong("", "key-again", nil)
			}
			if !errors.Is(err, store.ErrNotFound) {
				out = Reply{was.Status, was.Tag, was.Body, true}
				return err
			}
		}
		var err error
		if out, err = f(tx.Context()); err != nil || a.Key == "" {
			told = tx.Told()
			return err
		}
		told = tx.Told()
		return tx.Give(store.Given{Account: a.Account, Key: a.Key, Digest: a.Digest, At: now, Status: out.Status, Tag: out.Tag, Body: out.Body})
	})
	if told && err == nil {
		h.bell.ring(a.Workshop)
	}
	return out, fromStore(err)
}
