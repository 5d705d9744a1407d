package web

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io/fs"
	"path"
	"strconv"
	"strings"

	"urdir/internal/lang"
	"urdir/internal/workshop"
	"urdir/label"
	"urdir/sheet"
)

// exporter writes cards and what is for sale as files.
type exporter struct {
	s     *server
	words *lang.Words
	at    string // address of this server, or of where the files will be
	put   func(name string, body []byte) error
	photo func(workshop.Card) (workshop.Picture, error)
}

// WriteCards writes every card that is shown as files that any web server can give
// out: a page each, its picture, and what it says as linked data. at is the address
// they will have, without a slash at its end.
func WriteCards(ctx context.Context, house *workshop.House, who workshop.Person, at string, put func(name string, body []byte) error) (n int, _ error) {
	set, err := house.Settings(ctx, who)
	if err != nil {
		return 0, err
	}
	words, err := lang.For(set.Value.Language)
	if err != nil {
		return 0, err
	}
	s := &server{house: house}
	if s.pages, err = readPages(); err != nil {
		return 0, err
	}
	all, err := house.Cards(ctx, who, workshop.Page{})
	if err != nil {
		return 0, err
	}
	var cards []workshop.Card
	for _, x := range all.Items {
		if x.Value.Card == "" {
			continue
		}
		c, err := house.PieceCard(ctx, who, x.ID)
		if err != nil {
			return 0, err
		}
		cards = append(cards, c)
	}
	x := exporter{s: s, words: words, at: at, put: put, photo: func(c workshop.Card) (workshop.Picture, error) { return house.Picture(ctx, who, c.Value.Photo) }}
	return len(cards), x.cards(ctx, cards)
}

// staticCards is the first page of exported cards.
type staticCards struct {
	Shop  string
	Cards []cardView
}

// cards writes cards as pages, in folders named as their addresses here, so that the
// codes on tags find them there too.
func (x *exporter) cards(ctx context.Context, cards []workshop.Card) error {
	index := staticCards{}
	for _, c := range cards {
		if err := ctx.Err(); err != nil {
			return err
		}
		index.Shop = c.Shop
		folder := "p/" + c.Value.Card + "/"
		view, err := x.pictures(c, folder)
		if err != nil {
			return err
		}
		if err = x.page(folder+"index.html", "static-card", view); err != nil {
			return err
		}
		body, err := encode(view.LD)
		if err != nil {
			return err
		}
		if err = x.put(folder+"card.jsonld", body); err != nil {
			return err
		}
		view.Picture, view.At = folder+view.Picture, folder+"index.html"
		index.Cards = append(index.Cards, view)
	}
	if err := x.page("index.html", "static-cards", index); err != nil {
		return err
	}
	return x.looks()
}

// pictures writes the pictures of a card into a folder.
func (x *exporter) pictures(c workshop.Card, folder string) (view cardView, _ error) {
	view = cardView{Card: c, At: x.at + "/p/" + c.Value.Card}
	if !c.Made.Failed() {
		var b bytes.Buffer
		if err := sheet.Coarse(&b, c.Made.Plan); err != nil {
			return view, err
		}
		view.Picture = "cloth.png"
		if err := x.put(folder+"cloth.png", b.Bytes()); err != nil {
			return view, err
		}
	}
	if c.Value.Photo != "" {
		pic, err := x.photo(c)
		if err != nil {
			return view, err
		}
		view.Photo = "photo"
		if err = x.put(folder+"photo", pic.Body); err != nil { // the name it has here
			return view, err
		}
	}
	view.LD = view.product(x.words, x.at)
	return view, nil
}

func (x *exporter) page(name, template string, data any) error {
	var b bytes.Buffer
	v := &visit{s: x.s, Words: x.words, Data: data}
	if err := x.s.pages[template].ExecuteTemplate(&b, "alone", v); err != nil {
		return fmt.Errorf("page %s: %w", name, err)
	}
	return x.put(name, b.Bytes())
}

// looks writes the styles and what they name.
func (x *exporter) looks() error {
	names, err := fs.Glob(static, "static/*")
	if err != nil {
		return err
	}
	for _, name := range names {
		switch path.Ext(name) {
		case ".css", ".svg", ".woff2", ".txt":
			body, err := static.ReadFile(name)
			if err != nil {
				return err
			}
			if err = x.put("look/"+path.Base(name), body); err != nil {
				return err
			}
		}
	}
	return nil
}

// shopColumns is the heads of the table of what is for sale. They are one set of names
// for every language, so that other programs find them.
var shopColumns = []string{"sku", "name", "description", "price", "currency", "material", "width_cm", "length_cm", "weight_g", "care", "made_in", "maker", "page", "image"}

// shop writes what is for sale as a table (RFC 4180), as linked data, and pictures.
func (x *exporter) shop(ctx context.Context, cards []workshop.Card) error {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	if err := w.Write(shopColumns); err != nil {
		return err
	}
	for _, c := range cards {
		if err := ctx.Err(); err != nil {
			return err
		}
		name := "pictures/" + strconv.FormatInt(c.Value.Number, 10)
		image := name + ".png"
		if c.Value.Photo != "" {
			pic, err := x.photo(c)
			if err != nil {
				return err
			}
			image = name + ".jpg"
			if err = x.put(image, pic.Body); err != nil {
				return err
			}
		} else if !c.Made.Failed() {
			var p bytes.Buffer
			if err := sheet.Coarse(&p, c.Made.Plan); err != nil {
				return err
			}
			if err := x.put(image, p.Bytes()); err != nil {
				return err
			}
		}
		if err := w.Write(x.row(c, image)); err != nil {
			return err
		}
	}
	if w.Flush(); w.Error() != nil {
		return w.Error()
	}
	if err := x.put("shop.csv", b.Bytes()); err != nil {
		return err
	}
	body, err := x.linked(cards)
	if err != nil {
		return err
	}
	return x.put("shop.jsonld", body)
}

func (x *exporter) row(c workshop.Card, image string) []string {
	page := ""
	if c.Value.Card != "" {
		page = x.at + "/p/" + c.Value.Card
	}
	num := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	return []string{strconv.FormatInt(c.Value.Number, 10), safeCell(c.Value.Cloth), safeCell(c.Words), c.Value.Ask.Plain(), c.Value.Ask.Currency,
		strings.Join(tagged(x.words, c.Content), ", "), num(float64(c.Width)), num(float64(c.Length)), num(float64(c.Mass)), strings.Join(cares(x.words, c.Care), ". "),
		safeCell(c.Country), safeCell(c.Shop), page, image}
}

// safeCell is a text that no spreadsheet takes for a formula.
func safeCell(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}

// linked is what is for sale as linked data.
func (x *exporter) linked(cards []workshop.Card) ([]byte, error) {
	graph := []any{}
	for _, c := range cards {
		view := cardView{Card: c}
		one := view.product(x.words, x.at)
		delete(one, "@context")
		graph = append(graph, one)
	}
	return encode(map[string]any{"@context": schema, "@graph": graph})
}

func encode(v any) ([]byte, error) {
	body, err := json.MarshalIndent(v, "", "  ")
	return append(body, '\n'), err
}

// schema is the vocabulary of the linked data, schema.org.
const schema = "https://schema.org"

// product is a piece as a Product of schema.org, and with a price as one with an
// Offer. Units are codes of UN/ECE Recommendation 20.
func (c *cardView) product(w *lang.Words, at string) map[string]any {
	quantity := func(v float64, unit string) map[string]any {
		return map[string]any{"@type": "QuantitativeValue", "value": v, "unitCode": unit}
	}
	shop := map[string]any{"@type": "Organization", "name": c.Shop}
	out := map[string]any{"@context": schema, "@type": "Product", "name": c.Value.Cloth, "sku": strconv.FormatInt(c.Value.Number, 10), "manufacturer": shop,
		"material": strings.Join(tagged(w, c.Content), ", "), "width": quantity(float64(c.Width), "CMT"), "depth": quantity(float64(c.Length), "CMT"),
		"weight": quantity(float64(c.Mass), "GRM")}
	put := func(name string, value string) {
		if value != "" {
			out[name] = value
		}
	}
	put("description", c.Words)
	put("productionDate", c.Finished)
	if c.Country != "" {
		out["countryOfOrigin"] = map[string]any{"@type": "Country", "name": c.Country}
	}
	if c.Value.Card != "" {
		page := at + "/p/" + c.Value.Card
		out["@id"], out["url"] = page, page
		images := []string{page + "/cloth.png"}
		if c.Value.Photo != "" {
			images = []string{page + "/photo", page + "/cloth.png"}
		}
		out["image"] = images
	}
	if c.Value.Offered() {
		offer := map[string]any{"@type": "Offer", "price": c.Value.Ask.Plain(), "priceCurrency": c.Value.Ask.Currency, "availability": schema + "/InStock",
			"itemCondition": schema + "/NewCondition", "seller": shop}
		if url, ok := out["url"]; ok {
			offer["url"] = url
		}
		out["offers"] = offer
	}
	return out
}

// tagged is fibres in per cents and words, most first.
func tagged(w *lang.Words, c label.Content) (out []string) {
	for _, s := range c.Shares {
		out = append(out, w.Int(s.Percent)+"\u202f% "+w.T(s.Fibre.Word(), nil))
	}
	return out
}

// cares is how a piece is looked after, in words.
func cares(w *lang.Words, c label.Care) (out []string) {
	for _, t := range c.Words() {
		out = append(out, w.T(string(t), nil))
	}
	return out
}

// Cares is how a piece is looked after, in words.
func (v *visit) Cares(c label.Care) []string { return cares(v.Words, c) }

// HoursOf is minutes in whole hours, for people who do not count them.
func (v *visit) HoursOf(minutes int64) string {
	if minutes >= 120 {
		minutes = (minutes + 30) / 60 * 60
	}
	return sheet.WorkTime(v.Words, minutes)
}
