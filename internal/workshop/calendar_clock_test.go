package workshop

import (
	"fmt"
	"testing"
	"time"
)

// What was told of a day, by the clock: hands, standing that begins and ends, and
// yarn; less than half an hour of standing is waited for.
func TestTurn_lines(t *testing.T) {
	at := func(day, hour, minute int) time.Time { return time.Date(2031, 5, day, hour, minute, 0, 0, time.UTC) }
	bath := TurnView{Turn: Turn{Kind: BathTask, Start: at(6, 8, 0), End: at(7, 10, 0),
		Hands: []Stretch{{at(5, 15, 0), at(5, 16, 0)}, {at(6, 8, 0), at(6, 11, 0)}}}}
	yarn := TurnView{Turn: Turn{Kind: YarnTask, Start: at(6, 9, 0), End: at(12, 9, 0)}}
	short := TurnView{Turn: Turn{Kind: WashTask, Start: at(6, 8, 0), End: at(6, 9, 20), Hands: []Stretch{{at(6, 8, 0), at(6, 9, 0)}}}}
	for _, c := range []struct {
		what string
		turn TurnView
		date string
		want string
	}{
		{"hands, then it stands", bath, "2031-05-06", "hands 06 08:00 to 06 11:00; stands 06 11:00 to 07 10:00; "},
		{"the day before", bath, "2031-05-05", "hands 05 15:00 to 05 16:00; "},
		{"it has stood", bath, "2031-05-07", "stood 07 10:00; "},
		{"yarn is sent for", yarn, "2031-05-06", "sent 06 09:00 to 12 09:00; "},
		{"nothing of it", yarn, "2031-05-08", ""},
		{"yarn comes", yarn, "2031-05-12", "comes 12 09:00; "},
		{"twenty minutes", short, "2031-05-06", "hands 06 08:00 to 06 09:00; "},
	} {
		got := ""
		for _, l := range c.turn.lines(ClockLine{}, c.date) {
			got += string(l.Kind) + l.From.Format(" 02 15:04")
			if !l.To.IsZero() {
				got += l.To.Format(" to 02 15:04")
			}
			got += "; "
		}
		if got != c.want {
			t.Errorf("%s: %s, want %s", c.what, got, c.want)
		}
	}
}

// The first page has today's hands by the clock, a member's her own; a promise is
// reminded of in its last week, and asks for a new date when it is past.
func TestToday_clockAndPromises(t *testing.T) {
	s := calendarShop(t, file(t))
	o := s.running("scarf", 1)
	s.running("bag", 1)
	must(s.h.GivePromise(ctx, s.seller, o.ID, o.Revision, s.clock.at.AddDate(0, 0, 20).Format(time.DateOnly), 0.8))
	tt := must(s.h.Timetable(ctx, s.head, 100))
	must(s.h.AcceptTimetable(ctx, s.head, tt.Mark, 100, ""))
	first := Task{}
	for _, k := range tt.Tasks {
		if len(k.Hands) > 0 && (first.Key == "" || k.First.Before(first.First)) {
			first = k
		}
	}
	s.clock.at = first.First
	day := must(s.h.Today(ctx, s.head))
	found := false
	for i, l := range day.Clock {
		found = found || l.Kind == HandsLine && l.From.Equal(first.Hands[0].From) && l.Task == first.Kind && l.Who == tt.Names[first.Member]
		if i > 0 && l.From.Before(day.Clock[i-1].From) {
			t.Errorf("%v comes after %v", l.From, day.Clock[i-1].From)
		}
	}
	if !found {
		t.Errorf("%s at %v is not in %+v", first.Key, first.First, day.Clock)
	}
	for _, l := range must(s.h.Today(ctx, s.weaver)).Clock {
		if l.Who != "" || l.Where == "order" {
			t.Errorf("hers: %+v", l)
		}
	}
	kinds := func(days int) (out string) {
		s.clock.at = must(time.Parse(time.DateOnly, must(s.h.Order(ctx, s.head, o.ID)).Value.Due)).AddDate(0, 0, days)
		for _, e := range must(s.h.Today(ctx, s.head)).Errands {
			if e.ID == o.ID && (e.Kind == "errand-promise" || e.Kind == "errand-promise-late") {
				out += fmt.Sprint(e.Kind, " ", e.Where, " ", e.Late)
			}
		}
		return out
	}
	for days, want := range map[int]string{-8: "", -7: "errand-promise order false", 0: "errand-promise order false", 1: "errand-promise-late date true"} {
		if got := kinds(days); got != want {
			t.Errorf("%d days from it: %q, want %q", days, got, want)
		}
	}
}
