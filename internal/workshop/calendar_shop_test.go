package workshop

import (
	"strings"
	"testing"
	"time"

	"urdir/internal/store"
)

// calendarShop is a workshop whose members lay, weave and sew at hours of their
// own: Benita in the mornings, Casilda in the afternoons, Hilaria dyes and teaches.
func calendarShop(tb testing.TB, address string) *shop {
	tb.Helper()
	s := newShop(tb, address)
	set := must(s.h.Settings(ctx, s.head))
	set.Value.Pots = []Pot{{"Olla grande", 60}}
	set.Value.Frames = nil
	set.Value.Calendar = CalendarHouse{Zone: "America/Bogota", Looms: 8, Buying: 5}
	must(s.h.SaveSettings(ctx, s.head, set))
	for _, m := range []struct {
		id       string
		skills   []string
		from, to int
	}{
		{s.weaver.Member, []string{"lay", "weave", "brocade", "pick-up"}, 8, 12},
		{s.other.Member, []string{"lay", "weave", "brocade", "sew"}, 14, 18},
		{"", []string{"dye", "teach", "sew"}, 8, 14},
	} {
		k := Kept[Member]{Value: Member{Name: "Hilaria"}}
		if m.id != "" {
			var err error
			k, _, err = s.h.Member(ctx, s.head, m.id)
			must(0, err)
		}
		k.Value.Skills = m.skills
		k = must(s.h.SaveMember(ctx, s.head, k))
		t := Hours{Wants: 20}
		for _, d := range weekDays[:5] {
			t.Offers = append(t.Offers, Offer{d, m.from * 60, m.to * 60})
		}
		must(s.h.SaveHours(ctx, s.head, k.ID, k.Revision, t))
	}
	return s
}

// sound fails the test if a timetable has anybody or anything at two places at
// once, anybody at work when she does not work, or anything before what must come
// first. It knows of the schedule only what the timetable and the records say.
func (s *shop) sound(t Timetable) {
	s.Helper()
	k := must(s.h.Settings(ctx, s.head))
	var ms []Kept[Member]
	must(0, s.h.db.View(ctx, s.head.Workshop, func(tx *store.Tx) error {
		l, err := members.list(tx, Page{}, false)
		ms = l.Items
		return err
	}))
	capacity := map[string]int{linePlace: int(k.Value.Dye.Filled().Line)}
	type moment struct {
		at     time.Time
		what   string
		amount int
	}
	var moments []moment
	byKey := map[string]Task{}
	for _, a := range t.Tasks {
		byKey[a.Key] = a
		worked := time.Duration(0)
		for _, h := range a.Hands {
			worked += h.To.Sub(h.From)
			if a.Member == "" {
				continue
			}
			moments = append(moments, moment{h.From, "person " + a.Member, 1}, moment{h.To, "person " + a.Member, -1})
			if a.Kind == ClassTask {
				continue // held at its hours, whatever hers are
			}
			for _, m := range ms {
				if m.ID == a.Member && !inHours(m.Value, h) {
					s.Errorf("%s works %s at %s to %s, which she does not offer", m.Value.Name, a.Key, h.From, h.To)
				}
			}
		}
		if got := int(worked / time.Minute); got != a.Minutes {
			s.Errorf("%s: hands work %d min day by day, want %d", a.Key, got, a.Minutes)
		}
		for i, p := range a.Places {
			amount := 1
			if p == linePlace {
				amount = t.works.step(a.Key).Needs[i].Amount
			}
			moments = append(moments, moment{a.Start, p, amount}, moment{a.End, p, -amount})
		}
	}
	used := map[string]int{}
	sortMoments(moments, func(m moment) (time.Time, int) { return m.at, m.amount })
	for _, m := range moments {
		used[m.what] += m.amount
		if most := max(1, capacity[m.what]); used[m.what] > most {
			s.Errorf("%s holds %d of %d at %s", m.what, used[m.what], most, m.at)
		}
	}
	broken := 0
	for _, st := range t.works.problem.Steps {
		for _, a := range st.After {
			b, ok := byKey[a.Step]
			switch early := ok && byKey[st.Key].Start.Before(b.End); {
			case !early || st.Told != nil:
			case !st.At.IsZero(): // a class is held on its day, ready or not
				broken++
			default:
				s.Errorf("%s begins at %s, before %s ends at %s", st.Key, byKey[st.Key].Start, a.Step, b.End)
			}
		}
	}
	if broken > t.Score.Broken {
		s.Errorf("%d things are not ready for a class, and %d said", broken, t.Score.Broken)
	}
}

// inHours says whether a stretch lies within a member's hours, by the clock on the
// wall.
func inHours(m Member, h Stretch) bool {
	if len(m.Time.Offers) == 0 {
		return true // spread over the week
	}
	from, to := h.From.Hour()*60+h.From.Minute(), h.To.Hour()*60+h.To.Minute()
	for _, a := range m.Time.Absences {
		if d := h.From.Format(time.DateOnly); d >= a.From && (a.To == "" || d <= a.To) {
			return false
		}
	}
	for _, o := range m.Time.Offers {
		if o.Day == weekday(h.From) && o.From <= from && to <= o.To {
			return true
		}
	}
	return false
}

// sortMoments puts moments in order; at one time what ends goes first.
func sortMoments[T any](ms []T, by func(T) (time.Time, int)) {
	for i := range ms { // few enough for an insertion sort
		for j := i; j > 0; j-- {
			a, da := by(ms[j-1])
			b, db := by(ms[j])
			if a.Before(b) || a.Equal(b) && da <= db {
				break
			}
			ms[j-1], ms[j] = ms[j], ms[j-1]
		}
	}
}

// frameText is the frame's part of an example cloth.
func frameText(tb testing.TB, kind string) string {
	tb.Helper()
	text := example(kind)
	_, after, ok := strings.Cut(text, "\nframe:")
	if !ok {
		tb.Fatalf("example %s has no frame", kind)
	}
	out := "frame:"
	for i, line := range strings.SplitAfter(after, "\n") {
		if i > 0 && line != "" && line[0] != ' ' && line[0] != '\n' && line[0] != '#' {
			break
		}
		out += line
	}
	return out
}
