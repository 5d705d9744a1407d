package demo

import (
	"fmt"
	"math"
	"strings"
	"time"

	"urdir/colour"
	"urdir/internal/workshop"
	"urdir/measure"
)

// dyePlans are the days on which the dye house plans for the orders there are; the
// last plan is being dyed today.
var dyePlans = []int{-96, -79, -46, -3}

// wish says how the order's yarns are to be dyed.
func (o *told) wish() (err error) {
	wishes := map[string]workshop.Wish{}
	for yarn, t := range o.dye {
		c := workshop.Lot{Colour: t.colour}.Lab()
		wishes[yarn] = workshop.Wish{Recipe: t.recipe, Strength: t.strength, Colour: &c}
	}
	o.dyed[o.order.ID] = o
	o.order, err = o.house.WishDye(o.ctx, o.dyer(), o.order.ID, o.order.Value.Lines[0].ID, o.order.Revision, wishes)
	return err
}

// dyePlan plans for what is wished for and not dyed, and notes every day of it.
func (s *season) dyePlan(day int) error {
	p, err := s.house.ProposeDye(s.ctx, s.dyer(), workshop.DyeSteps)
	if err != nil {
		return err
	}
	for _, w := range p.Left {
		return fmt.Errorf("%s of order %d cannot be dyed: %w", w.Yarn, w.Number, w.Problems)
	}
	made, err := s.house.AcceptDye(s.ctx, s.dyer(), p.Mark, workshop.DyeSteps)
	if err != nil {
		return err
	}
	if day == dyePlans[len(dyePlans)-1] {
		made = made[:len(made)-1] // nobody has come to the last one yet
	}
	for _, k := range made {
		s.planDyeing(k)
	}
	return nil
}

// dayOf is a date as a day counted from today.
func (s *season) dayOf(date string) int {
	d, err := time.ParseInLocation(time.DateOnly, date, s.today.Location())
	if err != nil {
		return 0
	}
	return int(math.Round(d.Sub(s.today).Hours()/24 + 1.0/3)) // a day is eight in the morning
}

// planDyeing notes the days of a dyeing that have come.
func (s *season) planDyeing(k workshop.Kept[workshop.Dyeing]) {
	note := func(day int, what string, do func(workshop.DyeingView) error) {
		if day > -1 {
			return // still to come
		}
		s.on(day, fmt.Sprintf("dyeing %d: %s", k.Value.Number, what), func() error {
			v, err := s.house.Dyeing(s.ctx, s.dyer(), k.ID)
			if err != nil {
				return err
			}
			return do(v)
		})
	}
	for i, d := range k.Value.Days {
		day := s.dayOf(d.Day)
		if i == 0 {
			note(day, "begin", s.begin)
		}
		note(day, "bath", s.bath)
	}
	dry := s.dayOf(k.Value.Dry)
	note(dry, "dry", s.dry)
	note(dry+1, "judge", func(v workshop.DyeingView) error { return s.judge(v, dry+1) })
}

// begin takes the yarn: a lot that was rejected before undyed yarn.
func (s *season) begin(v workshop.DyeingView) error {
	from := v.Value.From
	for _, y := range v.Yarns {
		if y.Value.Dye.Rejected && y.Value.Dye.Recipe == v.Value.Recipe && y.OnShelf >= v.Value.Mass {
			from = y.ID
		}
	}
	_, err := s.house.BeginDyeing(s.ctx, s.dyer(), v.ID, v.Revision, from, v.Value.Mass)
	return err
}

// bath does the next day of a dyeing, with the water of the season and about as
// hot as its recipe says. What the recipe calls for is taken on the first day,
// but plants on the last.
func (s *season) bath(v workshop.DyeingView) error {
	next, last := v.Next(), v.Next() == len(v.Value.Days)-1
	used := map[string]measure.Gram{}
	for _, n := range v.Needs {
		plant := strings.Contains(n.What, " ") // a Latin name
		rest := n.Mass
		for _, b := range n.Bags {
			if take := min(rest, b.OnShelf); take > 0 && (plant && last || !plant && next == 0) && !b.Expired {
				used[b.ID], rest = measure.Gram(math.Floor(float64(take)*10)/10), rest-take
			}
		}
	}
	f := workshop.DyeFact{At: s.clock.Now().Format(time.DateOnly), Dyer: s.dyer().Name, Water: waterOf(v.Value.Number)}
	for _, step := range v.Batch.Steps[v.Stages[next].From:v.Stages[next].To] {
		f.Time += step.Fire
		f.Hottest = max(f.Hottest, step.Hottest)
	}
	f.Hottest = measure.Celsius(math.Round(float64(f.Hottest))) - measure.Celsius(v.Value.Number%4)
	if v.Value.Number%3 == 0 {
		f.Dyer = "Matilde Oquendo"
	}
	_, err := s.house.DoneStage(s.ctx, s.dyer(), v.ID, v.Revision, f, used, nil)
	return err
}

// waterOf is where water was from: in the dry months the well.
func waterOf(number int64) string {
	waters := dyeHouse().Waters
	return waters[[]int{0, 0, 1, 0, 1}[number%5]]
}

// dry weighs the yarn off the line: dye and mordant make it a little heavier.
func (s *season) dry(v workshop.DyeingView) error {
	gain := 1.01 + 0.004*float64(v.Value.Number%5)
	_, err := s.house.OutOfBath(s.ctx, s.dyer(), v.ID, v.Revision, measure.Gram(math.Floor(float64(v.Value.Mass)*gain)))
	return err
}

// pale is the recipe whose first lot comes out too pale and is rejected.
const pale = "weld-wool"

// judge measures the colour beside the standard and says whether it will do.
func (s *season) judge(v workshop.DyeingView, day int) error {
	reject := v.Value.Recipe == pale && !v.From.Value.Dye.Rejected && s.turn[pale] == 0
	c := *v.Value.Standard
	n := float64(v.Value.Number)
	c.L += 1.1 * math.Sin(2*n)
	c.A += 0.9 * math.Cos(3*n)
	c.B += 1.2 * math.Sin(5*n+1)
	why := ""
	switch {
	case reject:
		s.turn[pale]++
		c.L, c.B = c.L+8, c.B-16
		why = "Muy pálida: la gualda quedó corta. Vuelve al baño."
	case v.Value.Recipe == "madder-cotton":
		c.L, c.B = c.L-2.2, c.B-2.5
		why = "Un poco más honda que la muestra; va sola en sus listas."
	}
	k, err := s.house.ColourDyeing(s.ctx, s.dyer(), v.ID, v.Revision, c, workshop.Hows[v.Value.Number%3], nil)
	if err != nil {
		return err
	}
	if k, err = s.house.JudgeDyeing(s.ctx, s.dyer(), v.ID, k.Revision, !reject, why); err != nil {
		return err
	}
	if reject {
		return s.again(k, day)
	}
	return s.release(k, day)
}

// again frees the lines of a rejected lot and plans for them anew.
func (s *season) again(k workshop.Kept[workshop.Dyeing], day int) error {
	for _, f := range k.Value.For {
		o := s.dyed[f.Order]
		v, err := s.house.Order(s.ctx, s.head(), f.Order)
		if err != nil {
			return err
		}
		chosen := map[string]string{}
		for _, l := range v.Lines {
			for yarn, lot := range l.Lots {
				if l.ID == f.Line && yarn != f.Yarn {
					chosen[yarn] = lot
				}
			}
		}
		if o.order, err = s.house.ChooseLots(s.ctx, s.dyer(), f.Order, f.Line, v.Revision, chosen); err != nil {
			return err
		}
	}
	s.on(day+1, "dye plan", func() error { return s.dyePlan(day + 1) })
	return nil
}

// release lets the warps of orders go on whose yarn is all dyed and found good.
func (s *season) release(k workshop.Kept[workshop.Dyeing], day int) error {
	for _, f := range k.Value.For {
		o := s.dyed[f.Order]
		v, err := s.house.Order(s.ctx, s.head(), f.Order)
		if err != nil {
			return err
		}
		good := !o.going
		for _, w := range v.Lines[0].Wants {
			if _, ok := o.dye[w.Yarn]; !ok || !good {
				continue
			}
			d, err := s.house.Dyeing(s.ctx, s.dyer(), w.Lot.Value.Dye.Dyeing)
			if err != nil && w.Lot.ID != "" {
				return err
			}
			good = w.Lot.ID != "" && d.Value.State() == workshop.DyeAccepted
		}
		if !good {
			continue
		}
		o.going, o.order = true, v.Kept
		if err := o.planWork(day); err != nil {
			return err
		}
	}
	return nil
}

// tried is a test of a lot: the recipe of the lot's bath, and the grades by eye.
type tried struct {
	recipe, kind, how string
	change, staining  colour.Grade
	day               int
	note              string
}

var trials = []tried{
	{"cochineal-cotton", "wash", "Jabón de coco, 40 °C, media hora", 8, 9, -85, ""},
	{"cochineal-cotton", "light", "Ventana del sur, dos semanas", 7, 0, -72, "La mitad tapada con cartón."},
	{"pomegranate-iron-cotton", "wash", "Jabón de coco, 40 °C, media hora", 9, 10, -84, ""},
	{"marigold-cotton", "light", "Ventana del sur, dos semanas", 5, 0, -70, "Palidece: para prendas que no duermen al sol."},
	{"madder-cotton", "rub-dry", "Diez pasadas con manta blanca", 0, 9, -68, ""},
	{"onion-cotton", "wash", "Jabón de coco, 40 °C, media hora", 6, 8, -66, ""},
}

// planTests notes the tests of lots, and the samples that were dyed to learn how
// strong grana dyes.
func (s *season) planTests() {
	for _, t := range trials {
		s.on(t.day, "test "+t.recipe, func() error { return s.test(t) })
	}
	for i, x := range samples {
		s.on(opening+9+i/2, "sample", func() error {
			x.sample.Colour = workshop.Lot{Colour: x.colour}.Lab()
			x.sample.Day = s.date(opening + 9 + i/2)
			_, err := s.house.SaveSample(s.ctx, s.dyer(), workshop.Kept[workshop.Sample]{Value: x.sample})
			return err
		})
	}
}

// shaded is a sample with its colour as a screen shows it.
type shaded struct {
	sample workshop.Sample
	colour string
}

var samples = []shaded{
	{workshop.Sample{Recipe: "cochineal-cotton", How: "typed", Note: "Sólo mordentada."}, "#e3dac6"},
	{workshop.Sample{Recipe: "cochineal-cotton", Strength: 0.02, How: "photo"}, "#cf93a4"},
	{workshop.Sample{Recipe: "cochineal-cotton", Strength: 0.04, How: "photo"}, "#c17089"},
	{workshop.Sample{Recipe: "cochineal-cotton", Strength: 0.08, How: "photo"}, "#b14c70"},
	{workshop.Sample{Recipe: "cochineal-cotton", Strength: 0.16, How: "photo"}, "#983058"},
}

// test keeps a test of the first lot dyed by a recipe.
func (s *season) test(t tried) error {
	all, err := s.house.Dyeings(s.ctx, s.dyer(), workshop.Page{Parent: t.recipe, State: string(workshop.DyeAccepted)})
	if err != nil {
		return err
	}
	if len(all.Items) == 0 {
		return fmt.Errorf("nothing was dyed by %s yet", t.recipe)
	}
	v := workshop.Trial{Lot: all.Items[len(all.Items)-1].Value.Lot, Kind: t.kind, Day: s.date(t.day), By: s.dyer().Name, How: t.how,
		Change: t.change, Staining: t.staining, Note: t.note}
	_, err = s.house.SaveTrial(s.ctx, s.dyer(), workshop.Kept[workshop.Trial]{Value: v})
	return err
}
