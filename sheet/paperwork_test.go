package sheet_test

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"urdir/label"
	"urdir/price"
	"urdir/sheet"
)

func usd(cents int64) price.Money { return price.Money{Minor: cents, Currency: "USD"} }

var workshopOf = sheet.Maker{Name: "Taller del Estero", Lines: []string{"Camino de la Laguna 4", "Costa Larga"}}

// rebozo is the quote of docs/price.md: two pieces sold at a fair.
func rebozo(t *testing.T) price.Quote {
	t.Helper()
	q, ps := price.Make(price.Asked{
		Order: price.Order{Currency: "USD", Pieces: 2,
			Materials: []price.Material{{Name: "cotton", Used: 600, Lot: 1000, Cost: usd(2000)}},
			Work: []price.Work{{Step: "lay", Minutes: 180, Pay: price.Pay{Per: price.PerHour, Rate: usd(500)}}, {Step: "weave", Minutes: 1920, Pay: price.Pay{Per: price.PerPiece, Rate: usd(8000)}},
				{Step: "bordar", Minutes: 60, Pay: price.Pay{Per: price.PerStep, Rate: usd(800)}}},
			Expenses: []price.Expense{{Kind: price.Fuel, Amount: usd(150)}}, Overhead: []price.Overhead{{Per: price.PerHour, Rate: usd(40)}}},
		Channel: price.Channel{Kind: price.Fair, Percent: price.PerCent(10)}, Tax: price.Tax{Name: "IVA", Percent: price.PerCent(12), Included: true},
		Aim: price.Aim{Markup: price.PerCent(25)}, Custom: price.Customary{Step: 500}, Deposit: price.PerCent(50), Issued: "2031-05-06", Until: "2031-06-05"})
	if ps.Failed() {
		t.Fatal(ps)
	}
	return q
}

func quotePaper(t *testing.T) sheet.QuotePaper {
	p := example(t, "scarf")
	return sheet.QuotePaper{Maker: workshopOf, Number: "P-2031-0001", Customer: "Posada Los Juncos", Name: "Rebozo de la orilla", Cloth: &p, Ready: "2031-07-01",
		Quote: rebozo(t), Parts: true, Terms: "El anticipo se devuelve si no cumplimos la fecha.\nLos colores de plantas varían de tanda a tanda."}
}

func payslip() sheet.Payslip {
	v := sheet.Payslip{Maker: workshopOf, Number: "L-2031-0001", Member: "Benita Solórzano", Month: "2031-05", Minutes: 2280, Earned: usd(14900), Hourly: usd(392),
		Withheld: usd(1490), Owed: usd(3510), Due: usd(13410), On: "2031-05-31", By: "Baldomera"}
	for range 3 {
		v.Works = append(v.Works, sheet.Paywork{At: "2031-05-06", Step: "weave", Name: "#12 Rebozo de la orilla · body", Minutes: 640, Usual: true, Pay: usd(4300)},
			sheet.Paywork{At: "2031-05-09", Step: "teach", Name: "clase de peine", Minutes: 120, Pay: usd(666)})
	}
	return v
}

func tag(t *testing.T) sheet.Tag {
	t.Helper()
	c, ps := label.Reckon([]label.Part{{Fibre: label.Cotton, Mass: 180_000}, {Fibre: label.Silk, Mass: 40_000}}, label.Options{Rule: label.EU})
	if ps.Failed() {
		t.Fatal(ps)
	}
	return sheet.Tag{Name: "Rebozo de la orilla", Number: 1042, Words: "tejido en telar de cintura", Address: "https://taller.example/p/abcd2345efgh",
		Tag: label.Tag{Content: c, Care: label.Usual([]label.Fibre{label.Cotton, label.Silk}, true), Country: "Costa Larga", Maker: "Taller del Estero", Size: "170 × 55 cm"}}
}

// papers is every paper, in a language.
func papers(t *testing.T, o sheet.Options) map[string][]byte {
	t.Helper()
	invoice := sheet.InvoicePaper{Maker: workshopOf, Number: "F-2031-0001", Customer: "Posada Los Juncos", On: "2031-05-20", Order: "#12",
		Lines: []sheet.InvoiceLine{{"Rebozo de la orilla", 2, usd(17500), usd(35000)}}, Net: usd(31250), Tax: usd(3750), TaxName: "IVA", TaxRate: price.PerCent(12), Total: usd(35000), Deposit: usd(17500)}
	counter := invoice
	counter.Number, counter.Cancels, counter.Note = "A-2031-0001", "F-2031-0001", "El precio era otro."
	receipt := sheet.ReceiptPaper{Maker: workshopOf, Number: "R-2031-0001", Customer: "Posada Los Juncos", On: "2031-05-21", Order: "#12", Amount: usd(17500), Still: usd(0), By: "Baldomera"}
	out := map[string][]byte{}
	keep := func(name string, write func(*bytes.Buffer) error) {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		out[name] = b.Bytes()
	}
	keep("quote", func(b *bytes.Buffer) error { return sheet.Quote(b, quotePaper(t), o) })
	keep("invoice", func(b *bytes.Buffer) error { return sheet.Invoice(b, invoice, o) })
	keep("counter", func(b *bytes.Buffer) error { return sheet.Invoice(b, counter, o) })
	keep("receipt", func(b *bytes.Buffer) error { return sheet.Receipt(b, receipt, o) })
	keep("payslip", func(b *bytes.Buffer) error { return sheet.PaySlip(b, payslip(), o) })
	many := slices.Repeat([]sheet.Tag{tag(t)}, 9)
	keep("tags", func(b *bytes.Buffer) error { return sheet.Tags(b, many, sheet.LabelOptions{Options: o}) })
	keep("tag-62x100", func(b *bytes.Buffer) error {
		return sheet.Tags(b, many[:1], sheet.LabelOptions{Options: o, Size: sheet.Paper{W: 62, H: 100}})
	})
	keep("tag-100x62", func(b *bytes.Buffer) error {
		return sheet.Tags(b, many[:1], sheet.LabelOptions{Options: o, Size: sheet.Paper{W: 100, H: 62}})
	})
	return out
}

// Every paper says what it must, in both languages, on both papers.
func TestPaperwork_says(t *testing.T) {
	for _, o := range []sheet.Options{{Language: "es", Paper: sheet.A4}, {Language: "en", Paper: sheet.Letter}} {
		w := words(t, o.Language)
		for name, file := range papers(t, o) {
			if dir := os.Getenv("SHEETS"); dir != "" { // to be looked at
				if err := os.WriteFile(filepath.Join(dir, name+"-"+o.Language+".pdf"), file, 0o600); err != nil {
					t.Fatal(err)
				}
			}
			text := everyWord(t, file)
			for _, want := range map[string][]string{
				"quote":      {"P-2031-0001", "Posada Los Juncos", "Rebozo de la orilla", w.T("cost-materials", nil), w.T("paywork-weave", nil), "bordar", "100 %", "IVA 12 %", w.S(rebozo(t).Sale.Paid)},
				"invoice":    {"F-2031-0001", w.S(usd(31250)), w.S(usd(3750)), w.S(usd(35000)), w.S(usd(17500))},
				"counter":    {"A-2031-0001", "F-2031-0001", w.T("paper-counter", nil), "El precio era otro."},
				"receipt":    {"R-2031-0001", w.S(usd(17500)), w.T("paper-maker-sign", nil)},
				"payslip":    {"Benita Solórzano", w.T("paywork-teach", nil), w.S(usd(13410)), w.T("paper-thumb", nil)},
				"tags":       {"82 % " + w.T("fibre-cotton", nil), "18 % " + w.T("fibre-silk", nil), "1042", "Taller del Estero"},
				"tag-62x100": {w.T("care-wash-hand", nil)[:10], "170 × 55 cm"},
				"tag-100x62": {w.T("tag-made-in", map[string]any{"country": "Costa Larga"})},
			}[name] {
				if !strings.Contains(text, spaced(want)) {
					t.Errorf("%s in %s has no %q:\n%s", name, o.Language, want, text)
				}
			}
			if strings.Contains(text, "[") {
				t.Errorf("%s in %s: words are missing: %s", name, o.Language, text)
			}
		}
	}
}

// A quote without parts shows nothing of what the workshop pays.
func TestQuote_keepsCosts(t *testing.T) {
	q := quotePaper(t)
	q.Parts = false
	var b bytes.Buffer
	if err := sheet.Quote(&b, q, sheet.Options{Language: "en", Paper: sheet.A4}); err != nil {
		t.Fatal(err)
	}
	text, w := everyWord(t, b.Bytes()), words(t, "en")
	for _, l := range q.Quote.Costing.Lines {
		if strings.Contains(text, spaced(w.S(l.Amount))) {
			t.Errorf("%s of %v is on it", l.Name, l.Amount)
		}
	}
}

// Pictures are the pages of the document.
func TestPaperwork_pictures(t *testing.T) {
	var names []string
	done := func(p sheet.Page) error { names = append(names, p.Name); return nil }
	o := sheet.Options{Language: "es", Paper: sheet.A4}
	err := errors.Join(sheet.QuotePictures(quotePaper(t), o, done), sheet.PaySlipPictures(payslip(), o, done),
		sheet.InvoicePictures(sheet.InvoicePaper{Maker: workshopOf}, o, done), sheet.ReceiptPictures(sheet.ReceiptPaper{Maker: workshopOf}, o, done))
	if want := []string{"1-quote", "1-pay", "1-invoice", "1-receipt"}; err != nil || !slices.Equal(names, want) {
		t.Errorf("pages %v, want %v (%v)", names, want, err)
	}
}

// What cannot be printed is refused, and not printed so that it cannot be read.
func TestTags_refused(t *testing.T) {
	full := tag(t)
	full.Words = strings.Repeat("palabras y más palabras ", 60)
	long := tag(t)
	long.Address = "https://taller.example/" + strings.Repeat("p", 2000)
	for _, c := range []struct {
		name string
		tags []sheet.Tag
		size sheet.Paper
		want error
	}{
		{"none", nil, sheet.Paper{}, sheet.ErrNoLabels},
		{"too small", []sheet.Tag{tag(t)}, sheet.Paper{W: 62, H: 29}, sheet.ErrLabelSize},
		{"too many words", []sheet.Tag{full}, sheet.Paper{}, sheet.ErrTagFull},
		{"an address too long", []sheet.Tag{long}, sheet.Paper{}, sheet.ErrAddress},
	} {
		err := sheet.Tags(&bytes.Buffer{}, c.tags, sheet.LabelOptions{Options: sheet.Options{Language: "es", Paper: sheet.A4}, Size: c.size})
		if !errors.Is(err, c.want) {
			t.Errorf("%s: got %v, want %v", c.name, err, c.want)
		}
	}
}
