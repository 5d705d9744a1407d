package workshop

import (
	"cmp"
	"context"
	"encoding/json"
	"maps"
	"slices"
	"strings"

	"urdir/check"
	"urdir/internal/store"
)

// Erased is what was done to forget someone, and what stays.
type Erased struct {
	Name    string // what stands in place of hers
	Changed int    // rows in which something of her stood
	Stays   []Stay
	// Left is where a word still stands that was her name, and may be another's or
	// a colour's: kind and id of records, table and text else. Someone has to look.
	Left []string
}

// Stay is records that stay because others, or the law, need them: without her
// name, but for those by law.
type Stay struct {
	Kind  string
	Count int
	Law   bool // as they were issued, her name on them; local law says for how long
}

// ErasePerson forgets a customer or a member: her name, how she is reached and what
// was noted of her are replaced wherever they stand, in the history too, and her
// account opens no more. Pieces, money and material stay. It is refused while an
// order is open or a warp is in her hands.
func (h *House) ErasePerson(ctx context.Context, p Person, kind, id string, revision int64) (out Erased, _ error) {
	if err := allowed(p, "ErasePerson"); err != nil {
		return out, err
	}
	her, err := h.accountsOf(ctx, p, kind, id)
	if err != nil {
		return out, err
	}
	for _, a := range her {
		if a.ID == p.Account {
			return out, wrong("", "erase-own", nil)
		}
	}
	t := traces{kind: kind, id: id, instead: "#" + id[:min(6, len(id))]}
	for _, a := range her {
		t.accounts = append(t.accounts, a.ID)
		t.add(a.Name, "")
	}
	var pages []string // opened for her
	err = h.update(ctx, p, "ErasePerson", func(tx *store.Tx) error {
		if err = busyPerson(tx, kind, id); err != nil {
			return err
		}
		if err = t.forget(tx, revision); err != nil {
			return err
		}
		if pages, err = h.endPages(tx, kind, id); err != nil {
			return err
		}
		if err = tx.DropGiven(h.now().AddDate(0, 0, 1)); err != nil { // answers may name her
			return err
		}
		for _, a := range her {
			if err = tx.DropTellingsOf(a.ID); err != nil {
				return err
			}
			if err = tx.DropFile(laid(personOf(a))); err != nil {
				return err
			}
		}
		return t.everywhere(tx, &out)
	})
	if err != nil {
		return out, err
	}
	if err := h.dropPages(ctx, p.Workshop, pages); err != nil {
		return out, err
	}
	for _, a := range her {
		a.Name, a.Login, a.Secret, a.Closed = t.instead, t.instead+"."+a.ID, "", true
		if err := h.dropAccount(ctx, a); err != nil {
			return out, err
		}
	}
	return out, nil
}

// endPages ends the links of a customer's orders.
func (h *House) endPages(tx *store.Tx, kind, id string) (ended []string, _ error) {
	if kind == MemberPerson {
		return nil, nil
	}
	hers, err := orders.list(tx, Page{Parent: id}, false)
	for _, o := range hers.Items {
		some, failed := h.endLinks(tx, o.ID)
		if failed != nil {
			return nil, failed
		}
		ended = append(ended, some...)
	}
	return ended, err
}

// dropAccount keeps an account as one that opens nothing any more.
func (h *House) dropAccount(ctx context.Context, a store.Account) error {
	for _, use := range []string{store.SessionKey, store.CardKey, store.InviteKey, store.FeedKey, store.ShopFeedKey} {
		if err := h.db.DropKeys(ctx, a.ID, use); err != nil {
			return fromStore(err)
		}
	}
	if err := h.db.DropTokens(ctx, a.ID); err != nil {
		return fromStore(err)
	}
	return fromStore(h.db.PutAccount(ctx, a))
}

// busyPerson refuses to forget someone with whom something is still to be done.
func busyPerson(tx *store.Tx, kind, id string) error {
	var ps check.Problems
	if kind == MemberPerson {
		mine, err := jobs.list(tx, Page{State: heldStates(id)}, false)
		for _, j := range mine.Items {
			ps.Wrong("", "erase-in-hand", check.Args{"order": j.Value.Number, "warp": j.Value.Warp})
		}
		if err != nil {
			return err
		}
		return invalid(ps)
	}
	open, err := orders.list(tx, Page{Parent: id, State: "draft,open"}, false)
	for _, o := range open.Items {
		ps.Wrong("", "erase-open", check.Args{"order": o.Value.Number})
	}
	if err != nil {
		return err
	}
	return invalid(ps)
}

// forget replaces her record, and notes by what she can be recognised in others.
func (t *traces) forget(tx *store.Tx, revision int64) error {
	if t.kind == MemberPerson {
		return forgetOne(tx, t, members, revision, func(v Member) (string, string, Member) {
			return v.Name, v.Reach, Member{Name: t.instead, Away: true}
		})
	}
	return forgetOne(tx, t, customers, revision, func(v Customer) (string, string, Customer) {
		return v.Name, v.Contact, Customer{Name: t.instead, Language: v.Language}
	})
}

// forgetOne gathers every name and address a record ever had, and leaves of it
// what of gives third.
func forgetOne[T any](tx *store.Tx, t *traces, k kind[T], revision int64, of func(T) (name, contact string, rest T)) error {
	past, err := tx.History(t.kind, t.id, 0)
	if err != nil {
		return err
	}
	now, err := k.get(tx, t.id)
	if err != nil {
		return err
	}
	name, contact, rest := of(now.Value)
	t.add(name, contact)
	for _, e := range past {
		var v T
		if json.Unmarshal([]byte(e.Before), &v) == nil {
			name, contact, _ = of(v)
			t.add(name, contact)
		}
	}
	now.Revision, now.Value = revision, rest
	_, err = k.put(tx, now)
	return err
}

// everywhere rewrites all that names her, and adds up what stays.
func (t *traces) everywhere(tx *store.Tx, out *Erased) error {
	r, err := tx.Get(t.kind, t.id)
	if err != nil {
		return err
	}
	stays := map[string]int{}
	left := map[string]bool{}
	out.Changed, err = tx.Redact(func(w store.Written) string {
		if w.Kind == t.kind && w.ID == t.id && w.Table == "history" && w.Text != "" {
			return r.Body // what was there before is not to be read any more
		}
		if w.Table == "records" && w.Column == "body" && w.ID != t.id && t.mentioned(w.Text) {
			stays[w.Kind]++
		}
		now := t.rewrite(w)
		w.Text = now
		if t.left(w) {
			left[strings.TrimSpace(cmp.Or(w.Kind, w.Table)+" "+cmp.Or(w.ID, now))] = true
		}
		return now
	})
	out.Name, out.Left = t.instead, slices.Sorted(maps.Keys(left))
	for _, kind := range slices.Sorted(maps.Keys(stays)) {
		out.Stays = append(out.Stays, Stay{kind, stays[kind], lawful[kind]})
	}
	return err
}
