package screen_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/clothfile"
	"urdir/design"
	"urdir/figure"
	"urdir/internal/screen"
	"urdir/measure"
	"urdir/plan"
)

// anyFigure is any figure of the library.
func anyFigure(t *rapid.T) plan.Figure {
	all := rapid.SliceOfNDistinct(rapid.SampledFrom([]rune("xoAb7ñ#'\"-:&*!|>%@,?~")), 1, 5, rapid.ID[rune]).Draw(t, "signs")
	f := plan.Figure{Key: "figure", Sale: plan.SaleYes}
	kind := rapid.SampledFrom([]figure.Kind{figure.Brocade, figure.PickUp}).Draw(t, "kind")
	if kind == figure.PickUp {
		all = all[:min(len(all), 2)]
	}
	var symbols []figure.Symbol
	for _, ch := range all {
		symbols = append(symbols, figure.Symbol{Char: ch, Yarn: rapid.SampledFrom([]string{"indigo", "rojo-2", "white", "no", "7"}).Draw(t, "yarn")})
	}
	rows, columns := rapid.IntRange(1, 9).Draw(t, "rows"), rapid.IntRange(1, 9).Draw(t, "columns")
	var b strings.Builder
	for range rows {
		for range columns {
			b.WriteRune(rapid.SampledFrom(append([]rune{figure.Ground}, all...)).Draw(t, "cell"))
		}
		b.WriteByte('\n')
	}
	c, ps := figure.Parse(b.String(), symbols)
	if ps.Failed() {
		t.Fatal(ps)
	}
	c.Kind, c.Way = kind, rapid.SampledFrom([]figure.Way{figure.Each, figure.Across}).Draw(t, "way")
	c.Cell = figure.Cell{Ends: rapid.IntRange(1, 12).Draw(t, "ends"), Picks: rapid.IntRange(1, 6).Draw(t, "picks")}
	if kind == figure.PickUp {
		c.Cell = figure.Cell{Ends: 2, Picks: 1}
	}
	c.Limit = measure.MM(rapid.SampledFrom([]float64{0, 5, 12.5, 30}).Draw(t, "limit"))
	f.Chart = c
	if rapid.Bool().Draw(t, "owned") {
		f.Owner, f.Sale, f.Meaning = "Comunidad de Urcala", plan.SaleAsk, "La ola: va y viene"
	}
	return f
}

func open(t interface{ Fatal(...any) }, text string) *screen.Drawing {
	d, err := screen.OpenDrawing(text, "es", screen.Surroundings{})
	if err != nil {
		t.Fatal(err, text)
	}
	return d
}

func state(t interface{ Fatal(...any) }, answer string) (s screen.DrawingState) {
	if err := json.Unmarshal([]byte(answer), &s); err != nil {
		t.Fatal(err)
	}
	return s
}

func ask(t interface{ Fatal(...any) }, d *screen.Drawing, q screen.Stroke) screen.DrawingState {
	b, err := json.Marshal(q)
	if err != nil {
		t.Fatal(err)
	}
	return state(t, d.Ask(string(b)))
}

// A figure that was opened and not touched is written as it was.
func TestDrawing_textComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := clothfile.WriteFigure(anyFigure(t))
		if got := open(t, text).Text(); got != text {
			t.Fatalf("came back otherwise:\n%s", cmp.Diff(text, got))
		}
	})
}

// anyStroke is anything that can be asked, now and then what cannot be done.
func anyStroke(t *rapid.T, g design.Grid) screen.Stroke {
	n := func(name string, low, high int) int { return rapid.IntRange(low, high).Draw(t, name) }
	q := screen.Stroke{Do: rapid.SampledFrom(screen.StrokeNames()).Draw(t, "do"), Value: n("value", 0, len(g.Colours())),
		Rows: n("rows", 0, 9), Columns: n("columns", 1, 9), Across: n("across", 0, 2), Up: n("up", 1, 2),
		Sign: rapid.SampledFrom([]string{"", "x", "q", "Z", ".", "xx", "["}).Draw(t, "sign"), Yarn: rapid.SampledFrom([]string{"", "moss", "indigo"}).Draw(t, "yarn"),
		Kind: rapid.SampledFrom([]string{"brocade", "pick-up", "other"}).Draw(t, "kind"), Way: rapid.SampledFrom([]string{"each", "across", ""}).Draw(t, "way"),
		Ends: n("ends", 0, 9), Picked: n("picked", 1, 9), Text: rapid.SampledFrom([]string{"", "0", "12,5", "600", "x"}).Draw(t, "text")}
	for range n("cells", 0, 4) {
		q.Cells = append(q.Cells, [2]int{n("row", -1, g.Rows()), n("column", 0, g.Columns()-1)})
	}
	if rapid.Bool().Draw(t, "part") {
		q.Region = &design.Region{Row: n("from row", 0, g.Rows()-1), Column: n("from column", 0, g.Columns()-1), Rows: n("part rows", 1, 4), Columns: n("part columns", 1, 4)}
	}
	return q
}

// Whatever was asked, undoing goes back over each figure there was, and doing
// again goes forward over them; a figure always reads back.
func TestDrawing_undoRedo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := open(t, clothfile.WriteFigure(anyFigure(t)))
		texts := []string{d.Text()}
		for range rapid.IntRange(1, 25).Draw(t, "strokes") {
			q := anyStroke(t, d.Grid())
			s := ask(t, d, q)
			now := d.Text()
			if len(s.Refused) > 0 && now != texts[len(texts)-1] {
				t.Fatalf("%s was refused and changed the figure: %v", q.Do, s.Refused)
			}
			if now != texts[len(texts)-1] {
				texts = append(texts, now)
				if s.Undo == "" || s.Redo != "" {
					t.Fatalf("after %s: undo %q, redo %q", q.Do, s.Undo, s.Redo)
				}
			}
			if got := open(t, now).Text(); got != now {
				t.Fatalf("after %s the text reads back otherwise:\n%s", q.Do, cmp.Diff(now, got))
			}
		}
		for i := len(texts) - 2; i >= 0; i-- {
			if ask(t, d, screen.Stroke{Do: "undo"}); d.Text() != texts[i] {
				t.Fatalf("undone to %d:\n%s", i, cmp.Diff(texts[i], d.Text()))
			}
		}
		if s := ask(t, d, screen.Stroke{Do: "undo"}); s.Undo != "" || d.Text() != texts[0] {
			t.Fatal("undone beyond the beginning")
		}
		for i := 1; i < len(texts); i++ {
			if ask(t, d, screen.Stroke{Do: "redo"}); d.Text() != texts[i] {
				t.Fatalf("done again to %d:\n%s", i, cmp.Diff(texts[i], d.Text()))
			}
		}
	})
}

// A stroke that is only tried is shown, and is gone with the next thing asked.
func TestDrawing_trial(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := open(t, clothfile.WriteFigure(anyFigure(t)))
		before := d.State()
		q := anyStroke(t, d.Grid())
		if q.Do == "cut" { // what it copies stays
			return
		}
		text := d.Text()
		q.Trial = true
		tried := ask(t, d, q)
		if d.Text() != text || d.Ask("{}") != before {
			t.Fatalf("a %s that was only tried stays", q.Do)
		}
		q.Trial = false
		done := ask(t, d, q)
		if !slices.Equal(tried.Cells, done.Cells) {
			t.Fatalf("%s: tried %q, done %q", q.Do, tried.Cells, done.Cells)
		}
	})
}

// Every float that is marked is one that Check counts, and no other; a cell is
// barred where design.Grid.Allowed says so.
func TestDrawing_marks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyFigure(t)
		d := open(t, clothfile.WriteFigure(f))
		s := state(t, d.State())
		want := 0
		for _, p := range f.Chart.Check(plan.AloneSett, plan.AlonePicks) {
			if n, ok := p.Args["floats"].(int); ok {
				want += n
			}
		}
		if len(s.Long) != want {
			t.Fatalf("%d floats marked, Check counts %d", len(s.Long), want)
		}
		for _, l := range s.Long {
			if l.Row < 0 || l.Column < 0 || l.Rows < 1 || l.Columns < 1 || l.Row+l.Rows > s.Rows || l.Column+l.Columns > s.Columns {
				t.Fatalf("a float beside the chart: %+v of %d x %d", l, s.Rows, s.Columns)
			}
		}
		colour := rapid.IntRange(0, len(s.Colours)-1).Draw(t, "colour")
		var got []int
		if err := json.Unmarshal([]byte(d.Barred(design.Region{Rows: s.Rows, Columns: s.Columns}, colour)), &got); err != nil {
			t.Fatal(err)
		}
		g := design.GridOf(f.Chart)
		for r := range s.Rows {
			for c := range s.Columns {
				barred := g.At(r, c) != colour && !slices.Contains(g.Allowed(r, c, plan.AloneSett, plan.AlonePicks), colour)
				if barred != slices.Contains(got, r*s.Columns+c) {
					t.Fatalf("row %d, column %d, colour %d: barred %v, Allowed %v", r, c, colour, !barred, g.Allowed(r, c, plan.AloneSett, plan.AlonePicks))
				}
			}
		}
	})
}
