package workshop

import (
	"slices"

	"urdir/measure"
	"urdir/schedule"
	"urdir/schedule/promise"
)

// eve says of a class that has its day how sure its warps stand on looms the evening
// before.
func (out *Answer) eve(w *works, one *promise.Order) {
	day, _ := w.dayAt(out.Class.Day, -1) // a class without a day is not in a timetable
	out.When, out.StandardError = day, 0
	out.Day = schedule.Date{Year: day.Year(), Month: day.Month(), Day: day.Day()}
	out.Reached = measure.Ratio(one.Chance(out.Day))
}

// kits has the warps of a class looked at by themselves, as an order of their own:
// the class is at its hours whether they are ready or not. It gives the order's key.
func (w *works) kits(in *promise.Input, class string) string {
	key := class + " kits"
	p := &in.Problem
	p.Orders = slices.Clone(p.Orders)
	for _, o := range p.Orders {
		if o.Key == class {
			o.Key = key
			p.Orders = append(p.Orders, o)
		}
	}
	p.Steps = slices.Clone(p.Steps)
	for i := range p.Steps {
		if s := &p.Steps[i]; slices.Contains(s.Orders, class) && w.tasks[s.Key].Kind != ClassTask {
			s.Orders = append(slices.Clone(s.Orders), key)
		}
	}
	if len(in.GiveWay) > 0 {
		in.GiveWay = append(in.GiveWay, key)
	}
	return key
}

// teachDays is how far a day is looked for on which someone who teaches has hours.
const teachDays = 60

// HeldAfter is the date on which a class can be held whose warps stand on looms by
// the end of a date: the next on which someone who may teach it has hours; the next
// of all if nobody has.
func (out *Answer) HeldAfter(ready string) string {
	for n := 1; n <= teachDays; n++ {
		if date := dayAfter(ready, n); out.taught(date) {
			return date
		}
	}
	return dayAfter(ready, 1)
}

// taught says whether someone who may teach the class has hours on a date.
func (out *Answer) taught(date string) bool {
	return slices.ContainsFunc(out.Timetable.Crew(), func(m Kept[Member]) bool {
		may := slices.Contains(m.Value.Skills, "teach") && (out.Class.Teacher == "" || out.Class.Teacher == m.ID)
		return may && len(out.Timetable.Offered(m.ID, date)) > 0
	})
}
