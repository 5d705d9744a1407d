package web

import (
	"archive/zip"
	"errors"
	"fmt"
	"io"
	"strings"

	"urdir/internal/workshop"
	"urdir/label"
	"urdir/measure"
	"urdir/sheet"
)

// cardView is a card as a page shows it, wherever the page is kept.
type cardView struct {
	workshop.Card
	Picture string // address of its picture
	Photo   string // of a photograph, if there is one
	At      string // address of the card
	QR      string // path of its code, for a buyer to scan from the screen
	QRSize  int
	LD      map[string]any
}

// cardView gives a card with the addresses it has on this server.
func (v *visit) cardView(c workshop.Card) cardView {
	at := "/p/" + c.Value.Card
	view := cardView{Card: c, Picture: at + "/cloth.png", At: v.address() + at}
	if c.Value.Photo != "" {
		view.Photo = at + "/photo"
	}
	view.LD = view.product(v.Words, v.address())
	return view
}

// publicCard is the card behind the address of a tag.
func (v *visit) publicCard() (workshop.Card, error) {
	c, err := v.s.house.CardBy(v.r.Context(), v.r.PathValue("key"))
	if err == nil {
		v.Person, v.Guest = workshop.Person{}, c.Shop
		v.Open = true
	}
	return c, err
}

func cardOfPiece(v *visit) error {
	c, err := v.publicCard()
	if err != nil {
		return err
	}
	return v.page("piece-card", c.Value.Cloth+" · "+c.Shop, v.cardView(c))
}

func cardCloth(v *visit) error {
	c, err := v.publicCard()
	if err != nil {
		return err
	}
	return v.publicCloth(c.Made)
}

func cardPhoto(v *visit) error {
	c, err := v.publicCard()
	if err != nil {
		return err
	}
	pic, err := v.s.house.CardPhoto(v.r.Context(), c.Value.Card)
	if err != nil {
		return err
	}
	v.sendPicture(pic)
	return nil
}

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

func pieceCard(v *visit) error { return v.pieceCardAgain(nil) }

func (v *visit) pieceCardAgain(wrong error) error {
	c, err := v.s.house.PieceCard(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	view := v.cardView(c)
	view.Picture, view.Photo = "/orders/"+c.Value.Order+"/"+c.Value.Line+"/cloth.svg", ""
	if c.Value.Photo != "" {
		view.Photo = "/pictures/" + c.Value.Photo
	}
	if c.Value.Card != "" {
		view.QR, view.QRSize = qrPath(view.At)
	}
	title := v.T("card-of", "number", itoa(int(c.Value.Number)))
	if wrong != nil {
		return v.again(wrong, "card-piece", title, view)
	}
	return v.page("card-piece", title, view)
}

func (v *visit) actCard(done string, do func(f *form, id string) error) error {
	f, err := v.read()
	if f, err = v.tooBig(f, err, "photo"); err != nil {
		return err
	}
	id := v.r.PathValue("id")
	if err := do(f, id); err != nil {
		return v.pieceCardAgain(err)
	}
	return v.to("/cards/"+id, done)
}

func showCard(v *visit) error {
	return v.actCard("cards-shown", func(_ *form, id string) error {
		_, err := v.s.house.ShowCards(v.r.Context(), v.Person, []string{id})
		return err
	})
}

func hideCard(v *visit) error {
	return v.actCard("card-hidden", func(f *form, id string) error {
		_, err := v.s.house.HideCard(v.r.Context(), v.Person, id, f.revision())
		return err
	})
}

func offerPiece(v *visit) error {
	return v.actCard("saved", func(f *form, id string) error {
		set, err := v.s.house.Settings(v.r.Context(), v.Person)
		if err != nil {
			return err
		}
		ask := f.money("ask", set.Value.Currency)
		if err = f.err(); err != nil {
			return err
		}
		_, err = v.s.house.OfferPiece(v.r.Context(), v.Person, id, f.revision(), ask)
		return err
	})
}

func photoPiece(v *visit) error {
	return v.actCard("saved", func(f *form, id string) error {
		pic := f.photo("photo")
		if err := f.err(); err != nil {
			return err
		}
		_, err := v.s.house.PhotoPiece(v.r.Context(), v.Person, id, f.revision(), pic)
		return err
	})
}

func cardSettings(v *visit) error {
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	return v.page("card-settings", v.T("card-settings"), workshop.MoneyOf(set))
}

func saveCardSettings(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	m := workshop.MoneyOf(set)
	m.Revision = f.revision()
	m.Value.Country, m.Value.Card = f.text("country"), f.text("card")
	m.Value.Cards = workshop.CardHouse{Region: f.text("region"), Rule: label.Rule(f.text("rule")), Hours: f.yes("hours")}
	if _, _, err := v.s.house.SaveMoneyHouse(v.r.Context(), v.Person, m); err != nil {
		return v.again(err, "card-settings", v.T("card-settings"), m)
	}
	return v.to("/cards", "saved")
}

// shopView is what is for sale.
type shopView struct {
	Cards []cardView
	LD    map[string]any
}

// offers is the cards of the pieces that are for sale.
func (v *visit) offers() (out []workshop.Card, _ error) {
	all, err := v.s.house.Cards(v.r.Context(), v.Person, workshop.Page{State: string(workshop.Finished)})
	if err != nil {
		return nil, err
	}
	for _, x := range all.Items {
		if !x.Value.Offered() {
			continue
		}
		c, err := v.s.house.PieceCard(v.r.Context(), v.Person, x.ID)
		if err != nil {
			return nil, err
		}
		out = append(out, c)
	}
	return out, nil
}

func shopPage(v *visit) error {
	cards, err := v.offers()
	if err != nil {
		return err
	}
	var view shopView
	for _, c := range cards {
		x := v.cardView(c)
		x.Picture = "/orders/" + c.Value.Order + "/" + c.Value.Line + "/cloth.svg"
		if x.Photo = ""; c.Value.Photo != "" {
			x.Photo = "/pictures/" + c.Value.Photo
		}
		view.Cards = append(view.Cards, x)
	}
	return v.page("shop", v.T("shop"), view)
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

// shopZip sends what is for sale for another shop: a table, the same as linked data,
// and pictures.
func shopZip(v *visit) error {
	cards, err := v.offers()
	if err != nil {
		return err
	}
	return v.sendZip("shop.zip", func(put func(string, []byte) error) error {
		x := exporter{s: v.s, words: v.Words, at: v.address(), put: put, photo: v.photoOf}
		return x.shop(v.r.Context(), cards)
	})
}

// shopLD sends what is for sale as linked data.
func shopLD(v *visit) error {
	cards, err := v.offers()
	if err != nil {
		return err
	}
	x := exporter{s: v.s, words: v.Words, at: v.address()}
	body, err := x.linked(cards)
	if err != nil {
		return err
	}
	return v.send("application/ld+json", "shop.jsonld", func(w io.Writer) error {
		_, err := w.Write(body)
		return err
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

// photoOf is the photograph of a piece.
func (v *visit) photoOf(c workshop.Card) (workshop.Picture, error) {
	return v.s.house.Picture(v.r.Context(), v.Person, c.Value.Photo)
}

// Tagged is the fibres of a card in per cents and words.
func (v *visit) Tagged(c label.Content) []string { return tagged(v.Words, c) }

// SizeOf is how large a piece is.
func (v *visit) SizeOf(width, length measure.CM) string { return v.S(width) + " × " + v.S(length) }

// PlantName is a plant's name with its Latin one.
func (v *visit) PlantName(name, latin string) string {
	if latin == "" || strings.EqualFold(name, latin) {
		return name
	}
	return fmt.Sprintf("%s (%s)", name, latin)
}
