package workshop

import (
	"context"
	"errors"
	"strings"

	"urdir/check"
	"urdir/clothfile"
	"urdir/internal/store"
)

// Desks is who works on a cloth: its newest version, the person's own draft if
// she has one, and the drafts of others, the oldest first.
type Desks struct {
	Cloth  Kept[Cloth]
	Newest Version
	Mine   *Draft
	Others []Draft
}

// Drafts gives what is not saved yet of a cloth.
func (h *House) Drafts(ctx context.Context, p Person, cloth string) (out Desks, err error) {
	err = h.view(ctx, p, "Drafts", func(tx *store.Tx) error {
		out, err = desks(tx, p, cloth)
		return err
	})
	return out, err
}

func desks(tx *store.Tx, p Person, cloth string) (out Desks, err error) {
	if out.Cloth, err = cloths.get(tx, cloth); err != nil {
		return out, err
	}
	newest, err := versions.get(tx, versionID(cloth, out.Cloth.Value.Version))
	if err != nil {
		return out, err
	}
	out.Newest = newest.Value
	all, err := drafts.list(tx, Page{Parent: cloth}, false)
	for _, d := range all.Items {
		if d.Value.Account == p.Account {
			mine := d.Value
			out.Mine = &mine
		} else {
			out.Others = append(out.Others, d.Value)
		}
	}
	return out, err
}

// ownDraft is the person's draft of a cloth; ok is false if she has none.
func ownDraft(tx *store.Tx, p Person, cloth string) (d Kept[Draft], ok bool, err error) {
	d, err = drafts.get(tx, draftID(cloth, p.Account))
	if errors.Is(err, store.ErrNotFound) {
		return Kept[Draft]{}, false, nil
	}
	return d, err == nil, err
}

// SaveDraft keeps a step of a person's work: d's cloth, the version it began
// from, text and mark. A step that is already there, or was overtaken by a later
// one of the same page, changes nothing. A page that goes on from a draft another
// page wrote says in read which; if that is not the draft there is, it is a
// Conflict with the one there is, so that work at two desks is not lost at
// either. What is equal to the newest version is no draft.
func (h *House) SaveDraft(ctx context.Context, p Person, d Draft, read Mark) (out Desks, _ error) {
	if err := allowed(p, "SaveDraft"); err != nil {
		return out, err
	}
	err := h.update(ctx, p, "SaveDraft", func(tx *store.Tx) error {
		c, err := cloths.get(tx, d.Cloth)
		if err != nil {
			return err
		}
		if err = d.check(c.Value); err != nil {
			return err
		}
		if err = h.keepDraft(tx, p, c.Value, d, read); err != nil {
			return err
		}
		out, err = desks(tx, p, d.Cloth)
		return err
	})
	return out, err
}

// check mends line ends and says what is wrong with a draft.
func (d *Draft) check(c Cloth) error {
	var ps check.Problems
	d.Text = strings.ReplaceAll(d.Text, "\r\n", "\n")
	short(&ps, "text", d.Text, clothfile.MaxBytes)
	named(&ps, "desk", d.Mark.Desk)
	if strings.TrimSpace(d.Text) == "" {
		ps.Wrong("text", "file-empty", nil)
	}
	if d.Version < 1 || d.Version > c.Version {
		ps.Wrong("version", "out-of-range", check.Args{"value": d.Version, "low": 1, "high": c.Version})
	}
	return invalid(ps)
}

func (h *House) keepDraft(tx *store.Tx, p Person, c Cloth, d Draft, read Mark) error {
	was, there, err := ownDraft(tx, p, d.Cloth)
	if err != nil {
		return err
	}
	same := there && was.Value.Mark.Desk == d.Mark.Desk
	switch {
	case same && d.Mark.Step <= was.Value.Mark.Step:
		return nil // there already
	case there && !same && was.Value.Mark != read:
		return &Error{Code: Conflict, Now: was}
	case d.Text == c.Text && there:
		return tx.Remove(drafts.name, was.ID, was.Revision)
	case d.Text == c.Text:
		return nil
	}
	now := h.now()
	d.Account, d.By, d.Since, d.At = p.Account, p.Name, now, now
	if there {
		d.Since = was.Value.Since
	}
	next := Kept[Draft]{ID: draftID(d.Cloth, p.Account), Revision: was.Revision, Value: d}
	if same {
		_, err = drafts.jot(tx, next)
	} else {
		_, err = drafts.put(tx, next) // what another page left stays in the history
	}
	return err
}

// DropDraft throws a person's draft of a cloth away, if she has one. Its last
// text stays in the history.
func (h *House) DropDraft(ctx context.Context, p Person, cloth string) error {
	return h.update(ctx, p, "DropDraft", func(tx *store.Tx) error {
		if _, err := cloths.get(tx, cloth); err != nil {
			return err
		}
		return dropDraft(tx, p, cloth)
	})
}

func dropDraft(tx *store.Tx, p Person, cloth string) error {
	d, there, err := ownDraft(tx, p, cloth)
	if err != nil || !there {
		return err
	}
	return tx.Remove(drafts.name, d.ID, d.Revision)
}
