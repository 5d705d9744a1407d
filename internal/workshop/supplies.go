package workshop

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"urdir/check"
	"urdir/dye"
	"urdir/internal/store"
	"urdir/measure"
)

// SupplyStock is a supply and what there is of it.
type SupplyStock struct {
	Kept[Supply]
	OnShelf measure.Gram
	Expired bool
}

// SupplyGroup is everything there is of one substance or plant.
type SupplyGroup struct {
	What    string
	OnShelf measure.Gram // that may still be used
	Reorder measure.Gram
	Bags    []SupplyStock // in the order to use them: what expires first, then the oldest
}

// Low says whether it is to be got again.
func (g SupplyGroup) Low() bool { return g.Reorder > 0 && g.OnShelf < g.Reorder }

// Supplies lists what there is for dyeing, by substance and plant.
func (h *House) Supplies(ctx context.Context, p Person) (out []SupplyGroup, _ error) {
	err := h.view(ctx, p, "Supplies", func(tx *store.Tx) (err error) {
		out, err = h.supplyGroups(tx)
		return err
	})
	return out, err
}

func (h *House) supplyGroups(tx *store.Tx) ([]SupplyGroup, error) {
	set, err := readSettings(tx)
	if err != nil {
		return nil, err
	}
	all, err := supplies.list(tx, Page{}, false)
	if err != nil {
		return nil, err
	}
	on, err := onShelf(tx)
	if err != nil {
		return nil, err
	}
	groups := map[string]*SupplyGroup{}
	group := func(what string) *SupplyGroup {
		if groups[what] == nil {
			groups[what] = &SupplyGroup{What: what, Reorder: set.Value.Dye.Reorder[what]}
		}
		return groups[what]
	}
	for what := range set.Value.Dye.Reorder {
		group(what)
	}
	for _, k := range all.Items {
		s := h.supplyStock(k, on[k.ID])
		g := group(k.Value.What)
		g.Bags = append(g.Bags, s)
		if !s.Expired {
			g.OnShelf += s.OnShelf
		}
	}
	out := make([]SupplyGroup, 0, len(groups))
	for _, g := range groups {
		slices.SortFunc(g.Bags, firstUsed)
		out = append(out, *g)
	}
	SortByName(out, func(g SupplyGroup) string { return g.What })
	return out, nil
}

// onShelf is what lies on the shelf, by lot or supply.
func onShelf(tx *store.Tx) (map[string]int64, error) {
	held, err := tx.Held(Shelf, "")
	on := make(map[string]int64, len(held))
	for _, s := range held {
		on[s.Lot] = s.Milligrams
	}
	return on, err
}

// lotsOnShelf is the lots that are not to be dyed and lie on the shelf.
func lotsOnShelf(tx *store.Tx) (out []LotStock, _ error) {
	all, err := lots.list(tx, Page{State: "ready"}, false)
	if err != nil {
		return nil, err
	}
	on, err := onShelf(tx)
	for _, k := range all.Items {
		if on[k.ID] > 0 {
			out = append(out, LotStock{Kept: k, OnShelf: grams(on[k.ID])})
		}
	}
	return out, err
}

func (h *House) supplyStock(k Kept[Supply], mg int64) SupplyStock {
	return SupplyStock{Kept: k, OnShelf: grams(mg), Expired: k.Value.Expires != "" && k.Value.Expires < h.today()}
}

// firstUsed orders bags as they are to be used: empty ones last, then what
// expires first, then the oldest.
func firstUsed(a, b SupplyStock) int {
	key := func(s SupplyStock) string {
		empty, ends := "0", s.Value.Expires
		if s.OnShelf == 0 {
			empty = "1"
		}
		if ends == "" {
			ends = "9999"
		}
		return empty + ends + s.Value.Day + s.ID
	}
	return strings.Compare(key(a), key(b))
}

// SupplyView is one supply with its purchases and the dyeings it went into.
type SupplyView struct {
	SupplyStock
	Moves     []Move
	Purchases []Kept[Purchase] // the last first
	Undo      string           // purchase that can be taken back; empty if none can
	Dyeings   []DyeingUse
}

// DyeingUse is a dyeing and what it took.
type DyeingUse struct {
	Kept[Dyeing]
	Mass measure.Gram
}

// Supply gives one supply.
func (h *House) Supply(ctx context.Context, p Person, id string) (out SupplyView, _ error) {
	err := h.view(ctx, p, "Supply", func(tx *store.Tx) error {
		k, err := supplies.get(tx, id)
		if err != nil {
			return err
		}
		held, err := tx.HeldOf(InPiece(""), id)
		if err != nil {
			return err
		}
		out.SupplyStock = h.supplyStock(k, 0)
		for _, s := range held {
			if s.Place == Shelf {
				out.OnShelf = grams(s.Milligrams)
			}
		}
		if out.Dyeings, err = usesOf(tx, held); err != nil {
			return err
		}
		if out.Moves, err = tx.Moves(id, ""); err != nil {
			return err
		}
		bought, err := purchases.list(tx, Page{Parent: id}, true)
		out.Purchases, out.Undo = bought.Items, lastBought(out.Moves, bought.Items)
		return err
	})
	return out, err
}

// usesOf is the baths among the places where a supply is, the last first.
func usesOf(tx *store.Tx, held []Stock) (out []DyeingUse, _ error) {
	for _, s := range held {
		dyeing, ok := strings.CutPrefix(s.Place, bathPlace)
		if !ok {
			continue
		}
		d, err := dyeings.get(tx, dyeing)
		if err != nil {
			return nil, err
		}
		out = append(out, DyeingUse{d, grams(s.Milligrams)})
	}
	slices.SortFunc(out, func(a, b DyeingUse) int { return cmp.Compare(b.Value.Number, a.Value.Number) })
	return out, nil
}

// SaveSupply keeps what is said of a supply.
func (h *House) SaveSupply(ctx context.Context, p Person, v Kept[Supply]) (Kept[Supply], error) {
	if err := allowed(p, "SaveSupply"); err != nil {
		return v, err
	}
	if err := invalid(v.Value.check()); err != nil {
		return v, err
	}
	return save(ctx, h, p, "SaveSupply", supplies, v)
}

func (s *Supply) check() (ps check.Problems) {
	trim(&s.What, &s.Name, &s.Gathered, &s.By, &s.Day, &s.Expires, &s.Note)
	named(&ps, "what", s.What)
	for path, text := range map[string]string{"name": s.Name, "gathered": s.Gathered, "by": s.By} {
		short(&ps, path, text, maxName)
	}
	short(&ps, "note", s.Note, 2000)
	day(&ps, "day", s.Day)
	day(&ps, "expires", s.Expires)
	if sub := dye.SubstanceOf(s.What); sub != nil && sub.Heavy {
		ps.Look("what", "dye-heavy-metal", check.Args{"what": s.What})
	}
	return ps
}

// Need is a substance or plant that dyeings call for, and whether it is there.
type Need struct {
	What  string
	Mass  measure.Gram
	Bags  []SupplyStock // on the shelf, in the order to use them
	There measure.Gram
}

// Enough says whether what is on the shelf will do.
func (n Need) Enough() bool { return milligrams(n.There) >= milligrams(n.Mass) }

// needed is what amounts of a recipe come to of each substance and plant; liquids
// count a gram for a millilitre.
func needed(r dye.Recipe, amounts []dye.Weighed, groups []SupplyGroup) (out []Need) {
	mass := map[string]measure.Gram{}
	for _, a := range amounts {
		mass[whatOf(r, a.What)] += a.Mass + measure.Gram(float64(a.Volume)*1000)
	}
	for what, m := range mass {
		n := Need{What: what, Mass: m}
		for _, g := range groups {
			if g.What != what {
				continue
			}
			n.There = g.OnShelf
			for _, s := range g.Bags {
				if s.OnShelf > 0 {
					n.Bags = append(n.Bags, s)
				}
			}
		}
		out = append(out, n)
	}
	slices.SortFunc(out, func(a, b Need) int { return strings.Compare(a.What, b.What) })
	return out
}

// Take shares what is needed out over the bags that may be used, the first to be
// used first. What is not there is left out.
func (n Need) Take() map[string]measure.Gram {
	out, left := map[string]measure.Gram{}, n.Mass
	for _, b := range n.Bags {
		if g := min(left, b.OnShelf); g > 0 && !b.Expired {
			out[b.ID] = g
			left -= g
		}
	}
	return out
}
