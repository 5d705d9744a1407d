package web

import (
	"strconv"

	"urdir/internal/workshop"
)

// dates names a class of the demo, a member who will be away, and a warp of which
// minutes are asked about.
func (s *season) dates(h *workshop.House, head workshop.Person) {
	all, _, err := h.Classes(ctx, head)
	s.ours["class"] = must(all, err)[0].ID
	for _, m := range must(h.Members(ctx, head, workshop.Page{})).Items {
		if len(m.Value.Time.Absences) > 0 && len(m.Value.Time.Offers) > 0 {
			s.ours["hours"] = m.ID
		}
	}
	asked := must(h.Questions(ctx, head))[0]
	s.ours["asked"], s.ours["asked fact"] = asked.Job, strconv.Itoa(asked.Fact)
}

// badDates are forms of hours, of the calendar and of classes with one thing wrong.
func (s *site) badDates() []bad {
	form := func(path, field, value string) bad {
		f := recordForm(s.page(path, "head")).fields()
		f.Set(field, value)
		return bad{path, field, f}
	}
	hours := func(field, value string) bad { return form("/members/"+s.ours["hours"]+"/hours", field, value) }
	calendar := func(field, value string) bad { return form("/settings/calendar", field, value) }
	class := func(field, value string) bad { return form("/orders/"+s.ours["class"]+"/class/edit", field, value) }
	out := []bad{
		hours("mon.1.from", "25:00"), hours("mon.1.from", "ocho"), hours("mon.1.to", "1:75"), hours("sun.1.from", "8:00"), hours("mon.1.from", "23:30"),
		hours("wants", "200"), hours("wants", "muchas"), hours("away.0.from", ""), hours("away.0.from", "ayer"),
		calendar("zone", "Estero/Anzales"), calendar("opens", "alba"), calendar("looms", "-1"), calendar("looms", "pocos"), calendar("buying", "900"),
		calendar("closed.0.name", ""), calendar("closed.0.share", "150"), calendar("closed.0.share", "poco"), calendar("closed.1.from", "2027-99-01"), calendar("frames.0", "400"),
		calendar("minutes.weaving", "rápido"), calendar("minutes.weaving", "99 d"), calendar("week-mon", "ocho"), calendar("feasts", "mañana fiesta"),
		class("day", ""), class("day", "2020-01-01"), class("day", "pronto"), class("from", "18:00"), class("seats", "0"), class("seats", "muchos"),
		class("learners", "99"), class("ahead", "400"), class("teacher", "nobody"),
	}
	early := pairs("customer", s.ours["customer"], "taken", "2027-03-01", "due", "2027-02-01", "lines[0].cloth", s.ours["cloth"], "lines[0].quantity", "1")
	job := must(s.house.Job(ctx, s.people["head"], s.ours["asked"]))
	answer := func(v string) bad {
		field := "minutes." + job.ID + "." + s.ours["asked fact"]
		f := pairs("revision", strconv.FormatInt(job.Revision, 10), "fact", s.ours["asked fact"])
		f.Set(field, v)
		return bad{"/work/" + job.ID + "/answer", field, f}
	}
	untimed := s.untimed()
	for _, minutes := range []string{"", "mucho", "900 d"} {
		out = append(out, bad{"/work/" + untimed + "/worked", "minutes", pairs("revision", s.revision("job", untimed), "minutes", minutes)})
	}
	return append(out, bad{"/orders/new", "due", early}, answer(""), answer("mucho"), answer("900 d"))
}

// untimed is a warp of which nobody has said how long it took.
func (s *site) untimed() string {
	s.Helper()
	all, _, err := s.house.Jobs(ctx, s.people["head"], workshop.Page{State: "weaving"})
	for _, j := range must(all, err).Items {
		if must(s.house.Job(ctx, s.people["head"], j.ID)).Untimed() {
			return j.ID
		}
	}
	s.Fatal("the demo has no warp without minutes")
	return ""
}
