package sheet_test

import (
	"bytes"
	"errors"
	"fmt"
	"image/png"
	"io"
	"maps"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/makiuchi-d/gozxing"
	multi "github.com/makiuchi-d/gozxing/multi/qrcode"
	"pgregory.net/rapid"

	"urdir/internal/lang"
	"urdir/measure"
	"urdir/sheet"
)

// skeins is the labels of a lot, each with an address of its own.
func skeins(n int) (ls []sheet.Label) {
	for i := range n {
		ls = append(ls, sheet.Label{Lot: "G-12", Letter: "G", Colour: "#9c2a4a", Hatch: 3, Recipe: "Grana sobre lana", Dyed: "2031-05-06", Fibre: "wool", Count: "Nm 34/2",
			Grams: 100, Skein: i + 1, Of: n, Address: fmt.Sprintf("https://taller.example/yarn/01J9ZQ7M3K8V/%d", i+1)})
	}
	return ls
}

// rolls are labels as printers of labels take them.
var rolls = []sheet.Paper{{W: 62, H: 29}, {W: 100, H: 50}, sheet.LeastLabel, {W: 62, H: 100}}

func labelPDF(t testing.TB, ls []sheet.Label, o sheet.LabelOptions) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := sheet.Labels(&b, ls, o); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Twelve labels fill a sheet and begin another; a printer of labels gets a page
// each. All say what they are, on the paper, no words over others.
func TestLabels(t *testing.T) {
	long := skeins(12)
	for i := range long {
		long[i].Lot, long[i].Recipe, long[i].Letter = strings.Repeat("Cochinilla ", i), strings.Repeat("Grana cochinilla sobre lana ", i), "WM"
		long[i].Count, long[i].Grams = "worsted 24/2", 1234567
	}
	for _, tag := range lang.Languages {
		for _, paper := range []sheet.Paper{sheet.A4, sheet.Letter} {
			o := sheet.LabelOptions{Options: sheet.Options{Language: tag, Paper: paper}}
			b := book{w: words(t, tag), paper: paper}
			for _, ls := range [][]sheet.Label{skeins(12), long} {
				b.pages = read(t, labelPDF(t, ls, o))
				if len(b.pages) != 2 || math.Abs(float64(b.pages[0].w-paper.W)) > 0.01 {
					t.Errorf("%d pages of %.1f mm", len(b.pages), b.pages[0].w)
				}
				checkWithin(t, b)
				checkApart(t, b)
				checkNothingMissing(t, b)
			}
		}
		for _, size := range rolls {
			for _, ls := range [][]sheet.Label{skeins(12), long} {
				pages := read(t, labelPDF(t, ls, sheet.LabelOptions{Options: sheet.Options{Language: tag}, Size: size}))
				if len(pages) != len(ls) {
					t.Errorf("%d pages of %d labels", len(pages), len(ls))
				}
				checkApart(t, book{pages: pages})
				checkNothingMissing(t, book{pages: pages})
				checkRoll(t, size, pages)
			}
		}
	}
}

// checkRoll asks that words keep off the edge, where printers of labels leave 1.5
// mm blank, and can be read at arm's length: ISO 9241-303 allows capitals of 10
// minutes of arc where few words are read (from memory), which at 60 cm is 1.75 mm;
// capitals are 0.73 of a letter's size.
func checkRoll(t *testing.T, size sheet.Paper, pages []page) {
	t.Helper()
	const edge = 1.5
	least := measure.MM(600 * math.Tan(10.0/60*math.Pi/180) / 0.73)
	for i, pg := range pages {
		if math.Abs(float64(pg.w-size.W)) > 0.01 || math.Abs(float64(pg.h-size.H)) > 0.01 {
			t.Errorf("label %d is %.1f by %.1f mm, want %v", i+1, pg.w, pg.h, size)
		}
		for _, x := range pg.texts {
			if x.x < edge || x.x+x.wide > size.W-edge || x.y-0.75*x.size < edge || x.y+0.25*x.size > size.H-edge {
				t.Errorf("label %d of %v: %q goes from %.1f to %.1f mm at %.1f mm", i+1, size, x.s, x.x, x.x+x.wide, x.y)
			}
			if x.size < least {
				t.Errorf("label %d of %v: %q is written %.2f mm high, want %.2f", i+1, size, x.s, x.size, least)
			}
		}
	}
}

func TestLabels_says(t *testing.T) {
	day := time.Date(2031, 5, 6, 0, 0, 0, 0, time.UTC)
	for _, tag := range lang.Languages {
		w := words(t, tag)
		for _, size := range append(slices.Clone(rolls), sheet.Paper{}) {
			pages := read(t, labelPDF(t, skeins(10), sheet.LabelOptions{Options: sheet.Options{Language: tag, Paper: sheet.A4}, Size: size}))
			yarn := w.S(measure.Gram(100)) + " · " + w.T("fibre-wool", nil) + " · Nm 34/2"
			for _, want := range []string{"G", "G-12", "Grana sobre lana", w.T("label-skein", map[string]any{"skein": 1, "of": 10}), yarn, w.Date(day)} {
				if !pages[0].has(want) {
					t.Errorf("%s, %v: no %q among %q", tag, size, want, pages[0].line())
				}
			}
		}
	}
}

// What is not known is left out, and what is left stands all the same.
func TestLabels_little(t *testing.T) {
	pages := read(t, labelPDF(t, []sheet.Label{{Lot: "G-12"}, {Lot: "Cempasúchil"}, {}}, sheet.LabelOptions{Options: sheet.Options{Language: "es"}, Size: rolls[0]}))
	for i, want := range []string{"G-12", "Cempasúchil", ""} {
		if got := pages[i].line(); got != want {
			t.Errorf("label %d says %q, want %q", i+1, got, want)
		}
	}
}

// Every QR code on a page is read by another library than the one that wrote it (a
// port of ZXing), in colour and as a picture for a telephone.
func TestLabelPictures_codes(t *testing.T) {
	for size, perPage := range map[sheet.Paper]int{{}: 10, rolls[0]: 1, rolls[1]: 1} {
		want, got, pages := map[string]bool{}, map[string]bool{}, 0
		for _, l := range skeins(12) {
			want[l.Address] = true
		}
		err := sheet.LabelPictures(skeins(12), sheet.LabelOptions{Options: sheet.Options{Language: "es", Paper: sheet.A4}, Size: size}, func(p sheet.Page) error {
			if pages++; p.Name != fmt.Sprintf("%d-labels", pages) {
				t.Errorf("page %d is named %s", pages, p.Name)
			}
			found := codes(t, p)
			if len(found) > perPage {
				t.Errorf("%d codes on a page", len(found))
			}
			for _, text := range found {
				got[text] = true
			}
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		if !maps.Equal(got, want) {
			t.Errorf("%v: read %q", size, slices.Sorted(maps.Keys(got)))
		}
	}
}

// codes reads the QR codes of a page.
func codes(t tester, p sheet.Page) (texts []string) {
	t.Helper()
	var b bytes.Buffer
	if _, err := p.PNG.WriteTo(&b); err != nil {
		t.Fatal(err)
	}
	img, err := png.Decode(&b)
	if err != nil {
		t.Fatal(err)
	}
	if img.Bounds().Dx() != 1240 {
		t.Fatal("a page of ", img.Bounds())
	}
	bits, err := gozxing.NewBinaryBitmapFromImage(img)
	if err != nil {
		t.Fatal(err)
	}
	found, err := multi.NewQRCodeMultiReader().DecodeMultiple(bits, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range found {
		texts = append(texts, r.GetText())
	}
	return texts
}

// tester is a test, be it of testing or of rapid.
type tester interface {
	Helper()
	Fatal(args ...any)
}

// An address is read from a label of 62 by 29, or it is refused. 122 letters always
// have room: QR version 7 holds as many bytes at level M in 45 modules (ISO/IEC
// 18004, table 7, from memory), which with the blank are 53, of 0.375 mm 19.9 mm.
func TestLabelPictures_anyAddress(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		address := "https://" + rapid.StringMatching(`[a-z0-9./?=&%-]{1,300}`).Draw(t, "address")
		l := sheet.Label{Lot: "G-12", Colour: "#000000", Address: address}
		err := sheet.LabelPictures([]sheet.Label{l}, sheet.LabelOptions{Options: sheet.Options{Language: "es"}, Size: rolls[0]}, func(p sheet.Page) error {
			if got := codes(t, p); len(got) != 1 || got[0] != address {
				t.Fatalf("read %q, want %q", got, address)
			}
			return nil
		})
		switch {
		case err != nil && !errors.Is(err, sheet.ErrAddress):
			t.Fatal(err)
		case err != nil && len(address) <= 122:
			t.Fatalf("%d letters are too long", len(address))
		case err == nil && len(address) > 250:
			t.Fatalf("%d letters on a label of 62 by 29", len(address))
		}
	})
}

func TestLabels_refused(t *testing.T) {
	es := sheet.Options{Language: "es", Paper: sheet.A4}
	nan := measure.MM(math.NaN())
	for _, c := range []struct {
		ls   []sheet.Label
		o    sheet.LabelOptions
		want error
	}{
		{nil, sheet.LabelOptions{Options: es}, sheet.ErrNoLabels},
		{skeins(1), sheet.LabelOptions{Options: es, Size: sheet.Paper{W: 62, H: 12}}, sheet.ErrLabelSize},
		{skeins(1), sheet.LabelOptions{Options: es, Size: sheet.Paper{W: 29, H: 62}}, sheet.ErrLabelSize},
		{skeins(1), sheet.LabelOptions{Options: es, Size: sheet.Paper{W: 400, H: 50}}, sheet.ErrLabelSize},
		{skeins(1), sheet.LabelOptions{Options: es, Size: sheet.Paper{W: nan, H: nan}}, sheet.ErrLabelSize},
		{[]sheet.Label{{Address: strings.Repeat("x", 5000)}}, sheet.LabelOptions{Options: es}, sheet.ErrAddress},
	} {
		err := sheet.Labels(io.Discard, c.ls, c.o)
		pictures := sheet.LabelPictures(c.ls, c.o, func(sheet.Page) error { return nil })
		if !errors.Is(err, c.want) || !errors.Is(pictures, c.want) {
			t.Errorf("%v: got %v and %v, want %v", c.o.Size, err, pictures, c.want)
		}
	}
	full := errors.New("no space left")
	if err := sheet.LabelPictures(skeins(30), sheet.LabelOptions{Options: es}, func(sheet.Page) error { return full }); !errors.Is(err, full) {
		t.Errorf("got %v", err)
	}
	xx := sheet.LabelOptions{Options: sheet.Options{Language: "xx", Paper: sheet.A4}}
	if sheet.Labels(io.Discard, skeins(1), xx) == nil || sheet.LabelPictures(skeins(1), xx, func(sheet.Page) error { return nil }) == nil {
		t.Error("no error for a language without words")
	}
}

func TestLabels_sameEveryTime(t *testing.T) {
	o := sheet.LabelOptions{Options: sheet.Options{Language: "en", Paper: sheet.Letter}}
	if !bytes.Equal(labelPDF(t, skeins(12), o), labelPDF(t, skeins(12), o)) {
		t.Error("two files of the same labels differ")
	}
}
