package workshop

import (
	"context"
	"maps"
	"slices"

	"urdir/check"
	"urdir/dye"
	"urdir/dyefile"
	"urdir/internal/store"
	"urdir/measure"
)

// Places of the dye house. What went into a bath stays there in the books: the
// plants are in the colour, the water is poured away. Yarn goes on through
// dyedPlace, where one lot becomes another: as much leaves it as came.
const (
	bathPlace = "bath:"
	dyedPlace = store.Turned // + the dyeing
)

// Bath is the place of what went into a dyeing.
func Bath(dyeing string) string { return bathPlace + dyeing }

// DyeState is how far a dyeing is. It follows from its facts.
type DyeState string

const (
	DyePlanned  DyeState = "planned"
	DyeBegun    DyeState = "begun"
	DyeOut      DyeState = "out" // dry, its colour not judged
	DyeAccepted DyeState = "accepted"
	DyeRejected DyeState = "rejected"
)

// State is how far the dyeing is.
func (d Dyeing) State() DyeState {
	s := DyePlanned
	for _, f := range d.Facts {
		switch {
		case f.Kind == BegunFact:
			s = DyeBegun
		case f.Kind == OutFact:
			s = DyeOut
		case f.Kind == JudgedFact && f.Accepted:
			s = DyeAccepted
		case f.Kind == JudgedFact:
			s = DyeRejected
		}
	}
	return s
}

// StagesDone is how many stages are done.
func (d Dyeing) StagesDone() (n int) {
	for _, f := range d.Facts {
		if f.Kind == StageFact {
			n++
		}
	}
	return n
}

// fact is the last fact of a kind.
func (d Dyeing) fact(k DyeFactKind) (f DyeFact, ok bool) {
	for _, f := range slices.Backward(d.Facts) {
		if f.Kind == k {
			return f, true
		}
	}
	return DyeFact{}, false
}

// Begun is when the yarn went in, and which.
func (d Dyeing) Begun() (DyeFact, bool) { return d.fact(BegunFact) }

// Out is when the yarn came off the line.
func (d Dyeing) Out() (DyeFact, bool) { return d.fact(OutFact) }

// Coloured is the colour it came to.
func (d Dyeing) Coloured() (DyeFact, bool) { return d.fact(ColouredFact) }

// Judged is what was said of it beside its standard.
func (d Dyeing) Judged() (DyeFact, bool) { return d.fact(JudgedFact) }

// recipe is the recipe as it is dyed: at the strength, and in a bath that was
// left if there is one.
func (d Dyeing) recipe() (dye.Recipe, check.Problems) {
	r, _, ps := dyefile.Read([]byte(d.Text))
	if ps.Failed() {
		return r, ps
	}
	r.Key = d.Recipe
	if d.After != "" {
		return r.Onward(), nil
	}
	return r.At(d.Strength)
}

// batch makes the recipe for the lot, in the pots it is to be dyed in.
func (d Dyeing) batch(set Settings) (dye.Batch, check.Problems) {
	r, ps := d.recipe()
	if ps.Failed() {
		return dye.Batch{}, ps
	}
	order := dye.Order{Mass: d.Mass, Skein: d.Skein, Place: set.Dye.Filled().Place}
	for _, pot := range set.Pots {
		if len(d.Days) == 0 || slices.Contains(d.Days[len(d.Days)-1].Pots, pot.Name) {
			order.Pots = append(order.Pots, dye.Pot{Name: pot.Name, Litres: measure.Litre(pot.Litres)})
		}
	}
	b, more := dye.Make(r, order)
	return b, append(ps, more...)
}

// DyeingView is a dyeing with all that belongs to it.
type DyeingView struct {
	Kept[Dyeing]
	Lot      LotStock
	From     LotStock   // the yarn it takes; zero if it is not chosen
	Yarns    []LotStock // undyed yarn it could take
	Batch    dye.Batch
	Stages   []dye.Stage
	Problems check.Problems // why there is no batch
	Needs    []Need
	Used     []Used
	House    DyeHouse
	After    Kept[Dyeing]   // in whose bath it is dyed
	Others   []Kept[Dyeing] // dyed in its bath

	StageNeeds [][]Need // what each stage takes
}

// Used is a supply that went into a dyeing.
type Used struct {
	Supply Kept[Supply]
	Mass   measure.Gram
}

// Next is the stage to be done, or the number of stages.
func (v DyeingView) Next() int { return v.Value.StagesDone() }

// Missing is what the days that are not done take more of than is there.
func (v DyeingView) Missing() (out []Need) {
	var order []string
	all := map[string]Need{}
	for _, stage := range v.StageNeeds[min(v.Next(), len(v.StageNeeds)):] {
		for _, n := range stage {
			if was, ok := all[n.What]; ok {
				n.Mass += was.Mass
			} else {
				order = append(order, n.What)
			}
			all[n.What] = n
		}
	}
	for _, what := range order {
		if n := all[what]; !n.Enough() {
			out = append(out, n)
		}
	}
	return out
}

// Dyeings lists dyeings, the last first.
func (h *House) Dyeings(ctx context.Context, p Person, page Page) (Listed[Dyeing], error) {
	return many(ctx, h, p, "Dyeings", dyeings, page, true)
}

// Dyeing gives a dyeing.
func (h *House) Dyeing(ctx context.Context, p Person, id string) (out DyeingView, err error) {
	err = h.view(ctx, p, "Dyeing", func(tx *store.Tx) error {
		out, err = h.dyeing(tx, id)
		return err
	})
	return out, err
}

func (h *House) dyeing(tx *store.Tx, id string) (out DyeingView, err error) {
	if out.Kept, err = dyeings.get(tx, id); err != nil {
		return out, err
	}
	set, err := readSettings(tx)
	if err != nil {
		return out, err
	}
	out.House = set.Value.Dye.Filled()
	out.Batch, out.Problems = out.Value.batch(set.Value)
	if r, ps := out.Value.recipe(); !ps.Failed() {
		out.Stages = r.Stages()
	}
	if err = out.gatherLots(tx); err != nil {
		return out, err
	}
	groups, err := h.supplyGroups(tx)
	if err != nil {
		return out, err
	}
	if !out.Problems.Failed() {
		out.Needs = needed(out.Batch.Recipe, out.Batch.Amounts, groups)
		for _, s := range out.Stages {
			out.StageNeeds = append(out.StageNeeds, needed(out.Batch.Recipe, out.Batch.Weigh(s.From, s.To), groups))
		}
	}
	if out.Used, err = usedIn(tx, id); err != nil {
		return out, err
	}
	if out.Value.After != "" {
		if out.After, err = dyeings.get(tx, out.Value.After); err != nil && !missing(err) {
			return out, err
		}
	}
	same, err := dyeings.list(tx, Page{Parent: out.Value.Recipe}, true)
	for _, d := range same.Items {
		if d.Value.After == id {
			out.Others = append(out.Others, d)
		}
	}
	return out, err
}

// gatherLots reads the lot a dyeing makes, the yarn it takes, and the yarn it
// could take.
func (v *DyeingView) gatherLots(tx *store.Tx) error {
	l, err := lots.get(tx, v.Value.Lot)
	if err != nil {
		return err
	}
	if v.Lot, err = stockOf(tx, l); err != nil {
		return err
	}
	all, err := lots.list(tx, Page{}, false)
	if err != nil {
		return err
	}
	held, err := tx.Held(Shelf, "") // most lots there ever were are used up
	if err != nil {
		return err
	}
	for _, k := range all.Items {
		fits := slices.ContainsFunc(held, func(s store.Stock) bool { return s.Lot == k.ID && s.Milligrams > 0 }) &&
			k.Value.Fibre == v.Value.Fibre && k.Value.Count == v.Value.Count && !k.Value.Waiting && k.ID != v.Value.Lot &&
			(k.Value.Dye.Undyed || k.Value.Dye.Rejected)
		if k.ID != v.Value.From && !fits {
			continue
		}
		s, err := stockOf(tx, k)
		if err != nil {
			return err
		}
		if k.ID == v.Value.From {
			v.From = s
		}
		if s.OnShelf > 0 {
			v.Yarns = append(v.Yarns, s)
		}
	}
	return nil
}

// changeDyeing reads a dyeing, lets f add to it, and keeps it.
func (h *House) changeDyeing(ctx context.Context, p Person, call, id string, revision int64, f func(*store.Tx, *DyeingView) error) (out Kept[Dyeing], _ error) {
	err := h.update(ctx, p, call, func(tx *store.Tx) error {
		v, err := h.dyeing(tx, id)
		if err != nil {
			return err
		}
		v.Revision = revision
		if err = f(tx, &v); err != nil {
			return err
		}
		out, err = dyeings.put(tx, v.Kept)
		return err
	})
	return out, err
}

// BeginDyeing takes yarn off the shelf and into the bath.
func (h *House) BeginDyeing(ctx context.Context, p Person, id string, revision int64, from string, mass measure.Gram) (Kept[Dyeing], error) {
	return h.changeDyeing(ctx, p, "BeginDyeing", id, revision, func(tx *store.Tx, v *DyeingView) error {
		if v.Value.State() != DyePlanned {
			return wrong("", "dyeing-begun", nil)
		}
		l, err := lots.get(tx, from)
		if err != nil || l.Value.Waiting || from == v.Value.Lot {
			return wrong("from", "field-empty", nil)
		}
		if class, ok := dye.FibreOf(l.Value.Fibre); !v.Problems.Failed() && (!ok || class != v.Batch.Recipe.Fibre) {
			return wrong("from", "dye-no-fibre", check.Args{"fibre": l.Value.Fibre})
		}
		if !(mass <= maxGrams && milligrams(mass) > 0) {
			return wrong("grams", "mass-out-of-range", check.Args{"value": mass})
		}
		moved, err := moveAll(tx, map[string]measure.Gram{from: mass}, Shelf, Bath(id))
		if err != nil {
			return at("grams", err)
		}
		v.Value.From = from
		v.Value.Facts = append(v.Value.Facts, DyeFact{Kind: BegunFact, At: h.today(), By: p.Name, From: from, Mass: mass, Moves: moved})
		return nil
	})
}

// DoneStage tells that the next stage is done: f says how, used what was taken
// of each supply.
func (h *House) DoneStage(ctx context.Context, p Person, id string, revision int64, f DyeFact, used map[string]measure.Gram, picture *Picture) (Kept[Dyeing], error) {
	trim(&f.At, &f.Dyer, &f.Water, &f.Note)
	return h.changeDyeing(ctx, p, "DoneStage", id, revision, func(tx *store.Tx, v *DyeingView) error {
		n := v.Value.StagesDone()
		switch {
		case v.Value.State() != DyeBegun:
			return wrong("", "dyeing-not-begun", nil)
		case n >= len(v.Value.Days):
			return wrong("", "dyeing-all-done", nil)
		}
		var ps check.Problems
		day(&ps, "day", f.At)
		short(&ps, "dyer", f.Dyer, maxName)
		short(&ps, "water", f.Water, maxName)
		short(&ps, "note", f.Note, 2000)
		if boils := dye.BoilingPoint(v.House.Place.Height); f.Hottest > boils+1 {
			ps.Wrong("hottest", "dye-above-boiling", check.Args{"value": f.Hottest, "boils": boils})
		} else if f.Hottest < 0 {
			ps.Wrong("hottest", "out-of-range", check.Args{"value": f.Hottest, "low": measure.Celsius(0), "high": boils})
		}
		if !(f.Time >= 0 && f.Time <= 60*measure.Day) {
			ps.Wrong("time", "dye-time", check.Args{"time": f.Time, "most": 60 * measure.Day})
		}
		if err := invalid(ps); err != nil {
			return err
		}
		moved, err := moveSupplies(tx, used, Bath(id))
		if err != nil {
			return err
		}
		if f.Picture, err = keepPicture(tx, picture); err != nil {
			return err
		}
		if f.At == "" {
			f.At = h.today()
		}
		if err := h.stageMoney(tx, v, p, f.Dyer, n, moved); err != nil {
			return err
		}
		f.Kind, f.By, f.Stage, f.Moves = StageFact, p.Name, n, moved
		if f.Pots == nil {
			f.Pots = v.Value.Days[n].Pots
		}
		v.Value.Facts = append(v.Value.Facts, f)
		return nil
	})
}

// moveSupplies takes supplies off the shelf.
func moveSupplies(tx *store.Tx, used map[string]measure.Gram, to string) (moved []Moved, _ error) {
	for _, id := range slices.Sorted(maps.Keys(used)) {
		g := used[id]
		path := "used." + id
		if !(g >= 0 && g <= maxGrams) {
			return nil, wrong(path, "mass-out-of-range", check.Args{"value": g})
		}
		if milligrams(g) == 0 {
			continue
		}
		if _, err := supplies.get(tx, id); err != nil {
			return nil, err
		}
		if err := tx.Move(id, milligrams(g), Shelf, to); err != nil {
			return nil, at(path, fromStore(err))
		}
		moved = append(moved, Moved{id, milligrams(g), Shelf, to})
	}
	return moved, nil
}

// OutOfBath tells what the dyed yarn weighs, dry, and puts it on the shelf. The
// yarn that went in becomes the lot that came out; what is missing is waste, and
// what it gained in weight came with the dye.
func (h *House) OutOfBath(ctx context.Context, p Person, id string, revision int64, dry measure.Gram) (Kept[Dyeing], error) {
	return h.changeDyeing(ctx, p, "OutOfBath", id, revision, func(tx *store.Tx, v *DyeingView) error {
		begun, ok := v.Value.Begun()
		switch {
		case v.Value.State() != DyeBegun || !ok:
			return wrong("", "dyeing-not-begun", nil)
		case v.Value.StagesDone() < len(v.Value.Days):
			return wrong("", "dyeing-stages-left", check.Args{"count": len(v.Value.Days) - v.Value.StagesDone()})
		case !(milligrams(dry) > 0 && dry <= 1.5*begun.Mass):
			return wrong("grams", "dyeing-mass", check.Args{"value": dry, "in": begun.Mass})
		}
		moved, err := turn(tx, id, begun.From, v.Value.Lot, milligrams(begun.Mass), milligrams(dry))
		if err != nil {
			return err
		}
		l := v.Lot.Kept
		l.Value.Waiting, l.Value.Dyed, l.Value.Dye.Unjudged = false, h.today(), true
		l.Value.Dye.Recipe, l.Value.Dye.Strength = v.Value.Recipe, v.Value.Strength
		if _, err = lots.put(tx, l); err != nil {
			return err
		}
		if err := h.dyed(tx, v.Kept, v.source(), moved); err != nil {
			return err
		}
		v.Value.Facts = append(v.Value.Facts, DyeFact{Kind: OutFact, At: h.today(), By: p.Name, Mass: dry, Moves: moved})
		return nil
	})
}

// turn makes one lot of another. Its place is left as empty as it was: the books
// of every place and of every lot close.
func turn(tx *store.Tx, dyeing, from, to string, in, out int64) (moved []Moved, _ error) {
	place := dyedPlace + dyeing
	steps := []Moved{{from, in, Bath(dyeing), place}}
	switch {
	case in > out:
		steps = append(steps, Moved{to, out, place, Shelf}, Moved{to, in - out, place, Waste})
	case in < out:
		steps = append(steps, Moved{from, out - in, Outside, place}, Moved{to, out, place, Shelf})
	default:
		steps = append(steps, Moved{to, out, place, Shelf})
	}
	for _, m := range steps {
		if err := tx.Move(m.Lot, m.Milligrams, m.From, m.To); err != nil {
			return nil, err
		}
	}
	return steps, nil
}

// UndoDyeing takes back the last thing told of a dyeing; material that went with
// it goes back the way it came.
func (h *House) UndoDyeing(ctx context.Context, p Person, id string, revision int64) (Kept[Dyeing], error) {
	return h.changeDyeing(ctx, p, "UndoDyeing", id, revision, func(tx *store.Tx, v *DyeingView) error {
		n := len(v.Value.Facts) - 1
		if n < 0 {
			return wrong("", "nothing-to-undo", nil)
		}
		last := v.Value.Facts[n]
		if err := moveBack(tx, last.Moves); err != nil {
			return err
		}
		v.Value.Facts = v.Value.Facts[:n]
		if err := h.undoMoney(tx, v.source()); err != nil {
			return err
		}
		l := v.Lot.Kept
		switch last.Kind {
		case OutFact:
			l.Value.Waiting, l.Value.Dyed, l.Value.Dye.Unjudged = true, "", false
		case ColouredFact:
			was, _ := v.Value.Coloured()
			l.Value.Dye.Measured, l.Value.Dye.How = was.Colour, was.How
		case JudgedFact:
			l.Value.Dye.Unjudged, l.Value.Dye.Rejected = true, false
		default:
			return nil
		}
		_, err := lots.put(tx, l)
		return err
	})
}
