package workshop

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"urdir/check"
)

// codesAt is the problems of hours, as "path code".
func codesAt(ps check.Problems) (out []string) {
	for _, p := range ps {
		out = append(out, p.Path+" "+p.Code)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// Who leaves in mid-warp is told at the field what is in her hands, what she was
// told, and which work nobody else does.
func TestHours_leaves(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := calendarShop(t, address)
		o := s.running("scarf", 1)
		k := must(s.h.Job(ctx, s.head, o.Jobs[0].ID))
		must(s.h.GiveOut(ctx, s.head, k.ID, k.Revision, s.weaver.Member, nil, Money{}))
		tt := must(s.h.Timetable(ctx, s.head, 100))
		must(s.h.AcceptTimetable(ctx, s.head, tt.Mark, 100, ""))

		v := must(s.h.Hours(ctx, s.weaver, s.weaver.Member))
		if v.Weekly == 0 || len(v.Usual["mon"]) == 0 || len(v.Problems) != 0 {
			t.Fatalf("as usual: %d minutes, %v, %v", v.Weekly, v.Usual, v.Problems)
		}
		away := v.Value.Time
		away.Absences = []Absence{{From: s.h.today(), Why: "Se va a la ciudad"}}
		must(s.h.SaveHours(ctx, s.weaver, v.ID, v.Revision, away))
		v = must(s.h.Hours(ctx, s.weaver, s.weaver.Member))
		got := codesAt(v.Problems)
		if !slices.Contains(got, "absences[0] calendar-left") || !slices.Contains(got, "absences[0] hours-told") {
			t.Errorf("left: %v", got)
		}
		away.Absences[0].To = s.clock.at.AddDate(0, 0, 60).Format(time.DateOnly)
		must(s.h.SaveHours(ctx, s.head, v.ID, v.Revision, away))
		if got = codesAt(must(s.h.Hours(ctx, s.head, v.ID)).Problems); fmt.Sprint(got) != "[absences[0] hours-told]" {
			t.Errorf("comes back: %v", got)
		}
		_, err := s.h.Hours(ctx, s.other, v.ID)
		wantCode(t, "another's", err, NotFound)
	})
}

// The one dyer leaves: that nobody dyes any more is said, once.
func TestHours_nobodyElse(t *testing.T) {
	s := calendarShop(t, file(t))
	all := must(s.h.Members(ctx, s.head, Page{})).Items
	m := all[slices.IndexFunc(all, func(m Kept[Member]) bool { return m.Value.Name == "Hilaria" })]
	m.Value.Away = true
	must(s.h.SaveMember(ctx, s.head, m))
	var skills []string
	for _, p := range must(s.h.Hours(ctx, s.head, m.ID)).Problems {
		for _, skill := range Skills {
			if p.Code == "hours-nobody" && p.Args[skillArg(skill)] == true {
				skills = append(skills, skill)
			}
		}
	}
	if !slices.Contains(skills, "dye") || !slices.Contains(skills, "teach") || slices.Contains(skills, "weave") {
		t.Errorf("nobody else: %v", skills)
	}
}
