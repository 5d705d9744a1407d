package workshop

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"urdir/check"
	"urdir/dye"
	dyelots "urdir/dye/lots"
	"urdir/internal/store"
	"urdir/measure"
)

// DyeSteps is how long the dye plan is looked for at first, and DyeMost at most,
// in steps of its search; the first is about a tenth of a second for a hundred
// wants.
const (
	DyeSteps = 2000
	DyeMost  = 200_000
)

// dyeHorizon is how many days ahead days without fire are reckoned.
const dyeHorizon = 730

// Wait times of stages for which a recipe says none; from memory. What was drawn
// from a plant sours; scoured and mordanted yarn, dried, keeps.
const (
	keepsExtract = 1 * measure.Day
	keepsYarn    = 30 * measure.Day
)

// DyeProposal is how everything wanted could be dyed.
type DyeProposal struct {
	Begin    string // date of day 0
	Language string // of the workshop, for names of recipes
	Wants    []DyeWant
	Left     []DyeWant // that cannot be dyed so, with why
	Plan     dyelots.Plan
	Pots     []Pot
	Line     measure.Gram
	Closed   []string       // dates without fire
	Mark     string         // of what the plan was made from
	Planned  int            // dyeings not begun that it takes the place of
	About    check.Problems // why there is no plan at all, or cautions
}

// Want is the want of a key of the plan.
func (d DyeProposal) Want(key string) DyeWant {
	for _, w := range d.Wants {
		if w.key() == key {
			return w
		}
	}
	return DyeWant{}
}

// Day is the date of a day of the plan.
func (d DyeProposal) Day(n int) string { return dayAfter(d.Begin, n) }

// dyeDay is a date as the moon is reckoned from it.
func dyeDay(date string) (dye.Day, bool) {
	t, err := time.Parse(time.DateOnly, date)
	return dye.Day{Year: t.Year(), Month: int(t.Month()), Day: t.Day()}, err == nil
}

func dayAfter(date string, n int) string {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return ""
	}
	return t.AddDate(0, 0, n).Format(time.DateOnly)
}

// ProposeDye plans the dyeing of everything wanted and not begun. The same wants
// and steps give the same plan.
func (h *House) ProposeDye(ctx context.Context, p Person, steps int) (out DyeProposal, _ error) {
	var work dyelots.Work
	err := h.view(ctx, p, "ProposeDye", func(tx *store.Tx) (err error) {
		out, work, err = h.dyeWork(tx)
		return err
	})
	if err != nil || len(out.Wants) == 0 || out.About.Failed() {
		return out, err
	}
	search, ps := dyelots.New(work, 1)
	out.About = append(out.About, ps...)
	if ps.Failed() {
		return out, nil
	}
	search.Improve(min(max(steps, 0), DyeMost))
	out.Plan = search.Plan()
	return out, nil
}

// dyeWork gathers what a dye plan is made from. Wants that cannot be dyed at all
// are set apart, so that the others are planned.
func (h *House) dyeWork(tx *store.Tx) (out DyeProposal, work dyelots.Work, _ error) {
	k, err := readSettings(tx)
	if err != nil {
		return out, work, err
	}
	set := k.Value
	set.Dye = set.Dye.Filled()
	out.Begin, out.Language, out.Pots, out.Line = h.today(), set.Language, set.Pots, set.Dye.Line
	wants, err := h.dyeWants(tx, set)
	if err != nil {
		return out, work, err
	}
	busy, planned, err := h.dyeBusy(tx)
	if err != nil {
		return out, work, err
	}
	out.Planned = planned
	work = dyelots.Work{Line: set.Dye.Line, Closed: h.closedDays(set, busy)}
	for _, d := range work.Closed {
		out.Closed = append(out.Closed, out.Day(d))
	}
	for _, pot := range set.Pots {
		work.Pots = append(work.Pots, dyelots.Pot{Key: pot.Name, Litres: measure.Litre(pot.Litres), Fill: dye.DefaultFill})
	}
	for _, w := range wants {
		if w.Problems.Failed() {
			out.Left = append(out.Left, w)
			continue
		}
		out.Wants = append(out.Wants, w)
	}
	if len(out.Wants) > 0 {
		out.settleWork(&work, set.Dye)
	}
	body, err := json.Marshal(work)
	if err != nil {
		return out, work, err
	}
	sum := sha256.Sum256(body)
	out.Mark = hex.EncodeToString(sum[:8])
	return out, work, nil
}

// settleWork fills the work with the wants and their recipes. A want that fails
// by itself (a skein too big for every pot) is set apart, and the rest looked at
// again. What is wrong with pots and line is wrong with everything.
func (d *DyeProposal) settleWork(work *dyelots.Work, house DyeHouse) {
	for len(d.Wants) > 0 {
		work.Wants, work.Recipes = nil, nil
		for _, w := range d.Wants {
			work.Wants = append(work.Wants, w.want(d.Begin))
			if !slices.ContainsFunc(work.Recipes, func(r dyelots.Recipe) bool { return r.Key == w.Recipe.Key }) {
				work.Recipes = append(work.Recipes, recipeWork(w.Recipe.Recipe, house))
			}
		}
		failed := d.sortOut(*work)
		if len(failed) == 0 {
			return
		}
		var rest []DyeWant
		for n, w := range d.Wants {
			if ps, ok := failed[n]; ok {
				w.Problems = append(w.Problems, ps...)
				d.Left = append(d.Left, w)
				continue
			}
			rest = append(rest, w)
		}
		d.Wants = rest
	}
}

// sortOut looks the work through: problems of a want, or of the recipe it asks
// for, by the want's place; the others are about everything.
func (d *DyeProposal) sortOut(work dyelots.Work) map[int]check.Problems {
	failed := map[int]check.Problems{}
	d.About = nil
	for _, p := range work.Validate() {
		var n int
		switch {
		case p.Severity != check.Error:
			d.About = append(d.About, p)
		case scan(p.Path, "wants[%d]", &n):
			failed[n] = append(failed[n], p)
		case scan(p.Path, "recipes[%d]", &n):
			for i, w := range work.Wants {
				if w.Recipe == work.Recipes[n].Key {
					failed[i] = append(failed[i], p)
				}
			}
		default:
			d.About = append(d.About, p)
		}
	}
	return failed
}

func scan(s, form string, n *int) bool {
	_, err := fmt.Sscanf(s, form, n)
	return err == nil
}

// want is a want as the plan knows it. Days count from a date.
func (w DyeWant) want(begin string) dyelots.Want {
	strength := w.Wish.Strength
	if strength == 0 {
		strength = w.Recipe.Recipe.Dyestuff()
	}
	out := dyelots.Want{Key: w.key(), Recipe: w.Recipe.Key, Strength: strength, Fibre: string(w.Recipe.Recipe.Fibre), Kind: w.Fibre + " " + w.Count,
		Wanted: w.Mass, Skein: w.Skein, Due: dyelots.MaxDay, Weight: 1}
	if w.DryBy != "" {
		out.Due = min(dyelots.MaxDay, max(-dyelots.MaxDay, daysBetween(begin, w.DryBy))) // farther is as far
	}
	return out
}

func daysBetween(from, to string) int {
	a, err := time.Parse(time.DateOnly, from)
	b, err2 := time.Parse(time.DateOnly, to)
	if err != nil || err2 != nil {
		return 0
	}
	return int(math.Round(b.Sub(a).Hours() / 24))
}

// recipeWork is what the plan must know of a recipe.
func recipeWork(r dye.Recipe, house DyeHouse) dyelots.Recipe {
	out := dyelots.Recipe{Key: r.Key, Fibres: []string{string(r.Fibre)}, Liquor: r.Widest(), Left: r.Left, Dry: 1}
	if drying, ok := house.Place.Dry(1000); ok {
		out.Dry = max(1, int(math.Ceil(float64(drying.Time/measure.Day))))
	}
	var before dye.Kind
	for _, s := range r.Stages() {
		wait := s.Wait
		switch {
		case wait == 0 && before == dye.Extract:
			wait = keepsExtract
		case wait == 0:
			wait = keepsYarn
		}
		before = s.Kind
		out.Stages = append(out.Stages, dyelots.Stage{Key: string(s.Kind), Min: 1, Max: min(dyelots.MaxWait, max(1, int(wait/measure.Day)))})
	}
	return out
}

// closedDays are the days on which no pot is lit: without working hours, feasts,
// and days on which dyeings that have begun need the pots.
func (h *House) closedDays(set Settings, busy map[string]bool) (out []int) {
	feasts := map[string]bool{}
	for _, f := range set.Feasts {
		feasts[f.Day] = true
	}
	begin, err := time.Parse(time.DateOnly, h.today())
	if err != nil {
		return nil
	}
	for n := range dyeHorizon {
		t := begin.AddDate(0, 0, n)
		date := t.Format(time.DateOnly)
		if set.Week[strings.ToLower(t.Weekday().String()[:3])] == 0 || feasts[date] || busy[date] {
			out = append(out, n)
		}
	}
	return out
}

// dyeBusy is the days on which dyeings that have begun still need pots, and how
// many dyeings are planned and not begun.
func (h *House) dyeBusy(tx *store.Tx) (busy map[string]bool, planned int, err error) {
	open, err := dyeings.list(tx, Page{State: string(DyePlanned) + "," + string(DyeBegun)}, false)
	busy = map[string]bool{}
	for _, d := range open.Items {
		if d.Value.State() == DyePlanned {
			planned++
			continue
		}
		for _, day := range d.Value.Days[min(d.Value.StagesDone(), len(d.Value.Days)):] {
			busy[day.Day] = true
		}
	}
	return busy, planned, err
}
