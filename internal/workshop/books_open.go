package workshop

import (
	"urdir/internal/store"
	"urdir/price/books"
)

// OpenItem is an item that is not settled, and what it is called.
type OpenItem struct {
	Account, Item, Currency string
	Minor                   int64 // debits less credits

	Name  string // of the work, or the order; otherwise what was written by hand
	Where string // kind of the page it is on: pay, order; empty: none
	ID    string // of that page
	Who   string // the member or customer
}

// openItems is what customers owe, what they have paid beforehand, and what is due to
// members, by name.
func openItems(tx *store.Tx) (out []OpenItem, _ error) {
	all, err := tx.OpenItems("", "")
	if err != nil {
		return nil, err
	}
	for _, i := range all {
		o := OpenItem{Account: i.Account, Item: i.Item, Currency: i.Currency, Minor: i.Minor, Name: i.Item}
		if err := o.call(tx); err != nil {
			return nil, err
		}
		out = append(out, o)
	}
	return out, nil
}

// Amount is what is open.
func (o OpenItem) Amount() Money { return Money{Minor: max(o.Minor, -o.Minor), Currency: o.Currency} }

// call finds what an item is: what nobody keeps a record of was written by hand.
func (o *OpenItem) call(tx *store.Tx) error {
	if o.Account == books.Payable {
		w, err := workLines.get(tx, o.Item)
		if err != nil {
			return nilIfMissing(err)
		}
		m, err := members.get(tx, w.Value.Member)
		o.Name, o.Where, o.ID, o.Who = w.Value.Name, payErrand, w.Value.Member+"?month="+w.Value.month(), m.Value.Name
		return nilIfMissing(err)
	}
	k, err := orders.get(tx, o.Item)
	if err != nil {
		return nilIfMissing(err)
	}
	c, err := customers.get(tx, k.Value.Customer)
	o.Name, o.Where, o.ID, o.Who = number(k.Value.Number), "order", k.ID, c.Value.Name
	return nilIfMissing(err)
}

func nilIfMissing(err error) error {
	if missing(err) {
		return nil
	}
	return err
}
