package workshop

import (
	"context"
	"errors"
	"maps"
	"slices"
	"sync"
	"time"

	"urdir/internal/store"
)

// bell tells whoever sends messages in which workshops there are some.
type bell struct {
	mu   sync.Mutex
	rung map[string]bool
	wake chan struct{}
}

func newBell() *bell { return &bell{rung: map[string]bool{}, wake: make(chan struct{}, 1)} }

func (b *bell) ring(workshop string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.rung[workshop] = true
	select {
	case b.wake <- struct{}{}:
	default: // it rings already
	}
}

// Rings is signalled when there are messages to send.
func (h *House) Rings() <-chan struct{} { return h.bell.wake }

// Rung is the workshops that have got messages since it was asked last.
func (h *House) Rung() []string {
	h.bell.mu.Lock()
	defer h.bell.mu.Unlock()
	out := slices.Collect(maps.Keys(h.bell.rung))
	clear(h.bell.rung)
	return out
}

// tryAgain is how long to wait after each try of a message that failed. After the
// last the address rests. Our own choice: an outage of an hour delays a message by
// at most as much, one of two days loses none.
var tryAgain = []time.Duration{10 * time.Second, 30 * time.Second, 2 * time.Minute, 10 * time.Minute, 30 * time.Minute,
	time.Hour, 3 * time.Hour, 6 * time.Hour, 12 * time.Hour, 24 * time.Hour}

// trying is how long nobody else tries a message that is being sent. If the program
// ends meanwhile, it is tried again after that.
const trying = 2 * time.Minute

// Letter is a message to be sent now.
type Letter struct {
	Workshop string
	Message  Message
	URL      string
	Secrets  []string // to sign it with
}

// post is who sends messages, in the history.
const post = "post"

// Letters takes the messages of a workshop whose time has come, at most one for each
// address, so that they arrive in order. Each must be given to Posted.
func (h *House) Letters(ctx context.Context, workshop string) (out []Letter, _ error) {
	var due []Letter
	err := h.db.View(ctx, workshop, func(tx *store.Tx) error {
		first, err := tx.FirstMessages()
		if err != nil {
			return err
		}
		for _, m := range first {
			if m.State != store.MessageWaiting || m.Next.After(h.now()) {
				continue
			}
			l, err := h.letter(tx, m)
			if missing(err) {
				continue // its address was taken away, or came from elsewhere without its secret
			}
			if err != nil {
				return err
			}
			due = append(due, l)
		}
		return nil
	})
	if err != nil || len(due) == 0 {
		return nil, fromStore(err)
	}
	err = h.db.Update(ctx, workshop, store.Act{At: h.now(), Who: post, What: "Post"}, func(tx *store.Tx) error {
		for _, l := range due {
			was := l.Message
			l.Message.Tries, l.Message.Tried, l.Message.Next = was.Tries+1, h.now(), h.now().Add(trying)
			mine, err := tx.SetMessage(was, l.Message)
			if err != nil {
				return err
			}
			if mine {
				out = append(out, l)
			}
		}
		return nil
	})
	return out, fromStore(err)
}

func (h *House) letter(tx *store.Tx, m Message) (l Letter, _ error) {
	k, err := hooks.get(tx, m.Hook)
	if err != nil {
		return l, err
	}
	if k.Value.State == HookRests && m.Event != eventPing || k.Value.State == HookOff {
		return l, store.ErrNotFound
	}
	s, err := tx.Secret(m.Hook)
	l = Letter{Workshop: tx.Workshop(), Message: m, URL: k.Value.URL, Secrets: []string{s.Secret}}
	if s.Former != "" && s.Ends.After(h.now()) {
		l.Secrets = append(l.Secrets, s.Former)
	}
	return l, err
}

// Posted keeps what came of a letter: the status that was answered, 0 for none, and
// what went wrong. Without trouble, and a status of 200 to 299, it has arrived.
func (h *House) Posted(ctx context.Context, l Letter, status int, trouble string) error {
	err := h.db.Update(ctx, l.Workshop, store.Act{At: h.now(), Who: post, What: "Post"}, func(tx *store.Tx) error {
		now := l.Message
		now.Status, now.Note = status, trouble
		switch n := now.Tries - 1; {
		case trouble == "" && status/100 == 2:
			now.State = store.MessageSent
		case n < len(tryAgain):
			now.Next = h.now().Add(tryAgain[n])
		default:
			now.State = store.MessageDead
		}
		mine, err := tx.SetMessage(l.Message, now)
		if err != nil || !mine || now.State != store.MessageDead {
			return err
		}
		k, err := hooks.get(tx, now.Hook)
		if missing(err) || err == nil && k.Value.State != HookOn {
			return nil
		}
		if err == nil {
			k.Value.State = HookRests
			_, err = hooks.put(tx, k)
		}
		return err
	})
	return fromStore(err)
}

// SweepPost forgets, in a workshop, answers, tellings and sent messages that are old.
func (h *House) SweepPost(ctx context.Context, workshop string) error {
	return fromStore(h.db.Update(ctx, workshop, store.Act{At: h.now(), Who: post, What: "Post"}, func(tx *store.Tx) error {
		return errors.Join(tx.DropGiven(h.now().AddDate(0, 0, -answerDays)), tx.DropTellings(h.now().AddDate(0, 0, -tellingDays)), tx.DropMessages("", h.now().AddDate(0, 0, -messageDays)))
	}))
}

// PostOffices is the workshops whose messages are sent from this server: all of it.
func (h *House) PostOffices(ctx context.Context) (ids []string, _ error) {
	all, err := h.db.Workshops(ctx)
	for _, w := range all {
		ids = append(ids, w.ID)
	}
	return ids, fromStore(err)
}
