package workshop

import (
	"context"
	"crypto/rand"
	"errors"
	"slices"
	"strings"

	"urdir/check"
	"urdir/dye"
	"urdir/dyefile"
	"urdir/internal/store"
	"urdir/label"
	"urdir/measure"
)

// CardHouse is how the workshop wants the cards of its pieces.
type CardHouse struct {
	Region string     // as it wishes to say where it is
	Rule   label.Rule // by which fibres are said; empty: the European Union's
	Hours  bool       // say how long a piece took
}

// Card is what a piece's card tells, public for as long as it is shown.
type Card struct {
	Kept[Piece]
	Shop     string
	Language string // the workshop's
	Currency string
	House    CardHouse
	Country  string
	Words    string // the workshop's own
	Kind     string // of the cloth: scarf, runner ...
	Made     Planned
	Finished string // date
	Length   measure.CM
	Width    measure.CM
	Mass     measure.Gram
	Content  label.Content
	Care     label.Care
	Plants   []dye.Material
	Minutes  int64    // of laying, weaving, finishing, as they were told or usually are
	Makers   []string // those who agreed to be named
	Figures  []CardFigure
	Problems check.Problems // what the card lacks
}

// CardFigure is a figure of a piece. Meaning is empty unless those it belongs to
// agreed that it is told.
type CardFigure struct{ Name, Meaning, Origin, Owner string }

// cardKeyLetters is the length of a card's key: 75 bits, so that no card is found
// that was not shown, and a code that can be read from a tag.
const cardKeyLetters = 15

// Cards lists pieces that are finished or were, the last first.
func (h *House) Cards(ctx context.Context, p Person, page Page) (Listed[Piece], error) {
	if page.State == "" {
		page.State = strings.Join([]string{string(Finished), string(Delivered)}, ",")
	}
	return many(ctx, h, p, "Cards", pieces, page, true)
}

// PieceCard gives the card of a piece, shown or not yet.
func (h *House) PieceCard(ctx context.Context, p Person, id string) (out Card, _ error) {
	err := h.view(ctx, p, "PieceCard", func(tx *store.Tx) (err error) {
		out, err = h.card(tx, id)
		return err
	})
	return out, err
}

// CardBy gives the card behind its key, for anyone who has the tag.
func (h *House) CardBy(ctx context.Context, key string) (out Card, _ error) {
	workshop, use, err := h.db.PageKey(ctx, hashKey(key), h.now())
	id, is := strings.CutPrefix(use, store.PieceKey)
	if err == nil && !is {
		err = store.ErrNotFound
	}
	if err != nil {
		return out, fromStore(err)
	}
	err = h.db.View(ctx, workshop, func(tx *store.Tx) error {
		if out, err = h.card(tx, id); err == nil && out.Value.Card != key {
			err = store.ErrNotFound // it is not shown any more
		}
		return err
	})
	if err != nil {
		return Card{}, fromStore(err)
	}
	return out, nil
}

// ShowCards shows the cards of pieces that are finished: each gets a key of its own,
// which stays the same however often it is shown.
func (h *House) ShowCards(ctx context.Context, p Person, ids []string) (out []Kept[Piece], _ error) {
	err := h.update(ctx, p, "ShowCards", func(tx *store.Tx) error {
		for _, id := range ids {
			k, err := pieces.get(tx, id)
			if err != nil {
				return err
			}
			if _, finished := k.Value.finishedOn(); !finished {
				return wrong("", "piece-not-finished", check.Args{"number": k.Value.Number})
			}
			if k.Value.Card == "" {
				k.Value.Card = strings.ToLower(rand.Text()[:cardKeyLetters])
				if k, err = pieces.put(tx, k); err != nil {
					return err
				}
			}
			out = append(out, k)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	for _, k := range out {
		if err := h.openCard(ctx, p, k); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// openCard lets a card's key open it. A workshop that moved to another server brings
// its keys on tags, and not here.
func (h *House) openCard(ctx context.Context, p Person, k Kept[Piece]) error {
	hash := hashKey(k.Value.Card)
	_, _, err := h.db.PageKey(ctx, hash, h.now())
	if errors.Is(err, store.ErrNotFound) {
		err = h.db.PutKey(ctx, hash, p.Account, store.PieceKey+k.ID, h.now(), h.now().AddDate(100, 0, 0)) // as long as the piece
	}
	return fromStore(err)
}

// HideCard takes a card away: its tag leads nowhere from now on.
func (h *House) HideCard(ctx context.Context, p Person, id string, revision int64) (Kept[Piece], error) {
	out, err := h.changePiece(ctx, p, "HideCard", id, revision, func(_ *store.Tx, v *PieceView) error {
		v.Value.Card = ""
		return nil
	})
	if err != nil {
		return out, err
	}
	return out, fromStore(h.db.DropPages(ctx, p.Workshop, store.PieceKey+id))
}

// OfferPiece says for how much a finished piece is for sale; for nothing, that it is
// not.
func (h *House) OfferPiece(ctx context.Context, p Person, id string, revision int64, ask Money) (Kept[Piece], error) {
	return h.changePiece(ctx, p, "OfferPiece", id, revision, func(_ *store.Tx, v *PieceView) error {
		var ps check.Problems
		money(&ps, "ask", ask)
		if ask.Minor > 0 && v.Value.State() != Finished {
			ps.Wrong("ask", "piece-not-so-far", check.Args{"state": string(v.Value.State())})
		}
		if err := invalid(ps); err != nil {
			return err
		}
		if v.Value.Ask = ask; ask.Minor == 0 {
			v.Value.Ask = Money{}
		}
		return nil
	})
}

// PhotoPiece keeps a photograph of a finished piece for its card and the shop, in
// place of the one before; none takes that away.
func (h *House) PhotoPiece(ctx context.Context, p Person, id string, revision int64, pic *Picture) (Kept[Piece], error) {
	return h.changePiece(ctx, p, "PhotoPiece", id, revision, func(tx *store.Tx, v *PieceView) error {
		if _, finished := v.Value.finishedOn(); !finished {
			return wrong("photo", "piece-not-finished", check.Args{"number": v.Value.Number})
		}
		if v.Value.Photo != "" {
			if err := tx.DropFile(v.Value.Photo); err != nil {
				return err
			}
		}
		name, err := keepPicture(tx, pic)
		v.Value.Photo = name
		return err
	})
}

// CardPhoto gives the photograph on a card, for anyone who has the tag.
func (h *House) CardPhoto(ctx context.Context, key string) (out Picture, _ error) {
	c, err := h.CardBy(ctx, key)
	if err == nil && c.Value.Photo == "" {
		err = store.ErrNotFound
	}
	if err != nil {
		return out, fromStore(err)
	}
	workshop, _, err := h.db.PageKey(ctx, hashKey(key), h.now())
	if err != nil {
		return out, fromStore(err)
	}
	err = h.db.View(ctx, workshop, func(tx *store.Tx) (err error) {
		out.Kind, out.Body, err = tx.File(c.Value.Photo)
		return err
	})
	return out, fromStore(err)
}

// Offered says whether the piece is for sale now.
func (x Piece) Offered() bool { return x.Ask.Minor > 0 && x.State() == Finished }

// finishedOn is the day on which a piece was finished first.
func (x Piece) finishedOn() (day string, ok bool) {
	for _, f := range x.Facts {
		if f.Kind == FinishedFact {
			return f.At, true
		}
	}
	return "", false
}

// card gathers what a piece's card tells.
func (h *House) card(tx *store.Tx, id string) (out Card, _ error) {
	v, err := h.piece(tx, id)
	if err != nil {
		return out, err
	}
	set, err := readSettings(tx)
	if err != nil {
		return out, err
	}
	s := set.Value
	out = Card{Kept: v.Kept, Shop: s.Name, Language: s.Language, Currency: s.Currency, House: s.Money.Cards, Country: s.Money.Country, Words: s.Money.Card, Made: v.Made}
	if out.House.Rule == "" {
		out.House.Rule = label.EU
	}
	out.size(v)
	if err = out.kind(tx, v); err != nil {
		return out, err
	}
	if err = out.fibres(tx, v); err != nil {
		return out, err
	}
	if err = out.makers(tx, v); err != nil {
		return out, err
	}
	if out.House.Hours {
		if err = h.hours(tx, v, &out); err != nil {
			return out, err
		}
	}
	if err = out.figures(tx, v); err != nil {
		return out, err
	}
	out.Problems = append(out.Problems, out.Tag("").Check(out.House.Rule)...)
	return out, nil
}

// size is what was measured, or else what was planned.
func (c *Card) size(v PieceView) {
	c.Finished, _ = v.Value.finishedOn()
	if !v.Made.Failed() {
		c.Length, c.Width, c.Mass = v.Made.Plan.Piece.Overall, v.Made.Plan.Piece.Width, v.Made.Plan.Piece.Mass
	}
	for _, f := range v.Value.Facts {
		if f.Kind != FinishedFact {
			continue
		}
		if f.CM > 0 && f.Width > 0 {
			c.Length, c.Width = f.CM, f.Width
		}
		if f.Grams > 0 {
			c.Mass = f.Grams
		}
	}
}

// kind is what sort of thing the piece is.
func (c *Card) kind(tx *store.Tx, v PieceView) error {
	o, err := orders.get(tx, v.Value.Order)
	if err != nil {
		return err
	}
	for _, l := range o.Value.Lines {
		if l.ID != v.Value.Line {
			continue
		}
		k, err := cloths.get(tx, l.Cloth)
		if err != nil {
			return err
		}
		c.Kind = k.Value.Kind
	}
	return nil
}

// fibres reckons content and care from the yarn that is in the piece, and gathers
// the plants it was dyed with.
func (c *Card) fibres(tx *store.Tx, v PieceView) error {
	var parts []label.Part
	var of []label.Fibre
	dyed := false
	for _, s := range v.Yarn {
		l := v.Lots[s.Lot].Value
		parts = append(parts, label.Part{Fibre: label.Fibre(l.Fibre), Mass: s.Milligrams})
		of = append(of, label.Fibre(l.Fibre))
		if l.Dye.Dyeing == "" {
			continue
		}
		d, err := dyeings.get(tx, l.Dye.Dyeing)
		if missing(err) {
			continue
		}
		if err != nil {
			return err
		}
		dyed = true
		r, _, _ := dyefile.Read([]byte(d.Value.Text))
		for _, m := range r.Materials {
			if !slices.ContainsFunc(c.Plants, func(x dye.Material) bool { return x.Latin == m.Latin }) {
				c.Plants = append(c.Plants, m)
			}
		}
	}
	content, ps := label.Reckon(parts, label.Options{Rule: c.House.Rule})
	c.Problems = append(c.Problems, ps...)
	if c.Content = content; !ps.Failed() {
		c.Care = label.Usual(of, dyed)
	}
	return nil
}

// makers is who wove the piece and agreed to be named.
func (c *Card) makers(tx *store.Tx, v PieceView) error {
	for _, j := range v.Jobs {
		if j.Value.Member == "" {
			continue
		}
		m, err := members.get(tx, j.Value.Member)
		if err != nil {
			return err
		}
		if m.Value.Named && !slices.Contains(c.Makers, m.Value.Name) {
			c.Makers = append(c.Makers, m.Value.Name)
		}
	}
	return nil
}

// hours adds up the work on the piece: its share of its warps, and its finishing.
func (h *House) hours(tx *store.Tx, v PieceView, c *Card) error {
	did, err := workLines.list(tx, Page{Parent: v.Value.Order}, false)
	if err != nil {
		return err
	}
	o, err := h.order(tx, v.Value.Order)
	if err != nil {
		return err
	}
	for _, w := range did.Items {
		if w.Value.Where == "piece" && w.Value.ID == v.ID {
			c.Minutes += w.Value.Minutes
		}
		for _, j := range v.Jobs {
			if w.Value.Where != "job" || w.Value.ID != j.ID {
				continue
			}
			on := int64(0) // pieces of this warp
			for _, x := range o.Pieces {
				if slices.ContainsFunc(jobsOf(x.Value, o.Jobs), func(k Kept[Job]) bool { return k.ID == j.ID }) {
					on++
				}
			}
			c.Minutes += w.Value.Minutes / max(1, on)
		}
	}
	return nil
}

// figures is the figures of the piece as the library knows them now: who agreed last
// week may have changed her mind.
func (c *Card) figures(tx *store.Tx, v PieceView) error {
	if v.Made.Failed() || len(v.Made.Plan.Figures) == 0 {
		return nil
	}
	all, err := figures.list(tx, Page{}, false)
	if err != nil {
		return err
	}
	for _, f := range all.Items {
		x := f.Value
		if v.Made.Plan.Figure(x.Key()) == nil {
			continue
		}
		out := CardFigure{Name: x.Name, Origin: x.Origin, Owner: x.Owner}
		if x.Owner == "" || x.Tell {
			out.Meaning = x.Meaning
		}
		c.Figures = append(c.Figures, out)
	}
	return nil
}

// Tag is what the printed tag of the piece says, with its size in words.
func (c *Card) Tag(size string) label.Tag {
	country := c.Country
	if c.House.Region != "" && country != "" {
		country = c.House.Region + ", " + country
	}
	return label.Tag{Content: c.Content, Care: c.Care, Country: country, Maker: c.Shop, Size: size}
}
