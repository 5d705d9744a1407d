package workshop

import (
	"cmp"
	"context"
	"errors"
	"math/bits"
	"slices"
	"strings"

	"urdir/check"
	"urdir/internal/store"
	"urdir/measure"
	"urdir/plan"
)

// JobState is how far a warp is. It follows from its facts.
type JobState string

const (
	Waiting JobState = "waiting" // nobody has it
	Given   JobState = "given"   // a member has its yarn
	OnFrame JobState = "laid"
	OnLoom  JobState = "weaving"
	Off     JobState = "back"
)

// State is how far the warp is.
func (j Job) State() JobState {
	s := Waiting
	for _, f := range j.Facts {
		switch f.Kind {
		case GivenFact:
			s = Given
		case LaidFact:
			s = OnFrame
		case ToldFact:
			s = OnLoom
		case BackFact:
			s = Off
		}
	}
	return s
}

// Woven is how much has been told to be woven.
func (j Job) Woven() measure.CM {
	if j.State() == Off {
		return j.Length
	}
	for _, f := range slices.Backward(j.Facts) {
		if f.Kind == ToldFact {
			return min(f.CM, j.Length)
		}
	}
	return 0
}

// Share is how much of the warp is woven, 0 to 1.
func (j Job) Share() float64 {
	if j.Length <= 0 {
		return 0
	}
	return float64(j.Woven() / j.Length)
}

// Paid is what was paid for the warp.
func (j Job) Paid() bool {
	return slices.ContainsFunc(j.Facts, func(f Fact) bool { return f.Kind == PaidFact })
}

// Pay is what was agreed for the warp.
func (j Job) Pay() Money {
	for _, f := range slices.Backward(j.Facts) {
		if f.Kind == GivenFact {
			return f.Pay
		}
	}
	return Money{}
}

// heldStates is the states in which a member has a warp in her hands, as a list
// filters them.
func heldStates(member string) string {
	var out []string
	for _, s := range []JobState{Given, OnFrame, OnLoom} {
		out = append(out, string(s)+":"+member)
	}
	return strings.Join(out, ",")
}

// Jobs lists the warps in work: a member's own, everybody's for the others.
func (h *House) Jobs(ctx context.Context, p Person, page Page) (out Listed[Job], names map[string]string, _ error) {
	names = map[string]string{}
	err := h.view(ctx, p, "Jobs", func(tx *store.Tx) error {
		ms, err := members.list(tx, Page{}, false)
		if err != nil {
			return err
		}
		for _, m := range ms.Items {
			names[m.ID] = m.Value.Name
		}
		page.State = jobStates(page.State, ms.Items)
		if onlyOwn(p) {
			names = map[string]string{p.Member: names[p.Member]}
			page.State = heldStates(p.Member) + "," + string(Off) + ":" + p.Member
		}
		out, err = jobs.list(tx, page, true)
		return err
	})
	return out, names, err
}

// jobStates widens a state to that state with each member, as it is kept.
func jobStates(state string, ms []Kept[Member]) string {
	if state == "" || state == string(Waiting) || strings.Contains(state, ":") {
		return state
	}
	var out []string
	for s := range strings.SplitSeq(state, ",") {
		if s == string(Waiting) {
			out = append(out, s)
			continue
		}
		for _, m := range ms {
			out = append(out, s+":"+m.ID)
		}
	}
	if len(out) == 0 {
		return state // nobody has a warp: it is kept with no one
	}
	return strings.Join(out, ",")
}

// JobView is a warp in work with its plan.
type JobView struct {
	Kept[Job]
	Member Kept[Member]
	Made   Planned
	Warp   *plan.WarpPlan
	Bag    []store.Stock // what its member has
	Needs  []LotNeed     // what one laying takes
	Lots   map[string]Kept[Lot]
	Panels []int // indices of the plan's panels woven on it
}

// LotNeed is how much of a lot one laying takes.
type LotNeed struct {
	Yarn, Lot string
	Mass      measure.Gram
}

// Job gives a warp in work; a member only her own.
func (h *House) Job(ctx context.Context, p Person, id string) (out JobView, err error) {
	err = h.view(ctx, p, "Job", func(tx *store.Tx) error {
		out, err = h.job(tx, p, id)
		return err
	})
	return out, err
}

func (h *House) job(tx *store.Tx, p Person, id string) (out JobView, err error) {
	if out.Kept, err = jobs.get(tx, id); err != nil {
		return out, err
	}
	if onlyOwn(p) && (p.Member == "" || out.Value.Member != p.Member) {
		return JobView{}, &Error{Code: NotFound}
	}
	if out.Value.Member != "" {
		if out.Member, err = members.get(tx, out.Value.Member); err != nil {
			return out, err
		}
	}
	o, err := orders.get(tx, out.Value.Order)
	if err != nil {
		return out, err
	}
	l, err := h.line(tx, o, o.Value.line(out.Value.Line), nil)
	if err != nil {
		return out, err
	}
	out.Made = l.Made
	out.Warp = out.Made.Plan.Warp(out.Value.Warp)
	if out.Warp == nil {
		return out, &Error{Code: NotFound}
	}
	out.Panels = panelsOn(out.Made.Plan, out.Value.Warp)
	out.Lots = map[string]Kept[Lot]{}
	for _, w := range l.Wants {
		if w.Lot.ID != "" {
			out.Lots[w.Lot.ID] = w.Lot.Kept
		}
	}
	out.Needs = needsOf(out.Made.Plan, out.Value, l.Lots)
	out.Bag, err = tx.Held(Bag(id), "")
	return out, err
}

// line finds a line of an order.
func (o Order) line(id string) Line {
	for _, l := range o.Lines {
		if l.ID == id {
			return l
		}
	}
	return Line{}
}

// panelsOn are the indices of a plan's panels that are woven on a warp.
func panelsOn(p plan.Plan, warp string) (out []int) {
	for i, pan := range p.Panels {
		if pan.Warp == warp {
			out = append(out, i)
		}
	}
	return out
}

// needsOf is what one laying takes of each yarn: its ends, and its part of the
// weft and the figures, with the spare.
func needsOf(p plan.Plan, j Job, chosen map[string]string) []LotNeed {
	w := p.Warp(j.Warp)
	if w == nil {
		return nil
	}
	mass := map[string]measure.Gram{}
	for _, y := range w.Yarns {
		mass[y.Yarn] += y.Mass
	}
	for _, i := range panelsOn(p, j.Warp) {
		pan := p.Panels[i]
		times := measure.Gram(float64(pan.Count*p.Pieces) / float64(w.Layings))
		for _, b := range pan.Bands {
			mass[b.Weft] += b.WeftMass * times
			if b.Figure == nil {
				continue
			}
			for _, u := range b.Figure.Yarns {
				mass[u.Yarn] += p.Yarn(u.Yarn).Tex.Mass(u.Length) * times
			}
		}
	}
	var out []LotNeed
	for _, y := range p.Yarns {
		if m := mass[y.Key]; m > 0 {
			out = append(out, LotNeed{y.Key, chosen[y.Key], m * measure.Gram(1+p.Spare())})
		}
	}
	return out
}

// change reads a warp, lets f add to it, and keeps it.
func (h *House) change(ctx context.Context, p Person, call, id string, revision int64, f func(*store.Tx, *JobView) error) (out Kept[Job], _ error) {
	err := h.update(ctx, p, call, func(tx *store.Tx) error {
		v, err := h.job(tx, p, id)
		if err != nil {
			return err
		}
		v.Revision = revision
		if err = f(tx, &v); err != nil {
			return err
		}
		if out, err = jobs.put(tx, v.Kept); err != nil {
			return err
		}
		return h.settle(tx, v.Value.Order)
	})
	return out, err
}

// GiveOut gives a warp to a member: what she gets of each lot goes from the
// shelf into her bag.
func (h *House) GiveOut(ctx context.Context, p Person, id string, revision int64, member string, masses map[string]measure.Gram, pay Money) (Kept[Job], error) {
	return h.change(ctx, p, "GiveOut", id, revision, func(tx *store.Tx, v *JobView) error {
		if v.Value.State() != Waiting {
			return wrong("member", "job-taken", nil)
		}
		m, err := members.get(tx, member)
		if err != nil {
			return wrong("member", "field-empty", nil)
		}
		if m.Value.Away {
			return wrong("member", "member-away", check.Args{"name": m.Value.Name})
		}
		var ps check.Problems
		if money(&ps, "pay", pay); ps.Failed() {
			return invalid(ps)
		}
		if err = agreeable(tx, pay); err != nil {
			return err
		}
		for lot, g := range masses {
			var l Kept[Lot]
			if l, err = lots.get(tx, lot); err != nil {
				return err
			}
			if l.Value.Waiting && g > 0 {
				return wrong("grams."+lot, "lot-not-dyed", check.Args{"lot": l.Value.Label})
			}
			if (l.Value.Dye.Unjudged || l.Value.Dye.Rejected) && g > 0 {
				return wrong("grams."+lot, "lot-not-accepted", check.Args{"lot": l.Value.Label})
			}
		}
		moved, err := moveAll(tx, masses, Shelf, Bag(id))
		if err != nil {
			return err
		}
		v.Value.Member = member
		v.Value.Facts = append(v.Value.Facts, Fact{Kind: GivenFact, At: h.today(), By: p.Name, Member: member, Pay: pay, Moves: moved})
		return nil
	})
}

// moveAll moves masses of lots, in the order of their names.
func moveAll(tx *store.Tx, masses map[string]measure.Gram, from, to string) (moved []Moved, err error) {
	ids := make([]string, 0, len(masses))
	for id := range masses {
		ids = append(ids, id)
	}
	slices.Sort(ids)
	for _, id := range ids {
		g := masses[id]
		if !(g >= 0 && g <= maxGrams) {
			return nil, wrong("grams."+id, "mass-out-of-range", check.Args{"value": g})
		}
		if _, err := lots.get(tx, id); err != nil {
			return nil, err
		}
		mg := milligrams(g)
		if mg == 0 {
			continue
		}
		if err := tx.Move(id, mg, from, to); err != nil {
			return nil, at("grams."+id, fromStore(err))
		}
		moved = append(moved, Moved{id, mg, from, to})
	}
	return moved, nil
}

// at says of an Error which field it is about.
func at(path string, err error) error {
	e, ok := errors.AsType[*Error](err)
	if !ok {
		return err
	}
	for i := range e.Problems {
		e.Problems[i].Path = path
	}
	return e
}

// Laid tells that a warp is on the frame, or dressed.
func (h *House) Laid(ctx context.Context, p Person, id string, revision int64) (Kept[Job], error) {
	return h.change(ctx, p, "Laid", id, revision, h.laidNow(p, ""))
}

// laidNow adds that a warp is laid; shown is what a telephone's clock showed when
// it was told there.
func (h *House) laidNow(p Person, shown string) func(*store.Tx, *JobView) error {
	return func(_ *store.Tx, v *JobView) error {
		if v.Value.State() != Given {
			return wrong("", "job-not-given", nil)
		}
		v.Value.Facts = append(v.Value.Facts, Fact{Kind: LaidFact, At: h.today(), By: p.Name, Shown: shown})
		return nil
	}
}

// Tell tells how much is woven, in cm on the loom or in whole bands of the
// first panel; bands of 0 means it was told in cm.
func (h *House) Tell(ctx context.Context, p Person, id string, revision int64, cm measure.CM, bands int) (Kept[Job], error) {
	return h.change(ctx, p, "Tell", id, revision, h.wovenNow(p, cm, bands, ""))
}

// wovenNow adds how much is woven; shown is what a telephone's clock showed when it
// was told there.
func (h *House) wovenNow(p Person, cm measure.CM, bands int, shown string) func(*store.Tx, *JobView) error {
	return func(_ *store.Tx, v *JobView) error {
		switch v.Value.State() {
		case Waiting, Off:
			return wrong("", "job-not-in-work", nil)
		}
		if bands != 0 {
			at, ok := bandEnd(v, bands)
			if !ok {
				return wrong("bands", "out-of-range", check.Args{"value": bands, "low": 1, "high": len(v.Made.Plan.Panels[v.Panels[0]].Bands)})
			}
			cm = at
		}
		if !(cm >= 0 && cm <= v.Value.Length*1.2) {
			return wrong("cm", "size-out-of-range", check.Args{"value": cm, "low": measure.CM(0), "high": v.Value.Length})
		}
		v.Value.Facts = append(v.Value.Facts, Fact{Kind: ToldFact, At: h.today(), By: p.Name, CM: cm, Shown: shown})
		return nil
	}
}

// bandEnd is where a band of the first panel ends, counted from 1.
func bandEnd(v *JobView, n int) (measure.CM, bool) {
	bs := v.Made.Plan.Panels[v.Panels[0]].Bands
	if n < 1 || n > len(bs) {
		return 0, false
	}
	end := measure.CM(0)
	for _, b := range bs[:n] {
		end = max(end, b.To)
	}
	return end, true
}

// TakeBack takes a woven warp back: the cloth is weighed, the yarn left over
// goes to the shelf, and what is neither is waste. Every gram that was given
// out is accounted for.
func (h *House) TakeBack(ctx context.Context, p Person, id string, revision int64, woven measure.Gram, left map[string]measure.Gram) (Kept[Job], error) {
	return h.change(ctx, p, "TakeBack", id, revision, func(tx *store.Tx, v *JobView) error {
		switch v.Value.State() {
		case Waiting, Off:
			return wrong("", "job-not-in-work", nil)
		}
		if !(woven >= 0 && woven <= maxGrams) {
			return wrong("woven", "mass-out-of-range", check.Args{"value": woven})
		}
		back, err := moveAll(tx, left, Bag(id), Shelf)
		if err != nil {
			return err
		}
		used, err := tx.Held(Bag(id), "")
		if err != nil {
			return err
		}
		all := int64(0)
		for _, s := range used {
			all += s.Milligrams
		}
		if milligrams(woven) > all {
			return wrong("woven", "woven-too-heavy", check.Args{"woven": woven, "most": grams(all)})
		}
		cloth, err := moveShare(tx, used, milligrams(woven), Woven(id))
		if err != nil {
			return err
		}
		rest, err := tx.Held(Bag(id), "")
		if err != nil {
			return err
		}
		lost, err := moveShare(tx, rest, total(rest), Waste)
		if err != nil {
			return err
		}
		source := v.source()
		if err := h.use(tx, source, number(v.Value.Number)+" "+v.Value.Cloth, lost, map[string]string{"order": v.Value.Order, "product": v.Value.Cloth}); err != nil {
			return err
		}
		if err := h.wovenWork(tx, v, source); err != nil {
			return err
		}
		v.Value.Facts = append(v.Value.Facts, Fact{Kind: BackFact, At: h.today(), By: p.Name, Grams: woven,
			Moves: slices.Concat(back, cloth, lost)})
		return nil
	})
}

func total(held []store.Stock) (mg int64) {
	for _, s := range held {
		mg += s.Milligrams
	}
	return mg
}

// moveShare moves so many milligrams out of what is held, from each lot in
// proportion; the parts add up to the whole (largest remainders).
func moveShare(tx *store.Tx, held []store.Stock, mg int64, to string) (moved []Moved, err error) {
	all := total(held)
	if mg <= 0 || all == 0 {
		return nil, nil
	}
	parts := apportion(held, mg, all)
	for i, s := range held {
		if parts[i] == 0 {
			continue
		}
		if err := tx.Move(s.Lot, parts[i], s.Place, to); err != nil {
			return nil, err
		}
		moved = append(moved, Moved{s.Lot, parts[i], s.Place, to})
	}
	return moved, nil
}

// apportion divides mg over the stocks in proportion to what each holds.
func apportion(held []store.Stock, mg, all int64) []int64 {
	parts := make([]int64, len(held))
	order := make([]int, len(held))
	left := mg
	over := make([]uint64, len(held))
	for i, s := range held {
		hi, lo := bits.Mul64(uint64(s.Milligrams), uint64(mg)) // beyond 64 bits for a tonne of each of many lots
		part, rest := bits.Div64(hi, lo, uint64(all))
		parts[i], over[i], order[i] = int64(part), rest, i
		left -= parts[i]
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(over[b], over[a]) })
	for _, i := range order[:left] {
		parts[i]++
	}
	return parts
}

// Paid tells that a member was paid for a warp, from an account.
func (h *House) Paid(ctx context.Context, p Person, id string, revision int64, pay Money, from string) (Kept[Job], error) {
	return h.change(ctx, p, "Paid", id, revision, func(tx *store.Tx, v *JobView) error {
		if v.Value.State() != Off || v.Value.Paid() {
			return wrong("pay", "job-not-payable", nil)
		}
		var ps check.Problems
		if money(&ps, "pay", pay); pay.Minor <= 0 {
			ps.Wrong("pay", "amount-out-of-range", nil)
		}
		if err := invalid(ps); err != nil {
			return err
		}
		if err := h.payJob(tx, v, pay, from); err != nil {
			return err
		}
		v.Value.Facts = append(v.Value.Facts, Fact{Kind: PaidFact, At: h.today(), By: p.Name, Pay: pay})
		return nil
	})
}

// UndoJob takes back the last thing told of a warp; material that went with it
// goes back the way it came. What someone else may do only they may undo.
func (h *House) UndoJob(ctx context.Context, p Person, id string, revision int64) (Kept[Job], error) {
	return h.change(ctx, p, "UndoJob", id, revision, func(tx *store.Tx, v *JobView) error {
		n := len(v.Value.Facts) - 1
		if n < 0 {
			return wrong("", "nothing-to-undo", nil)
		}
		last := v.Value.Facts[n]
		if err := allowed(p, undoRight[last.Kind]); err != nil {
			return err
		}
		if last.Kind == BackFact {
			if err := h.uncut(tx, v.Kept); err != nil {
				return err
			}
		}
		if last.Paper != "" {
			return wrong("", "paid-together", check.Args{"number": last.Paper})
		}
		if err := moveBack(tx, last.Moves); err != nil {
			return err
		}
		if last.Kind == GivenFact {
			v.Value.Member = ""
		}
		v.Value.Facts = v.Value.Facts[:n]
		return h.undoMoney(tx, v.source())
	})
}

// undoRight is the call whose right undoing a fact asks for.
var undoRight = map[FactKind]string{
	GivenFact: "GiveOut", LaidFact: "Laid", ToldFact: "Tell", BackFact: "TakeBack", PaidFact: "Paid",
	FinishedFact: "Finish", DeliveredFact: "Deliver", ReturnedFact: "Return", RepairedFact: "Repair",
}

// uncut refuses if a piece of a warp is finished: even where none of its
// material is in the piece, the piece stands on it.
func (h *House) uncut(tx *store.Tx, j Kept[Job]) error {
	ps, err := pieces.list(tx, Page{Parent: j.Value.Order}, false)
	for _, x := range ps.Items {
		if x.Value.State() != Unfinished && len(jobsOf(x.Value, []Kept[Job]{j})) > 0 {
			return wrong("", "undo-moved-on", nil)
		}
	}
	return err
}

// moveBack moves material back the way it came.
func moveBack(tx *store.Tx, moved []Moved) error {
	for _, m := range slices.Backward(moved) {
		err := tx.Move(m.Lot, m.Milligrams, m.To, m.From)
		if _, ok := errors.AsType[*store.Short](err); ok {
			return wrong("", "undo-moved-on", nil)
		}
		if err != nil {
			return err
		}
	}
	return nil
}
