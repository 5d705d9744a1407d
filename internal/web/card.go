package web

import (
	"fmt"
	"strings"

	"urdir/internal/workshop"
	"urdir/label"
	"urdir/measure"
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
