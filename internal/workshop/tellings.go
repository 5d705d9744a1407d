package workshop

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"

	"urdir/check"
	"urdir/internal/store"
	"urdir/measure"
)

// TellingKind is what a telling is about.
type TellingKind string

// Kinds of tellings.
const (
	TellLaid  TellingKind = "laid"
	TellWoven TellingKind = "woven" // in cm, or in whole bands
	TellPlace TellingKind = "place" // stripes ticked
	AskYarn   TellingKind = "yarn"
	Ill       TellingKind = "ill"
	Well      TellingKind = "well"
	MoreWork  TellingKind = "more"
)

// Telling is what a member tells on her own page, perhaps long before it comes. Its
// key is made where it is told and belongs to it alone.
type Telling struct {
	Account string // whose page it was told on
	Key     string
	Device  string // the name the browser gave itself; empty: a form, which waits nowhere
	N       int64  // the device counts its tellings, from 1
	Shown   string // what its clock showed, for people; nothing is reckoned from it
	Kind    TellingKind
	Job     string
	CM      measure.CM
	Bands   int
	Stripes int
	Lot     string
	Grams   measure.Gram
	Until   string // date, or empty
	Why     string // the word of the workshop's language for being ill
}

// tellingDays is how long it is remembered what was told: longer than a telephone
// lies in a drawer.
const tellingDays = 400

// OtherTells is the code of the problem that someone else has signed in since the
// page was opened.
const OtherTells = "telling-other"

// Heard is what came of a telling.
type Heard struct {
	Taken bool
	Said  string // why it was refused
}

func (t Telling) check() error {
	var ps check.Problems
	if len(t.Key) < 16 || len(t.Key) > 64 || len(t.Device) > 64 || t.N < 0 || (t.Device == "") != (t.N == 0) || !plain(t.Key, t.Device, t.Shown, t.Job, t.Lot) {
		ps.Wrong("", "telling-unread", nil)
	}
	short(&ps, "shown", t.Shown, 40)
	return invalid(ps)
}

// digest is of what is told, and not of how it came.
func (t Telling) digest() (string, error) {
	t.Shown, t.Why = "", ""
	body, err := json.Marshal(t)
	sum := sha256.Sum256(body)
	return hex.EncodeToString(sum[:]), err
}

// TellHand takes what a member tells, once: its key is kept in the transaction of
// what it changes, and the same key again changes nothing and is answered the same,
// a refusal too, in the words that say gave. A device's tellings count up; one that
// comes after a later one is refused. It is dated by the clock of the house.
func (h *House) TellHand(ctx context.Context, p Person, t Telling, say func(check.Problems) string) (out Heard, _ error) {
	if err := allowed(p, "TellHand"); err != nil {
		return out, err
	}
	if t.Account != p.Account {
		return out, wrong("account", OtherTells, nil)
	}
	if err := t.check(); err != nil {
		return out, err
	}
	digest, err := t.digest()
	if err != nil {
		return out, err
	}
	row := store.Telling{Account: p.Account, Key: t.Key, Device: t.Device, N: t.N, Digest: digest, At: h.now(), Taken: true}
	var refused *Error
	err = h.update(ctx, p, "TellHand", func(tx *store.Tx) error {
		was, failed := tx.Telling(p.Account, t.Key)
		if !errors.Is(failed, store.ErrNotFound) {
			out, failed = heardBefore(was, digest, failed)
			return failed
		}
		if failed = h.take(tx, p, t); failed != nil {
			errors.As(fromStore(failed), &refused)
			return failed
		}
		out = Heard{Taken: true}
		return tx.TakeTelling(row)
	})
	if refused == nil || refused.Code == Away {
		return out, err
	}
	row.Taken, row.Said = false, say(refused.Problems)
	return h.refuse(ctx, p, row)
}

// heardBefore is the answer that was given under a key.
func heardBefore(was store.Telling, digest string, err error) (Heard, error) {
	if err == nil && was.Digest != digest {
		err = wrong("", "telling-again", nil)
	}
	if err != nil {
		return Heard{}, err
	}
	return Heard{was.Taken, was.Said}, nil
}

// refuse keeps that a telling was refused; nothing of it was kept. If the same came
// at the same time and was answered first, that answer holds.
func (h *House) refuse(ctx context.Context, p Person, row store.Telling) (out Heard, _ error) {
	err := h.update(ctx, p, "TellHand", func(tx *store.Tx) error {
		was, err := tx.Telling(p.Account, row.Key)
		if !errors.Is(err, store.ErrNotFound) {
			out, err = heardBefore(was, row.Digest, err)
			return err
		}
		out = Heard{Said: row.Said}
		return tx.TakeTelling(row)
	})
	return out, err
}

// take does what a telling tells.
func (h *House) take(tx *store.Tx, p Person, t Telling) error {
	if t.Device != "" {
		last, err := tx.LastTelling(p.Account, t.Device)
		if err != nil {
			return err
		}
		if t.N <= last {
			return wrong("", "telling-late", nil)
		}
	}
	if p.Member == "" {
		return wrong("", "telling-no-member", nil)
	}
	var ps check.Problems
	if day(&ps, "until", t.Until); t.Until != "" && t.Until < h.today() {
		ps.Wrong("until", "until-past", check.Args{"date": t.Until})
	}
	if err := invalid(ps); err != nil {
		return err
	}
	ctx := tx.Context() // what is called in it is a part of this transaction
	switch t.Kind {
	case TellLaid, TellWoven:
		return h.tellJob(ctx, tx, p, t)
	case TellPlace:
		return h.keepPlace(tx, p, t)
	case AskYarn:
		return h.ask(tx, p, t)
	case Ill, Well:
		return h.ill(ctx, tx, p, t)
	case MoreWork:
		return h.say(tx, p, Saying{Kind: MoreWork, Shown: t.Shown, Until: t.Until})
	}
	return wrong("", "telling-unread", nil)
}

// tellJob tells of a warp as it is now, whatever happened to it since she looked.
func (h *House) tellJob(ctx context.Context, tx *store.Tx, p Person, t Telling) error {
	j, err := jobs.get(tx, t.Job)
	if err != nil {
		return err
	}
	if j.Value.Member != p.Member {
		return &Error{Code: NotFound}
	}
	call, add := "Tell", h.wovenNow(p, t.CM, t.Bands, t.Shown)
	if t.Kind == TellLaid {
		call, add = "Laid", h.laidNow(p, t.Shown)
	}
	_, err = h.change(ctx, p, call, t.Job, j.Revision, add)
	return err
}

func (h *House) keepPlace(tx *store.Tx, p Person, t Telling) error {
	j, err := h.job(tx, p, t.Job)
	if err != nil {
		return err
	}
	if most := len(j.Warp.Stripes); t.Stripes < 0 || t.Stripes > most {
		return wrong("", "out-of-range", check.Args{"value": t.Stripes, "low": 0, "high": most})
	}
	k, err := places.get(tx, t.Job)
	k.ID, k.Value = t.Job, Place{Job: t.Job, Stripes: t.Stripes, At: h.now()}
	if missing(err) {
		_, err = places.put(tx, k)
	} else if err == nil {
		_, err = places.jot(tx, k)
	}
	return err
}
