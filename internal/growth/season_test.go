package growth_test

import (
	"context"
	"fmt"
	"maps"
	"testing"
	"time"

	"urdir/internal/store"
	"urdir/internal/workshop"
	"urdir/measure"
)

// members and pieces are how many a cooperative has, and an order asks for: 300
// cooperatives with 12 000 members; our choice.
const (
	members = 40
	pieces  = 8
)

// scarf is a small cloth.
const scarf = `urdir: 1
name: Bufanda
yarns:
  crudo: {count: Ne 8/2, fibre: cotton, colour: "#e9e1d0"}
  rojo: {count: Ne 8/2, fibre: cotton, colour: "#a8442f"}
warps:
  main:
    sett: 30 /cm
    stripes:
      - 100 crudo
      - 200 rojo
weft: crudo
picks: 6 /cm
panels:
  bufanda: {warp: main, length: 60 cm, bands: [{woven: rest}]}
`

// season is one cooperative that has worked for some time.
type season struct {
	testing.TB
	house    *workshop.House
	head     workshop.Person
	at       time.Time
	people   []string
	lots     map[string]string // by yarn
	cloth    string
	customer string
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// newSeason makes a cooperative with so many orders, the last of which are still
// being worked on, and gives its workshop and the head's account.
func newSeason(tb testing.TB, address string, orders int) workshop.Person {
	tb.Helper()
	db := must(store.Open(context.Background(), address))
	tb.Cleanup(func() { _ = db.Close() }) // everything acknowledged is kept
	s := &season{TB: tb, at: time.Now().Add(-8 * time.Hour * time.Duration(orders+1)), lots: map[string]string{}}
	s.house = workshop.New(db, func() time.Time { s.at = s.at.Add(time.Second); return s.at })
	ctx := tb.Context()
	s.head = must(s.house.SetUp(ctx, "Taller del Estero", "Amaranta", "amaranta", "la marea sube despacio", "es"))
	for i := range members {
		m := workshop.Member{Name: fmt.Sprintf("Socia %02d", i), Hours: 12 + i%20, Skills: []string{"weave", "lay"}}
		s.people = append(s.people, must(s.house.SaveMember(ctx, s.head, workshop.Kept[workshop.Member]{Value: m})).ID)
	}
	s.cloth = must(s.house.SaveCloth(ctx, s.head, workshop.Kept[workshop.Cloth]{Value: workshop.Cloth{Name: "Bufanda", Text: scarf}})).ID
	for i := range orders {
		if i%10 == 0 { // and new lots: no lot of yarn is for a season
			clear(s.lots)
			s.customer = must(s.house.SaveCustomer(ctx, s.head, workshop.Kept[workshop.Customer]{Value: workshop.Customer{Name: fmt.Sprintf("Posada %d", i/10)}})).ID
		}
		s.order(float64(i) / float64(orders))
		s.at = s.at.Add(8 * time.Hour)
	}
	return s.head
}

// order takes one order; those of nine tenths of the season are delivered, the others
// are asked for, confirmed, on looms.
func (s *season) order(when float64) {
	ctx, h := s.Context(), s.house
	o := workshop.Order{Customer: s.customer, Due: s.at.AddDate(0, 2, 0).Format(time.DateOnly), Lines: []workshop.Line{{Cloth: s.cloth, Quantity: pieces}}}
	k := must(h.SaveOrder(ctx, s.head, workshop.Kept[workshop.Order]{Value: o}))
	if when > 0.98 {
		return
	}
	must(h.ConfirmOrder(ctx, s.head, k.ID, k.Revision))
	v := must(h.Order(ctx, s.head, k.ID))
	s.supply(v)
	if when > 0.95 {
		return
	}
	woven := measure.Gram(0)
	for i, j := range v.Jobs {
		woven += s.weave(j, s.people[i%len(s.people)], when < 0.9)
	}
	if when >= 0.9 {
		return
	}
	for _, x := range must(h.Order(ctx, s.head, k.ID)).Pieces {
		x = must(h.Finish(ctx, s.head, x.ID, x.Revision, woven/(pieces+1), 58, 9.5, ""))
		must(h.Deliver(ctx, s.head, x.ID, x.Revision))
	}
}

// supply has enough of every yarn on the shelf.
func (s *season) supply(v workshop.OrderView) {
	ctx, h := s.Context(), s.house
	for _, l := range v.Lines {
		for _, w := range l.Wants {
			if s.lots[w.Yarn] == "" {
				s.lots[w.Yarn] = must(h.SaveLot(ctx, s.head, workshop.Kept[workshop.Lot]{Value: workshop.Lot{Label: w.Yarn, Colour: "#336699", Fibre: "cotton", Count: "Ne 8/2"}})).ID
			}
			if err := h.Receive(ctx, s.head, s.lots[w.Yarn], w.Need.Mass+1, workshop.Money{Minor: 900, Currency: "USD"}, ""); err != nil {
				s.Fatal(err)
			}
		}
		must(h.ChooseLots(ctx, s.head, v.ID, l.ID, must(h.Order(ctx, s.head, v.ID)).Revision, maps.Clone(s.lots)))
	}
}

// weave has a member weave a warp, and bring it back and be paid; it gives what the
// cloth weighs.
func (s *season) weave(j workshop.Kept[workshop.Job], who string, back bool) measure.Gram {
	ctx, h := s.Context(), s.house
	masses := map[string]measure.Gram{}
	total := measure.Gram(0)
	for _, n := range must(h.Job(ctx, s.head, j.ID)).Needs {
		masses[n.Lot] += n.Mass
		total += n.Mass
	}
	pay := workshop.Money{Minor: 4200, Currency: "USD"}
	j = must(h.GiveOut(ctx, s.head, j.ID, j.Revision, who, masses, pay))
	j = must(h.Laid(ctx, s.head, j.ID, j.Revision))
	if !back {
		must(h.Tell(ctx, s.head, j.ID, j.Revision, j.Value.Length/2, 0))
		return 0
	}
	j = must(h.Tell(ctx, s.head, j.ID, j.Revision, j.Value.Length, 0))
	j = must(h.TakeBack(ctx, s.head, j.ID, j.Revision, total*9/10, nil))
	must(h.Paid(ctx, s.head, j.ID, j.Revision, pay, ""))
	return total * 9 / 10
}
