package workshop

import (
	"context"
	"crypto/rand"
	"errors"
	"slices"
	"strings"
	"time"

	"urdir/check"
	"urdir/internal/store"
)

// GuestLink is a private page for the customer of an order. Its key is shown once, and
// only the key's hash is kept, apart from the record.
type GuestLink struct {
	Order string
	By    string
	Made  string // date
	Until string // date, the last day
	Price bool   // shows the quote, to be accepted
	Ended string `json:",omitempty"` // date on which it was revoked
}

// linkDays is how long a link holds where nobody says: as long as an order takes and
// a season more. linkMost is the longest.
const (
	linkDays = 180
	linkMost = 2 * 366
)

// OrderLinks lists the links made for an order, the last first.
func (h *House) OrderLinks(ctx context.Context, p Person, order string) (Listed[GuestLink], error) {
	return many(ctx, h, p, "OrderLinks", links, Page{Parent: order}, true)
}

// MakeLink makes a private page for an order's customer and gives its key. An order
// has one at a time: it ends the one before.
func (h *House) MakeLink(ctx context.Context, p Person, order, until string, price bool) (key string, out Kept[GuestLink], _ error) {
	if err := allowed(p, "MakeLink"); err != nil {
		return "", out, err
	}
	if until = strings.TrimSpace(until); until == "" {
		until = h.now().AddDate(0, 0, linkDays).Format(time.DateOnly)
	}
	var ps check.Problems
	if day(&ps, "until", until); !ps.Failed() && (until < h.today() || until > h.now().AddDate(0, 0, linkMost).Format(time.DateOnly)) {
		ps.Wrong("until", "link-until", check.Args{"date": until, "most": linkMost})
	}
	if err := invalid(ps); err != nil {
		return "", out, err
	}
	last, err := time.ParseInLocation(time.DateOnly, until, h.now().Location())
	if err != nil {
		return "", out, err
	}
	key = strings.ToLower(rand.Text()) // 128 bits and more
	out = Kept[GuestLink]{ID: newID(), Value: GuestLink{Order: order, By: p.Name, Made: h.today(), Until: until, Price: price}}
	var before []string
	err = h.update(ctx, p, "MakeLink", func(tx *store.Tx) error {
		if _, err = orders.get(tx, order); err != nil {
			return err
		}
		if before, err = h.endLinks(tx, order); err != nil {
			return err
		}
		out, err = links.put(tx, out)
		return err
	})
	if err == nil {
		err = fromStore(h.db.PutKey(ctx, hashKey(key), p.Account, store.LinkKey+out.ID, h.now(), last.AddDate(0, 0, 1)))
	}
	if err != nil {
		return "", Kept[GuestLink]{}, err
	}
	return key, out, h.dropPages(ctx, p.Workshop, before)
}

// endLinks ends the links of an order and gives their names; the records say so
// before their keys are gone.
func (h *House) endLinks(tx *store.Tx, order string) (ended []string, _ error) {
	all, err := links.list(tx, Page{Parent: order}, false)
	for _, k := range all.Items {
		if k.Value.Ended != "" {
			continue
		}
		ended = append(ended, k.ID)
		k.Value.Ended = h.today()
		if _, failed := links.put(tx, k); failed != nil {
			return nil, failed
		}
	}
	return ended, err
}

func (h *House) dropPages(ctx context.Context, workshop string, ids []string) error {
	var err error
	for _, id := range ids {
		err = errors.Join(err, h.db.DropPages(ctx, workshop, store.LinkKey+id))
	}
	return fromStore(err)
}

// DropLink revokes the links of an order.
func (h *House) DropLink(ctx context.Context, p Person, order string) error {
	var ended []string
	err := h.update(ctx, p, "DropLink", func(tx *store.Tx) (err error) {
		if _, err = orders.get(tx, order); err != nil {
			return err
		}
		ended, err = h.endLinks(tx, order)
		return err
	})
	if err != nil {
		return err
	}
	return h.dropPages(ctx, p.Workshop, ended)
}

// Guest is what a customer sees of her order by its link.
type Guest struct {
	Shop     string // name of the workshop
	Language string // hers
	Link     Kept[GuestLink]
	Number   int64
	Customer string
	Ordered  string // date
	Due      string // date
	Promised bool   // Due was promised, with a probability
	Wishes   string
	Off      bool // cancelled
	Lines    []GuestLine
	Thread   Thread // without what only concerns the workshop
	Quote    *QuoteView
	Maker    []string // lines for papers: where the workshop is
	Paper    string
	Cards    []Kept[Piece] // pieces whose card is shown
	Deposit  Money
}

// GuestLine is what was ordered of one cloth.
type GuestLine struct {
	ID       string
	Name     string
	Quantity int
	Wishes   string
	Made     Planned
}

// guestStages is what of the thread tells a customer something.
var guestStages = []Stage{"order", "yarn", "dye", "warp", "loom", "finished", "delivered"}

// GuestBy gives the page behind a link's key: NotFound whether there was never such a
// link, it is over, or it was revoked.
func (h *House) GuestBy(ctx context.Context, key string) (out Guest, _ error) {
	workshop, id, err := h.linkBy(ctx, key)
	if err != nil {
		return out, err
	}
	err = h.db.View(ctx, workshop, func(tx *store.Tx) error { return h.guest(tx, id, &out) })
	return out, fromStore(err)
}

// linkBy finds the record of a link by its key.
func (h *House) linkBy(ctx context.Context, key string) (workshop, id string, _ error) {
	workshop, use, err := h.db.PageKey(ctx, hashKey(key), h.now())
	id, is := strings.CutPrefix(use, store.LinkKey)
	if err == nil && !is {
		err = store.ErrNotFound
	}
	return workshop, id, fromStore(err)
}

func (h *House) guest(tx *store.Tx, link string, out *Guest) error {
	k, err := links.get(tx, link)
	if err != nil {
		return err
	}
	if k.Value.Ended != "" || k.Value.Until < h.today() {
		return store.ErrNotFound
	}
	set, err := readSettings(tx)
	if err != nil {
		return err
	}
	o, err := h.order(tx, k.Value.Order)
	if err != nil {
		return err
	}
	*out = Guest{Shop: set.Value.Name, Language: o.Customer.Value.Language, Link: k, Number: o.Value.Number, Customer: o.Customer.Value.Name,
		Ordered: o.Value.Taken, Due: o.Value.Due, Promised: o.Value.Promise != "", Wishes: o.Value.Wishes, Off: o.Value.Cancelled != "",
		Maker: set.Value.MakerLines(), Paper: set.Value.Paper, Deposit: o.Value.Deposit}
	for _, l := range o.Lines {
		out.Lines = append(out.Lines, GuestLine{l.ID, l.Cloth.Value.Name, l.Quantity, l.Wishes, l.Made})
	}
	for _, knot := range o.Thread {
		if slices.Contains(guestStages, knot.Stage) {
			knot.Block = ""
			if knot.State == KnotBlocked {
				knot.State = KnotNow
			}
			out.Thread = append(out.Thread, knot)
		}
	}
	for _, x := range o.Pieces {
		if x.Value.Card != "" {
			out.Cards = append(out.Cards, x)
		}
	}
	if !k.Value.Price {
		return nil
	}
	return h.guestQuote(tx, o.ID, out)
}

// guestQuote finds the quote a customer is to see: the accepted one, or the last.
func (h *House) guestQuote(tx *store.Tx, order string, out *Guest) error {
	made, err := quotes.list(tx, Page{Parent: order}, true)
	if err != nil || len(made.Items) == 0 {
		return err
	}
	k := made.Items[0]
	if i := slices.IndexFunc(made.Items, func(q Kept[Quote]) bool { return q.Value.Accepted != nil }); i >= 0 {
		k = made.Items[i]
	}
	out.Quote = &QuoteView{Kept: k, Past: k.Value.Accepted == nil && k.Value.Made.Asked.Until < h.today()}
	return nil
}

// MakerLines is where a workshop is, as papers say it: its address, or by itself what
// cards and tags say.
func (s *Settings) MakerLines() (out []string) {
	if s.Address != "" {
		return strings.Split(s.Address, "\n")
	}
	for _, l := range []string{s.Money.Cards.Region, s.Money.Country} {
		if l != "" {
			out = append(out, l)
		}
	}
	return out
}

// AcceptByLink writes down that a customer accepted the quote that her page shows. It
// must still be the one she saw.
func (h *House) AcceptByLink(ctx context.Context, key, quote, by string) error {
	workshop, id, err := h.linkBy(ctx, key)
	if err != nil {
		return err
	}
	trim(&by)
	return fromStore(h.db.Update(ctx, workshop, store.Act{At: h.now(), What: "AcceptQuote"}, func(tx *store.Tx) error {
		var g Guest
		if err := h.guest(tx, id, &g); err != nil {
			return err
		}
		if g.Quote == nil || g.Off {
			return store.ErrNotFound
		}
		q := g.Quote.Kept
		if q.ID != quote {
			return wrong("", "quote-replaced", check.Args{"number": q.Value.Number})
		}
		if q.Value.Accepted != nil {
			return wrong("", "quote-accepted", check.Args{"number": q.Value.Number})
		}
		a := Acceptance{By: by, On: h.today(), Link: id}
		ps := q.Value.Made.Accept(a.On, a.Deposit)
		named(&ps, "by", a.By)
		if err := invalid(ps); err != nil {
			return err
		}
		q.Value.Accepted = &a
		_, err := quotes.put(tx, q)
		return err
	}))
}

// acceptedErrands tells of quotes that customers accepted by themselves, until the
// deposit is there or the order is confirmed and asks for none.
func acceptedErrands(tx *store.Tx, o Kept[Order], out *Day) error {
	accepted, err := quotes.list(tx, Page{State: "accepted", Parent: o.ID}, false)
	for _, q := range accepted.Items {
		if q.Value.Accepted.Link == "" {
			continue
		}
		wanted := q.Value.Made.Deposit.Minor > q.Value.Accepted.Deposit.Minor
		if s := o.Value.State(); s == "draft" || s == "open" && wanted {
			out.Errands = append(out.Errands, Errand{Kind: "errand-accepted", Where: "order", ID: o.ID, Name: q.Value.Number + " " + q.Value.Customer})
		}
	}
	return err
}
