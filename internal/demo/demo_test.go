package demo_test

import (
	"maps"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"urdir/examples"
	"urdir/internal/demo"
	"urdir/internal/store"
	"urdir/internal/workshop"
)

var today = time.Date(2027, 3, 2, 10, 0, 0, 0, time.UTC)

// world is a filled database.
type world struct {
	t      *testing.T
	house  *workshop.House
	clock  *demo.Clock
	logins []demo.Login
	head   workshop.Person
}

func empty(t *testing.T) (*workshop.House, *demo.Clock) {
	t.Helper()
	db, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "demo.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := db.Close(); err != nil {
			t.Error(err)
		}
	})
	clock := demo.NewClock(today)
	return workshop.New(db, clock.Now), clock
}

func fill(t *testing.T) world {
	t.Helper()
	house, clock := empty(t)
	logins, err := demo.Fill(t.Context(), house, clock, "es")
	if err != nil {
		t.Fatal(err)
	}
	head, _, err := house.SignIn(t.Context(), logins[0].Login, logins[0].Passphrase)
	if err != nil {
		t.Fatal(err)
	}
	return world{t, house, clock, logins, head}
}

// orders gives every order with all that belongs to it, by number.
func (w world) orders() (out []workshop.OrderView) {
	w.t.Helper()
	l, _, err := w.house.Orders(w.t.Context(), w.head, workshop.Page{})
	if err != nil {
		w.t.Fatal(err)
	}
	for _, o := range slices.Backward(l.Items) {
		v, err := w.house.Order(w.t.Context(), w.head, o.ID)
		if err != nil {
			w.t.Fatal(err)
		}
		out = append(out, v)
	}
	return out
}

func (w world) stock() map[string]workshop.LotStock {
	w.t.Helper()
	_, stock, err := w.house.Lots(w.t.Context(), w.head, workshop.Page{})
	if err != nil {
		w.t.Fatal(err)
	}
	return stock
}

func TestFill(t *testing.T) {
	w := fill(t)
	t.Run("counts", w.testCounts)
	t.Run("sign in", w.testSignIn)
	t.Run("books", w.testBooks)
	t.Run("orders", w.testOrders)
	t.Run("yarn", w.testYarn)
	t.Run("dyeing", w.testDyeing)
	t.Run("times", w.testTimes)
	t.Run("today", w.testToday)
	t.Run("figures", w.testFigures)
	t.Run("cloths", w.testCloths)
	t.Run("calendar", w.testCalendar)
}

func (w world) testCounts(t *testing.T) {
	ctx, all := t.Context(), workshop.Page{}
	got := map[string]int{}
	count := func(what string, n int, err error) {
		if err != nil {
			t.Error(what, err)
		}
		got[what] = n
	}
	members, err := w.house.Members(ctx, w.head, all)
	count("members", len(members.Items), err)
	customers, err := w.house.Customers(ctx, w.head, all)
	count("customers", len(customers.Items), err)
	cloths, err := w.house.Cloths(ctx, w.head, all)
	count("cloths", len(cloths.Items), err)
	figures, err := w.house.Figures(ctx, w.head, all)
	count("figures", len(figures.Items), err)
	lots, _, err := w.house.Lots(ctx, w.head, all)
	count("lots", len(lots.Items), err)
	orders, _, err := w.house.Orders(ctx, w.head, all)
	count("orders", len(orders.Items), err)
	for _, m := range members.Items {
		if m.Value.Away {
			got["away"]++
		}
		if !m.Value.Named {
			got["not named"]++
		}
	}
	want := map[string]int{"members": 14, "customers": 12, "cloths": 15, "figures": 12, "lots": 45, "orders": 26, "away": 2, "not named": 3}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
	for _, kind := range examples.Kinds {
		if !slices.ContainsFunc(cloths.Items, func(c workshop.Kept[workshop.Cloth]) bool { return c.Value.Kind == kind }) {
			t.Errorf("no cloth of kind %s", kind)
		}
	}
}

func (w world) testSignIn(t *testing.T) {
	got := map[workshop.Role]int{}
	for _, l := range w.logins {
		p, _, err := w.house.SignIn(t.Context(), l.Login, l.Passphrase)
		if err != nil || p.Role != l.Role || p.Name != l.Name {
			t.Errorf("%s: %+v, %v; want %s", l.Login, p, err, l.Role)
		}
		got[l.Role]++
		if p.Role != workshop.MemberRole {
			continue
		}
		if d, err := w.house.Today(t.Context(), p); err != nil || len(d.Errands) == 0 {
			t.Errorf("%s has nothing to weave: %+v, %v", l.Login, d, err)
		}
	}
	want := map[workshop.Role]int{workshop.Head: 1, workshop.Dyer: 1, workshop.Seller: 1, workshop.Bookkeeper: 1, workshop.MemberRole: 2}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

func (w world) testBooks(t *testing.T) {
	faults, err := w.house.CheckBooks(t.Context(), w.head)
	if err != nil || len(faults) > 0 {
		t.Errorf("%q, %v", faults, err)
	}
}

func (w world) testOrders(t *testing.T) {
	got := map[string]int{}
	stages := map[workshop.Stage]int{}
	for _, o := range w.orders() {
		switch {
		case o.Value.Cancelled != "":
			got["cancelled"]++
			continue
		case o.Value.Confirmed == "":
			got["draft"]++
		}
		k, open := o.Thread.Now()
		if open {
			stages[k.Stage]++
		} else {
			got["done"]++
		}
		if k.Block != "" {
			got[k.Block]++
		}
		if open && o.Value.Due < today.Format(time.DateOnly) {
			got["late"]++
		}
		for _, j := range o.Jobs {
			got["warp "+string(j.Value.State())]++
		}
		for _, x := range o.Pieces {
			got["piece "+string(x.Value.State())]++
			for _, f := range x.Value.Facts {
				if f.Kind == workshop.RepairedFact {
					got["repaired"]++
				}
			}
		}
	}
	t.Logf("at hand: %v", stages)
	if len(stages) < 8 {
		t.Errorf("orders at %d stages, want 8 or more: %v", len(stages), stages)
	}
	for _, what := range []string{
		"cancelled", "draft", "done", "late", "repaired",
		"block-choose-lots", "block-yarn-short", "block-dye", "block-cloth-wrong", "block-give-out",
		"warp waiting", "warp given", "warp laid", "warp weaving", "warp back",
		"piece unfinished", "piece finished", "piece delivered", "piece returned",
	} {
		if got[what] == 0 {
			t.Errorf("nothing is %s; there is %v", what, slices.Sorted(maps.Keys(got)))
		}
	}
}

// testYarn holds the lots chosen to the cloths: a plan's weights hold only for
// yarn of its count.
func (w world) testYarn(t *testing.T) {
	chosen := 0
	for _, o := range w.orders() {
		for _, l := range o.Lines {
			for _, want := range l.Wants {
				if want.Lot.ID == "" {
					continue
				}
				chosen++
				if lot := want.Lot.Value; lot.Count != want.Need.Count || lot.Fibre != want.Need.Fibre {
					t.Errorf("order %d: %s is %s %s; its lot %s is %s %s", o.Value.Number, want.Yarn, want.Need.Fibre, want.Need.Count, lot.Label, lot.Fibre, lot.Count)
				}
			}
		}
	}
	low, waits := 0, 0
	for _, s := range w.stock() {
		if s.Low() {
			low++
		}
		if s.Value.Waiting {
			waits++
		}
	}
	if chosen == 0 || low < 2 || waits == 0 {
		t.Errorf("%d yarns have a lot, %d lots are low and %d wait to be dyed; want some, 2 or more, some", chosen, low, waits)
	}
}

// testDyeing checks that the dye house shows something of everything.
func (w world) testDyeing(t *testing.T) {
	ctx := t.Context()
	got := map[string]int{}
	all, err := w.house.Dyeings(ctx, w.head, workshop.Page{})
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range all.Items {
		state := d.Value.State()
		got[string(state)]++
		v, failed := w.house.Dyeing(ctx, w.head, d.ID)
		if failed != nil || v.Problems.Failed() {
			t.Errorf("%s: %v, %v", d.Value.Label, failed, v.Problems)
		}
		if verdict, ok := v.Verdict(); ok && verdict.Accepted != (state == workshop.DyeAccepted) {
			got["against the limit"]++
		}
		if len(v.Used) == 0 && state != workshop.DyePlanned {
			t.Errorf("%s: nothing went into its bath", d.Value.Label)
		}
		if v.From.Value.Dye.Rejected {
			got["dyed again"]++
		}
		if len(d.Value.For) > 1 {
			got["for several"]++
		}
		tests, failed := w.house.Story(ctx, w.head, d.Value.Lot)
		if failed != nil {
			t.Error(failed)
		}
		got["tests"] += len(tests.Trials)
		got["pieces"] += len(tests.Pieces)
	}
	groups, err := w.house.Supplies(ctx, w.head)
	if err != nil {
		t.Fatal(err)
	}
	for _, g := range groups {
		got["supplies"]++
		if g.Low() {
			got["low"]++
		}
		for _, b := range g.Bags {
			if b.Expired {
				got["expired"]++
			}
		}
	}
	shade, err := w.house.Shade(ctx, w.head, "cochineal-cotton")
	if err != nil || !shade.Fitted {
		t.Errorf("no shade of grana: %v, %v", shade.Problems, err)
	}
	p, err := w.house.ProposeDye(ctx, w.head, 100)
	if err != nil || len(p.Wants) == 0 || p.Planned == 0 {
		t.Errorf("%d wishes, %d dyeings planned, %v; want some of both", len(p.Wants), p.Planned, err)
	}
	t.Logf("the dye house: %v", got)
	for _, what := range []string{"planned", "begun", "accepted", "rejected", "against the limit", "dyed again", "for several", "tests", "pieces", "supplies", "low", "expired"} {
		if got[what] == 0 {
			t.Errorf("nothing is %s; there is %v", what, got)
		}
	}
}

// testTimes checks that the season was lived through from its beginning to this
// week and never backwards, and that the clock runs on from today.
func (w world) testTimes(t *testing.T) {
	deeds, err := w.house.History(t.Context(), w.head, "", "", 10000)
	if err != nil || len(deeds) < 100 {
		t.Fatalf("%d deeds, %v", len(deeds), err)
	}
	slices.Reverse(deeds)
	for i, d := range deeds {
		if i > 0 && d.At.Before(deeds[i-1].At) {
			t.Errorf("%s %s at %s comes after %s", d.Act, d.Kind, d.At, deeds[i-1].At)
		}
	}
	first, last := deeds[0].At, deeds[len(deeds)-1].At
	midnight := today.Truncate(24 * time.Hour)
	if days := midnight.Sub(first).Hours() / 24; days < 100 || last.After(today) || midnight.Sub(last) > 7*24*time.Hour {
		t.Errorf("the season went from %s to %s; today is %s", first, last, today)
	}
	a := w.clock.Now()
	time.Sleep(time.Millisecond)
	if b := w.clock.Now(); !b.After(a) || a.Before(today) || a.After(today.Add(time.Hour)) {
		t.Errorf("the clock says %s, then %s; want it to run on from %s", a, b, today)
	}
}

func (w world) testToday(t *testing.T) {
	d, err := w.house.Today(t.Context(), w.head)
	if err != nil {
		t.Fatal(err)
	}
	kinds, late := map[string]int{}, 0
	for _, e := range d.Errands {
		kinds[e.Kind]++
		if e.Late {
			late++
		}
	}
	t.Logf("%d errands: %v", len(d.Errands), kinds)
	if len(d.Errands) < 10 || late == 0 || d.Weaving == 0 || d.Pieces == 0 {
		t.Errorf("%d errands, %d late, %d warps at members', %d pieces to deliver", len(d.Errands), late, d.Weaving, d.Pieces)
	}
}

func (w world) testFigures(t *testing.T) {
	l, err := w.house.Figures(t.Context(), w.head, workshop.Page{})
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]int{}
	for _, f := range l.Items {
		c, ps := f.Value.Chart()
		if ps.Failed() || len(c.Figures) != 1 || len(c.Figures[0].Chart.Symbols()) == 0 {
			t.Errorf("%s cannot be read: %v", f.Value.Name, ps)
		}
		if f.Value.Owner != "" {
			got[f.Value.Sale+" of others"]++
		}
		got[f.Value.Sale]++
	}
	want := map[string]int{"yes": 9, "ask": 2, "no": 1, "yes of others": 1, "ask of others": 1, "no of others": 1}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("-want +got:\n%s", diff)
	}
}

func (w world) testCloths(t *testing.T) {
	l, err := w.house.Cloths(t.Context(), w.head, workshop.Page{})
	if err != nil {
		t.Fatal(err)
	}
	versions := 0
	for _, c := range l.Items {
		_, made, err := w.house.Cloth(t.Context(), w.head, c.ID, 0)
		if err != nil || made.Failed() {
			t.Errorf("%s: %v, %v", c.Value.Name, err, made.Problems)
			continue
		}
		if made.Plan.Name != c.Value.Name || made.Plan.Customer != "" {
			t.Errorf("%s is planned as %q for %q", c.Value.Name, made.Plan.Name, made.Plan.Customer)
		}
		for _, warp := range made.Plan.Warps {
			if warp.Path == nil {
				t.Errorf("%s: no way on a frame for warp %s", c.Value.Name, warp.Key)
			}
		}
		versions = max(versions, c.Value.Version)
	}
	if versions < 2 {
		t.Error("no cloth has a second version")
	}
}

// lived is what a season came to, without the random names of records.
type lived struct {
	Orders []workshop.Order
	Thread []workshop.Thread
	Jobs   [][]workshop.Job
	Pieces [][]workshop.Piece
	Shelf  map[string][2]float64
}

func (w world) lived() (out lived) {
	for _, o := range w.orders() {
		out.Orders = append(out.Orders, o.Value)
		out.Thread = append(out.Thread, o.Thread)
		var js []workshop.Job
		for _, j := range o.Jobs {
			if j.Value.Member != "" {
				m, _, err := w.house.Member(w.t.Context(), w.head, j.Value.Member)
				if err != nil {
					w.t.Fatal(err)
				}
				j.Value.Member = m.Value.Name
			}
			js = append(js, j.Value)
		}
		var ps []workshop.Piece
		for _, x := range o.Pieces {
			ps = append(ps, x.Value)
		}
		out.Jobs, out.Pieces = append(out.Jobs, js), append(out.Pieces, ps)
	}
	out.Shelf = map[string][2]float64{}
	for _, s := range w.stock() {
		out.Shelf[s.Value.Label+" "+s.Value.Count] = [2]float64{float64(s.OnShelf), float64(s.Out)}
	}
	return out
}

func TestFillSameTwice(t *testing.T) {
	random := cmp.Options{
		cmpopts.IgnoreFields(workshop.Order{}, "Customer", "Lines", "Promise"),
		cmpopts.IgnoreFields(workshop.Class{}, "Teacher"),
		cmpopts.IgnoreFields(workshop.Job{}, "Order"),
		cmpopts.IgnoreFields(workshop.Piece{}, "Order", "Card"),
		cmpopts.IgnoreFields(workshop.Fact{}, "Member", "Moves"),
		// Lots of one weight share the odd milligram in the order of their names.
		cmpopts.EquateApprox(0, 0.01),
	}
	if diff := cmp.Diff(fill(t).lived(), fill(t).lived(), random); diff != "" {
		t.Errorf("two fillings differ:\n%s", diff)
	}
}

func TestFillOnlyWhenEmpty(t *testing.T) {
	house, clock := empty(t)
	p, err := house.SetUp(t.Context(), "Otro taller", "Alguien", "alguien", "una frase bien larga", "es")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := demo.Fill(t.Context(), house, clock, "es"); err == nil {
		t.Error("filled a database that has a workshop")
	}
	if l, err := house.Members(t.Context(), p, workshop.Page{}); err != nil || len(l.Items) > 0 {
		t.Errorf("%d members, %v; want none", len(l.Items), err)
	}
}
