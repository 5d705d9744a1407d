package workshop

import (
	"context"
	"slices"
	"strconv"

	"urdir/check"
	"urdir/internal/store"
	"urdir/price"
	"urdir/price/books"
)

// PayOut hands a member what is due to her up to the end of a month. Due is what the
// statement said, so that nobody pays what has changed in the meantime, or twice.
// Nothing is withheld but the agreed share.
func (h *House) PayOut(ctx context.Context, p Person, member, month string, due Money, from string) (out Kept[Payout], _ error) {
	if err := allowed(p, "PayOut"); err != nil {
		return out, err
	}
	if err := isMonth(month); err != nil {
		return out, err
	}
	err := h.update(ctx, p, "PayOut", func(tx *store.Tx) error {
		m, err := members.get(tx, member)
		if err != nil {
			return err
		}
		open, err := openWorks(tx)
		if err != nil {
			return err
		}
		s, err := h.statement(tx, m, month, open)
		if err != nil {
			return err
		}
		switch {
		case len(s.Open) == 0:
			return wrong("", "paid-twice", check.Args{"what": m.Value.Name + " " + month})
		case due != s.Due:
			return wrong("due", "pay-changed", check.Args{"was": due, "now": s.Due})
		}
		if err = cashBox(tx, "from", &from); err != nil {
			return err
		}
		v := Payout{Member: member, Month: month, At: h.today(), By: p.Name, From: from, Withheld: s.Withheld, Paid: s.Due}
		for _, w := range slices.Concat(s.Earlier, s.Works) {
			if open, is := s.Open[w.ID]; is {
				v.Works = append(v.Works, PaidWork{w.ID, open})
			}
		}
		out.Value, out.ID = v, newID()
		if out.Value.Number, err = h.numbered(tx, payoutSeries, "payout", out.ID); err != nil {
			return err
		}
		if out, err = payouts.put(tx, out); err != nil {
			return err
		}
		return h.settleWorks(tx, out, m.Value.Name)
	})
	return out, err
}

// settleWorks books a payout, and tells it of the warps that are in it.
func (h *House) settleWorks(tx *store.Tx, k Kept[Payout], name string) error {
	v := k.Value
	mine := map[string]string{"member": v.Member}
	e := books.Entry{Text: name, Document: v.Number, Settles: "payout " + k.ID, Lines: []books.Line{credit(books.Advances, v.Withheld, mine), credit(v.From, v.Paid, nil)}}
	for _, w := range v.Works {
		e.Lines = append(e.Lines, of(w.Work, debit(books.Payable, w.Amount, mine)))
		kept, err := workLines.get(tx, w.Work)
		if err != nil {
			return err
		}
		if kept.Value.Where != "job" {
			continue
		}
		j, err := jobs.get(tx, kept.Value.ID)
		if err != nil {
			return err
		}
		if j.Value.Paid() {
			continue // a part, before
		}
		j.Value.Facts = append(j.Value.Facts, Fact{Kind: PaidFact, At: v.At, By: v.By, Pay: w.Amount, Paper: v.Number})
		if _, err = jobs.put(tx, j); err != nil {
			return err
		}
		if err = h.settle(tx, j.Value.Order); err != nil {
			return err
		}
	}
	return h.postAs(tx, "payout:"+k.ID, e)
}

// PayoutView is a pay that was handed out, and what it was for.
type PayoutView struct {
	Kept[Payout]
	Member Kept[Member]
	Works  []Kept[Work]
	Earned price.Statement // of these works
	Owed   Money           // of the advance, at the end of that day
}

// Payout gives a pay that was handed out; of a member only her own.
func (h *House) Payout(ctx context.Context, p Person, id string) (out PayoutView, _ error) {
	err := h.view(ctx, p, "Payout", func(tx *store.Tx) (err error) {
		k, err := payouts.get(tx, id)
		if err == nil && onlyOwn(p) && (p.Member == "" || k.Value.Member != p.Member) {
			err = &Error{Code: NotFound}
		}
		if err != nil {
			return err
		}
		out.Kept = k
		return out.fill(tx)
	})
	return out, err
}

// fill finds what a pay was for.
func (v *PayoutView) fill(tx *store.Tx) (err error) {
	if v.Member, err = members.get(tx, v.Value.Member); err != nil {
		return err
	}
	for _, w := range v.Value.Works {
		k, failed := workLines.get(tx, w.Work)
		if missing(failed) {
			continue // the pay was undone, and the work dropped
		}
		if failed != nil {
			return failed
		}
		v.Works = append(v.Works, k)
	}
	set, err := readSettings(tx)
	if err != nil {
		return err
	}
	if v.Earned, _, err = set.Value.settled(v.Works); err != nil {
		return err
	}
	v.Owed, err = lentTo(tx, v.Value.Member, v.Value.Paid.Currency, v.Value.At)
	return err
}

// UndoPayOut takes back a pay that was not handed out after all. Its number stays.
func (h *House) UndoPayOut(ctx context.Context, p Person, id string, revision int64) error {
	return h.update(ctx, p, "UndoPayOut", func(tx *store.Tx) error {
		k, err := payouts.get(tx, id)
		if err != nil {
			return err
		}
		if k.Value.Undone != "" {
			return wrong("", "nothing-to-undo", nil)
		}
		k.Revision, k.Value.Undone = revision, h.today()
		if _, err = payouts.put(tx, k); err != nil {
			return err
		}
		for _, w := range k.Value.Works {
			if err := h.unpayJob(tx, w.Work, k.Value.Number); err != nil {
				return err
			}
		}
		return h.unpost(tx, "payout:"+id)
	})
}

// unpayJob takes back that a warp was paid with a payout.
func (h *House) unpayJob(tx *store.Tx, work, number string) error {
	w, err := workLines.get(tx, work)
	if err != nil || w.Value.Where != "job" {
		return err
	}
	j, err := jobs.get(tx, w.Value.ID)
	if err != nil {
		return err
	}
	j.Value.Facts = slices.DeleteFunc(slices.Clone(j.Value.Facts), func(f Fact) bool { return f.Kind == PaidFact && f.Paper == number })
	if _, err = jobs.put(tx, j); err != nil {
		return err
	}
	return h.settle(tx, j.Value.Order)
}

// payJob books that a member was paid for one warp: what was due first; what is
// above that is pay too.
func (h *House) payJob(tx *store.Tx, v *JobView, pay Money, from string) error {
	set, err := readSettings(tx)
	if err != nil {
		return err
	}
	if err = cashBox(tx, "paid-from", &from); err != nil {
		return err
	}
	back := slices.IndexFunc(v.Value.Facts, func(f Fact) bool { return f.Kind == BackFact })
	item := workID("job:" + v.ID + ":" + strconv.Itoa(back))
	open, err := openPay(tx, item)
	if err != nil {
		return err
	}
	if open > 0 && pay.Currency != set.Value.Currency {
		return wrong("pay", "currency-other", check.Args{"text": pay.Currency, "want": set.Value.Currency})
	}
	settled := min(open, pay.Minor)
	tags := map[string]string{"member": v.Value.Member, "order": v.Value.Order, "product": v.Value.Cloth, "season": set.Value.Money.season(h.today()), "kind": "weave"}
	return h.postAs(tx, v.source(), books.Entry{Text: number(v.Value.Number) + " " + v.Value.Cloth, Settles: "job " + v.ID, Lines: []books.Line{
		of(item, debit(books.Payable, Money{Minor: settled, Currency: pay.Currency}, map[string]string{"member": v.Value.Member})),
		debit(books.MembersPay, Money{Minor: pay.Minor - settled, Currency: pay.Currency}, tags),
		credit(from, pay, nil)}})
}

// numbered gives a paper its number.
func (h *House) numbered(tx *store.Tx, series, kind, id string) (string, error) {
	n, err := tx.NextNumber(series, h.now().Year())
	if err != nil {
		return "", err
	}
	n.Kind, n.ID = kind, id
	return books.Number{Series: n.Series, Year: n.Year, N: n.N}.String(), tx.KeepNumber(n)
}
