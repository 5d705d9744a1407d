package workshop

import (
	"context"
	"encoding/json"
	"errors"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"urdir/examples"
	"urdir/internal/store"
	"urdir/internal/store/pgtest"
	"urdir/measure"
)

// clock is a clock that stands until it is told to go on.
type clock struct {
	mu sync.Mutex
	at time.Time
}

func (c *clock) now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.at
}

func (c *clock) pass(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at = c.at.Add(d)
}

// shop is a workshop for tests: its people, and the house it is in.
type shop struct {
	testing.TB
	h                          *House
	clock                      *clock
	head, dyer, seller, keeper Person
	weaver, other              Person // members
}

var ctx = context.Background()

// onBoth runs a test on an empty SQLite file and on an empty PostgreSQL database.
func onBoth(t *testing.T, test func(t *testing.T, address string)) {
	t.Helper()
	t.Run("SQLite", func(t *testing.T) { test(t, file(t)) })
	t.Run("PostgreSQL", func(t *testing.T) { test(t, pgtest.Start(t)) })
}

func file(tb testing.TB) string { return filepath.Join(tb.TempDir(), "urdir.db") }

// opened gives a House on a database, with a clock of its own.
func opened(tb testing.TB, address string) (*House, *clock) {
	tb.Helper()
	db := must(store.Open(ctx, address))
	tb.Cleanup(func() {
		if err := db.Close(); err != nil {
			tb.Error(err)
		}
	})
	c := &clock{at: time.Date(2031, time.May, 6, 12, 0, 0, 0, time.UTC)}
	return New(db, c.now), c
}

// newShop makes a workshop with someone in every role.
func newShop(tb testing.TB, address string) *shop {
	tb.Helper()
	h, c := opened(tb, address)
	return addShop(tb, h, c)
}

// addShop adds a workshop to a house. Its people have no accounts: what they may
// do follows from their roles.
func addShop(tb testing.TB, h *House, c *clock) *shop {
	tb.Helper()
	id := newID()
	must(0, h.db.MakeWorkshop(ctx, store.Workshop{ID: id, Name: "Taller del Estero"}, h.now()))
	is := func(name string, r Role) Person {
		return Person{Account: "a-" + name, Workshop: id, Name: name, Role: r, Lang: "es"}
	}
	s := &shop{TB: tb, h: h, clock: c, head: is("Amaranta", Head), dyer: is("Delfina", Dyer), seller: is("Saturnina", Seller),
		keeper: is("Baldomera", Bookkeeper), weaver: is("Benita", MemberRole), other: is("Casilda", MemberRole)}
	must(0, h.update(ctx, s.head, "SaveSettings", func(tx *store.Tx) error {
		_, err := settings.put(tx, Kept[Settings]{ID: settingsID, Value: defaultSettings("Taller del Estero", "es")})
		return err
	}))
	for _, p := range []*Person{&s.weaver, &s.other} {
		p.Member = must(h.SaveMember(ctx, s.head, Kept[Member]{Value: Member{Name: p.Name, Skills: []string{"weave"}, Hours: 20}})).ID
	}
	return s
}

// must gives a value, or panics: in a test that ends it and shows where.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// wantCode fails the test if an error is not of a kind.
func wantCode(tb testing.TB, what string, err error, want Code) {
	tb.Helper()
	if got := CodeOf(err); got != want || err == nil {
		tb.Errorf("%s: got %v, want %s", what, err, want)
	}
}

// wantProblem fails the test if an error is not Invalid with a problem of this
// path and code.
func wantProblem(tb testing.TB, what string, err error, path, code string) {
	tb.Helper()
	var e *Error
	if errors.As(err, &e) && e.Code == Invalid {
		for _, p := range e.Problems {
			if p.Path == path && p.Code == code {
				return
			}
		}
	}
	tb.Errorf("%s: got %v, want invalid with %q: %s", what, err, path, code)
}

// example is the text of an example cloth.
func example(kind string) string {
	return string(must(examples.Files.ReadFile(kind + ".yaml")))
}

func (s *shop) customer() Kept[Customer] {
	return must(s.h.SaveCustomer(ctx, s.seller, Kept[Customer]{Value: Customer{Name: "Posada Los Juncos", Language: "es"}}))
}

func (s *shop) cloth(text string) Kept[Cloth] {
	return must(s.h.SaveCloth(ctx, s.seller, Kept[Cloth]{Value: Cloth{Name: "Una tela", Text: text}}))
}

// draft is an order of one line.
func (s *shop) draft(text string, quantity int) Kept[Order] {
	due := "2031-07-01"
	if s.clock.at.Format(time.DateOnly) > due {
		due = s.clock.at.AddDate(0, 3, 0).Format(time.DateOnly)
	}
	o := Order{Customer: s.customer().ID, Due: due, Lines: []Line{{Cloth: s.cloth(text).ID, Quantity: quantity}}}
	return must(s.h.SaveOrder(ctx, s.seller, Kept[Order]{Value: o}))
}

// supply makes a lot for every yarn of an order's line, with so many times what
// is needed on the shelf, and chooses them.
func (s *shop) supply(id string, times float64) OrderView {
	o := must(s.h.Order(ctx, s.head, id))
	for _, l := range o.Lines {
		chosen := map[string]string{}
		for _, w := range l.Wants {
			lot := must(s.h.SaveLot(ctx, s.dyer, Kept[Lot]{Value: Lot{Label: "Lote " + w.Yarn, Letter: "L", Colour: "#336699", Fibre: "cotton", Count: "Ne 8/2"}}))
			must(0, s.h.Receive(ctx, s.dyer, lot.ID, w.Need.Mass*measure.Gram(times)+0.001, Money{}, ""))
			chosen[w.Yarn] = lot.ID
		}
		now := must(s.h.Order(ctx, s.head, id))
		must(s.h.ChooseLots(ctx, s.dyer, id, l.ID, now.Revision, chosen))
	}
	return must(s.h.Order(ctx, s.head, id))
}

// running is a confirmed order of one line with yarn for it.
func (s *shop) running(kind string, quantity int) OrderView {
	o := s.draft(example(kind), quantity)
	must(s.h.ConfirmOrder(ctx, s.seller, o.ID, o.Revision))
	return s.supply(o.ID, 1)
}

// needed is what a warp takes of each lot.
func (s *shop) needed(job string) map[string]measure.Gram {
	out := map[string]measure.Gram{}
	for _, n := range must(s.h.Job(ctx, s.head, job)).Needs {
		out[n.Lot] += n.Mass
	}
	return out
}

// give gives a warp out to a member with what it takes.
func (s *shop) give(j Kept[Job], to Person) Kept[Job] {
	return must(s.h.GiveOut(ctx, s.dyer, j.ID, j.Revision, to.Member, s.needed(j.ID), Money{Minor: 120000, Currency: "USD"}))
}

// woven takes a warp from the shelf to woven and taken back.
func (s *shop) woven(j Kept[Job], to Person) Kept[Job] {
	j = s.give(j, to)
	j = must(s.h.Laid(ctx, to, j.ID, j.Revision))
	j = must(s.h.Tell(ctx, to, j.ID, j.Revision, j.Value.Length, 0))
	return must(s.h.TakeBack(ctx, s.dyer, j.ID, j.Revision, grams(s.in(Bag(j.ID))*9/10), nil))
}

// in is how much lies at a place, of all lots, in milligrams.
func (s *shop) in(place string) (mg int64) {
	must(0, s.h.db.View(ctx, s.head.Workshop, func(tx *store.Tx) error {
		held, err := tx.Held(place, "")
		mg = total(held)
		return err
	}))
	return mg
}

// stock is what lies everywhere.
func (s *shop) stock() (out []store.Stock) {
	must(0, s.h.db.View(ctx, s.head.Workshop, func(tx *store.Tx) (err error) {
		out, err = tx.Held("", "")
		return err
	}))
	return out
}

// everything is all that is kept of the workshop, but for its history.
func (s *shop) everything() string {
	var out strings.Builder
	must(0, s.h.db.View(ctx, s.head.Workshop, func(tx *store.Tx) error {
		records, _, err := tx.List(store.Query{})
		if err != nil {
			return err
		}
		slices.SortFunc(records, func(a, b store.Record) int { return strings.Compare(a.Kind+" "+a.ID, b.Kind+" "+b.ID) })
		moves, err := tx.Moves("", "")
		for _, x := range []any{records, moves} {
			out.Write(must(json.MarshalIndent(x, "", " ")))
		}
		return err
	}))
	return out.String()
}

// acts is how many lines the history has.
func (s *shop) acts() int { return len(must(s.h.History(ctx, s.head, "", "", 0))) }

// balanced fails the test if the books do not add up.
func (s *shop) balanced() {
	s.Helper()
	for _, f := range must(s.h.CheckBooks(ctx, s.head)) {
		s.Error("books: " + f)
	}
	for _, p := range must(s.h.AuditBooks(ctx, s.head)) {
		s.Errorf("books of money: %v", p)
	}
	sum := int64(0)
	for _, x := range s.stock() {
		sum += x.Milligrams
		if x.Milligrams < 0 && x.Place != Outside && !strings.HasPrefix(x.Place, dyedPlace) {
			s.Errorf("%s holds %d mg of %s", x.Place, x.Milligrams, x.Lot)
		}
	}
	if sum != 0 {
		s.Errorf("all places together hold %d mg, want 0", sum)
	}
}
