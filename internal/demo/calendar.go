package demo

import (
	"math"
	"time"

	"urdir/internal/workshop"
	"urdir/measure"
)

// marketHouse is what the cooperative's calendar goes by: the valley keeps the
// clock of the coast, sells on the first and third Saturday, and picks salt in the
// dry weeks. Days count from today.
func (s *season) marketHouse() workshop.CalendarHouse {
	return workshop.CalendarHouse{Zone: "America/Guayaquil", Opens: 8 * 60, Looms: 10, Buying: 6,
		Closed: []workshop.Closure{
			{Name: "Mercado de Anzales", Weekdays: []string{"sat"}, Weeks: []int{1, 3}},
			{Name: "Cosecha de la sal", From: s.date(32), To: s.date(43), Share: 0.5},
		},
		Frames: map[string]int{"Bastidor del taller": 2, "Bastidor de mesa": 3}}
}

// shift is hours on some days, as 9 to 13.
type shift struct {
	days     []string
	from, to int
}

var (
	allWeek  = []string{"mon", "tue", "wed", "thu", "fri"}
	tueToSat = []string{"tue", "wed", "thu", "fri", "sat"}
)

// offers is when each member works, and how many paid hours a week she would like.
var offers = map[string]struct {
	wants  int
	shifts []shift
}{
	"amaranta":   {8, []shift{{tueToSat, 8, 11}}},
	"benita":     {22, []shift{{allWeek, 8, 12}, {[]string{"mon", "wed"}, 14, 16}}},
	"dionisia":   {26, []shift{{allWeek, 8, 14}}},
	"eulalia":    {18, []shift{{allWeek, 13, 17}}},
	"jacinta":    {28, []shift{{allWeek, 8, 13}, {[]string{"sat"}, 8, 11}}},
	"petrona":    {16, []shift{{allWeek, 15, 18}}},
	"ramona":     {16, []shift{{[]string{"mon", "tue", "thu"}, 9, 13}, {[]string{"fri"}, 9, 15}}},
	"zoila":      {20, []shift{{allWeek, 16, 20}}},
	"candelaria": {10, []shift{{[]string{"wed", "thu", "fri"}, 9, 12}}},
	"lino":       {24, []shift{{allWeek, 8, 13}}},
	"nieves":     {14, []shift{{[]string{"mon", "wed", "fri"}, 8, 12}}},
	"hilaria":    {18, []shift{{[]string{"wed", "fri"}, 8, 16}, {[]string{"sat"}, 8, 12}}},
}

// absences is who is away, and why. Days count from today.
var absences = []struct {
	key      string
	from, to int
	why      string
}{
	{"zoila", 5, 9, "Exámenes en la escuela de la barra"},
	{"jacinta", 18, 22, "Boda de su sobrina"},
	{"eulalia", -24, -18, "La lancha en reparación"},
}

// keepHours tells the calendar of the workshop and of its members.
func (s *season) keepHours() error {
	k, err := s.house.Settings(s.ctx, s.head())
	if err != nil {
		return err
	}
	k.Value.Calendar = s.marketHouse()
	if _, err = s.house.SaveSettings(s.ctx, s.head(), k); err != nil {
		return err
	}
	for _, m := range members { // in their order, so that the history is the same every time
		o, ok := offers[m.key]
		if !ok {
			continue
		}
		t := workshop.Hours{Wants: o.wants}
		for _, x := range o.shifts {
			for _, d := range x.days {
				t.Offers = append(t.Offers, workshop.Offer{Day: d, From: 60 * x.from, To: 60 * x.to})
			}
		}
		for _, a := range absences {
			if a.key == m.key {
				t.Absences = append(t.Absences, workshop.Absence{From: s.date(a.from), To: s.date(a.to), Why: a.why})
			}
		}
		v, _, err := s.house.Member(s.ctx, s.head(), s.ids["member"][m.key])
		if err != nil {
			return err
		}
		if _, err = s.house.SaveHours(s.ctx, s.head(), v.ID, v.Revision, t); err != nil {
			return err
		}
	}
	return nil
}

// promised is the orders of which the day was promised when they were confirmed,
// and with which probability. Most of those that are over were kept; the scarves of
// the bookshop were not.
var promised = map[int]measure.Ratio{1: 0.82, 2: 0.85, 4: 0.85, 5: 0.8, 6: 0.8, 7: 0.82, 8: 0.81, 9: 0.8, 11: 0.83, 14: 0.82, 16: 0.81, 17: 0.82, 18: 0.86, 20: 0.8}

// promise keeps the promise that was given of an order.
func (o *told) promise() error {
	p, ok := promised[o.number]
	if !ok {
		return nil
	}
	_, err := o.house.GivePromise(o.ctx, o.seller(), o.order.ID, o.order.Revision, o.date(o.due), p)
	if err != nil {
		return err
	}
	v, err := o.house.Order(o.ctx, o.head(), o.order.ID)
	o.order = v.Kept
	return err
}

// pace is how long whoever has the warp takes, to what is usual; it is made of her
// key, and nobody sees it.
func (w *warped) pace() float64 {
	n := 0
	for key, id := range w.ids["member"] {
		if id == w.job.Value.Member {
			for _, r := range key {
				n += int(r)
			}
		}
	}
	return 0.8 + 0.05*float64(n%9)
}

// oddOne is the order of which a member told hours for minutes.
const oddOne = 13

// worked tells how many minutes it took to get a warp as far as it is: in about
// two of three cases, for the others nobody wrote down.
func (w *warped) worked(usual float64) (err error) {
	n := int(w.job.Value.Number) + w.job.Value.Laying
	if n%3 == 0 || w.job.Value.Member == "" {
		return nil
	}
	minutes := math.Round(usual * w.pace() * (0.9 + 0.04*float64(n%6)))
	if w.job.Value.Number == oddOne && w.job.Value.State() == workshop.OnFrame {
		minutes = math.Ceil(minutes / 60)
	}
	w.job, err = w.house.Worked(w.ctx, w.teller(), w.job.ID, w.job.Revision, measure.Minute(max(minutes, 1)))
	return err
}

// laidIn and wovenIn are minutes that are usual for the warp: half a minute an end;
// three a centimetre of plain cloth, and more with figures.
func (w *warped) laidIn() (float64, error) {
	v, err := w.house.Job(w.ctx, w.teller(), w.job.ID)
	if err != nil {
		return 0, err
	}
	return 0.5 * float64(v.Warp.Ends), nil
}

func (w *warped) wovenIn(from measure.CM) float64 {
	aCM := map[string]float64{"brocade": 6, "pick-up": 18}[w.design(w.job.Value.Line).skill]
	return max(aCM, 3) * float64(w.job.Value.Woven()-from)
}

// The class of the salt school: six learners, on a Wednesday in three weeks.
const classLearners = 6

// planClass notes the class that the school has asked for.
func (s *season) planClass() {
	day := 21
	for s.today.AddDate(0, 0, day).Weekday() != time.Wednesday {
		day++
	}
	s.on(-1, "class", func() error {
		v := workshop.Order{Customer: s.ids["customer"]["escuela"], Due: s.date(day), Wishes: "Taller abierto; traen su almuerzo.",
			Lines: []workshop.Line{{ID: "line1", Cloth: s.ids["cloth"]["clase"], Quantity: classLearners}}}
		k, err := s.house.SaveOrder(s.ctx, s.seller(), workshop.Kept[workshop.Order]{Value: v})
		if err != nil {
			return err
		}
		k, err = s.house.SaveClass(s.ctx, s.seller(), k.ID, k.Revision, &workshop.Class{Day: s.date(day), From: 9 * 60, To: 15 * 60,
			Seats: 8, Learners: classLearners, Teacher: s.ids["member"]["hilaria"], Ahead: 15})
		if err != nil {
			return err
		}
		if k, err = s.house.ConfirmOrder(s.ctx, s.seller(), k.ID, k.Revision); err != nil {
			return err
		}
		chosen := map[string]string{}
		for _, d := range designs {
			if d.key == "clase" {
				for yarn, lot := range d.lots {
					chosen[yarn] = s.lots[lot].ID
				}
			}
		}
		_, err = s.house.ChooseLots(s.ctx, s.dyer(), k.ID, "line1", k.Revision, chosen)
		return err
	})
}

// tellTurns has the head accept the timetable of the next days, so that everybody
// knows what is hers.
func (s *season) tellTurns() error {
	const schedules, days = 2000, 8
	t, err := s.house.Timetable(s.ctx, s.head(), schedules)
	if err != nil {
		return err
	}
	_, err = s.house.AcceptTimetable(s.ctx, s.head(), t.Mark, schedules, s.date(days))
	return err
}
