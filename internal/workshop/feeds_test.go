package workshop

import (
	"slices"
	"testing"
	"time"

	"urdir/internal/store"
)

// account gives a person of the shop an account, as keys belong to accounts.
func (s *shop) account(p *Person) {
	p.Account = newID()
	must(0, s.h.db.PutAccount(ctx, store.Account{ID: p.Account, Workshop: p.Workshop, Login: p.Account, Name: p.Name, Role: string(p.Role), Member: p.Member, Lang: p.Lang}))
}

// A link opens its own calendar and nothing else, until it is ended.
func TestFeed_links(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := calendarShop(t, address)
		s.account(&s.weaver)
		s.account(&s.head)
		scarf := s.running("scarf", 1)
		s.running("bag", 1)
		class := s.class("2031-06-10", 2)
		tt := must(s.h.Timetable(ctx, s.head, 100))
		must(s.h.AcceptTimetable(ctx, s.head, tt.Mark, 100, ""))

		own := must(s.h.MakeFeed(ctx, s.weaver, false))
		f := must(s.h.FeedBy(ctx, own))
		if f.Whole || len(f.Turns) == 0 || len(f.Days) != 0 || slices.ContainsFunc(f.Turns, func(v TurnView) bool { return v.Member != s.weaver.Member }) {
			t.Errorf("her own: %+v, %+v", f.Turns, f.Days)
		}
		_, err := s.h.MakeFeed(ctx, s.weaver, true)
		wantCode(t, "a member asks for the whole", err, Denied)
		shop := must(s.h.MakeFeed(ctx, s.head, true))
		f = must(s.h.FeedBy(ctx, shop))
		if !f.Whole || len(f.Days) != 3 || !slices.ContainsFunc(f.Days, func(d FeedDay) bool { return d.Order == class.ID && d.Class && d.From.Hour() == 9 && d.To.Hour() == 13 }) {
			t.Errorf("the whole: %+v", f.Days)
		}
		if !slices.ContainsFunc(f.Days, func(d FeedDay) bool {
			return d.Order == scarf.ID && d.Customer == "Posada Los Juncos" && d.From.Format(time.DateOnly) == "2031-07-01"
		}) {
			t.Errorf("the scarf is due: %+v", f.Days)
		}

		if has := must(s.h.Feeds(ctx, s.head)); has != (Feeds{Shop: true}) {
			t.Errorf("the head has links of %+v", has)
		}

		// A key is good for its one use.
		if p := must(s.h.Who(ctx, own)); p != (Person{}) {
			t.Errorf("the link signs in as %+v", p)
		}
		_, err = s.h.FeedBy(ctx, "")
		wantCode(t, "no key", err, NotFound)
		other := must(s.h.MakeFeed(ctx, s.weaver, false))
		_, err = s.h.FeedBy(ctx, own)
		wantCode(t, "the link before", err, NotFound)
		must(0, s.h.DropFeed(ctx, s.weaver, false))
		_, err = s.h.FeedBy(ctx, other)
		wantCode(t, "an ended link", err, NotFound)

		// The head makes a member's link for her; it shows hers.
		given := must(s.h.GiveFeed(ctx, s.head, s.weaver.Account))
		if f = must(s.h.FeedBy(ctx, given)); f.Whole || f.Person.Member != s.weaver.Member || len(f.Turns) == 0 {
			t.Errorf("given to her: %+v", f)
		}
		must(0, s.h.EndFeed(ctx, s.head, s.weaver.Account))
		_, err = s.h.FeedBy(ctx, given)
		wantCode(t, "the link given and ended", err, NotFound)

		// Who is let go sees nothing more.
		must(s.h.SaveAccount(ctx, s.seniorTo(s.head), Account{ID: s.head.Account, Login: s.head.Account, Name: "Amaranta", Role: MemberRole, Member: s.weaver.Member}, ""))
		_, err = s.h.FeedBy(ctx, shop)
		wantCode(t, "the whole, by one who is a member by now", err, NotFound)
	})
}

// seniorTo is another head.
func (s *shop) seniorTo(p Person) Person {
	p.Account = "another"
	return p
}

// What a member is to begin today stands on her page, until it is done.
func TestToday_reminds(t *testing.T) {
	s := calendarShop(t, file(t))
	o := s.running("scarf", 1)
	s.running("bag", 1)
	tt := must(s.h.Timetable(ctx, s.head, 100))
	must(s.h.AcceptTimetable(ctx, s.head, tt.Mark, 100, ""))
	warp := tt.task(t, o.ID, WarpTask)
	who := s.weaver
	if warp.Member == s.other.Member {
		who = s.other
	}
	s.clock.at = warp.Start
	has := func(p Person) bool {
		return slices.ContainsFunc(must(s.h.Today(ctx, p)).Errands, func(e Errand) bool { return e.Kind == "errand-turn-warp" && e.ID == warp.ID })
	}
	if !has(who) || !has(s.head) {
		t.Error("nobody is reminded of the warp")
	}
	j := s.give(o.Jobs[0], who)
	must(s.h.Laid(ctx, who, j.ID, j.Revision))
	if has(who) || has(s.head) {
		t.Error("the warp is laid, and still it is told of")
	}
}
