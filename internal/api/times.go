package api

import (
	"strconv"
	"time"

	"urdir/internal/workshop"
	"urdir/measure"
)

// Timetable is who does what when. Accepting names its mark and schedules.
type Timetable struct {
	Mark      string      `json:"mark" example:"1935835200-9f3c"`
	Schedules int         `json:"schedules" example:"2000"`
	Begin     time.Time   `json:"begin"`
	Tasks     []Task      `json:"tasks"`
	Orders    []OrderTime `json:"orders"`
	Left      []Left      `json:"left"`
	Problems  []Wrong     `json:"problems"`
}

// Task is one step of the work.
type Task struct {
	Key     string    `json:"key" example:"wjpp4c2vkq3a.weave"`
	Kind    string    `json:"kind" example:"weave"`
	Orders  []string  `json:"orders" example:"wjpp4c2vkq3a"`
	Where   string    `json:"where,omitempty" example:"job"`
	ID      string    `json:"id,omitempty" example:"wjpp4c2vkq3a"`
	Name    string    `json:"name" example:"Indigo scarf · body"`
	Member  string    `json:"member,omitempty" example:"wjpp4c2vkq3a"`
	Start   time.Time `json:"start"`
	End     time.Time `json:"end"`
	Minutes int       `json:"minutes" example:"960"`
	Told    bool      `json:"told" example:"false"`
}

// OrderTime is when an order is worked for and ready.
type OrderTime struct {
	Order  string    `json:"order" example:"wjpp4c2vkq3a"`
	Number int64     `json:"number" example:"17"`
	Due    string    `json:"due,omitempty" format:"date" example:"2031-07-01"`
	Start  time.Time `json:"start"`
	Ready  time.Time `json:"ready"`
	Late   int       `json:"late_days" example:"0"`
}

// Left is an order that stands in no timetable, and why.
type Left struct {
	Order    string  `json:"order" example:"wjpp4c2vkq3a"`
	Number   int64   `json:"number" example:"17"`
	Problems []Wrong `json:"problems"`
}

// TimeMark names a timetable that was shown, and up to which day it is told.
type TimeMark struct {
	Mark      string `json:"mark" example:"1935835200-9f3c"`
	Schedules int    `json:"schedules" example:"2000"`
	Until     string `json:"until,omitempty" format:"date" example:"2031-06-01"`
}

// Telling is what people were told at once.
type Telling struct {
	Head
	At    time.Time `json:"at"`
	By    string    `json:"by" example:"Amaranta"`
	Tasks int       `json:"tasks" example:"14"`
}

// Turn is what someone was told of a task that is still to be done.
type Turn struct {
	Key     string    `json:"key" example:"wjpp4c2vkq3a.weave"`
	Kind    string    `json:"kind" example:"weave"`
	Name    string    `json:"name" example:"Indigo scarf · body"`
	Member  string    `json:"member,omitempty" example:"wjpp4c2vkq3a"`
	Where   string    `json:"where,omitempty" example:"job"`
	ID      string    `json:"id,omitempty" example:"wjpp4c2vkq3a"`
	Start   time.Time `json:"start"`
	End     time.Time `json:"end"`
	Minutes int       `json:"minutes" example:"960"`
}

// PromiseIn is a day that is promised.
type PromiseIn struct {
	Day         string  `json:"day" format:"date" example:"2031-07-01"`
	Probability float64 `json:"probability" example:"0.8"`
}

// Promise is a day that was promised, and what became of it.
type Promise struct {
	Head
	Order       string    `json:"order" example:"wjpp4c2vkq3a"`
	Day         string    `json:"day" format:"date" example:"2031-07-01"`
	Probability float64   `json:"probability" example:"0.8"`
	Given       time.Time `json:"given"`
	By          string    `json:"by" example:"Saturnina"`
	Ready       string    `json:"ready,omitempty" format:"date" example:"2031-06-28"`
	Late        int       `json:"late_days" example:"-3"`
}

// PromiseDay is the day that can be promised with a probability, and by the timetable
// itself, with one half and nearly for sure.
type PromiseDay struct {
	Day         string    `json:"day" format:"date" example:"2031-07-01"`
	Probability float64   `json:"probability" example:"0.8"`
	Reached     float64   `json:"reached" example:"0.83"`
	Planned     time.Time `json:"planned"`
	Likely      string    `json:"likely" format:"date" example:"2031-06-24"`
	Sure        string    `json:"sure" format:"date" example:"2031-07-10"`
	Orders      int       `json:"orders" example:"12"`
}

func timeOps() []op {
	return []op{
		get("timetable", "/timetable", "Timetable", timetable, whole("schedules", workshop.TimetableSchedules)),
		change("accept-timetable", "POST /timetable", "AcceptTimetable", matchNone, func(a *asked, in TimeMark) (Telling, error) {
			k, err := a.house.AcceptTimetable(a.Context(), a.person, in.Mark, min(in.Schedules, mostTries), in.Until)
			return Telling{headOf(k), k.Value.At, k.Value.By, k.Value.Tasks}, err
		}),
		get("turns", "/turns", "Turns", func(a *asked) (Page[Turn], error) {
			all, err := a.house.Turns(a.Context(), a.person)
			return Page[Turn]{Items: each(all, func(t workshop.TurnView) Turn {
				return Turn{t.Key, string(t.Kind), t.Turn.Name, t.Member, t.Where, t.ID, t.Start, t.End, t.Minutes}
			})}, err
		}),
		get("promise-day", "/orders/{id}/promise", "PromiseFor", promiseDay, word("probability", "0.8")),
		change("give-promise", "POST /orders/{id}/promise", "GivePromise", matchMay, func(a *asked, in PromiseIn) (out Promise, _ error) {
			n, err := anOrder.version(a)
			if err != nil {
				return out, err
			}
			k, err := a.house.GivePromise(a.Context(), a.person, a.id(), n, in.Day, measure.Ratio(in.Probability))
			return promiseOf(workshop.PromiseView{Kept: k}), err
		}),
		list("promises", "/promises", "Promises", func(a *asked, p workshop.Page) ([]Promise, string, error) {
			all, next, err := a.house.Promises(a.Context(), a.person, a.URL.Query().Get("order"), p)
			return each(all, promiseOf), next, err
		}, word("order", "wjpp4c2vkq3a")),
	}
}

func timetable(a *asked) (Timetable, error) {
	n := min(a.number("schedules", workshop.TimetableSchedules), mostTries)
	t, err := a.house.Timetable(a.Context(), a.person, n)
	out := Timetable{Mark: t.Mark, Schedules: n, Begin: t.Begin, Problems: append([]Wrong{}, inWords(a.words, t.Problems)...)}
	out.Tasks = each(t.Tasks, func(k workshop.Task) Task {
		return Task{k.Key, string(k.Kind), append([]string{}, k.Orders...), k.Where, k.ID, k.Name, k.Member, k.Start, k.End, k.Minutes, k.Told}
	})
	out.Orders = each(t.Orders, func(o workshop.OrderTime) OrderTime {
		return OrderTime{o.ID, o.Number, o.Due, o.Start, o.Ready, o.Late}
	})
	out.Left = each(t.Left, func(l workshop.Left) Left {
		return Left{l.ID, l.Number, append([]Wrong{}, inWords(a.words, l.Problems)...)}
	})
	return out, err
}

func promiseDay(a *asked) (out PromiseDay, _ error) {
	ask := workshop.Ask{Order: a.id()}
	if text := a.URL.Query().Get("probability"); text != "" {
		p, err := strconv.ParseFloat(text, 64)
		if err != nil || !(p > 0 && p < 1) {
			return out, refused("query.probability", "promise-probability", nil)
		}
		ask.Probability = measure.Ratio(p)
	}
	v, err := a.house.PromiseFor(a.Context(), a.person, ask)
	if err != nil {
		return out, err
	}
	date := func(y int, m time.Month, d int) string {
		return time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
	}
	return PromiseDay{date(v.Day.Year, v.Day.Month, v.Day.Day), float64(v.Asked), float64(v.Reached), v.Planned,
		date(v.Likely.Day.Year, v.Likely.Day.Month, v.Likely.Day.Day), date(v.Sure.Day.Year, v.Sure.Day.Month, v.Sure.Day.Day), v.Orders}, nil
}

func promiseOf(v workshop.PromiseView) Promise {
	p := v.Value
	return Promise{headOf(v.Kept), p.Order, p.Day, float64(p.Probability), p.Given, p.By, v.Ready, v.Late}
}
