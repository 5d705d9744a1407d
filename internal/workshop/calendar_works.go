package workshop

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"urdir/check"
	"urdir/internal/store"
	"urdir/measure"
	"urdir/schedule"
	"urdir/schedule/rates"
)

// Keys of the schedule's own things.
const (
	houseCalendar = "house"
	linePlace     = "line"
	potKind       = "pot"
	frameKind     = "frame"
)

// works is the work of a workshop as a problem for the schedule, with what people
// call its parts.
type works struct {
	set     Settings
	book    hoursBook
	begin   time.Time
	problem schedule.Problem
	tasks   map[string]*Task // by step
	orders  map[string]OrderView
	left    []Left
	about   check.Problems
	members []Kept[Member]
	rates   forecasts
	told    map[string]Turn // by step
	tolds   map[string]Kept[Told]
	recipes map[string]RecipeView
	dried   map[string]string // dyeing or group of wants -> its last step
	sews    bool              // someone sews
}

// quarter is how far apart the times are from which timetables begin, so that one
// is found again a little later.
const quarter = 15 * time.Minute

// slack is how many days a timetable may go on after the last day that is due.
const (
	slack   = 400
	mostDue = schedule.MaxDays - slack
)

// works gathers all that is to be done for open orders from a time on.
func (h *House) works(tx *store.Tx, begin time.Time) (*works, error) {
	k, err := readSettings(tx)
	if err != nil {
		return nil, err
	}
	set := k.Value
	set.Dye = set.Dye.Filled()
	w := &works{set: set, book: newHoursBook(set), tasks: map[string]*Task{}, orders: map[string]OrderView{}, told: map[string]Turn{},
		tolds: map[string]Kept[Told]{}, dried: map[string]string{}}
	w.begin = begin.In(set.Location())
	w.problem = schedule.Problem{Begin: w.begin, In: set.Location(), Days: slack}
	if err = w.readTold(tx); err != nil {
		return nil, err
	}
	ms, err := members.list(tx, Page{}, false)
	if err != nil {
		return nil, err
	}
	w.members = ms.Items
	if w.recipes, err = allRecipes(tx); err != nil {
		return nil, err
	}
	records, err := h.workRecords(tx)
	if err != nil {
		return nil, err
	}
	if err = w.learn(records); err != nil {
		return nil, err
	}
	w.places()
	open, err := orders.list(tx, Page{State: "open"}, false)
	if err != nil {
		return nil, err
	}
	var all []OrderView
	for _, o := range open.Items {
		var v OrderView
		if v, err = h.order(tx, o.ID); err != nil {
			return nil, err
		}
		w.orders[v.ID] = v
		all = append(all, v)
		w.horizon(v)
	}
	w.people(records, all)
	if err = w.dyeHouse(tx); err != nil {
		return nil, err
	}
	if err = w.wantDye(h, tx, all); err != nil {
		return nil, err
	}
	for _, v := range all {
		w.order(v)
	}
	w.tell()
	return w, nil
}

func (w *works) readTold(tx *store.Tx) error {
	all, err := tolds.list(tx, Page{}, false)
	for _, t := range all.Items {
		w.tolds[t.Value.Of] = t
		maps.Copy(w.told, t.Value.Turns)
	}
	return err
}

// horizon has calendars looked at until well after an order is due.
func (w *works) horizon(o OrderView) {
	if due, ok := w.due(o); ok {
		days := int(due.Sub(w.begin) / (24 * time.Hour))
		w.problem.Days = max(w.problem.Days, min(days, mostDue)+slack)
	}
}

// due is the end of the day an order is due on, or of its class.
func (w *works) due(o OrderView) (time.Time, bool) {
	if c := o.Value.Class; c != nil {
		return w.dayAt(c.Day, c.To)
	}
	day, err := time.ParseInLocation(time.DateOnly, o.Value.Due, w.begin.Location())
	return wall(day, 24*60-1), err == nil
}

// places are the pots, the line and the frames.
func (w *works) places() {
	p := &w.problem
	for _, pot := range w.set.Pots {
		p.Places = append(p.Places, schedule.Place{Key: "pot " + pot.Name, Kind: potKind, Capacity: int(pot.Litres)})
	}
	p.Places = append(p.Places, schedule.Place{Key: linePlace, Kind: linePlace, Capacity: int(w.set.Dye.Line), Shared: true})
	names := map[string]int{}
	for _, f := range w.set.Frames {
		for range w.set.Calendar.frames(f.Name) {
			names[f.Name]++
			p.Places = append(p.Places, schedule.Place{Key: fmt.Sprintf("frame %s %d", f.Name, names[f.Name]), Kind: frameKind})
		}
	}
	if len(w.set.Frames) == 0 { // nobody said: there is one, or nothing could be laid
		p.Places = append(p.Places, schedule.Place{Key: "frame", Kind: frameKind})
	}
}

func (c CalendarHouse) frames(name string) int {
	if n, ok := c.Frames[name]; ok {
		return n
	}
	return 1
}

// Sharing looks at a season: some weeks behind and some ahead; our choice.
const (
	weeksBehind = 4
	weeksAhead  = 8
)

// people are the members who take work, and those who still have a warp.
func (w *works) people(records []workRecord, all []OrderView) {
	p := &w.problem
	house, minutes := calendar(houseCalendar, w.begin, w.problem.Days,
		func(day string) []schedule.Span {
			from := w.set.Calendar.opens()
			return cutHours([]schedule.Span{{From: from, To: min(from+60*w.set.Week[day], 24*60)}}, 1)
		}, w.book.house)
	if minutes == 0 {
		w.about.Wrong("week", "calendar-shut", nil)
	}
	p.Calendars = append(p.Calendars, house)
	had := map[string]schedule.Minutes{}
	since := w.begin.AddDate(0, 0, -7*weeksBehind).Format(time.DateOnly)
	for _, r := range records {
		if r.at >= since {
			had[r.Member] += schedule.Minutes(r.Minutes)
		}
	}
	for _, m := range w.members {
		if m.Value.Away {
			continue
		}
		c, minutes := calendar(m.ID, w.begin, w.problem.Days, func(day string) []schedule.Span { return w.book.offered(m.Value, day) },
			func(t time.Time) ([]schedule.Span, string) { return w.book.member(m.Value, t) })
		if minutes == 0 {
			continue // what she has is told of as if she had gone
		}
		p.Calendars = append(p.Calendars, c)
		p.People = append(p.People, schedule.Person{Key: m.ID, Calendars: []string{m.ID}, Skills: m.Value.Skills,
			Wants: schedule.Minutes(w.wanted(m.Value) * (weeksBehind + weeksAhead)), Given: had[m.ID]})
		w.sews = w.sews || slices.Contains(m.Value.Skills, "sew")
	}
	if len(p.People) == 0 && len(all) > 0 {
		w.about.Wrong("members", "calendar-no-hours", nil)
	}
}

// wanted is the minutes of paid work a week that a member would like.
func (w *works) wanted(m Member) int {
	if m.Time.Wants > 0 {
		return 60 * m.Time.Wants
	}
	return w.book.weekly(m)
}

// person is a member who takes work; nil if she does not.
func (w *works) person(id string) *schedule.Person {
	for i := range w.problem.People {
		if w.problem.People[i].Key == id {
			return &w.problem.People[i]
		}
	}
	return nil
}

func (w *works) memberName(id string) string {
	for _, m := range w.members {
		if m.ID == id {
			return m.Value.Name
		}
	}
	return ""
}

// hands is who may do work, with how long it takes each of them: of those who
// have a skill, or of some.
func (w *works) hands(t *Task, skill string, only ...string) (out []schedule.Hand) {
	for _, q := range w.problem.People {
		if skill != "" && !slices.Contains(q.Skills, skill) || len(only) > 0 && !slices.Contains(only, q.Key) {
			continue
		}
		out = append(out, schedule.Hand{Person: q.Key, Work: w.rates.minutes(t.Loads, q.Key)})
	}
	return out
}

// add puts a task and its step among the others.
func (w *works) add(t Task, s schedule.Step) string {
	s.Key, s.Kind = t.Key, string(t.Kind)
	if s.Orders == nil {
		s.Orders = t.Orders
	}
	w.tasks[t.Key] = &t
	w.problem.Steps = append(w.problem.Steps, s)
	return t.Key
}

// tell says of every step what people were told of it. Where something should have
// begun and did not, it and what comes after it in its order may move: who was told
// knows that it is late, and will be told anew.
func (w *works) tell() {
	late := map[string]bool{} // orders
	for i := range w.problem.Steps {
		s := &w.problem.Steps[i]
		turn, ok := w.told[s.Key]
		if !ok || s.Told != nil || !s.At.IsZero() {
			continue
		}
		t := w.tasks[s.Key]
		if t.Kind == YarnTask { // sent for on that day
			if turn.Start.Before(w.begin) {
				s.Stand = max(0, schedule.Minutes(turn.End.Sub(w.begin)/time.Minute))
			}
			continue
		}
		if turn.Member != "" && len(s.Who) > 0 && !slices.ContainsFunc(s.Who, func(h schedule.Hand) bool { return h.Person == turn.Member }) {
			continue // another has it by now
		}
		s.Told = &schedule.Told{Person: turn.Member, Start: turn.Start, Places: turn.Places}
		t.Was = &turn
		if turn.Start.Before(w.begin) {
			for _, id := range t.Orders {
				late[id] = true
			}
			w.about.Look("tasks."+s.Key, "calendar-overdue", check.Args{"what": t.Name, "name": w.memberName(turn.Member), "day": turn.Start.In(w.begin.Location()).Format(time.DateOnly)})
		}
	}
	for i := range w.problem.Steps {
		s := &w.problem.Steps[i]
		if w.tasks[s.Key].Was != nil && slices.ContainsFunc(w.tasks[s.Key].Orders, func(id string) bool { return late[id] }) {
			s.Told.Free = true
		}
	}
}

// learn learns from records how long work takes.
func (w *works) learn(records []workRecord) error {
	all := make([]rates.Record, len(records))
	for i := range records {
		all[i] = records[i].Record
	}
	r, ps := rates.Learn(all, w.set.Calendar.starts())
	w.rates = forecasts{r, map[[2]string]rates.Forecast{}}
	return invalid(ps)
}

// Usual is how long each kind of work takes until records or the workshop say
// otherwise.
func (CalendarHouse) Usual() []rates.Start { return rates.Starts() }

// starts is the starting rates, with those the workshop says itself.
func (c CalendarHouse) starts() []rates.Start {
	out := rates.Starts()
	for i := range out {
		if m := c.Minutes[out[i].Kind]; m > 0 {
			out[i].Minutes = m
		}
	}
	return out
}

// forecast is how long an amount of work of one or several kinds takes a member.
// Of a sum of kinds, the spread of each counts by its share (first order).
func (f forecasts) forecast(loads []Load, member string) (out rates.Forecast) {
	for _, l := range loads {
		key := [2]string{member, l.Kind}
		unit, ok := f.memo[key]
		if !ok {
			unit, _ = f.rates.Forecast(member, l.Kind, 1)
			f.memo[key] = unit
		}
		out.Median += unit.Median * measure.Minute(l.Quantity)
	}
	for _, l := range loads {
		unit := f.memo[[2]string{member, l.Kind}]
		share := float64(unit.Median) * float64(l.Quantity) / float64(out.Median)
		out.Workshop = math.Hypot(out.Workshop, share*unit.Workshop)
		out.Member = math.Hypot(out.Member, share*unit.Member)
		out.Task = math.Hypot(out.Task, share*unit.Task)
	}
	return out
}

// minutes is what is planned for: the mean.
func (f forecasts) minutes(loads []Load, member string) schedule.Minutes {
	if len(loads) == 0 {
		return 0
	}
	return schedule.Minutes(math.Ceil(float64(f.forecast(loads, member).Mean())))
}

// takes is the forecast of a step in a simulation.
func (w *works) takes(s *schedule.Step, person string) rates.Forecast {
	if t := w.tasks[s.Key]; t != nil && len(t.Loads) > 0 {
		return w.rates.forecast(t.Loads, person)
	}
	return rates.Forecast{Median: measure.Minute(s.Work)}
}

// number is how people call an order.
func number(n int64) string { return "#" + strings.TrimLeft(numberSort(n), "0") }
