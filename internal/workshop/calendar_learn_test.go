package workshop

import (
	"testing"

	"urdir/measure"
	"urdir/schedule/rates"
)

// What members tell of their minutes makes their time known: a weaver who takes
// twice as long is planned for longer, after some warps.
func TestWorked_learns(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := calendarShop(t, address)
		ahead := func() (m measure.Minute) {
			tt := must(s.h.Timetable(ctx, s.head, 1))
			f := tt.works.rates.forecast([]Load{{rates.Weaving, 1000}}, s.weaver.Member)
			return f.Median
		}
		s.running("bag", 1)
		before := ahead()
		for range 4 {
			o := s.running("scarf", 1)
			j := s.give(o.Jobs[0], s.weaver)
			_, err := s.h.Worked(ctx, s.weaver, j.ID, j.Revision, 60)
			wantProblem(t, "before anything is told", err, "minutes", "worked-nothing")
			j = must(s.h.Laid(ctx, s.weaver, j.ID, j.Revision))
			j = must(s.h.Worked(ctx, s.weaver, j.ID, j.Revision, 300))
			if d := j.Value.Facts[1].Did; len(d) != 1 || d[0].Kind != rates.Warping || d[0].Quantity < 400 {
				t.Fatalf("laid: %+v", d)
			}
			j = must(s.h.Tell(ctx, s.weaver, j.ID, j.Revision, j.Value.Length/2, 0))
			did := s.picks(j) / 2
			j = must(s.h.Worked(ctx, s.weaver, j.ID, j.Revision, measure.Minute(did)))
			if d := j.Value.Facts[2].Did; len(d) != 1 || d[0].Kind != rates.Weaving || d[0].Quantity < measure.Count(did)*0.95 || d[0].Quantity > measure.Count(did)*1.05 {
				t.Fatalf("woven by half: %+v, want %v picks", d, did)
			}
			must(s.h.TakeBack(ctx, s.dyer, j.ID, j.Revision, grams(s.in(Bag(j.ID))*9/10), nil))
		}
		if after := ahead(); float64(after/before) < 1.3 || float64(after/before) > 2 {
			t.Errorf("a thousand picks took %v min, after four warps at twice that %v", before, after)
		}
	})
}

// picks is how many picks a warp of one panel takes.
func (s *shop) picks(j Kept[Job]) (n float64) {
	for _, p := range must(s.h.Job(ctx, s.head, j.ID)).Made.Plan.Panels {
		n += float64(p.Picks)
	}
	return n
}

// Hours for minutes are asked about, until she has said what is right.
func TestQuestions_askAndAnswer(t *testing.T) {
	s := calendarShop(t, file(t))
	o := s.running("scarf", 1)
	j := s.give(o.Jobs[0], s.weaver)
	j = must(s.h.Laid(ctx, s.weaver, j.ID, j.Revision))
	j = must(s.h.Worked(ctx, s.weaver, j.ID, j.Revision, 3)) // hours
	asked := must(s.h.Questions(ctx, s.weaver))
	if len(asked) != 1 || asked[0].Job != j.ID || asked[0].Question.Times > 0.05 {
		t.Fatalf("asked %+v", asked)
	}
	if others := must(s.h.Questions(ctx, s.other)); len(others) != 0 {
		t.Errorf("another is asked %+v", others)
	}
	errand := func(p Person) int {
		n := 0
		for _, e := range must(s.h.Today(ctx, p)).Errands {
			if e.Kind == "errand-ask-record" && e.ID == j.ID {
				n++
			}
		}
		return n
	}
	if errand(s.weaver) != 1 || errand(s.head) != 1 || errand(s.other) != 0 {
		t.Error("whose errand it is to ask")
	}
	_, err := s.h.AnswerRecord(ctx, s.other, j.ID, j.Revision, asked[0].Fact, 180)
	wantCode(t, "another answers", err, NotFound)
	_, err = s.h.AnswerRecord(ctx, s.weaver, j.ID, j.Revision, 0, 180)
	wantCode(t, "about what nobody asked", err, NotFound)
	j = must(s.h.AnswerRecord(ctx, s.weaver, j.ID, j.Revision, asked[0].Fact, 180))
	if f := j.Value.Facts[1]; f.Minutes != 180 || !f.Sure || len(must(s.h.Questions(ctx, s.head))) != 0 || errand(s.weaver) != 0 {
		t.Errorf("answered: %+v", f)
	}
	_, err = s.h.Worked(ctx, s.weaver, j.ID, j.Revision, -1)
	wantProblem(t, "less than nothing", err, "minutes", "worked-minutes")
}
