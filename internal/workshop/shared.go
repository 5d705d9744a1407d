package workshop

import (
	"context"
	"strings"

	"urdir/check"
	"urdir/internal/store"
	"urdir/measure"
)

// YarnOffer is yarn this workshop would let others have.
type YarnOffer struct {
	Lot   string
	Grams measure.Gram
	Note  string
	Day   string // since when
}

// OfferYarn offers so much of a lot to the workshops this one shares with. What the
// shelf does not hold is not shown.
func (h *House) OfferYarn(ctx context.Context, p Person, v Kept[YarnOffer]) (out Kept[YarnOffer], _ error) {
	if err := allowed(p, "OfferYarn"); err != nil {
		return v, err
	}
	o := &v.Value
	trim(&o.Note)
	var ps check.Problems
	short(&ps, "note", o.Note, 400)
	if weight(&ps, "grams", o.Grams); o.Grams == 0 {
		ps.Wrong("grams", "field-empty", nil)
	}
	if err := invalid(ps); err != nil {
		return v, err
	}
	err := h.update(ctx, p, "OfferYarn", func(tx *store.Tx) error {
		if _, err := lots.get(tx, o.Lot); err != nil {
			return err
		}
		o.Day = h.today()
		var err error
		out, err = yarnOffers.put(tx, v)
		return err
	})
	return out, err
}

// WithdrawYarn takes an offer back.
func (h *House) WithdrawYarn(ctx context.Context, p Person, id string, revision int64) error {
	return h.update(ctx, p, "WithdrawYarn", func(tx *store.Tx) error {
		if _, err := yarnOffers.get(tx, id); err != nil {
			return err
		}
		return tx.Remove(yarnOffers.name, id, revision)
	})
}

// YarnOffers lists what this workshop yarnOffers.
func (h *House) YarnOffers(ctx context.Context, p Person) ([]Kept[YarnOffer], error) {
	all, err := many(ctx, h, p, "YarnOffers", yarnOffers, Page{}, false)
	return all.Items, err
}

// Shared is all that a workshop shows another.
type Shared struct {
	Name         string
	WarpsWaiting int // nobody has them yet
	WarpsInWork  int // with members
	HoursOffered int // a week, of all members who take work
	HoursFree    int // of them, of members with no warp in hand
	Yarn         []SharedYarn
}

// SharedYarn is yarn on offer.
type SharedYarn struct {
	Label, Colour, Fibre, Count, Note, Day string
	Grams                                  measure.Gram // of what was offered, what the shelf holds
}

// Federation is what this workshop shows those it shares with, and what they show
// it. What another has is read only if its own record says that it agreed.
func (h *House) Federation(ctx context.Context, p Person) (mine Shared, others []Shared, _ error) {
	var all Listed[Partner]
	err := h.view(ctx, p, "Federation", func(tx *store.Tx) (err error) {
		if all, err = partners.list(tx, Page{}, false); err != nil {
			return err
		}
		mine, err = h.shared(tx)
		return err
	})
	if err != nil {
		return mine, nil, err
	}
	for _, k := range all.Items {
		if k.Value.Other == "" || k.Value.Agreed == "" {
			continue
		}
		err := h.db.View(ctx, k.Value.Other, func(tx *store.Tx) error {
			theirs, err := partners.list(tx, Page{State: p.Workshop}, false)
			if err != nil {
				return err
			}
			for _, t := range theirs.Items {
				if t.Value.Agreed != "" {
					s, err := h.shared(tx)
					others = append(others, s)
					return err
				}
			}
			return nil
		})
		if err != nil {
			return mine, nil, fromStore(err)
		}
	}
	return mine, others, nil
}

// shared adds up what a workshop shows.
func (h *House) shared(tx *store.Tx) (out Shared, _ error) {
	set, err := readSettings(tx)
	if err != nil {
		return out, err
	}
	out.Name = set.Value.Name
	people, err := members.list(tx, Page{}, false)
	if err != nil {
		return out, err
	}
	if out.WarpsWaiting, err = tx.Count(store.Query{Kind: jobs.name, States: []string{string(Waiting)}}); err != nil {
		return out, err
	}
	for _, m := range people.Items {
		n, failed := tx.Count(store.Query{Kind: jobs.name, States: strings.Split(heldStates(m.ID), ",")})
		if failed != nil {
			return out, failed
		}
		out.WarpsInWork += n
		if !m.Value.Away {
			out.HoursOffered += m.Value.Hours
			if n == 0 {
				out.HoursFree += m.Value.Hours
			}
		}
	}
	out.Yarn, err = sharedYarn(tx)
	return out, err
}

func sharedYarn(tx *store.Tx) (out []SharedYarn, _ error) {
	all, err := yarnOffers.list(tx, Page{}, false)
	if err != nil {
		return nil, err
	}
	on, err := onShelf(tx)
	if err != nil {
		return nil, err
	}
	for _, o := range all.Items {
		l, err := lots.get(tx, o.Value.Lot)
		if missing(err) {
			continue
		}
		if err != nil {
			return nil, err
		}
		if g := min(o.Value.Grams, grams(on[l.ID])); g > 0 {
			out = append(out, SharedYarn{l.Value.Label, l.Value.Colour, l.Value.Fibre, l.Value.Count, o.Value.Note, o.Value.Day, g})
		}
	}
	return out, nil
}
