package workshop

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

// In any workshop: nobody and nothing is at two places at once, nobody works when
// she is away, nothing comes before what must come first.
func TestTimetable_neverTwice(t *testing.T) {
	kinds := []string{"scarf", "sash", "runner", "bag", "shawl", "class"}
	h, c := opened(t, file(t))
	began := c.at
	rapid.Check(t, func(r *rapid.T) {
		c.at = began
		s := addShop(t, h, c)
		set := must(s.h.Settings(ctx, s.head))
		set.Value.Calendar.Zone = rapid.SampledFrom([]string{"", "America/Bogota", "Europe/Madrid", "Asia/Kathmandu"}).Draw(r, "zone")
		set.Value.Frames = []Frame{{"Bastidor", frameText(t, "runner")}}
		set.Value.Calendar.Frames = map[string]int{"Bastidor": rapid.IntRange(1, 2).Draw(r, "frames")}
		set.Value.Pots = []Pot{{"Olla", 60}}
		set.Value.Calendar.Closed = []Closure{{Name: "Mercado", Weekdays: []string{"tue"}, Weeks: []int{1, 3}},
			{Name: "Cosecha", From: "2031-05-20", To: "2031-06-05", Share: 0.5}}
		must(s.h.SaveSettings(ctx, s.head, set))
		for i := range rapid.IntRange(2, 5).Draw(r, "members") {
			m := must(s.h.SaveMember(ctx, s.head, Kept[Member]{Value: Member{Name: string(rune('A' + i)), Hours: 10,
				Skills: rapid.SliceOfNDistinct(rapid.SampledFrom(Skills), 3, 7, rapid.ID[string]).Draw(r, "skills")}}))
			var hours Hours
			for _, d := range weekDays {
				if rapid.Bool().Draw(r, "works") {
					from := rapid.IntRange(5, 14).Draw(r, "from")
					hours.Offers = append(hours.Offers, Offer{d, 60 * from, 60 * (from + rapid.IntRange(1, 6).Draw(r, "long"))})
				}
			}
			if rapid.Bool().Draw(r, "away") {
				from := s.clock.at.AddDate(0, 0, rapid.IntRange(0, 20).Draw(r, "leaves"))
				hours.Absences = []Absence{{From: from.Format(time.DateOnly), To: from.AddDate(0, 0, 5).Format(time.DateOnly)}}
			}
			must(s.h.SaveHours(ctx, s.head, m.ID, m.Revision, hours))
		}
		for range rapid.IntRange(2, 4).Draw(r, "orders") {
			if rapid.IntRange(0, 4).Draw(r, "a class") == 0 {
				s.class(began.AddDate(0, 0, rapid.IntRange(8, 40).Draw(r, "in days")).Format(time.DateOnly), rapid.IntRange(1, 3).Draw(r, "learners"))
				continue
			}
			o := s.running(rapid.SampledFrom(kinds).Draw(r, "kind"), rapid.IntRange(1, 2).Draw(r, "pieces"))
			switch rapid.IntRange(0, 3).Draw(r, "state") {
			case 1:
				s.give(o.Jobs[0], s.weaver)
			case 2:
				j := s.give(o.Jobs[0], s.other)
				j = must(s.h.Laid(ctx, s.other, j.ID, j.Revision))
				must(s.h.Tell(ctx, s.other, j.ID, j.Revision, j.Value.Length/3, 0))
			case 3:
				s.woven(o.Jobs[0], s.weaver)
			}
		}
		n := rapid.IntRange(1, 60).Draw(r, "schedules")
		tt := must(s.h.Timetable(ctx, s.head, n))
		s.sound(tt)
		if len(tt.Tasks) == 0 {
			return
		}
		if rapid.Bool().Draw(r, "accept") { // and on a later day, of what people were told
			if _, err := s.h.AcceptTimetable(ctx, s.head, tt.Mark, n, ""); CodeOf(err) != "" && CodeOf(err) != Invalid {
				t.Error(err)
			}
			s.clock.pass(time.Duration(rapid.IntRange(1, 100).Draw(r, "hours later")) * time.Hour)
			s.sound(must(s.h.Timetable(ctx, s.head, n)))
		}
		if t.Failed() {
			r.Fatal("see above")
		}
	})
}
