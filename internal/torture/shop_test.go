package torture_test

import (
	"context"
	"fmt"
	"path/filepath"
	"strconv"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"urdir/internal/store"
	"urdir/internal/workshop"
	"urdir/measure"
)

// shop is a workshop in a database, and all that a server has said is kept there.
type shop struct {
	dir, address string
	head         workshop.Person
	key          string // of the head's session
	lot, bag     string // a yarn and a supply
	last         atomic.Int64

	mu     sync.Mutex
	people []string // customers that were kept
	moved  []moved  // material that moved
}

// moved is a move of as many milligrams as no other has.
type moved struct {
	what string
	mg   int64
}

// newShop makes a workshop; an empty address is a SQLite file of its own.
func newShop(tb testing.TB, address string) *shop {
	tb.Helper()
	return shopIn(tb, tb.TempDir(), address)
}

func shopIn(tb testing.TB, dir, address string) *shop {
	tb.Helper()
	s := &shop{dir: dir, address: address}
	if address == "" {
		s.address = filepath.Join(s.dir, "urdir.sqlite")
	}
	ctx := context.Background()
	s.inHouse(tb, func(_ *store.DB, h *workshop.House) {
		var err error
		s.head, err = h.SetUp(ctx, "Taller de la Punta", "Rufina Salas", "rufina", "cuatro palabras de paso", "es")
		must(tb, err)
		_, s.key, err = h.SignIn(ctx, "rufina", "cuatro palabras de paso")
		must(tb, err)
		lot, err := h.SaveLot(ctx, s.head, workshop.Kept[workshop.Lot]{Value: workshop.Lot{Label: "Rojo", Letter: "A", Colour: "#aa2222", Fibre: "cotton", Count: "Ne 8/2"}})
		must(tb, err)
		must(tb, h.Receive(ctx, s.head, lot.ID, 90000, workshop.Money{Minor: 900000, Currency: "USD"}, ""))
		bag, err := h.Buy(ctx, s.head, workshop.Kept[workshop.Supply]{Value: workshop.Supply{What: "alum"}},
			workshop.Purchase{Mass: 5, Cost: workshop.Money{Minor: 5, Currency: "USD"}})
		must(tb, err)
		s.lot, s.bag = lot.ID, bag.ID
	})
	s.last.Store(10000) // milligrams that no move of the setting up has
	return s
}

// inHouse opens the database for as long as f lasts.
func (s *shop) inHouse(tb testing.TB, f func(*store.DB, *workshop.House)) {
	tb.Helper()
	db, err := store.Open(context.Background(), s.address)
	must(tb, err)
	defer func() { must(tb, db.Close()) }()
	f(db, workshop.New(db, time.Now))
}

// where is how a command is told of the database.
func (s *shop) where() []string {
	if store.IsPostgres(s.address) {
		return []string{"--db", s.address}
	}
	return []string{"--data", s.dir}
}

// one gives a number no act had before.
func (s *shop) one() int64 { return s.last.Add(1) }

func gramsOf(mg int64) string { return strconv.FormatFloat(float64(mg)/1000, 'f', 3, 64) }

// keep notes what was acknowledged.
func (s *shop) keep(person string, m moved) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if person != "" {
		s.people = append(s.people, person)
	} else {
		s.moved = append(s.moved, m)
	}
}

// acts is how many acts were acknowledged.
func (s *shop) acts() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return len(s.people) + len(s.moved)
}

// check opens the database and holds it against what was acknowledged: all of it is
// there, once; stock, books, numbers and history are whole.
func (s *shop) check(tb testing.TB) {
	tb.Helper()
	s.inHouse(tb, func(db *store.DB, h *workshop.House) { s.checkIn(tb, db, h) })
	counts.add("looks at the whole database", 1)
}

func (s *shop) checkIn(tb testing.TB, db *store.DB, h *workshop.House) {
	tb.Helper()
	ctx := context.Background()
	faults, err := db.Verify(ctx)
	must(tb, err)
	for _, f := range faults {
		tb.Error(f)
	}
	booksClose(tb, h, s.head)
	must(tb, db.View(ctx, s.head.Workshop, s.checkAcknowledged(tb)))
}

// booksClose looks whether the books of money and material close.
func booksClose(tb testing.TB, h *workshop.House, head workshop.Person) {
	tb.Helper()
	ps, err := h.AuditBooks(context.Background(), head)
	must(tb, err)
	for _, p := range ps {
		tb.Errorf("books: %+v", p)
	}
}

// checkAcknowledged looks for each act that was acknowledged.
func (s *shop) checkAcknowledged(tb testing.TB) func(*store.Tx) error {
	return func(tx *store.Tx) error {
		s.mu.Lock()
		defer s.mu.Unlock()
		there := map[string]int{}
		found, _, err := tx.List(store.Query{Kind: "customer"})
		if err != nil {
			return err
		}
		for _, r := range found {
			there[r.ID]++
		}
		for _, id := range s.people {
			if there[id] != 1 {
				tb.Errorf("customer %s was acknowledged and is not there", id)
			}
		}
		moves, err := tx.Moves("", "")
		times := map[string]int{}
		for _, m := range moves {
			times[fmt.Sprint(m.Milligrams)]++
		}
		for _, m := range s.moved {
			if n := times[fmt.Sprint(m.mg)]; n != 1 {
				tb.Errorf("%s of %d mg was acknowledged and is there %d times", m.what, m.mg, n)
			}
		}
		return err
	}
}

func gramsFrom(mg int64) measure.Gram { return measure.Gram(float64(mg) / 1000) }
