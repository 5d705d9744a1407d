package workshop

import (
	"maps"
	"slices"
	"strings"

	"urdir/internal/store"
	"urdir/price"
	"urdir/price/books"
)

// What a lot or a supply is worth is what the books say of it: lines of the account
// of materials have its name in the tag "lot". What is taken of it is booked at
// its average (price.Taken), so that with the last gram the last cent is gone.

// lotTag is the tag that names a lot or supply.
const lotTag = "lot"

// worthOf is what all that is left of a lot is worth.
func worthOf(tx *store.Tx, lot, currency string) (Money, error) {
	all, err := worthsOf(tx, currency, lot)
	return all[lot], err
}

// worthsOf is that of several lots.
func worthsOf(tx *store.Tx, currency string, lots ...string) (map[string]Money, error) {
	found, err := tx.SumsOf(lotTag, books.MaterialStock, lots...)
	out := map[string]Money{}
	for _, l := range lots {
		out[l] = Money{Currency: currency}
	}
	for _, s := range found {
		if s.Currency == currency {
			m := out[s.Value]
			m.Minor += s.Debit - s.Credit
			out[s.Value] = m
		}
	}
	return out, err
}

// massOf is how much of a lot or supply is still the workshop's as yarn or cloth on
// the way: on the shelf, in bags, woven, in the bath. What a supply has in a bath is
// used.
func massOf(tx *store.Tx, lot string, supply bool) (mg int64, err error) {
	held, err := tx.HeldOf(InPiece(""), lot)
	for _, s := range held {
		if inStock(s.Place, supply) {
			mg += s.Milligrams
		}
	}
	return mg, err
}

// inStock says whether what is in a place counts as material that is there.
func inStock(place string, supply bool) bool {
	return place == Shelf || strings.HasPrefix(place, "bag:") || strings.HasPrefix(place, "woven:") || !supply && strings.HasPrefix(place, bathPlace)
}

// buy books what came in of a lot at what it cost, paid from an account.
func (h *House) buy(tx *store.Tx, source, lot, name string, cost Money, from string) error {
	if cost.Minor == 0 {
		return nil
	}
	if err := cashBox(tx, "paid-from", &from); err != nil {
		return err
	}
	k, err := readSettings(tx)
	if err != nil {
		return err
	}
	own, err := k.Value.own("cost", cost)
	if err != nil {
		return err
	}
	text := name
	if own.Currency != cost.Currency {
		text += " (" + cost.String() + ")"
	}
	return h.postAs(tx, source, books.Entry{Text: text, Lines: []books.Line{debit(books.MaterialStock, own, map[string]string{lotTag: lot}), credit(from, own, nil)}})
}

// takenOut is what was taken of lots that left the stock by moves, by lot.
func takenOut(tx *store.Tx, moved []Moved, currency string) (lots []string, at map[string]Money, _ error) {
	taken, supply := map[string]int64{}, map[string]bool{}
	for _, m := range moved {
		if !slices.Contains(lots, m.Lot) {
			lots = append(lots, m.Lot)
			_, err := supplies.get(tx, m.Lot)
			if err != nil && !missing(err) {
				return nil, nil, err
			}
			supply[m.Lot] = err == nil
		}
		switch from, to := inStock(m.From, supply[m.Lot]), inStock(m.To, supply[m.Lot]); {
		case from && !to:
			taken[m.Lot] += m.Milligrams
		case to && !from:
			taken[m.Lot] -= m.Milligrams
		}
	}
	slices.Sort(lots)
	at = map[string]Money{}
	for _, lot := range lots {
		worth, err := worthOf(tx, lot, currency)
		if err != nil {
			return nil, nil, err
		}
		left, err := massOf(tx, lot, supply[lot])
		if err != nil {
			return nil, nil, err
		}
		at[lot] = price.Taken(worth, left+taken[lot], 0, taken[lot])
	}
	return lots, at, nil
}

// use books material that left the stock by moves that were made already.
func (h *House) use(tx *store.Tx, source, text string, moved []Moved, tags map[string]string) error {
	k, err := readSettings(tx)
	if err != nil {
		return err
	}
	lots, at, err := takenOut(tx, moved, k.Value.Currency)
	if err != nil {
		return err
	}
	e := books.Entry{Text: text}
	for _, lot := range lots {
		all := map[string]string{lotTag: lot, "season": k.Value.Money.season(h.today())}
		maps.Copy(all, tags)
		e.Lines = append(e.Lines, debit(books.MaterialsUsed, at[lot], all), credit(books.MaterialStock, at[lot], map[string]string{lotTag: lot}))
	}
	return h.postAs(tx, source, e)
}

// dyed books yarn that became another lot: what the yarn cost, and what was used
// and paid for the dyeing up to then.
func (h *House) dyed(tx *store.Tx, d Kept[Dyeing], source string, moved []Moved) error {
	k, err := readSettings(tx)
	if err != nil {
		return err
	}
	begun, _ := d.Value.Begun()
	currency := k.Value.Currency
	_, at, err := takenOut(tx, slices.DeleteFunc(slices.Clone(moved), func(m Moved) bool { return m.Lot != begun.From || m.From == Outside }), currency)
	if err != nil {
		return err
	}
	yarn := at[begun.From]
	e := books.Entry{Text: d.Value.Label, Lines: []books.Line{credit(books.MaterialStock, yarn, map[string]string{lotTag: begun.From})}}
	all := yarn.Minor
	spent, err := tx.PostedFor("dyeing:"+d.ID+":", true)
	if err != nil {
		return err
	}
	for _, s := range spent {
		for _, l := range s.Lines {
			if (l.Account == books.MaterialsUsed || l.Account == books.MembersPay) && l.Currency == currency {
				m := Money{Minor: l.Minor, Currency: currency}
				e.Lines = append(e.Lines, credit(l.Account, m, l.Tags))
				all += l.Minor
			}
		}
	}
	e.Lines = append(e.Lines, debit(books.MaterialStock, Money{Minor: all, Currency: currency}, map[string]string{lotTag: d.Value.Lot}))
	return h.postAs(tx, source, e)
}
