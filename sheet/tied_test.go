package sheet_test

import (
	"fmt"
	"strings"
	"testing"

	"urdir/internal/lang"
	"urdir/plan"
	"urdir/sheet"
)

// tiedCloth is three panels on one warp without a frame. A panel is 20 cm of
// loom length. Bundles 1, 3 and 4 are tied alike.
const tiedCloth = `urdir: 1
name: Muestra amarrada
weft: ink
picks: 6 /cm
shrinkage: {length: 0 %, width: 0 %}
order: {pieces: 3}
yarns:
  ink: {label: Tinta, letter: T, colour: "#2a2f45", count: Ne 8/2, strands: 2}
warps:
  body: {sett: 22 /cm, waste: 20 cm, between: 4 cm, stripes: [220 ink]}
panels:
  body:
    warp: body
    bands: [{woven: 20 cm}]
    tied:
      bundle: 10
      before: 50 %
      marks:
        - {ends: 11-20, from: 5 cm, to: 8 cm, mirror: yes}
        - {ends: 31-40, from: 2 cm, to: 4 cm}
        - {ends: 91-100, from: 5 cm, to: 8 cm}
`

// tiePages are the pages of the tie guide.
func tiePages(t *testing.T, p plan.Plan, w *lang.Words) page {
	t.Helper()
	return sheetPages(read(t, pdf(t, p, sheet.Options{Language: w.Tag, Paper: sheet.A4})), w.T("tying-sheet", nil), "body")
}

// Half of 20 cm of waste lies before the first panel. With a take-up c a mark at
// 5 cm begins 5(1+c) cm after the panel does, and the next panel 20(1+c) + 4 cm
// after the one before.
func TestPDF_tieGuide(t *testing.T) {
	p := planOf(t, []byte(tiedCloth))
	c := 1 + float64(p.Panels[0].Bands[0].TakeUp.Middle)
	for _, tag := range lang.Languages {
		w := words(t, tag)
		on := tiePages(t, p, w)
		span := func(from, to float64) string { return w.Num(from, 1) + " – " + w.Num(to, 1) }
		for _, want := range []string{
			w.Int(12), w.Int(4), // ties and bundles
			span(5*c, 8*c), span(10+5*c, 10+8*c), span(10+20*c+4+5*c, 10+20*c+4+8*c), span(10+40*c+8+5*c, 10+40*c+8+8*c),
			span(2*c, 4*c), span(10+2*c, 10+4*c),
			w.N("tying-group", 3, map[string]any{"list": "1, 3–4"}), w.N("tying-group", 1, map[string]any{"list": "2"}),
			w.T("tying-ends", map[string]any{"list": "11–20, 91–100, 201–210"}),
		} {
			if !on.has(want) {
				t.Errorf("%s: the tie guide does not say %q", tag, want)
			}
		}
		if on.has(w.T("tying-out", nil)) {
			t.Errorf("%s: there is no frame, but the guide speaks of one", tag)
		}
		if !strings.Contains(squeeze(on.line()), w.T("tying-yarn", map[string]any{"letter": "T", "label": "Tinta", "tied": 40, "ends": 220})) {
			t.Errorf("%s: not said which yarn is laid undyed: %s", tag, on.line())
		}
	}
}

// A tied cloth without the ties has no such sheet.
func TestNames_tieGuide(t *testing.T) {
	o := sheet.Options{Language: "es", Paper: sheet.Letter}
	for text, want := range map[string]bool{tiedCloth: true, tiedCloth[:strings.Index(tiedCloth, "    tied:")]: false} {
		names, err := sheet.Names(planOf(t, []byte(text)), o)
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.Contains(strings.Join(names, " "), "tie-body"); got != want {
			t.Errorf("pages %q, a tie guide among them: %v, want %v", names, got, want)
		}
	}
}

// Very many bundles, all different or all alike, still stand apart and on paper.
func TestPDF_manyTies(t *testing.T) {
	var unlike strings.Builder
	for i := range 70 {
		fmt.Fprintf(&unlike, "        - {ends: %d-%d, from: %d mm, to: %d mm}\n", 3*i+1, 3*i+3, 2*i+1, 2*i+31)
	}
	marks := tiedCloth[strings.Index(tiedCloth, "        - {ends: 11"):]
	for name, text := range map[string]string{
		"unlike": strings.Replace(tiedCloth, marks, unlike.String(), 1),
		"alike":  strings.Replace(strings.Replace(tiedCloth, marks, "        - {ends: 1-220, from: 1 cm, to: 2 cm, every: 3 cm}\n", 1), "bundle: 10", "bundle: 3", 1),
	} {
		p := planOf(t, []byte(text))
		b := book{plan: p, w: words(t, "es"), paper: sheet.Letter, file: pdf(t, p, sheet.Options{Language: "es", Paper: sheet.Letter})}
		for _, pg := range read(t, b.file) {
			if pg.has(b.w.T("tying-sheet", nil)) {
				b.pages = append(b.pages, pg)
			}
		}
		t.Run(name, func(t *testing.T) {
			checkWithin(t, b)
			checkApart(t, b)
			checkNothingMissing(t, b)
		})
		if n := len(b.pages); n < 2 || n > 25 {
			t.Errorf("%s: %d pages", name, n)
		}
	}
}
