package workshop

import (
	"context"
	"slices"
	"strings"
	"time"

	"urdir/dye"
	"urdir/internal/store"
	"urdir/measure"
)

// DyeCalendar is what is in the pots and on the drying line, day by day from
// today.
type DyeCalendar struct {
	Pots []Pot
	Line measure.Gram // that it can hold, dry
	Days []CalendarDay
}

// CalendarDay is a day of the dye house.
type CalendarDay struct {
	Date    string
	Closed  bool   // nobody works
	Feast   string // its name
	Moon    dye.Moon
	Fires   []Fire
	Begun   measure.Gram // dry mass on the line, of dyeings that have begun
	Planned measure.Gram // and of those that have not
}

// Hung is the dry mass of all yarn on the line.
func (d CalendarDay) Hung() measure.Gram { return d.Begun + d.Planned }

// In is the baths in a pot.
func (d CalendarDay) In(pot string) (out []Fire) {
	for _, f := range d.Fires {
		if f.Pot == pot {
			out = append(out, f)
		}
	}
	return out
}

// Fire is a bath in a pot.
type Fire struct {
	Pot    string
	Dyeing string // record; empty for a bath that is only proposed
	Label  string // of the lot
	Colour string // that is wanted, as a screen shows it
	Kind   dye.Kind
	Begun  bool // the dyeing has begun
	Late   bool // it should have been done before today, where it stands
}

// DyeCalendar gives so many days from today, with the dyeings that are planned
// or in work. A bath that is late stands on today.
func (h *House) DyeCalendar(ctx context.Context, p Person, days int) (out DyeCalendar, _ error) {
	err := h.view(ctx, p, "DyeCalendar", func(tx *store.Tx) error {
		k, err := readSettings(tx)
		if err != nil {
			return err
		}
		set := k.Value
		out = DyeCalendar{Pots: set.Pots, Line: set.Dye.Filled().Line}
		for n := range days {
			out.Days = append(out.Days, set.calendarDay(dayAfter(h.today(), n)))
		}
		open, err := dyeings.list(tx, Page{State: string(DyePlanned) + "," + string(DyeBegun)}, false)
		for _, d := range open.Items {
			out.add(d)
		}
		return err
	})
	return out, err
}

// calendarDay is a day without what is done on it.
func (s Settings) calendarDay(date string) CalendarDay {
	out := CalendarDay{Date: date}
	out.Moon, _ = s.Dye.Moon(date)
	if t, err := time.Parse(time.DateOnly, date); err == nil {
		out.Closed = s.Week[strings.ToLower(t.Weekday().String()[:3])] == 0
	}
	for _, f := range s.Feasts {
		if f.Day == date {
			out.Feast, out.Closed = f.Name, true
		}
	}
	return out
}

// at is the day of a date; nil if it is not among those shown.
func (c *DyeCalendar) at(date string) *CalendarDay {
	n := slices.IndexFunc(c.Days, func(d CalendarDay) bool { return d.Date == date })
	if n < 0 {
		return nil
	}
	return &c.Days[n]
}

// add enters the baths of a dyeing that are not done, and its days on the line:
// from its last bath until it is dry. Of baths that are late only the next one
// stands anywhere: when the others can be done is not known.
func (c *DyeCalendar) add(d Kept[Dyeing]) {
	v := d.Value
	if len(c.Days) == 0 || len(v.Days) == 0 {
		return
	}
	today, begun := c.Days[0].Date, v.State() == DyeBegun
	for i, s := range v.Days[min(v.StagesDone(), len(v.Days)):] {
		date, late := s.Day, i == 0 && s.Day < today
		if late {
			date = today
		}
		if day := c.at(date); day != nil {
			for _, pot := range s.Pots {
				day.Fires = append(day.Fires, Fire{pot, d.ID, v.Label, v.Shown(), s.Kind, begun, late})
			}
		}
	}
	last := v.Days[len(v.Days)-1].Day
	for i := range c.Days {
		if day := &c.Days[i]; last <= day.Date && day.Date < v.Dry {
			if begun {
				day.Begun += v.Mass
			} else {
				day.Planned += v.Mass
			}
		}
	}
}

// With is the calendar as it would be with a proposal, which takes the place of
// the dyeings that have not begun.
func (c DyeCalendar) With(d DyeProposal) DyeCalendar {
	out := c
	out.Days = slices.Clone(c.Days)
	for i := range out.Days {
		out.Days[i].Planned = 0
		out.Days[i].Fires = slices.DeleteFunc(slices.Clone(out.Days[i].Fires), func(f Fire) bool { return !f.Begun })
	}
	for _, l := range d.Plan.Lots {
		want := d.Want(l.Wants[0].Want)
		for _, s := range l.Stages {
			day := out.at(d.Day(s.Day))
			if day == nil {
				continue
			}
			for _, b := range s.Baths {
				day.Fires = append(day.Fires, Fire{Pot: b.Pot, Label: want.Recipe.Recipe.Name.In(d.Language), Colour: want.Colour(), Kind: dye.Kind(s.Stage)})
			}
		}
	}
	for _, hung := range d.Plan.Line {
		if day := out.at(d.Day(hung.Day)); day != nil {
			day.Planned += hung.Mass.Gram()
		}
	}
	return out
}

// Shown is the colour of a dyeing as a screen shows it: the one reached, or else
// the one that is wanted.
func (d Dyeing) Shown() string {
	if f, ok := d.Coloured(); ok {
		return f.Colour.Show().SRGB.String()
	}
	if d.Standard != nil {
		return d.Standard.Show().SRGB.String()
	}
	return "#808080" // nothing is known of it
}

// Colour is the colour a want asks for, as a screen shows it.
func (w DyeWant) Colour() string {
	if w.Wish.Colour != nil {
		return w.Wish.Colour.Show().SRGB.String()
	}
	return w.Recipe.Recipe.Colour
}
