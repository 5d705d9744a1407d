package workshop

import (
	"testing"
	"time"

	"urdir/measure"
)

// A feast is a day on which nobody works, and people stand by name.
func TestTimetable_days(t *testing.T) {
	s := calendarShop(t, file(t))
	s.running("scarf", 2)
	tt := must(s.h.Timetable(ctx, s.head, 50))
	set := must(s.h.Settings(ctx, s.head)).Value
	for i, f := range set.Feasts {
		if d := tt.Day(f.Day); d.Name != set.Feasts[i].Name || !d.Closed || d.Share != 0 {
			t.Errorf("a feast: %+v", d)
		}
	}
	crew := tt.Crew()
	if len(crew) < 2 {
		t.Fatalf("only %d take part", len(crew))
	}
	for i := 1; i < len(crew); i++ {
		if crew[i-1].Value.Name > crew[i].Value.Name {
			t.Errorf("%s stands before %s", crew[i-1].Value.Name, crew[i].Value.Name)
		}
	}
}

// All hours of all tasks stand in the weeks of the load, and none is worked that
// was not offered.
func TestTimetable_load(t *testing.T) {
	s := calendarShop(t, file(t))
	s.running("scarf", 2)
	s.running("bag", 1)
	tt := must(s.h.Timetable(ctx, s.head, 50))
	var want, got measure.Minute
	for _, k := range tt.Tasks {
		for _, h := range k.Hands {
			if k.Member != "" {
				want += measure.Minute(h.To.Sub(h.From) / time.Minute)
			}
		}
	}
	from := tt.Begin.AddDate(0, 0, -6).Format(time.DateOnly) // any day: weeks are counted from it
	for _, l := range tt.Load(from, 60) {
		for _, w := range l.Weeks {
			got += w.Given
			if w.Given > w.Offered {
				t.Errorf("%s works %v of %v", l.Name, w.Given, w.Offered)
			}
		}
	}
	if want == 0 || got != want {
		t.Errorf("the weeks hold %v, the tasks %v", got, want)
	}
}

// A task is offered to those who can do it, at hours that are theirs.
func TestTimetable_hourFor(t *testing.T) {
	s := calendarShop(t, file(t))
	o := s.running("scarf", 1)
	tt := must(s.h.Timetable(ctx, s.head, 50))
	weave := tt.task(t, o.ID, WeaveTask)
	may := tt.MayDo(weave)
	if len(may) == 0 {
		t.Fatal("nobody may weave")
	}
	for n := range 14 {
		date := tt.Begin.AddDate(0, 0, n).Format(time.DateOnly)
		at, ok := tt.HourFor(may[0], date, weave.Start)
		open := tt.Offered(may[0], date)
		inside := false
		for _, h := range open {
			inside = inside || !at.Before(h.From) && at.Before(h.To)
		}
		if ok != inside || ok && at.Before(tt.Begin) {
			t.Errorf("%s: %v %v among %v", date, at, ok, open)
		}
	}
	if got := tt.MayDo(tt.task(t, o.ID, DeliverTask)); got != nil {
		t.Errorf("delivering is offered to %v", got)
	}
}

// On paper stands what she was told, all of it in its months, and another's is not
// there for her.
func TestMemberMonth(t *testing.T) {
	s := calendarShop(t, file(t))
	s.running("scarf", 2)
	tt := must(s.h.Timetable(ctx, s.head, 50))
	month := tt.Begin.Format("2006-01")
	if m := must(s.h.MemberMonth(ctx, s.weaver, s.weaver.Member, month)); len(m.Days) < 28 || told(m) != 0 {
		t.Errorf("before anything is told: %d days, %d turns", len(m.Days), told(m))
	}
	must(s.h.AcceptTimetable(ctx, s.head, tt.Mark, 50, ""))
	want := 0
	for _, v := range must(s.h.Turns(ctx, s.weaver)) {
		want += len(v.Hands)
	}
	got := 0
	for n := range 14 {
		got += told(must(s.h.MemberMonth(ctx, s.weaver, s.weaver.Member, tt.Begin.AddDate(0, n, 1-tt.Begin.Day()).Format("2006-01"))))
	}
	if want == 0 || got != want {
		t.Errorf("on paper %d stretches, she was told %d", got, want)
	}
	_, err := s.h.MemberMonth(ctx, s.weaver, s.other.Member, month)
	wantCode(t, "another's month", err, NotFound)
	must(s.h.MemberMonth(ctx, s.seller, s.weaver.Member, month))
	if m := must(s.h.MemberMonth(ctx, s.weaver, s.weaver.Member, "nonsense")); m.First[:7] != month {
		t.Errorf("a month that cannot be read: %s", m.First)
	}
}

func told(m MemberMonth) (n int) {
	for _, d := range m.Days {
		n += len(d.Turns)
	}
	return n
}
