package workshop

import (
	"context"
	"slices"
	"strings"

	"urdir/check"
	"urdir/internal/store"
	"urdir/price/books"
)

// workID names the work of a fact by the fact.
func workID(source string) string { return strings.ReplaceAll(source, ":", ".") }

// sourceOf is the fact that a work is named by.
func sourceOf(work string) string { return strings.ReplaceAll(work, ".", ":") }

// work keeps a line of work and books its pay as due to the member.
func (h *House) work(tx *store.Tx, source string, w Work) (Kept[Work], error) {
	k, err := workLines.put(tx, Kept[Work]{ID: workID(source), Value: w})
	if err != nil {
		return k, err
	}
	return k, h.postWork(tx, source, k)
}

func (h *House) postWork(tx *store.Tx, source string, k Kept[Work]) error {
	set, err := readSettings(tx)
	if err != nil {
		return err
	}
	w := k.Value
	tags := map[string]string{"member": w.Member, "order": w.Order, "product": w.Product, "season": set.Value.Money.season(w.At), "kind": w.Kind}
	return h.postAs(tx, source, books.Entry{Text: w.Name, Lines: []books.Line{
		debit(books.MembersPay, w.Pay, tags),
		of(k.ID, credit(books.Payable, w.Pay, map[string]string{"member": w.Member})),
	}})
}

// openPay is what of a work is still due.
func openPay(tx *store.Tx, work string) (minor int64, err error) {
	open, err := tx.OpenItems(books.Payable, work)
	for _, i := range open {
		minor -= i.Minor
	}
	return minor, err
}

// unwork takes the work of a fact away, which must not be paid.
func (h *House) unwork(tx *store.Tx, source string) error {
	k, err := workLines.get(tx, workID(source))
	if missing(err) {
		return nil // told before work was kept, or unpaid
	}
	if err != nil {
		return err
	}
	open, err := openPay(tx, k.ID)
	if err != nil {
		return err
	}
	if open != k.Value.Pay.Minor {
		return wrong("", "work-paid", check.Args{"name": k.Value.Name})
	}
	return tx.Remove(workLines.name, k.ID, k.Revision)
}

// TellWork keeps work that no warp, piece or dyeing tells of: teaching, carrying,
// meetings, or finishing that someone else did. Without a pay it is what was agreed
// for the kind, and without minutes what it usually takes.
func (h *House) TellWork(ctx context.Context, p Person, w Work) (out Kept[Work], _ error) {
	if err := allowed(p, "TellWork"); err != nil {
		return out, err
	}
	trim(&w.At, &w.Name)
	w.Where, w.ID = "", ""
	if w.At == "" {
		w.At = h.today()
	}
	var ps check.Problems
	choice(&ps, "kind", w.Kind, PayKinds...)
	day(&ps, "at", w.At)
	if w.At > h.today() {
		ps.Wrong("at", "date-ahead", check.Args{"date": w.At})
	}
	short(&ps, "name", w.Name, maxName)
	minutesOf(&ps, w)
	money(&ps, "pay", w.Pay)
	if err := invalid(ps); err != nil {
		return out, err
	}
	err := h.update(ctx, p, "TellWork", func(tx *store.Tx) error {
		if _, err := members.get(tx, w.Member); err != nil {
			return wrong("member", "field-empty", nil)
		}
		if w.Order != "" {
			if _, err := orders.get(tx, w.Order); err != nil {
				return err
			}
		}
		set, err := readSettings(tx)
		if err != nil {
			return err
		}
		w.Told = w.Minutes > 0
		if !w.Told {
			w.Minutes = int64(set.Value.Money.Minutes[w.Kind])
		}
		if err = set.Value.price(&w); err != nil {
			return err
		}
		out, err = h.work(tx, "work:"+newID(), w)
		return err
	})
	return out, err
}

func minutesOf(ps *check.Problems, w Work) {
	switch {
	case w.Minutes < 0:
		ps.Wrong("minutes", "hours-negative", check.Args{"step": w.Kind})
	case w.Minutes > int64(mostWorked):
		ps.Wrong("minutes", "hours-too-many", check.Args{"step": w.Kind, "most": int(mostWorked / 60)})
	}
}

// price gives work its pay where none was agreed for it, in the workshop's currency.
func (s *Settings) price(w *Work) (err error) {
	if w.Pay.Minor > 0 {
		w.Pay, err = s.own("pay", w.Pay)
		return err
	}
	pay, ps := s.payFor(w.Kind, w.Minutes, w.Pieces)
	w.Pay = pay
	return invalid(ps)
}

// CountWork tells how long a work really took, before it is paid. Work that is paid
// by the hour is paid by these; what was agreed as a whole stays.
func (h *House) CountWork(ctx context.Context, p Person, id string, revision, minutes int64) (out Kept[Work], _ error) {
	err := h.changeWork(ctx, p, "CountWork", id, revision, "", func(tx *store.Tx, k Kept[Work], source string) error {
		var ps check.Problems
		set, err := readSettings(tx)
		if err != nil {
			return err
		}
		hourly, more := set.Value.payFor(k.Value.Kind, k.Value.Minutes, k.Value.Pieces)
		byHour := !more.Failed() && hourly == k.Value.Pay && set.Value.Agreed(k.Value.Kind).Per == "hour"
		k.Value.Minutes, k.Value.Told = minutes, true
		if minutesOf(&ps, k.Value); ps.Failed() {
			return invalid(ps)
		}
		if byHour {
			k.Value.Pay = Money{}
			if err = set.Value.price(&k.Value); err != nil {
				return err
			}
		}
		if out, err = workLines.put(tx, k); err != nil {
			return err
		}
		return h.postWork(tx, source, out)
	})
	return out, err
}

// DropWork takes back work that was told by mistake and is not paid. Why stands with
// the entry that takes it out of the books.
func (h *House) DropWork(ctx context.Context, p Person, id string, revision int64, why string) error {
	if err := allowed(p, "DropWork"); err != nil {
		return err
	}
	trim(&why)
	var ps check.Problems
	if named(&ps, "why", why); ps.Failed() {
		return invalid(ps)
	}
	return h.changeWork(ctx, p, "DropWork", id, revision, why, func(tx *store.Tx, k Kept[Work], _ string) error {
		if k.Value.Where != "" {
			return wrong("", "work-of-fact", check.Args{"name": k.Value.Name})
		}
		return tx.Remove(workLines.name, k.ID, k.Revision)
	})
}

// changeWork takes a work that is not paid out of the books, with a word why where
// there is one, and lets f do with it.
func (h *House) changeWork(ctx context.Context, p Person, call, id string, revision int64, why string, f func(*store.Tx, Kept[Work], string) error) error {
	return h.update(ctx, p, call, func(tx *store.Tx) error {
		k, err := workLines.get(tx, id)
		if err != nil {
			return err
		}
		open, err := openPay(tx, id)
		if err != nil {
			return err
		}
		if open != k.Value.Pay.Minor {
			return wrong("", "work-paid", check.Args{"name": k.Value.Name})
		}
		source := sourceOf(id)
		if err = h.unpostWork(tx, source, why); err != nil {
			return err
		}
		k.Revision = revision
		return f(tx, k, source)
	})
}

// unpostWork takes what made a work due out of the books: a piece's material is posted
// for the same fact, and stays.
func (h *House) unpostWork(tx *store.Tx, source, why string) error {
	found, err := tx.PostedFor(source, false)
	if err != nil {
		return err
	}
	for _, e := range slices.Backward(found) {
		if len(e.Lines) == 0 || e.Lines[0].Account != books.MembersPay {
			continue
		}
		text := e.Text
		if why != "" {
			text += " · " + why
		}
		if _, err := h.reverse(tx, e, h.today(), text); err != nil {
			return err
		}
	}
	return nil
}

// wovenWork is the work of a warp that is taken back: what was agreed for it, and the
// hours she told, or what they usually are.
func (h *House) wovenWork(tx *store.Tx, v *JobView, source string) error {
	if v.Value.Member == "" {
		return nil
	}
	set, err := readSettings(tx)
	if err != nil {
		return err
	}
	w := Work{Member: v.Value.Member, Kind: "weave", At: h.today(), Order: v.Value.Order, Where: "job", ID: v.ID, Product: v.Value.Cloth,
		Name: number(v.Value.Number) + " " + v.Value.Cloth + " · " + v.Value.Warp}
	if w.Pay, err = set.Value.own("pay", v.Value.Pay()); err != nil {
		return err
	}
	if w.Minutes, w.Told, err = h.minutesOn(tx, v); err != nil {
		return err
	}
	if v.Panels != nil {
		w.Pieces = v.Made.Plan.Pieces
	}
	_, err = h.work(tx, source, w)
	return err
}

// minutesOn is how long a warp took: what she told, if she told of all of it, or
// what such a warp usually takes her.
func (h *House) minutesOn(tx *store.Tx, v *JobView) (minutes int64, told bool, _ error) {
	sum, woven := 0.0, false
	for _, f := range v.Value.Facts {
		sum += float64(f.Minutes)
		woven = woven || f.Kind == ToldFact && f.Minutes > 0 && f.CM >= v.Value.Length*0.9
	}
	if woven {
		return int64(sum + 0.5), true, nil
	}
	usual, err := h.usualMinutes(tx)
	if err != nil {
		return 0, false, err
	}
	for _, l := range warpLoads(&v.Made.Plan, v.Warp, v.Value.Length) {
		minutes += usual(l, v.Value.Member)
	}
	return minutes, false, nil
}

// ownWork is the work of a fact that whoever tells it does herself, if she is a member
// and pay is agreed for it.
func (h *House) ownWork(tx *store.Tx, member, source string, w Work) error {
	if member == "" {
		return nil
	}
	set, err := readSettings(tx)
	if err != nil {
		return err
	}
	w.Member, w.At = member, h.today()
	if err = set.Value.price(&w); err != nil || w.Pay.Minor == 0 {
		return err
	}
	_, err = h.work(tx, source, w)
	return err
}

// memberNamed finds a member by her name; empty if there is none, or two.
func memberNamed(tx *store.Tx, name string) (id string, _ error) {
	ms, err := members.list(tx, Page{}, false)
	for _, m := range ms.Items {
		if name == "" || Fold(m.Value.Name) != Fold(name) {
			continue
		}
		if id != "" {
			return "", err
		}
		id = m.ID
	}
	return id, err
}
