package workshop

import (
	"context"
	"strings"

	"urdir/internal/store"
	"urdir/measure"
)

// Story is where a lot comes from and where it went.
type Story struct {
	Dyeing *Kept[Dyeing] // it came of; nil for yarn that was not dyed here
	From   *LotStock     // yarn that was dyed
	Used   []Used        // plants and mordants that went into its bath
	Jobs   []TracedJob   // warps it was given out for
	Pieces []TracedPiece // that hold some of it
	Onward []TracedLot   // lots it was dyed into
	Trials []Kept[Trial]
}

// TracedJob is a warp and what was given out for it.
type TracedJob struct {
	Kept[Job]
	Mass measure.Gram
}

// TracedPiece is a piece, how much of the yarn is in it, and whose it is.
type TracedPiece struct {
	Kept[Piece]
	Mass     measure.Gram
	Customer Kept[Customer]
}

// TracedLot is a lot that was made of another.
type TracedLot struct {
	Lot    Kept[Lot]
	Dyeing Kept[Dyeing]
	Mass   measure.Gram
}

// Story tells where a lot comes from and where it went.
func (h *House) Story(ctx context.Context, p Person, lot string) (out Story, _ error) {
	err := h.view(ctx, p, "Story", func(tx *store.Tx) error {
		l, err := lots.get(tx, lot)
		if err != nil {
			return err
		}
		if err = out.back(tx, l.Value); err != nil {
			return err
		}
		if err = out.onward(tx, lot); err != nil {
			return err
		}
		tested, err := trials.list(tx, Page{Parent: lot}, true)
		out.Trials = tested.Items
		return err
	})
	return out, err
}

// back follows a lot to its bath.
func (s *Story) back(tx *store.Tx, l Lot) error {
	if l.Dye.Dyeing == "" {
		return nil
	}
	d, err := dyeings.get(tx, l.Dye.Dyeing)
	if err != nil {
		return err
	}
	s.Dyeing = &d
	if d.Value.From != "" {
		var from Kept[Lot]
		if from, err = lots.get(tx, d.Value.From); err != nil {
			return err
		}
		var stock LotStock
		if stock, err = stockOf(tx, from); err != nil {
			return err
		}
		s.From = &stock
	}
	s.Used, err = usedIn(tx, d.ID)
	return err
}

// usedIn is the supplies that went into a dyeing.
func usedIn(tx *store.Tx, dyeing string) (out []Used, _ error) {
	held, err := tx.Held(Bath(dyeing), "")
	if err != nil {
		return nil, err
	}
	for _, s := range held {
		k, err := supplies.get(tx, s.Lot)
		if missing(err) {
			continue // yarn that is in the bath
		}
		if err != nil {
			return nil, err
		}
		out = append(out, Used{k, grams(s.Milligrams)})
	}
	return out, nil
}

// onward follows a lot to warps, pieces and other lots. Out of a bag yarn goes on
// to the cloth, so what was given out is told by the moves.
func (s *Story) onward(tx *store.Tx, lot string) error {
	moves, err := tx.Moves(lot, "")
	if err != nil {
		return err
	}
	var order []string
	net := map[string]int64{}
	count := func(place string, mg int64) {
		if _, seen := net[place]; !seen {
			order = append(order, place)
		}
		net[place] += mg
	}
	for _, m := range moves {
		if strings.HasPrefix(m.To, "bag:") && m.From == Shelf {
			count(m.To, m.Milligrams)
		}
		if strings.HasPrefix(m.From, "bag:") && m.To == Shelf {
			count(m.From, -m.Milligrams)
		}
		for place, sign := range map[string]int64{m.To: 1, m.From: -1} {
			if strings.HasPrefix(place, "piece:") || strings.HasPrefix(place, dyedPlace) {
				count(place, sign*m.Milligrams)
			}
		}
	}
	for _, place := range order {
		if net[place] <= 0 {
			continue
		}
		if err := s.reach(tx, place, grams(net[place])); err != nil {
			return err
		}
	}
	return nil
}

// reach adds what stands at a place.
func (s *Story) reach(tx *store.Tx, place string, m measure.Gram) error {
	kind, id, _ := strings.Cut(place, ":")
	switch kind + ":" {
	case "bag:":
		j, err := jobs.get(tx, id)
		if err != nil {
			return err
		}
		s.Jobs = append(s.Jobs, TracedJob{j, m})
	case "piece:":
		x, err := pieces.get(tx, id)
		if err != nil {
			return err
		}
		o, err := orders.get(tx, x.Value.Order)
		if err != nil {
			return err
		}
		c, err := customers.get(tx, o.Value.Customer)
		if err != nil {
			return err
		}
		s.Pieces = append(s.Pieces, TracedPiece{x, m, c})
	case dyedPlace:
		d, err := dyeings.get(tx, id)
		if err != nil {
			return err
		}
		l, err := lots.get(tx, d.Value.Lot)
		if err != nil {
			return err
		}
		s.Onward = append(s.Onward, TracedLot{l, d, m})
	}
	return nil
}
