package web

import (
	"slices"

	"urdir/internal/workshop"
)

// whyView is why an order is ready when it is, and what would make it earlier.
type whyView struct {
	Order workshop.OrderView
	Time  workshop.OrderTime
	Links []whyLink
	Left  []string // why it is in no timetable
	Asked bool     // what would make it earlier was asked
	Tries []workshop.Try
	Names map[string]string // of orders

	People map[string]string
}

// whyLink is a task of the chain.
type whyLink struct {
	workshop.Task
	Link workshop.Link
}

// whyLook is in how many schedules each try is looked for, and the timetable it is
// compared with: six tries or more, each as good as a first look.
const whyLook = 500

// whyPage tells why an order's day is what it is.
func whyPage(v *visit) error { return v.whyOf(false) }

// earlierPage tries what would make it earlier.
func earlierPage(v *visit) error { return v.whyOf(true) }

func (v *visit) whyOf(asked bool) error {
	ctx, id := v.r.Context(), v.r.PathValue("id")
	o, err := v.s.house.Order(ctx, v.Person, id)
	if err != nil {
		return err
	}
	look := workshop.TimetableSchedules
	if asked {
		look = whyLook
	}
	t, err := v.s.house.Timetable(ctx, v.Person, look)
	if err != nil {
		return err
	}
	view := whyView{Order: o, Asked: asked, Names: map[string]string{}, People: t.Names}
	for _, k := range t.Orders {
		view.Names[k.ID] = v.T("order-n", "number", itoa(int(k.Number))) + " " + k.Customer
	}
	for _, l := range t.Left {
		if l.ID == id {
			for _, p := range l.Problems {
				view.Left = append(view.Left, v.Say(p))
			}
		}
	}
	ask := "why-date"
	if asked {
		ask = "why-earlier"
	}
	title := v.T(ask) + " " + v.T("order-n", "number", itoa(int(o.Value.Number)))
	at := slices.IndexFunc(t.Orders, func(k workshop.OrderTime) bool { return k.ID == id })
	if at < 0 {
		return v.page("calendar-why", title, view)
	}
	view.Time = t.Orders[at]
	chain, err := v.s.house.WhyDate(ctx, v.Person, id, look)
	if err != nil {
		return err
	}
	for _, l := range slices.Backward(chain) {
		view.Links = append(view.Links, whyLink{l.Task, l})
	}
	if asked {
		if view.Tries, err = v.s.house.Earlier(ctx, v.Person, id, look); err != nil {
			return err
		}
	}
	return v.page("calendar-why", title, view)
}

// Gained is the tries that make the order ready earlier.
func (w whyView) Gained() (out []workshop.Try) {
	for _, t := range w.Tries {
		if t.Days > 0 {
			out = append(out, t)
		}
	}
	return out
}

// Vain is the tries that make no difference of a day.
func (w whyView) Vain() (out []workshop.Try) {
	for _, t := range w.Tries {
		if t.Days <= 0 {
			out = append(out, t)
		}
	}
	return out
}
