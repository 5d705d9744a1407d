package web

import (
	"slices"
	"strings"
	"testing"

	"urdir/internal/workshop"
)

// trouble makes something of a workshop be in the way of its timetable.
type trouble struct {
	name string
	make func(s *site)
	says map[string][]string // by language: what is in the way, and what frees it
	link string              // where that is done
	date bool                // no day can be promised for an order either
}

// everyMember changes each member of the workshop.
func (s *site) everyMember(change func(m *workshop.Member)) {
	s.Helper()
	head := s.people["head"]
	for _, m := range must(s.house.Members(ctx, head, workshop.Page{})).Items {
		k, _, err := s.house.Member(ctx, head, m.ID)
		k = must(k, err)
		change(&k.Value)
		must(s.house.SaveMember(ctx, head, k))
	}
}

var troubles = []trouble{
	{"a due date in the past", func(*site) {}, map[string][]string{
		"es": {"que ya pasó", "Busque con el cliente otra fecha y prométala."},
		"en": {"which is past", "Find a new date with the customer and promise it."}}, "/orders/", false},
	{"a member who leaves in mid-warp", func(s *site) {
		head := s.people["head"]
		all, _, err := s.house.Jobs(ctx, head, workshop.Page{State: "weaving"})
		k, _, err2 := s.house.Member(ctx, head, must(all, err).Items[0].Value.Member)
		k = must(k, err2)
		k.Value.Name, k.Value.Away = "Quien se fue", true
		must(s.house.SaveMember(ctx, head, k))
	}, map[string][]string{
		"es": {"Quien se fue tiene #", "y ya no ofrece horas", "Reciba la urdimbre de vuelta y désela a otra"},
		"en": {"Quien se fue has #", "offers no hours any more", "Take the warp back and give it to another"}}, "/members", false},
	{"a step nobody has the skill for", func(s *site) {
		s.everyMember(func(m *workshop.Member) {
			m.Skills = slices.DeleteFunc(m.Skills, func(k string) bool { return k == "lay" })
		})
	}, map[string][]string{
		"es": {"Nadie de quienes ofrecen horas puede hacer #", "hace falta quien urda", "Marque la destreza de una socia que la tenga"},
		"en": {"Nobody who offers hours can do #", "it takes someone who lays warps", "Tick the skill of a member who has it"}}, "/members", true},
	{"nobody who offers hours", func(s *site) {
		s.everyMember(func(m *workshop.Member) { m.Away = true })
	}, map[string][]string{
		"es": {"Nadie ofrece horas", "Escriba en las páginas de las socias"},
		"en": {"Nobody offers hours", "Write on the members' pages"}}, "/members", true},
	{"a week without hours", func(s *site) {
		set := must(s.house.Settings(ctx, s.people["head"]))
		set.Value.Week = map[string]int{}
		must(s.house.SaveSettings(ctx, s.people["head"], set))
	}, map[string][]string{
		"es": {"El taller no tiene horas en su semana", "Escriba en los ajustes cuántas horas"},
		"en": {"The workshop has no hours in its week", "Write in the settings how many hours"}}, "/settings", true},
}

// What stands in the way of the timetable is said on its page in either language,
// with what would free it and a link to where that is done; and where a day is asked
// for it is said there.
func TestCalendar_inTheWay(t *testing.T) {
	t.Parallel()
	for _, c := range troubles {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			s := newSite(t)
			c.make(s)
			for _, language := range []string{"es", "en"} {
				if err := s.house.SetLang(ctx, s.people["head"], language); err != nil {
					t.Fatal(err)
				}
				page := s.page("/calendar", "head")
				for _, want := range c.says[language] {
					if !strings.Contains(page.text, want) {
						t.Errorf("%s: the calendar does not say %q:\n%s", language, want, page.text)
					}
				}
				if !slices.ContainsFunc(page.all("li"), func(li *node) bool {
					return strings.Contains(li.text, c.says[language][0]) && slices.ContainsFunc(li.all("a"), func(a *node) bool { return strings.HasPrefix(a.attr["href"], c.link) })
				}) {
					t.Errorf("%s: no link to %s beside it", language, c.link)
				}
				date := s.page("/orders/"+s.ours["draft"]+"/date", "head").text
				if got := strings.Contains(date, c.says[language][0][:12]); got != c.date {
					t.Errorf("%s: asked for a day, it is said: %v, want %v:\n%s", language, got, c.date, date)
				}
			}
			s.noFaults()
		})
	}
}
