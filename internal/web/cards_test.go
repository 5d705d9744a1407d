package web

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"html"
	"image"
	"image/color"
	"image/png"
	"io"
	"net/http"
	"path"
	"regexp"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
	"github.com/piprate/json-gold/ld"

	"urdir/internal/workshop"
)

// The card of a tag is open to anyone as long as it is shown, and names only who
// agreed; what a figure means is told only if its owners agreed.
func TestCards_public(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	head := s.people["head"]
	all := must(s.house.Cards(ctx, head, workshop.Page{})).Items
	if len(all) < 10 {
		t.Fatalf("%d cards, want those of the demo", len(all))
	}
	named, hidden := 0, 0
	for _, x := range all {
		got := s.get("/p/"+x.Value.Card, "", "Accept-Language", "en")
		s.want("card", got, http.StatusOK)
		for _, m := range must(s.house.Members(ctx, head, workshop.Page{})).Items {
			switch in := strings.Contains(got.body, m.Value.Name); {
			case in && !m.Value.Named:
				t.Errorf("#%d names %s, who did not agree", x.Value.Number, m.Value.Name)
			case in:
				named++
			}
		}
		for _, f := range must(s.house.Figures(ctx, head, workshop.Page{})).Items {
			if f.Value.Owner != "" && !f.Value.Tell && f.Value.Meaning != "" && strings.Contains(html.UnescapeString(got.body), f.Value.Meaning) {
				t.Errorf("#%d tells what %s means", x.Value.Number, f.Value.Name)
			}
		}
		if c := must(s.house.PieceCard(ctx, head, x.ID)); len(c.Content.Shares) == 0 || !strings.Contains(got.body, "%") || len(c.Care.Words()) != 5 {
			t.Errorf("#%d: fibres %v, care %v", x.Value.Number, c.Content, c.Care)
		}
		if o := must(s.house.Order(ctx, head, x.Value.Order)); strings.Contains(got.body, o.Customer.Value.Name) {
			hidden++
		}
	}
	if named == 0 || hidden > 0 {
		t.Errorf("%d names of members, want some; %d of customers, want none", named, hidden)
	}
	id := s.ours["carded"]
	x := must(s.house.Piece(ctx, head, id))
	must(s.house.HideCard(ctx, head, id, x.Revision))
	for _, end := range []string{"", "/cloth.png", "/photo"} {
		s.want("a card that was taken away", s.get("/p/"+s.ours["card"]+end, ""), http.StatusNotFound)
	}
	again := must(s.house.ShowCards(ctx, head, []string{id}))[0].Value.Card
	if again == s.ours["card"] || len(again) != 15 {
		t.Errorf("shown again: key %q", again)
	}
	s.want("shown again", s.get("/p/"+again, ""), http.StatusOK)
	if _, err := s.house.ShowCards(ctx, head, []string{s.ours["piece ready"]}); workshop.CodeOf(err) != workshop.Invalid {
		t.Errorf("a card of a piece that is not finished: got %v", err)
	}
	s.noFaults()
}

// The code on the page is read back by another library (ISO/IEC 18004).
func TestCards_code(t *testing.T) {
	t.Parallel()
	s := newSiteWith(t, Options{Address: "https://taller.example"})
	page := s.page("/cards/"+s.ours["carded"], "head")
	for _, svg := range page.all("svg") {
		if !strings.HasPrefix(svg.attr["viewBox"], "0 0 ") || len(svg.all("path")) != 1 {
			continue
		}
		got := decodeCode(t, svg.attr["viewBox"], svg.all("path")[0].attr["d"])
		if want := "https://taller.example/p/" + s.ours["card"]; got != want {
			t.Errorf("the code says %q, want %q", got, want)
		}
		return
	}
	t.Error("the page has no code")
}

// decodeCode draws the squares of a path and reads the code in them.
func decodeCode(t *testing.T, box, path string) string {
	t.Helper()
	var size int
	if _, err := fmt.Sscanf(box, "0 0 %d", &size); err != nil {
		t.Fatal(err)
	}
	const scale = 6
	img := image.NewGray(image.Rect(0, 0, size*scale, size*scale))
	for i := range img.Pix {
		img.Pix[i] = 0xff
	}
	for _, m := range regexp.MustCompile(`M(\d+) (\d+)h1v1h-1z`).FindAllStringSubmatch(path, -1) {
		var x, y int
		if _, err := fmt.Sscan(m[1]+" "+m[2], &x, &y); err != nil {
			t.Fatal(err)
		}
		for i := range scale * scale {
			img.SetGray(x*scale+i%scale, y*scale+i/scale, color.Gray{})
		}
	}
	bits, err := gozxing.NewBinaryBitmapFromImage(img)
	if err != nil {
		t.Fatal(err)
	}
	r, err := qrcode.NewQRCodeReader().Decode(bits, nil)
	if err != nil {
		t.Fatal(err)
	}
	return r.GetText()
}

// offline gives the context of schema.org without the network: its vocabulary, and
// that images and pages are addresses (schema.org, "Schema.org JSON-LD context", the
// terms used here, from memory).
type offline struct{}

func (offline) LoadDocument(u string) (*ld.RemoteDocument, error) {
	if u != "https://schema.org" {
		return nil, fmt.Errorf("asked for %s", u)
	}
	iri := map[string]any{"@type": "@id"}
	term := func(name string) map[string]any {
		return map[string]any{"@id": "http://schema.org/" + name, "@type": iri["@type"]}
	}
	return &ld.RemoteDocument{DocumentURL: u, Document: map[string]any{"@context": map[string]any{"@vocab": "http://schema.org/",
		"image": term("image"), "url": term("url"), "availability": term("availability"), "itemCondition": term("itemCondition")}}}, nil
}

// expand reads linked data by another library, and gives its nodes.
func expand(t *testing.T, text string) []map[string]any {
	t.Helper()
	var doc any
	if err := json.Unmarshal([]byte(text), &doc); err != nil {
		t.Fatalf("%v: %.200s", err, text)
	}
	o := ld.NewJsonLdOptions("")
	o.DocumentLoader = offline{}
	o.ProcessingMode = ld.JsonLd_1_1
	found, err := ld.NewJsonLdProcessor().Expand(doc, o)
	if err != nil {
		t.Fatal(err)
	}
	var out []map[string]any
	for _, n := range found {
		out = append(out, n.(map[string]any))
	}
	return out
}

// value is the one value of a term, however deep it is said.
func value(n map[string]any, term string) string {
	vs, _ := n["http://schema.org/"+term].([]any)
	if len(vs) != 1 {
		return fmt.Sprint(len(vs), " values")
	}
	v, _ := vs[0].(map[string]any)
	if id, ok := v["@id"]; ok {
		return fmt.Sprint(id)
	}
	return fmt.Sprint(v["@value"])
}

func only(n map[string]any, term string) map[string]any {
	vs, _ := n["http://schema.org/"+term].([]any)
	if len(vs) == 0 {
		return nil
	}
	v, _ := vs[0].(map[string]any)
	return v
}

// What a piece for sale says as linked data means, by the vocabulary of schema.org,
// a Product with an Offer; one that is not for sale has none.
func TestShop_linkedData(t *testing.T) {
	t.Parallel()
	s := newSiteWith(t, Options{Address: "https://taller.example"})
	got := s.get("/shop/shop.jsonld", "seller")
	s.want("linked data", got, http.StatusOK)
	if kind := got.Header().Get("Content-Type"); kind != "application/ld+json" {
		t.Errorf("type %q", kind)
	}
	nodes := expand(t, got.body)
	if len(nodes) != 2 {
		t.Fatalf("%d pieces for sale, want the demo's 2", len(nodes))
	}
	for _, n := range nodes {
		offer := only(n, "offers")
		x := s.pieceNumbered(value(n, "sku"))
		for _, c := range []struct{ what, got, want string }{
			{"type", fmt.Sprint(n["@type"]), "[http://schema.org/Product]"}, {"name", value(n, "name"), x.Value.Cloth},
			{"@id", fmt.Sprint(n["@id"]), "https://taller.example/p/" + x.Value.Card}, {"image", value(n, "image"), "https://taller.example/p/" + x.Value.Card + "/cloth.png"},
			{"offer", fmt.Sprint(offer["@type"]), "[http://schema.org/Offer]"}, {"price", value(offer, "price"), x.Value.Ask.Plain()},
			{"currency", value(offer, "priceCurrency"), x.Value.Ask.Currency}, {"availability", value(offer, "availability"), "https://schema.org/InStock"},
			{"maker", value(only(n, "manufacturer"), "name"), "Taller Mareas de Anzales"}, {"unit", value(only(n, "width"), "unitCode"), "CMT"},
		} {
			if c.got != c.want {
				t.Errorf("%s %s: got %q, want %q", value(n, "name"), c.what, c.got, c.want)
			}
		}
	}
	script := s.page("/p/"+s.ours["card"], "").all("script")
	if len(script) != 1 {
		t.Fatalf("%d scripts on the card", len(script))
	}
	n := expand(t, script[0].text)[0]
	if fmt.Sprint(n["@type"]) != "[http://schema.org/Product]" || value(n, "name") == "" || !strings.Contains(value(n, "material"), "%") {
		t.Errorf("on the card: %v", n)
	}
	s.noFaults()
}

func (s *site) pieceNumbered(n string) workshop.Kept[workshop.Piece] {
	s.Helper()
	for _, x := range must(s.house.Cards(ctx, s.people["head"], workshop.Page{})).Items {
		if fmt.Sprint(x.Value.Number) == n {
			return x
		}
	}
	s.Fatalf("no piece #%s", n)
	return workshop.Kept[workshop.Piece]{}
}

// unzip gives the files of an answer.
func (s *site) unzip(path, who string) map[string][]byte {
	s.Helper()
	got := s.get(path, who)
	s.want(path, got, http.StatusOK)
	r, err := zip.NewReader(bytes.NewReader(got.Body.Bytes()), int64(got.Body.Len()))
	if err != nil {
		s.Fatal(err)
	}
	out := map[string][]byte{}
	for _, f := range r.File {
		body, err := f.Open()
		if err != nil {
			s.Fatal(err)
		}
		out[f.Name] = must(io.ReadAll(body))
	}
	return out
}

// The table for another shop is one that spreadsheets read (RFC 4180), each line with
// a picture that is there.
func TestShop_table(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	files := s.unzip("/shop/shop.zip", "seller")
	rows, err := csv.NewReader(bytes.NewReader(files["shop.csv"])).ReadAll()
	if err != nil || len(rows) != 3 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	for _, row := range rows[1:] {
		x := s.pieceNumbered(row[0])
		if row[1] != x.Value.Cloth || row[3] != x.Value.Ask.Plain() || row[4] != "USD" {
			t.Errorf("got %v", row)
		}
		if _, err := png.Decode(bytes.NewReader(files[row[len(row)-1]])); err != nil {
			t.Errorf("%s: %v", row[len(row)-1], err)
		}
	}
	if len(expand(t, string(files["shop.jsonld"]))) != 2 {
		t.Error("the linked data beside the table")
	}
	s.noFaults()
}

// Exported cards need no server: every file a page names is there, and the folders are
// those of the addresses on the tags.
func TestCards_files(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	files := s.unzip("/cards/cards.zip", "seller")
	pages := 0
	for name, body := range files {
		if path.Ext(name) != ".html" {
			continue
		}
		pages++
		root, err := parse(string(body))
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for _, tag := range []string{"img", "a", "link"} {
			for _, n := range root.all(tag) {
				to := n.attr["src"] + n.attr["href"]
				if files[path.Join(path.Dir(name), to)] == nil {
					t.Errorf("%s: %s is not there", name, to)
				}
			}
		}
	}
	if want := len(must(s.house.Cards(ctx, s.people["head"], workshop.Page{})).Items) + 1; pages != want || files["p/"+s.ours["card"]+"/index.html"] == nil {
		t.Errorf("%d pages, want %d", pages, want)
	}
	s.noFaults()
}
