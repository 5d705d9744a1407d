package workshop

import (
	"fmt"
	"testing"
	"time"
)

// bigShop is a workshop of 80 members with so many open orders of the example
// cloths.
func bigShop(tb testing.TB, address string, n int) *shop {
	tb.Helper()
	s := calendarShop(tb, address)
	set := must(s.h.Settings(ctx, s.head))
	set.Value.Pots = []Pot{{"1", 60}, {"2", 60}, {"3", 40}, {"4", 40}, {"5", 80}, {"6", 25}}
	set.Value.Calendar.Frames = map[string]int{}
	set.Value.Frames = []Frame{{"Bastidor", frameText(tb, "runner")}}
	set.Value.Calendar.Frames["Bastidor"] = 8
	must(s.h.SaveSettings(ctx, s.head, set))
	for i := range 77 {
		m := Member{Name: fmt.Sprintf("Socia %02d", i), Hours: 12 + i%20, Skills: []string{"weave", []string{"lay", "brocade", "pick-up", "sew", "lay"}[i%5]}}
		must(s.h.SaveMember(ctx, s.head, Kept[Member]{Value: m}))
	}
	kinds := []string{"scarf", "sash", "runner", "bag", "shawl"}
	cloths := map[string]string{}
	for _, k := range kinds {
		cloths[k] = s.cloth(example(k)).ID
	}
	who := s.customer().ID
	for i := range n {
		due := s.clock.at.AddDate(0, 0, 20+i%160).Format(time.DateOnly)
		o := Order{Customer: who, Due: due, Lines: []Line{{Cloth: cloths[kinds[i%len(kinds)]], Quantity: 1 + i%3}}}
		k := must(s.h.SaveOrder(ctx, s.seller, Kept[Order]{Value: o}))
		must(s.h.ConfirmOrder(ctx, s.seller, k.ID, k.Revision))
	}
	return s
}

// A date for a new order among 300 open ones is there within two seconds, from
// nothing.
func BenchmarkPromiseFor(b *testing.B) {
	s := bigShop(b, file(b), 300)
	ask := Ask{Lines: []AskLine{{Text: example("scarf"), Quantity: 2}}}
	for b.Loop() {
		s.h.tables.last = nil
		a, err := s.h.PromiseFor(ctx, s.seller, ask)
		if err != nil || a.Orders != 300 {
			b.Fatal(a.Orders, err)
		}
		b.ReportMetric(float64(len(a.Timetable.works.problem.Steps)), "steps")
	}
}

func BenchmarkTimetable(b *testing.B) {
	s := bigShop(b, file(b), 300)
	for b.Loop() {
		s.h.tables.last = nil
		must(s.h.Timetable(ctx, s.seller, 1))
	}
}
