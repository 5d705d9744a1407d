package workshop

import (
	"slices"
	"strings"
	"testing"
	"time"
)

// What is to be dyed and is not planned is one lot for all orders that want it;
// once it is planned its baths stand on their days, in their pots.
func TestTimetable_dyeing(t *testing.T) {
	s := calendarShop(t, file(t))
	s.running("bag", 1)
	var ids []string
	for range 2 {
		o := s.draft(dyedCloth, 1)
		must(s.h.ConfirmOrder(ctx, s.seller, o.ID, o.Revision))
		v := must(s.h.Order(ctx, s.head, o.ID))
		must(s.h.WishDye(ctx, s.dyer, v.ID, v.Lines[0].ID, v.Revision, map[string]Wish{"rojo": {Recipe: "madder-cotton"}}))
		ids = append(ids, o.ID)
	}
	tt := must(s.h.Timetable(ctx, s.head, 100))
	s.sound(tt)
	if len(tt.Left) > 0 {
		t.Fatalf("left: %+v", tt.Left)
	}
	baths, dry := 0, Task{}
	for _, k := range tt.Tasks {
		switch k.Kind {
		case BathTask:
			baths++
			if len(k.Orders) != 2 || tt.Names[k.Member] != "Hilaria" || len(k.Places) != 1 || k.Places[0] != "pot Olla grande" {
				t.Errorf("%s for %v by %s in %v", k.Key, k.Orders, tt.Names[k.Member], k.Places)
			}
		case DryTask:
			dry = k
		}
	}
	stages := 0
	for _, r := range must(s.h.Recipes(ctx, s.head)) {
		if r.Key == "madder-cotton" {
			stages = len(r.Recipe.Stages())
		}
	}
	if baths != stages || stages < 2 {
		t.Errorf("%d baths, the recipe has %d stages", baths, stages)
	}
	for _, id := range ids {
		if w := tt.task(t, id, WindTask); w.Start.Before(dry.End) {
			t.Errorf("wound at %s, dry at %s", w.Start, dry.End)
		}
	}

	plan := must(s.h.ProposeDye(ctx, s.dyer, DyeSteps))
	made := must(s.h.AcceptDye(ctx, s.dyer, plan.Mark, DyeSteps))
	tt = must(s.h.Timetable(ctx, s.head, 100))
	s.sound(tt)
	seen := 0
	for _, d := range made {
		for n, day := range d.Value.Days {
			i := slices.IndexFunc(tt.Tasks, func(k Task) bool { return k.ID == d.ID && strings.HasSuffix(k.Key, string(rune('1'+n))) })
			if i < 0 {
				t.Fatalf("no bath %d of %s", n+1, d.Value.Label)
			}
			seen++
			if got := tt.Tasks[i].Start.Format(time.DateOnly); got != day.Day {
				t.Errorf("bath %d is on %s, planned for %s", n+1, got, day.Day)
			}
		}
	}
	if seen == 0 {
		t.Error("no baths were planned")
	}

	// Nobody who dyes can come on one of the days: that is said.
	h := slices.IndexFunc(must(s.h.Members(ctx, s.head, Page{})).Items, func(m Kept[Member]) bool { return m.Value.Name == "Hilaria" })
	m := must(s.h.Members(ctx, s.head, Page{})).Items[h]
	hours := m.Value.Time
	day := made[0].Value.Days[0].Day
	hours.Absences = []Absence{{From: day, To: day, Why: "Boda"}}
	must(s.h.SaveHours(ctx, s.head, m.ID, m.Revision, hours))
	tt = must(s.h.Timetable(ctx, s.head, 100))
	s.sound(tt)
	if len(tt.Problems) == 0 || tt.Problems[0].Code != "calendar-no-dyer" || tt.Problems[0].Args["day"] != day {
		t.Errorf("the dyer is at a wedding: %v", tt.Problems)
	}
}

// dyedCloth is a cloth with a yarn to be dyed and one that is not.
const dyedCloth = `urdir: 1
name: Chalina roja
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
  chalina: {warp: main, length: 60 cm, bands: [{woven: rest}]}
`
