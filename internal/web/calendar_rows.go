package web

import (
	"slices"
	"time"

	"urdir/internal/workshop"
)

// rows lays the timetable out by people, places or orders.
func (c *calendarView) rows(v *visit) {
	late := map[string]bool{}
	for _, o := range c.Late {
		late[o.ID] = true
	}
	switch c.By {
	case byPlaces:
		c.placeRows(v)
	case byOrders:
		c.orderRows(v)
	default:
		c.peopleRows(v)
	}
	for _, k := range c.Tasks {
		if c.Show == showSeason {
			break
		}
		isLate := slices.ContainsFunc(k.Orders, func(id string) bool { return late[id] })
		for i := range c.Rows {
			if c.in(c.Rows[i].Key, k) {
				c.enter(&c.Rows[i], k, isLate)
			}
		}
	}
	for i := range c.Rows {
		for n := range c.Rows[i].Cells {
			cell := &c.Rows[i].Cells[n]
			slices.SortStableFunc(cell.Turns, func(a, b calendarTurn) int { return a.From.Compare(b.From) })
			if c.Show == showWeek {
				cell.Turns = together(cell.Turns)
			}
		}
	}
}

// Rows for what no member and no place has.
const (
	rowShop  = "shop"  // whoever is in the workshop
	rowLooms = "looms" // at everybody's
)

func (c *calendarView) row(r calendarRow) {
	for _, d := range c.Days {
		cell := calendarCell{PlanDay: d, Today: d.Date == c.Today}
		if r.Person {
			cell.Hours = c.Offered(r.Key, d.Date)
		}
		r.Cells = append(r.Cells, cell)
	}
	c.Rows = append(c.Rows, r)
}

func (c *calendarView) peopleRows(v *visit) {
	load := c.Load(c.First, len(c.Weeks))
	for i, m := range c.Crew() {
		r := calendarRow{Key: m.ID, Name: m.Value.Name, Person: true, Link: "/members/" + m.ID}
		l := load[i]
		r.Given, r.Wants = float64(l.Given)/60, float64(l.Wants)/60
		for _, w := range l.Weeks {
			r.Weeks = append(r.Weeks, calendarWeek{Given: float64(w.Given) / 60, Offered: float64(w.Offered) / 60})
		}
		c.row(r)
		own := &c.Rows[len(c.Rows)-1]
		for n := range own.Cells {
			own.Cells[n].Why, own.Cells[n].Away = m.Value.AwayOn(own.Cells[n].Date)
		}
	}
	if c.Show != showSeason {
		c.row(calendarRow{Key: rowShop, Name: v.T("timetable-shop")})
	}
}

func (c *calendarView) placeRows(v *visit) {
	for _, key := range c.Spots() {
		r := calendarRow{Key: key, Name: v.spot(key), Weeks: c.used(func(k workshop.Task) []workshop.Stretch {
			if slices.Contains(k.Places, key) {
				return []workshop.Stretch{{From: k.Start, To: k.End}}
			}
			return nil
		})}
		c.row(r)
	}
	c.row(calendarRow{Key: rowLooms, Name: v.T("timetable-looms"), Weeks: c.used(func(k workshop.Task) []workshop.Stretch {
		if atLoom(k) {
			return k.Hands
		}
		return nil
	})})
}

// used is on how many days of each week something is taken up.
func (c *calendarView) used(when func(workshop.Task) []workshop.Stretch) (out []calendarWeek) {
	out = make([]calendarWeek, len(c.Weeks))
	on := map[string]bool{}
	for _, k := range c.Tasks {
		for _, s := range when(k) {
			for date := s.From.Format(time.DateOnly); date <= s.To.Format(time.DateOnly); date = dayOn(date, 1) {
				on[date] = true
			}
		}
	}
	for i, first := range c.Weeks {
		for n := range 7 {
			if on[dayOn(first, n)] {
				out[i].Days++
			}
		}
	}
	return out
}

func (c *calendarView) orderRows(v *visit) {
	for _, o := range c.Orders {
		r := calendarRow{Key: o.ID, Name: "#" + itoa(int(o.Number)) + " " + o.Customer, Link: "/orders/" + o.ID + "/why", Order: true}
		if c.Show != showSeason {
			if r.Note = v.T("timetable-ready", "day", v.Short(v.Day(o.Ready))); o.Due != "" {
				r.Note += " · " + v.T("timetable-due", "day", v.Short(o.Due))
			}
		}
		start, ready := v.Day(o.Start), v.Day(o.Ready)
		for _, first := range c.Weeks {
			last := dayOn(first, 6)
			w := calendarWeek{On: start <= last && first <= ready, Late: o.Late > 0}
			if first <= ready && ready <= last {
				w.Ready = ready
			}
			if first <= o.Due && o.Due <= last {
				w.Due = o.Due
			}
			r.Weeks = append(r.Weeks, w)
		}
		c.row(r)
	}
}

// calendarWeek is a row in one week of a season.
type calendarWeek struct {
	Given, Offered float64 // hours of a person
	Days           int     // on which a place is taken
	On             bool    // an order is worked for
	Ready, Due     string  // it is ready, or due, on this day of the week
	Late           bool
}

// Share is how much of what is offered is given, in whole per cent, for a bar.
func (w calendarWeek) Share() int {
	if w.Offered <= 0 {
		return 0
	}
	return min(100, int(100*w.Given/w.Offered+0.5))
}

func atLoom(k workshop.Task) bool {
	return k.Kind == workshop.DressTask || k.Kind == workshop.WeaveTask
}

// in says whether a task stands in a row.
func (c *calendarView) in(row string, k workshop.Task) bool {
	switch c.By {
	case byPlaces:
		return slices.Contains(k.Places, row) || row == rowLooms && atLoom(k)
	case byOrders:
		return slices.Contains(k.Orders, row)
	}
	return k.Member == row || row == rowShop && k.Member == "" && k.Kind != workshop.DryTask
}

// enter puts a task on the days of a row.
func (c *calendarView) enter(r *calendarRow, k workshop.Task, late bool) {
	spans, waits := k.Hands, false
	switch {
	case c.By == byPlaces && r.Key != rowLooms:
		spans = []workshop.Stretch{{From: k.Start, To: k.End}}
	case len(spans) == 0 && c.By == byOrders && k.End.After(k.Start):
		spans, waits = []workshop.Stretch{{From: k.Start, To: k.End}}, true
	case len(spans) == 0:
		spans = []workshop.Stretch{{From: k.Start, To: k.Start}}
	}
	first, last := spans[0].From, spans[len(spans)-1].To
	for i := range r.Cells {
		cell := &r.Cells[i]
		from, _ := c.At(cell.Date, 0)
		to, _ := c.At(cell.Date, 24*60)
		for _, s := range spans {
			if !s.From.Before(to) || s.From.Before(from) && !s.To.After(from) {
				continue
			}
			t := calendarTurn{Task: k, N: 1, Stretch: s, Waits: waits, Late: late, Goes: first.Before(from), Lasts: last.After(to)}
			if t.From.Before(from) {
				t.From = from
			}
			if t.To.After(to) {
				t.To = to
			}
			t.May = c.MayDo(k)
			cell.Turns = append(cell.Turns, t)
		}
	}
}

// together puts what is alike and follows one on the other into one: the balls
// for six warps of a class.
func together(turns []calendarTurn) (out []calendarTurn) {
	for _, t := range turns {
		n := len(out) - 1
		if n >= 0 && out[n].Kind == t.Kind && out[n].Member == t.Member && slices.Equal(out[n].Orders, t.Orders) && out[n].Way() == t.Way() &&
			!t.From.After(out[n].To) {
			if out[n].Key != t.Key {
				out[n].N++
			}
			out[n].To = t.To
			continue
		}
		out = append(out, t)
	}
	return out
}
