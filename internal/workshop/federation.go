package workshop

import (
	"context"
	"crypto/rand"
	"errors"
	"strings"
	"time"

	"urdir/check"
	"urdir/internal/store"
)

// Partner is another workshop of the server, with which this one shares how loaded
// it is and which yarn it offers, and nothing else. Each side keeps a record of
// its own, and what a workshop has is shown to the other only while both have
// agreed; either ends it by taking its own away.
type Partner struct {
	Other  string // its id; empty until it answered an invitation
	Name   string // whom the invitation is for; then as it was called when it answered
	Code   string // hash of the invitation, until both agreed
	Ends   string // date after which the invitation cannot be answered
	Agreed string // date on which this side agreed
}

// PartnerState is how far two workshops are.
type PartnerState string

const (
	PartnerInvited PartnerState = "invited" // nobody has answered
	PartnerAsks    PartnerState = "asks"    // answered; this side has to agree
	PartnerWaits   PartnerState = "waits"   // the other side has to agree
	PartnerAgreed  PartnerState = "agreed"
	PartnerEnded   PartnerState = "ended" // by the other side
)

// PartnerView is a partner and how far it is.
type PartnerView struct {
	Kept[Partner]
	State PartnerState
}

// partnerDays is how long an invitation can be answered.
const partnerDays = 14

// Partners lists the workshops this one is invited with, asked by, or shares with.
func (h *House) Partners(ctx context.Context, p Person) (out []PartnerView, _ error) {
	mine, err := many(ctx, h, p, "Partners", partners, Page{}, false)
	for _, k := range mine.Items {
		v := PartnerView{Kept: k}
		if v.State, err = h.partnerState(ctx, p.Workshop, k.Value); err != nil {
			return nil, err
		}
		out = append(out, v)
	}
	return out, err
}

func (h *House) partnerState(ctx context.Context, workshop string, v Partner) (state PartnerState, _ error) {
	switch {
	case v.Other == "":
		return PartnerInvited, nil
	case v.Agreed == "":
		return PartnerAsks, nil
	}
	err := h.db.View(ctx, v.Other, func(tx *store.Tx) error {
		theirs, err := partners.list(tx, Page{State: workshop}, false)
		state = PartnerEnded
		for _, t := range theirs.Items {
			if t.Value.Agreed != "" {
				state = PartnerAgreed
			} else if state == PartnerEnded {
				state = PartnerWaits
			}
		}
		return err
	})
	return state, fromStore(err)
}

// InvitePartner makes an invitation for another workshop of the server; its head
// answers it by the code, once. The name is for those who wait for the answer.
func (h *House) InvitePartner(ctx context.Context, p Person, name string) (code string, _ error) {
	if err := allowed(p, "InvitePartner"); err != nil {
		return "", err
	}
	trim(&name)
	var ps check.Problems
	if named(&ps, "name", name); ps.Failed() {
		return "", invalid(ps)
	}
	code = p.Workshop + "." + rand.Text()
	err := h.update(ctx, p, "InvitePartner", func(tx *store.Tx) error {
		_, err := partners.put(tx, Kept[Partner]{Value: Partner{Name: name, Code: hashKey(code), Ends: h.now().AddDate(0, 0, partnerDays).Format(time.DateOnly)}})
		return err
	})
	if err != nil {
		return "", err
	}
	return code, nil
}

// AnswerPartner answers another workshop's invitation. That one sees who answered,
// and has to agree before anything is shown to either.
func (h *House) AnswerPartner(ctx context.Context, p Person, code string) (out Kept[Partner], _ error) {
	if err := allowed(p, "AnswerPartner"); err != nil {
		return out, err
	}
	other, _, _ := strings.Cut(strings.TrimSpace(code), ".")
	ended := wrong("code", "invitation-ended", nil)
	if !plain(other) || other == "" || other == p.Workshop {
		return out, ended
	}
	me, err := h.Settings(ctx, p)
	if err != nil {
		return out, err
	}
	// The other side first: if this stops in the middle, answering again goes on.
	var theirs Settings
	act := store.Act{At: h.now(), Who: p.Workshop, What: "AnswerPartner"}
	err = h.db.Update(ctx, other, act, func(tx *store.Tx) error {
		found, failed := partners.list(tx, Page{Parent: hashKey(strings.TrimSpace(code))}, false)
		if failed != nil {
			return failed
		}
		if len(found.Items) != 1 || found.Items[0].Value.Ends < h.today() {
			return ended
		}
		v := found.Items[0]
		if v.Value.Other != "" && v.Value.Other != p.Workshop {
			return ended
		}
		set, failed := readSettings(tx)
		if failed != nil {
			return failed
		}
		theirs = set.Value
		v.Value.Other, v.Value.Name = p.Workshop, me.Value.Name
		_, err = partners.put(tx, v)
		return err
	})
	if err != nil {
		return out, fromStore(err)
	}
	err = h.update(ctx, p, "AnswerPartner", func(tx *store.Tx) error {
		before, failed := partners.list(tx, Page{State: other}, false)
		if failed != nil {
			return failed
		}
		if len(before.Items) > 0 {
			out = before.Items[0]
		}
		out.Value = Partner{Other: other, Name: theirs.Name, Agreed: h.today()}
		out, err = partners.put(tx, out)
		return err
	})
	return out, err
}

// AgreePartner agrees with the workshop that answered an invitation; from now on
// each sees what the other shares.
func (h *House) AgreePartner(ctx context.Context, p Person, id string, revision int64) (out Kept[Partner], _ error) {
	err := h.update(ctx, p, "AgreePartner", func(tx *store.Tx) (err error) {
		if out, err = partners.get(tx, id); err != nil {
			return err
		}
		if out.Value.Other == "" {
			return wrong("", "partner-unanswered", nil)
		}
		out.Revision = revision
		out.Value.Agreed, out.Value.Code = h.today(), ""
		if out, err = partners.put(tx, out); err != nil {
			return err
		}
		all, err := partners.list(tx, Page{State: out.Value.Other}, false)
		for _, k := range all.Items { // of a time before
			if k.ID != out.ID {
				err = errors.Join(err, tx.Remove(partners.name, k.ID, k.Revision))
			}
		}
		return err
	})
	return out, err
}

// EndPartner ends an invitation, or sharing with a workshop: at once, for both.
func (h *House) EndPartner(ctx context.Context, p Person, id string, revision int64) error {
	return h.update(ctx, p, "EndPartner", func(tx *store.Tx) error {
		if _, err := partners.get(tx, id); err != nil {
			return err
		}
		return tx.Remove(partners.name, id, revision)
	})
}
