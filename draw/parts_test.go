package draw_test

import (
	"bytes"
	"encoding/xml"
	"flag"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/draw"
	"urdir/figure"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// The stripes on the ruler lie side by side over its whole width, each as wide
// as its share of the ends; an alternation has all its yarns' colours.
func TestRuler_widthsAddUp(t *testing.T) {
	const wide = 184
	for _, name := range examples {
		p := example(t, name)
		for i := range p.Warps {
			w := &p.Warps[i]
			r := &recorder{}
			draw.Ruler(r, surface.Box{X: 10, Y: 20, W: wide, H: 32}, p, w, words(t, "en"))
			colours := map[measure.MM][]surface.Colour{} // by left edge
			widths := map[measure.MM]measure.MM{}
			for _, b := range r.rects {
				if b.colour != surface.White { // the tags behind letters
					widths[b.X] = b.W
					colours[b.X] = append(colours[b.X], b.colour)
				}
			}
			x := measure.MM(10)
			for k, st := range w.Stripes {
				left := slices.MinFunc(slices.Collect(keys(widths)), func(a, b measure.MM) int {
					return int(math.Copysign(1, math.Abs(float64(a-x))-math.Abs(float64(b-x))))
				})
				want := wide * measure.MM(st.Ends) / measure.MM(w.Ends)
				if math.Abs(float64(left-x)) > 1e-6 || math.Abs(float64(widths[left]-want)) > 1e-6 {
					t.Errorf("%s %s: stripe %d is %v mm wide at %v, want %v at %v", name, w.Key, k+1, widths[left], left, want, x)
				}
				for _, y := range st.Yarns {
					if c := surface.ParseColour(p.Yarn(y.Yarn).Colour); !slices.Contains(colours[left], c) {
						t.Errorf("%s %s: stripe %d has no %s", name, w.Key, k+1, y.Yarn)
					}
				}
				x += want
			}
			if math.Abs(float64(x-10-wide)) > 1e-6 {
				t.Errorf("%s %s: stripes add up to %v mm, want %v", name, w.Key, x-10, wide)
			}
			if !r.has(words(t, "en").Int(w.Ends)) {
				t.Errorf("%s %s: the last count is not %d", name, w.Key, w.Ends)
			}
		}
	}
}

func keys[K comparable, V any](m map[K]V) func(func(K) bool) {
	return func(yield func(K) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

// Numbers and letters that cover each other cannot be read.
func TestRuler_textsApart(t *testing.T) {
	for _, name := range examples {
		p := example(t, name)
		for i := range p.Warps {
			r := &recorder{}
			draw.Ruler(r, surface.Box{W: 184, H: 32}, p, &p.Warps[i], words(t, "es"))
			if a, b, found := r.overlapping(); found {
				t.Errorf("%s %s: %q at %.1f mm covers %q at %.1f mm", name, p.Warps[i].Key, a.s, a.x, b.s, b.x)
			}
		}
	}
}

// Colour never stands alone: a stripe with room for a letter has the letter of
// each of its yarns, and a plain one its hatch.
func TestRuler_lettersAndHatches(t *testing.T) {
	for _, name := range examples {
		p := example(t, name)
		for i := range p.Warps {
			w := &p.Warps[i]
			r := &recorder{}
			draw.Ruler(r, surface.Box{W: 184, H: 32}, p, w, words(t, "en"))
			file, _ := svgOf(t, 184, 32, func(s surface.Surface) {
				draw.Ruler(s, surface.Box{W: 184, H: 32}, p, w, words(t, "en"))
			})
			hatched := 0
			for _, st := range w.Stripes {
				wide := 184 * float64(st.Ends) / float64(w.Ends)
				if len(st.Yarns) == 1 && wide > 1.5 && p.Yarn(st.Yarns[0].Yarn).Hatch%surface.Hatches > 0 {
					hatched++
				}
				for _, y := range st.Yarns {
					if letter := p.Yarn(y.Yarn).Letter; wide > 4 && (!r.has(letter) || !strings.Contains(file, ">"+letter+"</text>")) {
						t.Errorf("%s %s: no letter %s", name, w.Key, letter)
					}
				}
			}
			if r.clips < hatched || r.depth != 0 {
				t.Errorf("%s %s: %d stripes are hatched, want %d", name, w.Key, r.clips, hatched)
			}
		}
	}
}

// A chart is a grid of columns by rows, every cell of the figure in its colour
// and in its place, in the proportion in which it is woven; rows are numbered
// from the bottom, from the left where the weft comes from the left.
func TestChart_grid(t *testing.T) {
	for _, name := range []string{"class", "runner", "sash", "tunic"} {
		p := example(t, name)
		for i := range p.Figures {
			c := &p.Figures[i]
			box := surface.Box{X: 13, Y: 40, W: 184, H: 150}
			r := &recorder{}
			draw.Chart(r, box, p, c, words(t, "en"))
			paper := r.rects[0]
			w, h := paper.W/measure.MM(c.Columns), paper.H/measure.MM(c.Rows)
			ratio := (float64(c.Height) / float64(c.Rows)) / (float64(c.Width) / float64(c.Columns))
			if math.Abs(float64(h/w)-ratio) > 1e-6 {
				t.Errorf("%s: a cell is %.2f by %.2f mm, want %.3f times as high as wide", c.Key, w, h, ratio)
			}
			if paper.X < box.X || paper.Y < box.Y || paper.X+paper.W > box.X+box.W || paper.Y+paper.H > box.Y+box.H {
				t.Errorf("%s: the chart %v is outside its box %v", c.Key, paper.Box, box)
			}
			seen := map[[2]int]surface.Colour{}
			for _, b := range r.rects[1:] {
				seen[[2]int{int(math.Round(float64((b.Y - paper.Y) / h))), int(math.Round(float64((b.X - paper.X) / w)))}] = b.colour
			}
			for row := range c.Rows {
				for col := range c.Columns {
					got, filled := seen[[2]int{row, col}]
					v := c.Chart.At(row, col)
					switch {
					case v == 0 && c.Kind == figure.Brocade && filled:
						t.Errorf("%s: ground at %d, %d is %v", c.Key, row, col, got)
					case v > 0 && got != surface.ParseColour(p.Yarn(c.Chart.Symbols()[v-1].Yarn).Colour):
						t.Errorf("%s: cell %d, %d is %v", c.Key, row, col, got)
					}
				}
			}
			chartLines(t, p, c, box)
			rowNumbers(t, r, c, paper.Box, h)
			if a, b, found := r.overlapping(); found {
				t.Errorf("%s: %q covers %q", c.Key, a.s, b.s)
			}
		}
	}
}

// chartLines counts the lines of a grid: one more than columns and rows, every
// fifth of them heavier.
func chartLines(t *testing.T, p plan.Plan, c *plan.Chart, box surface.Box) {
	_, es := svgOf(t, 210, 297, func(s surface.Surface) { draw.Chart(s, box, p, c, words(t, "en")) })
	weights := map[string]int{}
	for _, e := range es {
		if attr(e, "stroke") == "#22201e" && strings.Count(attr(e, "d"), "L") == 1 {
			weights[attr(e, "stroke-width")]++
		}
	}
	heavy := (c.Columns/5 + 1) + (c.Rows/5 + 1) // lines 0, 5, 10, ...
	want := map[string]int{"0.3": heavy, "0.08": c.Columns + c.Rows + 2 - heavy}
	if diff := cmp.Diff(want, weights); diff != "" {
		t.Errorf("%s, %d by %d cells: lines by weight, -want +got:\n%s", c.Key, c.Columns, c.Rows, diff)
	}
}

// rowNumbers checks that each number stands beside its row. The first pick goes
// from left to right, so odd rows begin at the left.
func rowNumbers(t *testing.T, r *recorder, c *plan.Chart, grid surface.Box, h measure.MM) {
	for _, n := range []int{1, 2, c.Rows} {
		found := false
		for _, x := range r.texts {
			top := grid.Y + grid.H - h*measure.MM(n)
			left := x.x < grid.X
			found = found || x.s == strconv.Itoa(n) && x.y > top && x.y < top+h+0.5 && left == (n%2 == 1) && (left || x.x > grid.X+grid.W)
		}
		if !found {
			t.Errorf("%s: row %d is not numbered on the side where its weft begins", c.Key, n)
		}
	}
}

// The bands on the length plan add up to the warp that is woven, and each label
// says how far the weaver then is.
func TestLength_bandsAddUp(t *testing.T) {
	for _, name := range examples {
		p := example(t, name)
		for i, pan := range p.Panels {
			en := words(t, "en")
			r := &recorder{}
			draw.Length(r, surface.Box{X: 13, Y: 60, W: 184, H: 180}, p, i, en)
			sum := measure.CM(0)
			for k, b := range pan.Bands {
				if b.Kind != plan.Fringe {
					sum += b.Loom
					if want := en.T("mark-at", map[string]any{"at": sum}); !r.has(want) {
						t.Errorf("%s %s: band %d does not say %q", name, pan.Key, k+1, want)
					}
				}
				if !r.has(en.S(b.Loom)) {
					t.Errorf("%s %s: band %d does not say its %v cm", name, pan.Key, k+1, b.Loom)
				}
				if b.Weft != "" && !r.has(p.Yarn(b.Weft).Letter) {
					t.Errorf("%s %s: band %d has no letter for its weft %s", name, pan.Key, k+1, b.Weft)
				}
			}
			if math.Abs(float64(sum-pan.LoomLength)) > 1e-6 {
				t.Errorf("%s %s: bands add up to %v cm, want %v", name, pan.Key, sum, pan.LoomLength)
			}
			if a, b, found := r.overlapping(); found {
				t.Errorf("%s %s: %q covers %q", name, pan.Key, a.s, b.s)
			}
		}
	}
}

// The thread drawn round the frame, measured on paper, is as long as the
// circuit on the sheet says: out as the heavy line, back as the dashed one.
// The scale is taken from the letters in two pegs.
func TestFrame_threadIsAsLongAsSaid(t *testing.T) {
	for _, name := range examples {
		p := example(t, name)
		for i := range p.Warps {
			w := &p.Warps[i]
			box := surface.Box{X: 13, Y: 20, W: 184, H: 74}
			_, es := svgOf(t, 210, 120, func(s surface.Surface) { draw.Frame(s, box, w, words(t, "en")) })
			r := &recorder{}
			draw.Frame(r, box, w, words(t, "en"))
			at := map[string]measure.MM{}
			for _, x := range r.texts {
				at[x.s] = x.x + x.wide/2
			}
			apart := float64(w.Frame.Pegs[3].X - w.Frame.Pegs[0].X) // A and D
			scale := float64(at["D"]-at["A"]) / apart               // mm a cm
			var out, back string
			heaviest := 0.0
			for _, e := range es {
				if width, _ := strconv.ParseFloat(attr(e, "stroke-width"), 64); attr(e, "fill") == "none" && width > heaviest {
					heaviest, out = width, attr(e, "d")
				}
				if attr(e, "stroke-dasharray") != "" {
					back = attr(e, "d")
				}
			}
			got, want := (pathLength(t, out)+pathLength(t, back))/scale, float64(w.Path.Circuit)
			if math.Abs(got-want) > 0.001*want { // the file is written to a thousandth of a millimetre
				t.Errorf("%s %s: the thread drawn is %.2f cm, want a circuit of %.2f cm", name, w.Key, got, want)
			}
			if w.Path.Length < w.Length.Lay {
				t.Errorf("%s %s: an end round the frame is %v cm, shorter than the %v needed", name, w.Key, w.Path.Length, w.Length.Lay)
			}
			for k, id := range w.Path.Pegs {
				if !r.has(id) || !r.has(strconv.Itoa(k+1)) {
					t.Errorf("%s %s: peg %s, turn %d is not marked", name, w.Key, id, k+1)
				}
			}
			if a, b, found := r.overlapping(); found {
				t.Errorf("%s %s: %q covers %q", name, w.Key, a.s, b.s)
			}
		}
	}
}

// pathLength measures a path of an SVG file; curves in a hundred steps.
func pathLength(t *testing.T, d string) (sum float64) {
	t.Helper()
	var x, y float64
	for len(d) > 0 {
		op := d[0]
		end := strings.IndexAny(d[1:], "MLCZ") + 1
		if end == 0 {
			end = len(d)
		}
		var v []float64
		for f := range strings.FieldsSeq(d[1:end]) {
			n, err := strconv.ParseFloat(f, 64)
			if err != nil {
				t.Fatal(err)
			}
			v = append(v, n)
		}
		d = d[end:]
		switch op {
		case 'L':
			sum += math.Hypot(v[0]-x, v[1]-y)
		case 'C':
			px, py := x, y
			for i := 1; i <= 100; i++ {
				s := float64(i) / 100
				r := 1 - s
				qx := r*r*r*x + 3*r*r*s*v[0] + 3*r*s*s*v[2] + s*s*s*v[4]
				qy := r*r*r*y + 3*r*r*s*v[1] + 3*r*s*s*v[3] + s*s*s*v[5]
				sum += math.Hypot(qx-px, qy-py)
				px, py = qx, qy
			}
		}
		if len(v) > 0 {
			x, y = v[len(v)-2], v[len(v)-1]
		}
	}
	return sum
}

// A whole piece fills its box the one way or the other, whatever its panels.
func TestCloth_fitsItsBox(t *testing.T) {
	for _, name := range examples {
		p := example(t, name)
		for _, box := range []surface.Box{{X: 5, Y: 7, W: 100, H: 118}, {X: 5, Y: 7, W: 118, H: 20}} {
			r := &recorder{}
			draw.Cloth(r, box, p)
			x0, x1, y0, y1 := box.X+box.W, box.X, box.Y+box.H, box.Y
			for _, b := range r.rects {
				x0, x1, y0, y1 = min(x0, b.X), max(x1, b.X+b.W), min(y0, b.Y), max(y1, b.Y+b.H)
			}
			const e = 1e-6
			if x0 < box.X-e || x1 > box.X+box.W+e || y0 < box.Y-e || y1 > box.Y+box.H+e {
				t.Errorf("%s: drawn from %v, %v to %v, %v, outside %v", name, x0, y0, x1, y1, box)
			}
			fringed := p.Panels[0].Bands[0].Kind == plan.Fringe // tassels are no rectangles
			if !fringed && math.Abs(float64(x1-x0-box.W)) > e && math.Abs(float64(y1-y0-box.H)) > e {
				t.Errorf("%s: drawn %v by %v mm, fills neither side of %v", name, x1-x0, y1-y0, box)
			}
		}
	}
}

// The same plan is the same file, byte for byte, whatever it is drawn on.
func TestDraw_sameEveryTime(t *testing.T) {
	p := example(t, "runner")
	all := func(s surface.Surface) {
		en := words(t, "en")
		draw.Cloth(s, surface.Box{W: 100, H: 118}, p)
		draw.Lens(s, surface.Box{X: 110, W: 80, H: 118}, p)
		draw.Ruler(s, surface.Box{Y: 120, W: 180, H: 32}, p, &p.Warps[0], en)
		draw.Frame(s, surface.Box{Y: 160, W: 180, H: 60}, &p.Warps[0], en)
		draw.Chart(s, surface.Box{Y: 220, W: 90, H: 70}, p, &p.Figures[0], en)
		draw.Length(s, surface.Box{X: 90, Y: 220, W: 110, H: 70}, p, 0, en)
	}
	for name, make := range map[string]func() []byte{
		"SVG": func() []byte {
			file, _ := svgOf(t, 210, 297, all)
			return []byte(file)
		},
		"PNG": func() []byte {
			var b bytes.Buffer
			s := surface.NewPNG(210, 297, 600)
			all(s)
			if _, err := s.WriteTo(&b); err != nil {
				t.Fatal(err)
			}
			return b.Bytes()
		},
		"PDF": func() []byte {
			var b bytes.Buffer
			s := surface.NewPDF(surface.Meta{})
			s.AddPage(210, 297)
			all(s)
			if _, err := s.WriteTo(&b); err != nil {
				t.Fatal(err)
			}
			return b.Bytes()
		},
	} {
		if a, b := make(), make(); !bytes.Equal(a, b) || len(a) < 1000 {
			t.Errorf("%s: two drawings of one plan are two files, of %d and %d bytes", name, len(a), len(b))
		}
	}
}

var update = flag.Bool("update", false, "write the golden files anew")

const striped = small + `
warps:
  body:
    sett: 20 /cm
    stripes: [{mirror: [2 blue, 3 red, {alternate: [1 red, 1 cream], over: 6}]}]
panels:
  body:
    warp: body
    width: 0.8 cm
    length: 1.4 cm
    bands: [{fringe: 0.6 cm}, {woven: 0.6 cm}, {open: 0.4 cm}, {woven: 0.4 cm}, {fringe: 0.6 cm}]
`

const figured = small + `
figures:
  step:
    cell: {ends: 2, picks: 1}
    colours: {x: green, o: red}
    chart: |
      x..
      xo.
      xxo
warps:
  body: {sett: 20 /cm, stripes: [1 part cream]}
panels:
  body:
    warp: body
    width: 0.6 cm
    length: 1.4 cm
    bands: [{hem: 0.2 cm}, {figure: fit, chart: step, count: 1}, {woven: rest}]
frame:
  peg: 2 cm
  pegs: {A: [0 cm, 0 cm], B: [10 cm, 0 cm], C: [20 cm, 0 cm], D: [44 cm, 0 cm], E: [2 cm, 14 cm], F: [44 cm, 20 cm]}
  cross: [B, C]
  start: [A]
  turn: [D, E, F]
`

// Golden files show a change of any drawing; what is right in them is checked
// above.
func TestDraw_golden(t *testing.T) {
	s, f, en, es := planOf(t, striped), planOf(t, figured), words(t, "en"), words(t, "es")
	for _, tt := range []struct {
		name  string
		w, h  measure.MM
		paint func(s surface.Surface, b surface.Box)
	}{
		{"striped-cloth", 16, 52, func(on surface.Surface, b surface.Box) { draw.Cloth(on, b, s) }},
		{"striped-ruler", 120, 32, func(on surface.Surface, b surface.Box) { draw.Ruler(on, b, s, &s.Warps[0], en) }},
		{"striped-length", 140, 60, func(on surface.Surface, b surface.Box) { draw.Length(on, b, s, 0, es) }},
		{"figured-cloth", 12, 28, func(on surface.Surface, b surface.Box) { draw.Cloth(on, b, f) }},
		{"figured-chart", 60, 50, func(on surface.Surface, b surface.Box) { draw.Chart(on, b, f, &f.Figures[0], en) }},
		{"figured-frame", 100, 60, func(on surface.Surface, b surface.Box) { draw.Frame(on, b, &f.Warps[0], en) }},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, es := svgOf(t, tt.w, tt.h, func(on surface.Surface) { tt.paint(on, surface.Box{W: tt.w, H: tt.h}) })
			if len(es) < 5 {
				t.Errorf("only %d elements", len(es))
			}
			golden(t, "testdata/"+tt.name+".svg", got)
		})
	}
}

func golden(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := xml.Unmarshal(want, new(struct{})); err != nil {
		t.Errorf("%s: %v", file, err)
	}
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("%s, -want +got:\n%s", file, diff)
	}
}
