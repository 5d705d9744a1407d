package workshop

import (
	"context"
	"crypto/rand"
	"errors"
	"slices"
	"strings"
	"time"

	"urdir/internal/store"
)

// feedDays is how long the link of a calendar holds; a calendar program asks again
// and again, and nobody thinks of the link any more.
const feedDays = 5 * 366

// feedUse is the use of a key for one's own calendar, or that of the workshop.
func feedUse(whole bool) string {
	if whole {
		return store.ShopFeedKey
	}
	return store.FeedKey
}

// MakeFeed makes the private link of a person's calendar, or of the whole
// workshop's, and ends the one before it. The key is shown once; only its hash is
// kept. It opens that calendar and nothing else.
func (h *House) MakeFeed(ctx context.Context, p Person, whole bool) (string, error) {
	if err := h.mayFeed(ctx, p, "MakeFeed", whole); err != nil {
		return "", err
	}
	return h.feedKey(ctx, p.Account, feedUse(whole))
}

// GiveFeed makes the private link of somebody else's own calendar, for a member whom
// another helps with her telephone, and ends the one she had.
func (h *House) GiveFeed(ctx context.Context, p Person, account string) (string, error) {
	if _, err := h.account(ctx, p, "GiveFeed", account); err != nil {
		return "", err
	}
	return h.feedKey(ctx, account, store.FeedKey)
}

// EndFeed ends the link of somebody else's own calendar.
func (h *House) EndFeed(ctx context.Context, p Person, account string) error {
	if _, err := h.account(ctx, p, "EndFeed", account); err != nil {
		return err
	}
	return fromStore(h.db.DropKeys(ctx, account, store.FeedKey))
}

func (h *House) feedKey(ctx context.Context, account, use string) (string, error) {
	key := strings.ToLower(rand.Text())
	now := h.now()
	err := errors.Join(h.db.DropKeys(ctx, account, use), h.db.PutKey(ctx, hashKey(key), account, use, now, now.AddDate(0, 0, feedDays)))
	return key, fromStore(err)
}

// DropFeed ends the link of a calendar.
func (h *House) DropFeed(ctx context.Context, p Person, whole bool) error {
	if err := h.mayFeed(ctx, p, "DropFeed", whole); err != nil {
		return err
	}
	return fromStore(h.db.DropKeys(ctx, p.Account, feedUse(whole)))
}

// Feeds says of which calendars a person has a link.
type Feeds struct{ Own, Shop bool }

// Feeds says of which calendars a person has a link; what it is nobody can read
// again.
func (h *House) Feeds(ctx context.Context, p Person) (out Feeds, err error) {
	a, err := h.account(ctx, p, "Feeds", p.Account)
	if err != nil {
		return out, err
	}
	if out.Own, err = h.db.HasKey(ctx, a.ID, store.FeedKey, h.now()); err != nil {
		return out, fromStore(err)
	}
	out.Shop, err = h.db.HasKey(ctx, a.ID, store.ShopFeedKey, h.now())
	return out, fromStore(err)
}

func (h *House) mayFeed(ctx context.Context, p Person, call string, whole bool) error {
	if whole {
		if err := allowed(p, "Timetable"); err != nil {
			return err
		}
	}
	_, err := h.account(ctx, p, call, p.Account)
	return err
}

// Feed is what the calendar behind a link shows.
type Feed struct {
	Person   Person // whose link it is
	Workshop string
	Whole    bool // everybody's tasks, classes and days that are due
	Turns    []TurnView
	Days     []FeedDay
}

// FeedDay is a class, or a day on which an order is due.
type FeedDay struct {
	Order    string
	Number   int64
	Customer string
	From, To time.Time // of a class; of a day that is due From is its beginning, and To zero
	Told     time.Time // when it was promised or taken
	Class    bool
	Promised bool
}

// FeedBy finds the calendar of a link; NotFound if it has ended. What the person
// may no longer see is not shown.
func (h *House) FeedBy(ctx context.Context, key string) (out Feed, _ error) {
	a, _, err := h.db.Key(ctx, hashKey(key), store.FeedKey, h.now())
	if errors.Is(err, store.ErrNotFound) {
		a, _, err = h.db.Key(ctx, hashKey(key), store.ShopFeedKey, h.now())
		out.Whole = true
	}
	if err != nil {
		return Feed{}, fromStore(err)
	}
	out.Person = personOf(a)
	if out.Whole && !out.Person.May("Timetable") {
		return Feed{}, &Error{Code: NotFound}
	}
	err = h.view(ctx, out.Person, "Turns", func(tx *store.Tx) error {
		k, none := readSettings(tx)
		if none != nil {
			return none
		}
		out.Workshop = k.Value.Name
		if out.Turns, err = h.turns(tx, h.now().AddDate(0, 0, -turnsBehind)); err != nil {
			return err
		}
		if !out.Whole {
			out.Turns = slices.DeleteFunc(out.Turns, func(t TurnView) bool { return a.Member == "" || t.Member != a.Member })
		}
		return h.feedDays(tx, k.Value.Location(), &out)
	})
	return out, err
}

// feedDays adds the classes, those that the person teaches or all of them, and the
// days that are due.
func (h *House) feedDays(tx *store.Tx, zone *time.Location, out *Feed) error {
	open, err := orders.list(tx, Page{State: "open"}, false)
	if err != nil {
		return err
	}
	for _, o := range open.Items {
		c := o.Value.Class
		if !out.Whole && (c == nil || out.Person.Member == "" || c.Teacher != out.Person.Member) {
			continue
		}
		d := FeedDay{Order: o.ID, Number: o.Value.Number, Class: c != nil, Promised: o.Value.Promise != ""}
		date := o.Value.Due
		if c != nil {
			date = c.Day
		}
		day, none := time.ParseInLocation(time.DateOnly, date, zone)
		if none != nil {
			continue // no day was said
		}
		d.From = day
		if c != nil {
			d.From, d.To = wall(day, c.From), c.ends(zone)
		}
		who, err := customers.get(tx, o.Value.Customer)
		if err != nil && !missing(err) {
			return err
		}
		d.Customer = who.Value.Name
		if d.Told, err = time.ParseInLocation(time.DateOnly, o.Value.Taken, zone); err != nil {
			d.Told = day
		}
		if o.Value.Promise != "" {
			pr, err := promises.get(tx, o.Value.Promise)
			if err != nil {
				return err
			}
			d.Told = pr.Value.Given
		}
		out.Days = append(out.Days, d)
	}
	return nil
}
