package workshop

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"urdir/check"
	"urdir/dye"
	"urdir/internal/store"
	"urdir/measure"
	"urdir/schedule"
	"urdir/schedule/rates"
)

// wantKey names a yarn that a line wants dyed.
func wantKey(order, line, yarn string) string { return order + "." + line + "." + yarn }

// bathKinds is the kind of work that a stage of a dyeing is.
var bathKinds = map[dye.Kind]string{
	dye.Soak: rates.Scouring, dye.Scour: rates.Scouring, dye.Wash: rates.Scouring,
	dye.Tannin: rates.Mordanting, dye.Mordant: rates.Mordanting, dye.Fix: rates.Mordanting, dye.Extract: rates.Mordanting,
	dye.Dye: rates.Dyeing, dye.Dip: rates.Dyeing, dye.Modify: rates.Dyeing,
	dye.Rinse: rates.Rinsing, dye.Rest: rates.Rinsing, dye.Dry: rates.Rinsing,
}

// bathLoad is the work of some baths of a stage.
func bathLoad(kind dye.Kind, baths int) Load {
	return Load{cmp.Or(bathKinds[kind], rates.Dyeing), measure.Count(max(1, baths))}
}

// stands is how long a stage keeps its pots beside the hands' work: by the fire
// and cooling.
func stands(b dye.Batch, s dye.Stage) schedule.Minutes {
	out := measure.Minute(0)
	for i := s.From; i < s.To && i < len(b.Steps); i++ {
		out += b.Steps[i].Fire + b.Steps[i].Stand
	}
	return schedule.Minutes(math.Ceil(float64(out)))
}

// dyeHouse adds the dyeings that are planned or begun. Their days are those that
// were accepted in the dye house; who is there does them.
func (w *works) dyeHouse(tx *store.Tx) error {
	open, err := dyeings.list(tx, Page{State: string(DyePlanned) + "," + string(DyeBegun)}, false)
	if err != nil {
		return err
	}
	busy := map[string]time.Time{} // dyer -> until when she has a bath
	slices.SortStableFunc(open.Items, func(a, b Kept[Dyeing]) int { return strings.Compare(firstDay(a.Value), firstDay(b.Value)) })
	for _, d := range open.Items {
		w.dyeing(d, busy)
	}
	return nil
}

func firstDay(d Dyeing) string {
	if n := d.StagesDone(); n < len(d.Days) {
		return d.Days[n].Day
	}
	return ""
}

func (w *works) dyeing(d Kept[Dyeing], busy map[string]time.Time) {
	v := d.Value
	b, ps := v.batch(w.set)
	r, _ := v.recipe()
	stages := r.Stages()
	base := Task{Where: "dyeing", ID: d.ID, Name: v.Label}
	seen := map[string]bool{}
	for _, f := range v.For {
		if o, ok := w.orders[f.Order]; ok && !seen[f.Order] {
			seen[f.Order] = true
			base.Orders, base.Numbers = append(base.Orders, f.Order), append(base.Numbers, o.Value.Number)
		}
	}
	var after []schedule.After
	for n := v.StagesDone(); n < len(v.Days); n++ {
		t, s := base, schedule.Step{Orders: w.goods(base.Orders), After: after, Calendar: houseCalendar, Skill: "dye"}
		t.Key, t.Kind = fmt.Sprintf("%s/%s%d", d.ID, BathTask, n+1), BathTask
		t.Loads = []Load{bathLoad(v.Days[n].Kind, len(v.Days[n].Pots))}
		if !ps.Failed() && n < len(stages) {
			s.Stand = stands(b, stages[n])
		}
		for _, pot := range v.Days[n].Pots {
			if slices.ContainsFunc(w.set.Pots, func(p Pot) bool { return p.Name == pot }) {
				s.Needs = append(s.Needs, schedule.Need{Place: "pot " + pot})
			}
		}
		s.Who = w.hands(&t, "dye")
		for _, h := range s.Who {
			s.Work = max(s.Work, h.Work)
		}
		w.bathDay(&s, t.Key, v.Days[n].Day, busy)
		after = []schedule.After{{Step: w.add(t, s)}}
	}
	t := base
	t.Key, t.Kind = d.ID+"/"+string(DryTask), DryTask
	s := schedule.Step{Orders: w.goods(base.Orders), After: after, Needs: []schedule.Need{{Place: linePlace, Amount: w.hung(v.Mass)}}, Stand: w.dries(v)}
	w.dried[d.ID] = w.add(t, s)
}

// goods leaves out classes: what is done for them before their preparing begins
// would have to wait for that.
func (w *works) goods(ids []string) []string {
	out := []string{}
	for _, id := range ids {
		if o, ok := w.orders[id]; ok && o.Value.Class == nil {
			out = append(out, id)
		}
	}
	return out
}

// bathDay has a bath begin on its day, when the first dyer who is free then comes.
// One whose day is past is done as soon as can be.
func (w *works) bathDay(s *schedule.Step, key, date string, busy map[string]time.Time) {
	if turn, ok := w.told[key]; ok && turn.Start.In(w.begin.Location()).Format(time.DateOnly) == date {
		return // someone was told: see tell
	}
	day, ok := w.dayAt(date, 12*60)
	if !ok || date < w.begin.Format(time.DateOnly) {
		return
	}
	house, _ := w.book.house(noon(date))
	best := schedule.Told{}
	for _, h := range s.Who {
		m := w.member(h.Person)
		hers, _ := w.book.member(m.Value, noon(date))
		for _, span := range bothHours(house, hers) {
			start := wall(day, span.From)
			for _, t := range []time.Time{w.begin, busy[h.Person]} {
				if start.Before(t) {
					start = t
				}
			}
			if start.Before(wall(day, span.To)) && (best.Start.IsZero() || start.Before(best.Start)) {
				best = schedule.Told{Person: h.Person, Start: start}
			}
		}
	}
	if best.Start.IsZero() {
		w.about.Look("days", "calendar-no-dyer", check.Args{"what": w.bathName(key), "day": date})
		return
	}
	i := slices.IndexFunc(s.Who, func(h schedule.Hand) bool { return h.Person == best.Person })
	busy[best.Person] = best.Start.Add(time.Duration(s.Who[i].Work) * time.Minute)
	s.Told = &best
}

// bathName is what a bath is called before it is a task.
func (w *works) bathName(key string) string {
	id, _, _ := strings.Cut(key, "/")
	for _, o := range w.orders {
		for _, l := range o.Lines {
			for _, want := range l.Wants {
				if want.Lot.Value.Dye.Dyeing == id {
					return want.Lot.Value.Label
				}
			}
		}
	}
	return id
}

func (w *works) member(id string) Kept[Member] {
	i := slices.IndexFunc(w.members, func(m Kept[Member]) bool { return m.ID == id })
	if i < 0 {
		return Kept[Member]{}
	}
	return w.members[i]
}

// noon is the middle of a date, by which its weekday is told.
func noon(date string) time.Time {
	t, _ := time.Parse(time.DateOnly, date) // a wrong date is the first day of all
	return t.Add(12 * time.Hour)
}

// bothHours is the hours in two lists.
func bothHours(a, b []schedule.Span) (out []schedule.Span) {
	for _, x := range a {
		for _, y := range b {
			if s := (schedule.Span{From: max(x.From, y.From), To: min(x.To, y.To)}); s.From < s.To {
				out = append(out, s)
			}
		}
	}
	return out
}

// hung is how much of the line a lot takes: all of it if it is more.
func (w *works) hung(g measure.Gram) int {
	return max(1, min(int(math.Ceil(float64(g))), int(w.set.Dye.Line)))
}

// dries is how long a dyeing hangs after its last bath, by the days accepted for it.
func (w *works) dries(d Dyeing) schedule.Minutes {
	days := 1
	if n := len(d.Days); n > 0 {
		days = max(1, daysBetween(d.Days[n-1].Day, d.Dry))
	}
	return schedule.Minutes(days * 24 * 60)
}

// wantDye adds what is to be dyed and stands in no dye plan yet: what is alike is
// dyed together, and serves all orders that want it.
func (w *works) wantDye(h *House, tx *store.Tx, all []OrderView) error {
	var wants []DyeWant
	for _, o := range all {
		for _, l := range o.Lines {
			of, err := h.lineWants(tx, o, l)
			if err != nil {
				return err
			}
			for _, want := range of {
				if want.Dyeing == "" {
					want.look(w.recipes, w.set.Dye)
					wants = append(wants, want)
				}
			}
		}
	}
	w.dyeTogether("", wants)
	return nil
}

// dyeFor adds what one order wants dyed that is not among the others yet.
func (w *works) dyeFor(o OrderView) {
	var wants []DyeWant
	for _, l := range o.Lines {
		for _, y := range l.Wants {
			wish, ok := l.wish(y.Need)
			if !ok || y.Lot.ID != "" || y.Need.Mass <= 0 {
				continue
			}
			want := DyeWant{DyeFor: DyeFor{Order: o.ID, Line: l.ID, Yarn: y.Yarn, Number: o.Value.Number, Mass: y.Need.Mass},
				Fibre: y.Need.Fibre, Count: y.Need.Count, Skein: y.Need.Skein, Wish: wish}
			want.look(w.recipes, w.set.Dye)
			wants = append(wants, want)
		}
	}
	w.dyeTogether(o.ID+" ", wants)
}

// alike is what wants must have in common to be dyed in one lot.
func (w DyeWant) alike() string {
	return fmt.Sprintf("dye %s %g %s %s", w.Wish.Recipe, float64(w.Wish.Strength), w.Fibre, w.Count)
}

// dyeTogether makes steps for groups of wants. What cannot be dyed as it is wished
// is the dye house's to say; its yarn is waited for as if it were sent for.
func (w *works) dyeTogether(prefix string, wants []DyeWant) {
	groups := map[string][]DyeWant{}
	var order []string
	for _, want := range wants {
		if want.Problems.Failed() {
			continue
		}
		k := prefix + want.alike()
		if groups[k] == nil {
			order = append(order, k)
		}
		groups[k] = append(groups[k], want)
	}
	for _, k := range order {
		w.dyeGroup(k, groups[k])
	}
}

func (w *works) dyeGroup(key string, wants []DyeWant) {
	r, ps := wants[0].Recipe.Recipe.At(wants[0].Wish.Strength)
	if ps.Failed() {
		return
	}
	base := Task{Where: "dyes", Name: wants[0].Recipe.Recipe.Name.In(w.set.Language)}
	mass, skein := measure.Gram(0), wants[0].Skein
	for _, want := range wants {
		mass += want.Mass
		if !slices.Contains(base.Orders, want.Order) {
			base.Orders, base.Numbers = append(base.Orders, want.Order), append(base.Numbers, want.Number)
		}
	}
	mass = measure.Gram(math.Ceil(float64(mass/skein))) * skein
	order := dye.Order{Mass: mass, Skein: skein, Place: w.set.Dye.Place}
	for _, pot := range w.set.Pots {
		order.Pots = append(order.Pots, dye.Pot{Name: pot.Name, Litres: measure.Litre(pot.Litres)})
	}
	b, ps := dye.Make(r, order)
	if ps.Failed() {
		return
	}
	var after []schedule.After
	house := recipeWork(wants[0].Recipe.Recipe, w.set.Dye)
	for n, stage := range r.Stages() {
		baths, litres := 1, measure.Litre(0)
		for _, p := range b.Steps[stage.From].Portions {
			baths, litres = max(baths, p.Baths), max(litres, p.Bath)
		}
		t, s := base, schedule.Step{Orders: w.goods(base.Orders), After: after, Calendar: houseCalendar, Skill: "dye", Stand: stands(b, stage)}
		t.Key, t.Kind = fmt.Sprintf("%s/%s%d", key, BathTask, n+1), BathTask
		t.Loads = []Load{bathLoad(stage.Kind, baths)}
		if len(w.set.Pots) > 0 {
			s.Needs = []schedule.Need{{Kind: potKind, Amount: max(1, int(math.Floor(float64(litres))))}}
		}
		s.Who = w.hands(&t, "dye")
		for _, h := range s.Who {
			s.Work = max(s.Work, h.Work)
		}
		if n > 0 {
			s.After = []schedule.After{{Step: after[0].Step, Max: schedule.Minutes((house.Stages[n].Max + 1) * 24 * 60)}}
		}
		after = []schedule.After{{Step: w.add(t, s)}}
	}
	t := base
	t.Key, t.Kind = key+"/"+string(DryTask), DryTask
	dry := w.add(t, schedule.Step{Orders: w.goods(base.Orders), After: after, Needs: []schedule.Need{{Place: linePlace, Amount: w.hung(mass)}},
		Stand: schedule.Minutes(house.Dry * 24 * 60)})
	for _, want := range wants {
		w.dried[wantKey(want.Order, want.Line, want.Yarn)] = dry
	}
}
