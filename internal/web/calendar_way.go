package web

import (
	"strings"
	"time"

	"urdir/check"
	"urdir/internal/workshop"
)

// obstacle is something that stands in the way of a timetable, or is to be looked
// at, and where it is mended.
type obstacle struct {
	Text    string
	Link    string
	Where   string // key of the words for it
	Caution bool
}

// inWay is what stands in the way of the timetable, what stops work first.
func (v *visit) inWay(t workshop.Timetable) (stops, looks []obstacle) {
	for _, l := range t.Left {
		for _, p := range l.Problems {
			stops = append(stops, v.obstacle(t, p, l.ID))
		}
	}
	for _, p := range t.Problems {
		o := v.obstacle(t, p, "")
		if o.Caution = p.Severity == check.Caution; o.Caution {
			looks = append(looks, o)
		} else {
			stops = append(stops, o)
		}
	}
	return stops, looks
}

// freedBy is where what a problem says is mended, if that is not where it is.
var freedBy = map[string][2]string{
	"calendar-nobody": {"/members", "members"}, "calendar-left": {"/members", "members"}, "calendar-no-hours": {"/members", "members"},
	"calendar-hours-short": {"/members", "members"}, "calendar-class-away": {"/members", "members"}, "calendar-class-clash": {"/members", "members"},
	"calendar-shut": {"/settings", "settings"}, "calendar-no-room": {"/settings/dye", "settings"},
	"calendar-no-dyer": {"/dye", "dyehouse"},
}

func (v *visit) obstacle(t workshop.Timetable, p check.Problem, order string) obstacle {
	p.Args = v.dated(p.Args)
	o := obstacle{Text: v.Say(p)}
	if to, ok := freedBy[p.Code]; ok && (strings.HasPrefix(to[0], "/settings") && !v.May("SaveSettings")) {
		return o
	} else if ok {
		o.Link, o.Where = to[0], to[1]
		return o
	}
	kind, id, _ := strings.Cut(p.Path, ".")
	switch k, there := t.Task(id); {
	case kind == "tasks" && there && t.MayDo(k) != nil:
		o.Link, o.Where = stepAddress(id), "timetable-look"
	case kind == "tasks" && there && k.Where != "dyes":
		o.Link, o.Where = v.Link(k.Where, k.ID), "timetable-look"
	case kind == "orders":
		o.Link, o.Where = "/orders/"+id, "timetable-open-order"
	case order != "":
		o.Link, o.Where = "/orders/"+order, "timetable-open-order"
	}
	return o
}

// dated writes the days among a problem's values as a page does.
func (v *visit) dated(args check.Args) check.Args {
	out := check.Args{}
	for name, value := range args {
		if s, ok := value.(string); ok {
			if d, err := time.Parse(time.DateOnly, s); err == nil {
				value = v.Words.Date(d)
			} else if at, err := time.Parse("2006-01-02 15:04", s); err == nil {
				value = v.When(at)
			}
		}
		out[name] = value
	}
	return out
}
