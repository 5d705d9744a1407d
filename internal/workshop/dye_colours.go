package workshop

import (
	"context"
	"math"

	"urdir/check"
	"urdir/colour"
	"urdir/internal/store"
)

// ColourDyeing tells what colour the lot came to and how that was found, with
// the photograph if there is one.
func (h *House) ColourDyeing(ctx context.Context, p Person, id string, revision int64, c colour.Lab, how string, picture *Picture) (Kept[Dyeing], error) {
	return h.changeDyeing(ctx, p, "ColourDyeing", id, revision, func(tx *store.Tx, v *DyeingView) error {
		switch v.Value.State() {
		case DyePlanned, DyeBegun:
			return wrong("", "dyeing-not-out", nil)
		case DyeAccepted, DyeRejected:
			return wrong("", "dyeing-judged", nil)
		}
		var ps check.Problems
		measured(&ps, "colour", c)
		choice(&ps, "how", how, Hows...)
		if err := invalid(ps); err != nil {
			return err
		}
		name, err := keepPicture(tx, picture)
		if err != nil {
			return err
		}
		l := v.Lot.Kept
		l.Value.colour(c, how)
		if _, err = lots.put(tx, l); err != nil {
			return err
		}
		v.Value.Facts = append(v.Value.Facts, DyeFact{Kind: ColouredFact, At: h.today(), By: p.Name, Colour: &c, How: how, Picture: name})
		return nil
	})
}

// measured bounds a measured colour.
func measured(ps *check.Problems, path string, c colour.Lab) {
	if !(c.L >= 0 && c.L <= 100) || !(math.Abs(c.A) <= 150) || !(math.Abs(c.B) <= 150) {
		ps.Wrong(path, "colour-range", check.Args{"text": c.String()})
	}
}

// colour gives a lot a colour that was found, and shows it as near as a screen
// can.
func (l *Lot) colour(c colour.Lab, how string) {
	l.Colour, l.Dye.Measured, l.Dye.How = c.Show().SRGB.String(), &c, how
}

// ColourLot tells the colour of a lot that no dyeing here is about.
func (h *House) ColourLot(ctx context.Context, p Person, id string, revision int64, c colour.Lab, how string) (out Kept[Lot], _ error) {
	err := h.update(ctx, p, "ColourLot", func(tx *store.Tx) error {
		l, err := lots.get(tx, id)
		if err != nil {
			return err
		}
		l.Revision = revision
		var ps check.Problems
		measured(&ps, "colour", c)
		choice(&ps, "how", how, Hows...)
		if err = invalid(ps); err != nil {
			return err
		}
		l.Value.colour(c, how)
		out, err = lots.put(tx, l)
		return err
	})
	return out, err
}

// Verdict is how a dyeing's colour stands to its standard; ok is false while one
// of the two is not known.
func (v DyeingView) Verdict() (out colour.Verdict, ok bool) {
	f, found := v.Value.Coloured()
	if !found || v.Value.Standard == nil {
		return out, false
	}
	out, _ = colour.Judge(*f.Colour, *v.Value.Standard, v.House.Limit)
	return out, true
}

// JudgeDyeing accepts a lot or rejects it. A lot beyond the limit is accepted
// only with a word why. Pieces that a rejected lot was for have to get another.
func (h *House) JudgeDyeing(ctx context.Context, p Person, id string, revision int64, accept bool, note string) (Kept[Dyeing], error) {
	trim(&note)
	return h.changeDyeing(ctx, p, "JudgeDyeing", id, revision, func(tx *store.Tx, v *DyeingView) error {
		if v.Value.State() != DyeOut {
			return wrong("", "dyeing-not-out", nil)
		}
		var ps check.Problems
		short(&ps, "note", note, 2000)
		verdict, known := v.Verdict()
		if known && accept && !verdict.Accepted && note == "" {
			ps.Wrong("note", "lot-accepted-why", check.Args{"difference": float64(verdict.Difference), "limit": float64(verdict.Limit)})
		}
		if err := invalid(ps); err != nil {
			return err
		}
		l := v.Lot.Kept
		l.Value.Dye.Unjudged, l.Value.Dye.Rejected = false, !accept
		if _, err := lots.put(tx, l); err != nil {
			return err
		}
		v.Value.Facts = append(v.Value.Facts, DyeFact{Kind: JudgedFact, At: h.today(), By: p.Name, Apart: verdict.Difference, Accepted: accept, Note: note})
		return nil
	})
}

// ShelfLot is a lot on the colour shelf.
type ShelfLot struct {
	LotStock
	Lab   colour.Lab    // as measured, or as its colour on the screen
	Apart colour.DeltaE // from the wish, if there is one
}

// ColourShelf lists the lots that have yarn on the shelf: by hue, or with a wish
// the nearest first.
func (h *House) ColourShelf(ctx context.Context, p Person, wish *colour.Lab) (out []ShelfLot, _ error) {
	err := h.view(ctx, p, "ColourShelf", func(tx *store.Tx) error {
		all, err := lotsOnShelf(tx)
		if err != nil {
			return err
		}
		colours := make([]colour.Lab, len(all))
		for i, l := range all {
			colours[i] = l.Value.Lab()
		}
		if wish != nil {
			for _, n := range colour.Nearest(*wish, colours) {
				out = append(out, ShelfLot{LotStock: all[n.Index], Lab: colours[n.Index], Apart: n.Difference})
			}
			return nil
		}
		for _, i := range colour.Shelf(colours) {
			out = append(out, ShelfLot{LotStock: all[i], Lab: colours[i]})
		}
		return nil
	})
	return out, err
}

// Lab is the colour of a lot: as measured, or else as it is shown.
func (l Lot) Lab() colour.Lab {
	if l.Dye.Measured != nil {
		return *l.Dye.Measured
	}
	c, err := colour.ParseSRGB(l.Colour)
	if err != nil {
		return colour.Lab{L: 50}
	}
	return c.Lab()
}
