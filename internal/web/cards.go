package web

import (
	"archive/zip"
	"errors"
	"io"

	"urdir/internal/workshop"
	"urdir/sheet"
)

// cardsView is pieces that have or may have a card.
type cardsView struct {
	workshop.Listed[workshop.Piece]
	Sizes []tagSize
}

// tagSize is a way to print tags: on a sheet of paper to cut, or one a page, in
// millimetres as label printers take them.
type tagSize struct {
	Name, Words string
	Paper       sheet.Paper
}

var tagSizes = []tagSize{{"sheet", "tag-size-sheet", sheet.Paper{}}, {"62x100", "tag-size-62x100", sheet.Paper{W: 62, H: 100}}, {"100x62", "tag-size-100x62", sheet.Paper{W: 100, H: 62}}}

func (v *visit) cardsView() (view cardsView, err error) {
	view.Sizes = tagSizes
	view.Listed, err = v.s.house.Cards(v.r.Context(), v.Person, v.listing())
	return view, err
}

func cardList(v *visit) error { return v.cardsAgain(nil) }

func (v *visit) cardsAgain(wrong error) error {
	view, err := v.cardsView()
	if err != nil {
		return err
	}
	if wrong != nil {
		return v.again(wrong, "cards", v.T("cards"), view)
	}
	return v.page("cards", v.T("cards"), view)
}

func showCards(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	if len(f.texts("piece")) == 0 {
		f.ps.Wrong("piece", "pieces-none", nil)
		return v.cardsAgain(f.err())
	}
	if _, err := v.s.house.ShowCards(v.r.Context(), v.Person, f.texts("piece")); err != nil {
		return v.cardsAgain(err)
	}
	return v.to("/cards", "cards-shown")
}

// mostTags bounds how many tags are printed at once.
const mostTags = 400

// cardTags sends the tags of the pieces that were chosen; of none, of all whose card
// is shown.
func cardTags(v *visit) error {
	q := v.r.URL.Query()
	var size sheet.Paper
	for _, t := range tagSizes {
		if t.Name == q.Get("size") {
			size = t.Paper
		}
	}
	ids := q["piece"]
	if len(ids) == 0 {
		all, err := v.s.house.Cards(v.r.Context(), v.Person, workshop.Page{Limit: mostTags})
		if err != nil {
			return err
		}
		for _, x := range all.Items {
			if x.Value.Card != "" {
				ids = append(ids, x.ID)
			}
		}
	}
	var tags []sheet.Tag
	for _, id := range ids[:min(len(ids), mostTags)] {
		c, err := v.s.house.PieceCard(v.r.Context(), v.Person, id)
		if err != nil {
			return err
		}
		tags = append(tags, v.tagOf(c))
	}
	o, err := v.sheetOptions()
	if err != nil {
		return err
	}
	return v.sendTags(tags, sheet.LabelOptions{Options: o, Size: size})
}

// tagOf is the tag of a piece; without a card it has no code.
func (v *visit) tagOf(c workshop.Card) sheet.Tag {
	t := sheet.Tag{Name: c.Value.Cloth, Number: c.Value.Number, Tag: c.Tag(v.S(c.Width) + " × " + v.S(c.Length))}
	if c.Value.Card != "" {
		t.Address = v.address() + "/p/" + c.Value.Card
	}
	return t
}

// sendTags sends tags; where this server's address is too long for a code that can be
// read, they have none.
func (v *visit) sendTags(tags []sheet.Tag, o sheet.LabelOptions) error {
	send := func() error {
		return v.send("application/pdf", "tags.pdf", func(w io.Writer) error { return sheet.Tags(w, tags, o) })
	}
	err := send()
	if errors.Is(err, sheet.ErrAddress) {
		for i := range tags {
			tags[i].Address = ""
		}
		err = send()
	}
	if errors.Is(err, sheet.ErrNoLabels) {
		return &workshop.Error{Code: workshop.NotFound, Err: err}
	}
	return err
}

// files gathers the files of an export.
type files struct{ zip *zip.Writer }

func (f *files) put(name string, body []byte) error {
	w, err := f.zip.Create(name)
	if err == nil {
		_, err = w.Write(body)
	}
	return err
}

// sendZip sends files as one.
func (v *visit) sendZip(name string, write func(put func(name string, body []byte) error) error) error {
	return v.send("application/zip", name, func(w io.Writer) error {
		f := files{zip.NewWriter(w)}
		return errors.Join(write(f.put), f.zip.Close())
	})
}

// cardsZip sends every card that is shown as files that any web server can give out.
func cardsZip(v *visit) error {
	all, err := v.s.house.Cards(v.r.Context(), v.Person, workshop.Page{})
	if err != nil {
		return err
	}
	var cards []workshop.Card
	for _, x := range all.Items {
		if x.Value.Card == "" {
			continue
		}
		c, err := v.s.house.PieceCard(v.r.Context(), v.Person, x.ID)
		if err != nil {
			return err
		}
		cards = append(cards, c)
	}
	return v.sendZip("cards.zip", func(put func(string, []byte) error) error {
		x := exporter{s: v.s, words: v.Words, at: v.address(), put: put, photo: v.photoOf}
		return x.cards(v.r.Context(), cards)
	})
}
