package demo

import (
	"slices"

	"urdir/internal/workshop"
	"urdir/label"
	"urdir/price"
)

// sale is what was quoted for an order and what became of it, by the day; days of
// nothing did not happen.
type sale struct {
	quoted   []int  // several are versions
	channel  string // empty: the usual one
	terms    string
	accepted int
	deposit  bool // what the quote asks for
	invoiced int
	paid     int
}

// sales is by the number of the order.
var sales = map[int]sale{
	9:  {quoted: []int{-83}, accepted: -81, invoiced: -24, paid: -12, channel: "Mayoreo"},
	18: {quoted: []int{-32}, accepted: -31, deposit: true, terms: "El resto, al recoger la pieza."},
	21: {quoted: []int{-17, -15}, accepted: -14, deposit: true, terms: "El resto, al recoger las piezas.\nLa historia de las aves va en la tarjeta."},
	24: {quoted: []int{-3}, terms: "Pedido mínimo de seis individuales."},
	25: {quoted: []int{-1}},
}

// offered is pieces of orders that are for sale now, by the number of the order:
// what they are to be sold for, in cents.
var offered = map[int]int64{7: 38000, 11: 6500}

// prices tells how the cooperative sells.
func (s *season) prices() error {
	k, err := s.house.Settings(s.ctx, s.head())
	if err != nil {
		return err
	}
	m := workshop.MoneyOf(k)
	v := &m.Value
	v.Country, v.Card = "Costa de Anzales", "Tejido en telar de cintura. Ninguna es igual a otra."
	v.Cards = workshop.CardHouse{Region: "Marisma de Anzales", Rule: label.EU, Hours: true}
	v.Channels = []price.Channel{{Kind: price.OwnShop, Name: "Taller"}, {Kind: price.Fair, Name: "Feria del estero", Stall: usd(4500), Expect: 30},
		{Kind: price.Wholesale, Name: "Mayoreo", Percent: price.PerCent(30)}, {Kind: price.Online, Name: "En línea", Percent: price.PerCent(8), Fixed: usd(35)},
		{Kind: price.Consignment, Name: "Consignación", Percent: price.PerCent(35)}}
	v.Aim = price.Aim{Margin: price.PerCent(15)}
	v.Steps = []price.Step{{From: 5, Off: price.PerCent(5)}, {From: 12, Off: price.PerCent(10)}}
	v.Custom = price.Customary{Step: 50}
	v.Deposit = price.PerCent(40)
	if _, _, err = s.house.SaveMoneyHouse(s.ctx, s.bookkeeper(), m); err != nil {
		return err
	}
	for _, w := range []workshop.Ware{{Name: "Bufanda Bruma", Price: usd(5800)}, {Name: "Faja de marea", Price: usd(9800)},
		{Name: "Bufanda Bruma", List: "Mayoreo", Price: usd(4600), Note: "Desde cinco piezas"}} {
		if _, err = s.house.SaveWare(s.ctx, s.seller(), workshop.Kept[workshop.Ware]{Value: w}); err != nil {
			return err
		}
	}
	return nil
}

// planSale notes what was quoted for an order.
func (o *told) planSale() {
	t, ok := sales[o.number]
	if ask, is := offered[o.number]; is {
		o.on(-1, "offer", func() error { return o.offer(ask) })
	}
	if !ok {
		return
	}
	var last workshop.Kept[workshop.Quote]
	for _, day := range t.quoted {
		o.on(day, "quote", func() (err error) {
			last, _, err = o.house.MakeQuote(o.ctx, o.seller(), o.order.ID, workshop.Asking{Channel: t.channel, Terms: t.terms, Parts: true})
			return err
		})
	}
	if t.accepted == 0 {
		return
	}
	o.on(t.accepted, "accept", func() (err error) {
		a := workshop.Acceptance{By: last.Value.Customer}
		if t.deposit {
			a.Deposit = last.Value.Made.Deposit
		}
		last, _, err = o.house.AcceptQuote(o.ctx, o.seller(), last.ID, last.Revision, a, "")
		return err
	})
	if t.invoiced == 0 {
		return
	}
	var invoice workshop.Kept[workshop.Paper]
	o.on(t.invoiced, "invoice", func() (err error) {
		invoice, err = o.house.MakeInvoice(o.ctx, o.bookkeeper(), last.ID)
		return err
	})
	o.on(t.paid, "payment", func() error {
		v, err := o.house.Paper(o.ctx, o.bookkeeper(), invoice.ID)
		if err == nil {
			_, err = o.house.TakePayment(o.ctx, o.bookkeeper(), invoice.ID, v.Open, "", "")
		}
		return err
	})
}

// offer puts the finished pieces of an order up for sale.
func (o *told) offer(ask int64) error {
	v, err := o.house.Order(o.ctx, o.seller(), o.order.ID)
	if err != nil {
		return err
	}
	for _, x := range v.Pieces {
		if x.Value.State() != workshop.Finished {
			continue
		}
		if _, err = o.house.OfferPiece(o.ctx, o.seller(), x.ID, x.Revision, usd(ask)); err != nil {
			return err
		}
	}
	return nil
}

// showCards shows the cards of everything that is finished.
func (s *season) showCards() error {
	all, err := s.house.Cards(s.ctx, s.seller(), workshop.Page{})
	if err != nil {
		return err
	}
	var ids []string
	for _, x := range all.Items {
		ids = append(ids, x.ID)
	}
	slices.Sort(ids)
	_, err = s.house.ShowCards(s.ctx, s.seller(), ids)
	return err
}
