package sheet_test

import (
	"bytes"
	"errors"
	"image/png"
	"io"
	"math"
	"regexp"
	"strings"
	"testing"

	"urdir/internal/lang"
	"urdir/plan"
	"urdir/sheet"
	"urdir/surface"
)

// book is the sheets of a plan in a language on a paper.
type book struct {
	plan  plan.Plan
	w     *lang.Words
	paper sheet.Paper
	file  []byte
	pages []page
}

func TestPDF(t *testing.T) {
	for _, name := range examples {
		p := example(t, name)
		for _, tag := range lang.Languages {
			for paper, size := range map[string]sheet.Paper{"A4": sheet.A4, "Letter": sheet.Letter} {
				b := book{plan: p, w: words(t, tag), paper: size, file: pdf(t, p, sheet.Options{Language: tag, Paper: size})}
				b.pages = read(t, b.file)
				for check, run := range map[string]func(*testing.T, book){
					"pages": checkPages, "within": checkWithin, "apart": checkApart, "not only signed": checkNotOnlySigned,
					"nothing missing": checkNothingMissing, "says": checkSays, "cares": checkCares,
				} {
					t.Run(name+" "+tag+" "+paper+" "+check, func(t *testing.T) { run(t, b) })
				}
			}
		}
	}
}

// Every page says which it is and of how many, and is of the paper asked for.
func checkPages(t *testing.T, b book) {
	if !bytes.HasPrefix(b.file, []byte("%PDF-")) {
		t.Fatalf("the file begins with %q", b.file[:8])
	}
	pages := b.pages
	if n := bytes.Count(b.file, []byte("/Type /Page\n")); n != len(pages) {
		t.Errorf("%d pages read of %d", len(pages), n)
	}
	least := 1 + len(b.plan.Warps) + len(b.plan.Panels) + len(b.plan.Figures) + 1
	if len(b.plan.Kit) > 0 {
		least++
	}
	if len(pages) < least {
		t.Errorf("%d pages, want %d sheets", len(pages), least)
	}
	for i, pg := range pages {
		if want := b.w.T("page-of", map[string]any{"page": i + 1, "pages": len(pages)}); !pg.has(want) {
			t.Errorf("page %d does not say %q", i+1, want)
		}
		if math.Abs(float64(pg.w-b.paper.W)) > 0.01 || math.Abs(float64(pg.h-b.paper.H)) > 0.01 {
			t.Errorf("page %d is %.1f by %.1f mm, want %v", i+1, pg.w, pg.h, b.paper)
		}
	}
}

// Printers leave about 5 mm blank at the edges (common practice, no source); the
// sheets keep twice that.
func checkWithin(t *testing.T, b book) {
	const edge = 10
	for i, pg := range b.pages {
		for _, x := range pg.texts {
			if x.x < edge || x.x+x.wide > pg.w-edge || x.y-0.75*x.size < edge || x.y > pg.h-edge {
				t.Errorf("page %d: %q goes from %.1f to %.1f mm at %.1f mm, too near the edge of %.0f by %.0f", i+1, x.s, x.x, x.x+x.wide, x.y, pg.w, pg.h)
			}
		}
	}
}

// Words on words cannot be read.
func checkApart(t *testing.T, b book) {
	for i, pg := range b.pages {
		overlaps(t, i, pg)
	}
}

func overlaps(t *testing.T, i int, pg page) {
	t.Helper()
	for j, a := range pg.texts {
		for _, b := range pg.texts[:j] {
			across := min(a.x+a.wide, b.x+b.wide) - max(a.x, b.x)
			up := min(a.y, b.y) - max(a.y-a.size*0.75, b.y-b.size*0.75)
			if across > 0.2 && up > 0.3 {
				t.Fatalf("page %d: %q at %.1f, %.1f mm lies over %q at %.1f, %.1f mm", i+1, a.s, a.x, a.y, b.s, b.x, b.y)
			}
		}
	}
}

// A panel of very many bands still has a line for each of them that can be read.
func TestPDF_manyBands(t *testing.T) {
	p := planOf(t, []byte(`urdir: 1
name: Muestrario
weft: ink
picks: 6 /cm
yarns:
  ink: {label: Tinta, letter: T, colour: "#2a2f45", fibre: cotton, count: Ne 16/2, strands: 2}
warps:
  body: {sett: 28 /cm, stripes: [1 part ink]}
panels:
  body:
    warp: body
    width: 10 cm
    length: 120 cm
    bands: [{repeat: 60, of: [{woven: 1 cm}, {open: 1 cm}]}]
`))
	lines := 0
	for i, pg := range read(t, pdf(t, p, sheet.Options{Language: "en", Paper: sheet.A4})) {
		overlaps(t, i, pg)
		for _, x := range pg.texts {
			if strings.HasPrefix(x.s, "open band") || strings.HasPrefix(x.s, "woven ·") {
				lines++
			}
		}
	}
	if lines != 120 {
		t.Errorf("%d bands have a line, want 120", lines)
	}
}

// A page with nothing but its heading and a line to sign wastes paper and parts
// the signature from what is signed.
func checkNotOnlySigned(t *testing.T, b book) {
	for i, pg := range b.pages {
		const headAndFoot = 2 + 4 // left and right below; title, of what, name and pieces above
		if n := len(pg.texts) - headAndFoot; n < 2 {
			t.Errorf("page %d says only %q", i+1, pg.line())
		}
	}
}

// A word that is missing comes in brackets, a value that is missing as the
// template's mark, a letter that is missing as U+FFFD.
func checkNothingMissing(t *testing.T, b book) {
	missing := regexp.MustCompile(`\[[a-z0-9.-]+\]|<no value>|\{\{|\x{fffd}|%!|NaN|Inf`)
	for i, pg := range b.pages {
		for _, x := range pg.texts {
			if m := missing.FindString(x.s); m != "" {
				t.Errorf("page %d: %q in %q", i+1, m, x.s)
			}
		}
	}
}

// The sheets say what a weaver needs: the piece, every yarn by name and letter,
// and for each warp its ends, its circuits, its running counts to the last.
func checkSays(t *testing.T, b book) {
	pages := b.pages
	for i, pg := range pages {
		if !pg.has(b.plan.Name) {
			t.Errorf("page %d does not say what it is for", i+1)
		}
	}
	order, list := pages[0], sheetPages(pages, b.w.T("yarn-list", nil), b.plan.Name)
	if b.plan.Customer != "" && !strings.Contains(order.line(), b.plan.Customer) {
		t.Errorf("the order does not say it is for %s", b.plan.Customer)
	}
	for _, y := range b.plan.Yarns {
		for _, on := range []page{order, list} {
			if !on.has(y.Label) || !on.has(y.Letter) {
				t.Errorf("no %s with its letter %s among %q", y.Label, y.Letter, on.line())
			}
		}
		if !list.has(b.w.S(y.Mass)) {
			t.Errorf("the yarn list does not say %s of %s", b.w.S(y.Mass), y.Label)
		}
	}
	for i := range b.plan.Warps {
		wp := &b.plan.Warps[i]
		on := sheetPages(pages, b.w.T("warp-sheet", nil), wp.Key)
		for _, want := range []string{b.w.Int(wp.Ends), circuits(b.w, float64(wp.Circuits)), b.w.Long(wp.LayLength())} {
			if !on.has(want) {
				t.Errorf("the sheet of warp %s does not say %s", wp.Key, want)
			}
		}
		for _, y := range wp.Yarns {
			if !on.has(b.plan.Yarn(y.Yarn).Letter) {
				t.Errorf("the sheet of warp %s has no letter for %s", wp.Key, y.Yarn)
			}
		}
		ends := 0
		for _, s := range wp.Stripes {
			if ends += s.Ends; !on.has(b.w.Int(ends)) {
				t.Errorf("the sheet of warp %s does not count %d ends", wp.Key, ends)
			}
		}
		if ends != wp.Ends {
			t.Errorf("stripes of %d ends in a warp of %d", ends, wp.Ends)
		}
	}
}

// circuits writes a number of circuits of which the last may be half.
func circuits(w *lang.Words, n float64) string {
	whole := math.Floor(n)
	if n > whole {
		return w.Int(int(whole)) + "½"
	}
	return w.Int(int(whole))
}

// sheetPages is all that stands on the pages of a sheet.
func sheetPages(pages []page, title, of string) (out page) {
	for _, pg := range pages {
		if pg.has(title) && pg.has(of) {
			out.texts = append(out.texts, pg.texts...)
		}
	}
	return out
}

// Where work can hurt, the sheet for it says so: dust and strain at the warping
// frame, strain at the loom, dust and dye at the yarn, scissors in a class.
func checkCares(t *testing.T, b book) {
	said := map[string]map[string][]string{
		"en": {"warp-sheet": {"dust", "mask", "back", "rest", "children"}, "tying-sheet": {"wrists", "rest", "hot", "gloves", "air the place", "children", "ocal rules"}, "weaver-sheet": {"backstrap", "rest", "wrist", "ocal rules"},
			"yarn-list": {"dust", "gloves", "ocal rules"}, "kit-list": {"scissors", "rest"}},
		"es": {"warp-sheet": {"polvo", "mascarilla", "espalda", "descans", "niños"}, "tying-sheet": {"muñecas", "descans", "quema", "guantes", "ventile", "niños", "reglas locales"}, "weaver-sheet": {"mecapal", "descans", "muñecas", "reglas locales"},
			"yarn-list": {"polvo", "guantes", "reglas locales"}, "kit-list": {"tijeras", "descans"}},
	}
	pages := b.pages
	check := func(title, of string) {
		on := sheetPages(pages, b.w.T(title, nil), of).line()
		for _, want := range said[b.w.Tag][title] {
			if !strings.Contains(on, want) {
				t.Errorf("the %s of %s says nothing of %q", title, of, want)
			}
		}
	}
	for _, x := range b.plan.Warps {
		check("warp-sheet", x.Key)
	}
	for _, x := range b.plan.Panels {
		if x.Tied != nil {
			check("tying-sheet", x.Key)
		}
		check("weaver-sheet", x.Key)
	}
	check("yarn-list", b.plan.Name)
	if len(b.plan.Kit) > 0 {
		check("kit-list", b.plan.Name)
	}
	for _, c := range b.plan.Cautions {
		what, mend := b.w.Problem(c)
		if !strings.Contains(squeeze(pages[0].line()), squeeze(what+" "+mend)) {
			t.Errorf("the order does not warn: %s %s", what, mend)
		}
	}
}

// squeeze makes a text one line however it was broken.
func squeeze(s string) string { return strings.Join(strings.Fields(s), " ") }

// Printed grey, yarns are told apart by their letter and their hatch.
func TestPlan_yarnsDifferInGrey(t *testing.T) {
	for _, name := range examples {
		letters, hatches := map[string]string{}, map[int]string{}
		for _, y := range example(t, name).Yarns {
			if other, twice := letters[y.Letter]; twice || y.Letter == "" {
				t.Errorf("%s: letter %q is that of %s and of %s", name, y.Letter, other, y.Key)
			}
			if other, twice := hatches[y.Hatch%surface.Hatches]; twice {
				t.Errorf("%s: hatch %d is that of %s and of %s", name, y.Hatch, other, y.Key)
			}
			letters[y.Letter], hatches[y.Hatch%surface.Hatches] = y.Key, y.Key
		}
	}
}

// One picture a page, all as wide, with as many pages as the PDF.
func TestPictures(t *testing.T) {
	for _, name := range examples {
		p := example(t, name)
		options := []sheet.Options{{Language: "es", Paper: sheet.A4}}
		if name == "class" { // the one with every kind of sheet
			options = append(options, sheet.Options{Language: "en", Paper: sheet.Letter})
		}
		for _, o := range options {
			names := map[string]bool{}
			err := sheet.Pictures(p, o, func(pg sheet.Page) error {
				if names[pg.Name] {
					t.Errorf("%s: two pages %s", name, pg.Name)
				}
				names[pg.Name] = true
				var b bytes.Buffer
				if _, err := pg.PNG.WriteTo(&b); err != nil {
					return err
				}
				img, err := png.Decode(&b)
				if err != nil {
					return err
				}
				size := img.Bounds().Size()
				if want := math.Round(1240 * float64(o.Paper.H/o.Paper.W)); size.X != 1240 || float64(size.Y) != want {
					t.Errorf("%s %s is %v, want 1240 by %v", name, pg.Name, size, want)
				}
				return nil
			})
			if err != nil {
				t.Fatal(err)
			}
			if want := len(read(t, pdf(t, p, o))); len(names) != want {
				t.Errorf("%s: %d pictures of %d pages", name, len(names), want)
			}
		}
	}
}

func TestPictures_stopsAtAnError(t *testing.T) {
	full, times := errors.New("no space left"), 0
	err := sheet.Pictures(example(t, "class"), sheet.Options{Language: "en", Paper: sheet.A4}, func(sheet.Page) error {
		times++
		return full
	})
	if !errors.Is(err, full) || times != 1 {
		t.Errorf("got %v after %d pages, want %v after one", err, times, full)
	}
}

func TestPDF_sameEveryTime(t *testing.T) {
	for _, name := range examples {
		o := sheet.Options{Language: "es", Paper: sheet.A4}
		if a, b := pdf(t, example(t, name), o), pdf(t, example(t, name), o); !bytes.Equal(a, b) {
			t.Errorf("%s: two files of one plan differ", name)
		}
	}
}

func TestPDF_unknownLanguage(t *testing.T) {
	p, o := example(t, "class"), sheet.Options{Language: "xx", Paper: sheet.A4}
	if err := sheet.PDF(io.Discard, p, o); err == nil {
		t.Error("PDF: no error for a language without words")
	}
	if err := sheet.Pictures(p, o, func(sheet.Page) error { return nil }); err == nil {
		t.Error("Pictures: no error for a language without words")
	}
}
