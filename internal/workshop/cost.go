package workshop

import (
	"context"
	"maps"
	"math"
	"slices"
	"strings"

	"urdir/check"
	"urdir/internal/store"
	"urdir/measure"
	"urdir/plan"
	"urdir/price"
	"urdir/price/books"
	"urdir/schedule/rates"
)

// payKind is the kind of paid work that each kind of the calendar's work is.
var payKind = map[string]string{rates.Winding: "lay", rates.Warping: "lay", rates.Dressing: "lay", rates.Weaving: "weave", rates.Brocade: "brocade",
	rates.PickUp: "brocade", rates.Sewing: "sew", rates.Finishing: "finish", rates.Washing: "finish"}

// usualMinutes is how long work is expected to take someone: by the records, and as
// long as there are none by the starting rates.
func (h *House) usualMinutes(tx *store.Tx) (func(l Load, member string) int64, error) {
	set, err := readSettings(tx)
	if err != nil {
		return nil, err
	}
	records, err := h.workRecords(tx)
	if err != nil {
		return nil, err
	}
	w := works{set: set.Value}
	if err = w.learn(records); err != nil {
		return nil, err
	}
	return func(l Load, member string) int64 { return int64(w.rates.minutes([]Load{l}, member)) }, nil
}

// warpLoads is the work of one laying, from the skein to the cloth off the loom.
func warpLoads(p *plan.Plan, w *plan.WarpPlan, length measure.CM) []Load {
	mass := measure.Gram(0)
	for _, y := range w.Yarns {
		mass += y.Mass
	}
	return append([]Load{{rates.Winding, measure.Count(mass)}, {rates.Warping, measure.Count(w.Ends)}, {rates.Dressing, measure.Count(w.Ends)}},
		weaving(p, w, 0, length)...)
}

// pieceLoads is the work on pieces off the loom.
func pieceLoads(p *plan.Plan, pieces int) []Load {
	out := []Load{{rates.Washing, measure.Count(pieces)}, {rates.Finishing, measure.Count(pieces)}}
	if cm := seams(p); cm > 0 {
		out = append(out, Load{rates.Sewing, measure.Count(cm) * measure.Count(pieces)})
	}
	return out
}

// CostOrder reckons what an order will take, from the plans it is made by: what its
// yarn costs, the hours of each step and what is paid for them, fuel and overhead.
// Cautions say where a cost is not known.
func (h *House) CostOrder(ctx context.Context, p Person, id string) (out price.Order, ps check.Problems, _ error) {
	err := h.view(ctx, p, "CostOrder", func(tx *store.Tx) error {
		o, err := h.order(tx, id)
		if err != nil {
			return err
		}
		out, ps, err = h.costOrder(tx, o)
		return err
	})
	return out, ps, err
}

// costing gathers what an order costs.
type costing struct {
	tx    *store.Tx
	set   Settings
	usual func(Load, string) int64
	out   price.Order
	ps    check.Problems
	mins  map[string]int64 // by kind of paid work
}

func (h *House) costOrder(tx *store.Tx, o OrderView) (price.Order, check.Problems, error) {
	set, err := readSettings(tx)
	if err != nil {
		return price.Order{}, nil, err
	}
	c := costing{tx: tx, set: set.Value, mins: map[string]int64{}}
	if c.usual, err = h.usualMinutes(tx); err != nil {
		return price.Order{}, nil, err
	}
	m := set.Value.Money
	c.out = price.Order{Currency: set.Value.Currency, Rates: m.Exchange, Overhead: m.Overhead}
	for i := range o.Lines {
		l := &o.Lines[i]
		if l.Made.Failed() {
			return price.Order{}, nil, wrong("order", "order-no-plan", check.Args{"cloth": l.Cloth.Value.Name})
		}
		c.out.Pieces += l.Quantity
		c.work(&l.Made.Plan, l.Quantity)
		for _, w := range l.Wants {
			if err := c.yarn(h, o, l, w); err != nil {
				return price.Order{}, nil, err
			}
		}
	}
	if len(o.Lines) == 0 {
		return price.Order{}, nil, wrong("order", "order-no-lines", nil)
	}
	for _, kind := range PayKinds {
		minutes := c.mins[kind] + int64(m.Minutes[kind])
		pay := set.Value.Agreed(kind)
		if minutes > 0 {
			c.out.Work = append(c.out.Work, price.Work{Step: kind, Minutes: minutes, Pay: pay})
		}
	}
	return c.out, c.ps, nil
}

// work adds the hours of a line's warps and pieces.
func (c *costing) work(p *plan.Plan, pieces int) {
	for i := range p.Warps {
		w := &p.Warps[i]
		for _, l := range warpLoads(p, w, w.Length.Panels) {
			c.mins[payKind[l.Kind]] += c.usual(l, "") * int64(max(1, w.Layings))
		}
	}
	for _, l := range pieceLoads(p, pieces) {
		c.mins[payKind[l.Kind]] += c.usual(l, "")
	}
}

// yarn adds what one yarn of a line costs: of a lot that is there, by the books; of
// one still to be dyed, what goes into the bath for it.
func (c *costing) yarn(h *House, o OrderView, l *LineView, w Want) error {
	mg := milligrams(w.Need.Mass)
	if mg == 0 {
		return nil
	}
	name := w.Need.Label
	if w.Lot.ID != "" {
		name = w.Lot.Value.Label
	}
	if w.Lot.Value.Waiting && w.Lot.Value.Dye.Dyeing != "" {
		return c.toDye(h, o, l, w, name)
	}
	return c.material(w.Lot.ID, w.Need.Fibre, name, mg)
}

// material adds so much of a lot at its average, or at the price of a kilo of its
// fibre where the lot does not say.
func (c *costing) material(lot, fibre, name string, mg int64) error {
	worth, mass := Money{Currency: c.out.Currency}, int64(0)
	if lot != "" {
		var err error
		if worth, err = worthOf(c.tx, lot, c.out.Currency); err != nil {
			return err
		}
		if mass, err = massOf(c.tx, lot, false); err != nil {
			return err
		}
	}
	if worth.Minor <= 0 || mass <= 0 {
		worth, mass = c.set.Money.Kilo[fibre], 1_000_000
		if worth.Minor == 0 {
			c.ps.Look("materials", "cost-unknown", check.Args{"name": name})
			worth.Currency = c.out.Currency
		}
	}
	m := price.Material{Name: name, Used: mg, Lot: mass, Cost: worth}
	if mg > mass { // more than there is, at the same price
		m.Lot = mg
		m.Cost.Minor = int64(math.Ceil(float64(worth.Minor) * float64(mg) / float64(mass)))
	}
	c.out.Materials = append(c.out.Materials, m)
	return nil
}

// toDye adds yarn that is still to be dyed: the undyed yarn, and the yarn's share of
// plants, the dyer's hours and fuel of its dyeing.
func (c *costing) toDye(h *House, o OrderView, l *LineView, w Want, name string) error {
	d, err := h.dyeing(c.tx, w.Lot.Value.Dye.Dyeing)
	if missing(err) {
		return c.material("", w.Need.Fibre, name, milligrams(w.Need.Mass))
	}
	if err != nil {
		return err
	}
	if err = c.material(d.Value.From, w.Need.Fibre, name, milligrams(w.Need.Mass)); err != nil || d.Problems.Failed() {
		return err
	}
	mine := 0.0
	for _, f := range d.Value.For {
		if f.Order == o.ID && f.Line == l.ID && f.Yarn == w.Yarn {
			mine += float64(f.Mass)
		}
	}
	share := min(1, mine/max(1, float64(d.Value.Mass)))
	c.mins["dye"] += int64(math.Ceil(float64(d.Batch.Work) * share))
	if fuel := c.set.Money.FuelKG; fuel.Minor > 0 {
		m := Money{Minor: int64(math.Ceil(float64(fuel.Minor) * float64(d.Batch.Fuel) / 1000 * share)), Currency: fuel.Currency}
		c.out.Expenses = append(c.out.Expenses, price.Expense{Kind: price.Fuel, Name: d.Value.Label, Amount: m})
	}
	return c.plants(d, share)
}

// plants adds a share of what a dyeing takes of plants and mordants, at what the
// bags to be used first cost.
func (c *costing) plants(d DyeingView, share float64) error {
	for _, n := range d.Needs {
		mg := int64(math.Ceil(float64(milligrams(n.Mass)) * share))
		if mg == 0 || len(n.Bags) == 0 {
			if mg > 0 {
				c.ps.Look("materials", "cost-unknown", check.Args{"name": n.What})
			}
			continue
		}
		bag := n.Bags[0]
		worth, err := worthOf(c.tx, bag.ID, c.out.Currency)
		if err != nil {
			return err
		}
		mass := milligrams(bag.OnShelf)
		m := price.Material{Name: n.What, Used: mg, Lot: max(mg, mass), Cost: worth}
		if mg > mass {
			m.Cost.Minor = int64(math.Ceil(float64(worth.Minor) * float64(mg) / float64(mass)))
		}
		c.out.Materials = append(c.out.Materials, m)
	}
	return nil
}

// tookOrder is what an order really took up to now: the material that was booked for
// it, by lot, and the work that was done on it.
func (h *House) tookOrder(tx *store.Tx, o OrderView, asked price.Order) (price.Order, error) {
	out := asked
	out.Materials, out.Work = nil, nil
	var sources []string
	for _, j := range o.Jobs {
		sources = append(sources, "job:"+j.ID+":")
	}
	for _, x := range o.Pieces {
		sources = append(sources, "piece:"+x.ID+":")
	}
	used := map[lotCost]int64{}
	for _, s := range sources {
		found, err := tx.PostedFor(s, true)
		if err != nil {
			return out, err
		}
		for _, e := range found {
			for _, l := range e.Lines {
				if l.Account == books.MaterialsUsed {
					used[lotCost{l.Tags[lotTag], l.Currency}] += l.Minor
				}
			}
		}
	}
	for _, u := range slices.SortedFunc(maps.Keys(used), func(a, b lotCost) int { return strings.Compare(a.lot+a.currency, b.lot+b.currency) }) {
		k, err := lots.get(tx, u.lot)
		if err != nil {
			return out, err
		}
		out.Materials = append(out.Materials, price.Material{Name: k.Value.Label, Used: 1, Lot: 1, Cost: Money{Minor: max(0, used[u]), Currency: u.currency}})
	}
	did, err := workLines.list(tx, Page{Parent: o.ID}, false)
	for _, w := range did.Items {
		out.Work = append(out.Work, price.Work{Step: w.Value.Kind, Minutes: w.Value.Minutes, Pay: price.Pay{Per: price.PerStep, Rate: w.Value.Pay}})
	}
	return out, err
}

// lotCost is a lot and the currency it was booked in.
type lotCost struct{ lot, currency string }
