package workshop

import (
	"context"
	"crypto/rand"
	"errors"
	"net/url"
	"strings"
	"time"

	"urdir/check"
	"urdir/internal/store"
)

// Hook is an address of another program that is told how orders go on.
type Hook struct {
	Name   string
	URL    string
	Events []string `json:",omitempty"` // none: all
	State  HookState
	Made   string // date
}

// HookState is whether messages are sent to an address.
type HookState string

// The states of an address.
const (
	HookOn    HookState = "on"
	HookRests HookState = "rests" // it did not answer for long; its messages wait until someone has looked
	HookOff   HookState = "off"   // nothing is kept for it
)

// Limits of addresses and what is kept of them.
const (
	mostHooks   = 20
	messageDays = 30             // how long it is shown what was sent
	formerHolds = 24 * time.Hour // how long the secret before still signs
	messageLog  = 100
)

// Message is something another program is told.
type Message = store.Message

// Hooks lists the addresses.
func (h *House) Hooks(ctx context.Context, p Person) (Listed[Hook], error) {
	return many(ctx, h, p, "Hooks", hooks, Page{}, false)
}

// Hook gives an address and what it was told, the last first.
func (h *House) Hook(ctx context.Context, p Person, id string) (out Kept[Hook], log []Message, _ error) {
	err := h.view(ctx, p, "Hook", func(tx *store.Tx) (err error) {
		if out, err = hooks.get(tx, id); err == nil {
			log, err = tx.Messages(id, 0, messageLog)
		}
		return err
	})
	return out, log, err
}

// SaveHook keeps an address. Of a new one it gives the secret that its messages are
// signed with, which is shown once.
func (h *House) SaveHook(ctx context.Context, p Person, v Kept[Hook]) (out Kept[Hook], secret string, _ error) {
	if err := allowed(p, "SaveHook"); err != nil {
		return v, "", err
	}
	if err := invalid(v.Value.check()); err != nil {
		return v, "", err
	}
	err := h.update(ctx, p, "SaveHook", func(tx *store.Tx) error {
		if v.ID != "" {
			now, err := hooks.get(tx, v.ID)
			if err == nil {
				v.Value.Made = now.Value.Made
				out, err = hooks.put(tx, v)
			}
			return err
		}
		all, err := hooks.list(tx, Page{}, false)
		if err != nil {
			return err
		}
		if len(all.Items) >= mostHooks {
			return wrong("", "parts-too-many", check.Args{"count": mostHooks + 1, "most": mostHooks})
		}
		v.Value.Made, v.Value.State = h.today(), HookOn
		if out, err = hooks.put(tx, v); err != nil {
			return err
		}
		secret = rand.Text()
		return tx.PutSecret(out.ID, store.Secret{Secret: secret})
	})
	return out, secret, err
}

func (k *Hook) check() (ps check.Problems) {
	trim(&k.Name, &k.URL)
	short(&ps, "name", k.Name, maxName)
	short(&ps, "url", k.URL, 1000)
	u, err := url.Parse(k.URL)
	if err != nil || u.Scheme != "http" && u.Scheme != "https" || u.Hostname() == "" || u.User != nil || u.Fragment != "" {
		ps.Wrong("url", "hook-address", check.Args{"text": k.URL})
	}
	for _, e := range k.Events {
		choice(&ps, "events", e, HookEvents...)
	}
	choice(&ps, "state", string(k.State), string(HookOn), string(HookRests), string(HookOff), "")
	return ps
}

// changeHook reads an address, lets f change it, and keeps it.
func (h *House) changeHook(ctx context.Context, p Person, call, id string, revision int64, f func(*store.Tx, *Kept[Hook]) error) (out Kept[Hook], _ error) {
	err := h.update(ctx, p, call, func(tx *store.Tx) error {
		k, err := hooks.get(tx, id)
		if err != nil {
			return err
		}
		k.Revision = revision
		if err = f(tx, &k); err != nil {
			return err
		}
		out, err = hooks.put(tx, k)
		return err
	})
	return out, err
}

// TurnSecret makes a new secret for an address. For a day messages are signed with
// the one before as well, so that the other can change it meanwhile.
func (h *House) TurnSecret(ctx context.Context, p Person, id string, revision int64) (secret string, _ error) {
	_, err := h.changeHook(ctx, p, "TurnSecret", id, revision, func(tx *store.Tx, _ *Kept[Hook]) error {
		was, err := tx.Secret(id)
		if err != nil && !missing(err) {
			return err
		}
		secret = rand.Text()
		return tx.PutSecret(id, store.Secret{Secret: secret, Former: was.Secret, Ends: h.now().Add(formerHolds)})
	})
	return secret, err
}

// DropHook takes an address away, with what waits for it.
func (h *House) DropHook(ctx context.Context, p Person, id string, revision int64) error {
	return h.update(ctx, p, "DropHook", func(tx *store.Tx) error {
		if err := tx.Remove(hooks.name, id, revision); err != nil {
			return err
		}
		return errors.Join(tx.DropMessages(id, time.Time{}), tx.PutSecret(id, store.Secret{}))
	})
}

// TryHook sends a trial to an address.
func (h *House) TryHook(ctx context.Context, p Person, id string) error {
	return h.update(ctx, p, "TryHook", func(tx *store.Tx) error {
		k, err := hooks.get(tx, id)
		if err != nil {
			return err
		}
		return h.tellHooks(tx, Event{Event: eventPing}, []Kept[Hook]{k})
	})
}

// WakeHook sends to an address that rests again: the message it rested for first, or
// without that one, which is then dropped.
func (h *House) WakeHook(ctx context.Context, p Person, id string, revision int64, without bool) (Kept[Hook], error) {
	return h.changeHook(ctx, p, "WakeHook", id, revision, func(tx *store.Tx, k *Kept[Hook]) error {
		if k.Value.State != HookRests {
			return wrong("", "hook-awake", nil)
		}
		k.Value.State = HookOn
		first, err := tx.FirstMessages()
		if err != nil {
			return err
		}
		for _, m := range first {
			if m.Hook != id || m.State != store.MessageDead {
				continue
			}
			now := m
			now.Tries, now.Next, now.State = 0, h.now(), store.MessageWaiting
			if without {
				now.State = store.MessageSent
			}
			if _, err = tx.SetMessage(m, now); err != nil {
				return err
			}
		}
		h.bell.ring(tx.Workshop())
		return nil
	})
}

// hookErrands says which addresses rest.
func hookErrands(tx *store.Tx, out *Day) error {
	resting, err := hooks.list(tx, Page{State: string(HookRests)}, false)
	for _, k := range resting.Items {
		out.Errands = append(out.Errands, Errand{Kind: "errand-hook", Where: "hook", ID: k.ID, Name: k.Value.called()})
	}
	return err
}

// called is what an address is called: its name, or where it is.
func (k Hook) called() string {
	if k.Name != "" {
		return k.Name
	}
	u, err := url.Parse(k.URL)
	if err != nil {
		return k.URL
	}
	return strings.TrimPrefix(u.Host, "www.")
}
