package browser_test

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"urdir/check"
	"urdir/internal/workshop"
)

// onBoard opens the board with a figure and waits for it.
func onBoard(t *testing.T, w world, s screen, path string) *tab {
	t.Helper()
	b := w.open(t, s)
	b.signIn(workshop.Head)
	b.visit(path)
	b.onBoard()
	return b
}

func (b *tab) onBoard() {
	b.t.Helper()
	b.until("the board is there", `!!document.getElementById("drawing").drawing`)
	eval[bool](b, "the board in view", `(document.querySelector(".drawing-board").scrollIntoView({block: "center"}), true)`)
	eval[bool](b, "two frames", `new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))`)
}

// keptFigure saves a figure to draw on.
func keptFigure(t *testing.T, w world, name, text string) workshop.Kept[workshop.Figure] {
	t.Helper()
	k, err := w.house.SaveFigure(t.Context(), w.head, workshop.Kept[workshop.Figure]{Value: workshop.Figure{Name: name, Text: text, Sale: "yes"}})
	if err != nil {
		t.Fatal(err)
	}
	return k
}

// at is where a cell is on the screen, row and column from the top left.
func (b *tab) at(row, column int) (x, y float64) {
	b.t.Helper()
	p := eval[[]float64](b, "place of a cell", fmt.Sprintf(`document.getElementById("drawing").drawing.board.place([%d, %d])`, row, column))
	return p[0], p[1]
}

// drag presses the mouse in the first cell, goes through the others, and lets go.
func (b *tab) drag(cells ...[2]int) {
	b.t.Helper()
	for i, c := range cells {
		x, y := b.at(c[0], c[1])
		kind := input.DispatchMouseEventTypeMouseMoved
		if i == 0 {
			kind = input.DispatchMouseEventTypeMousePressed
		}
		b.do("drag", call(input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: kind, X: x, Y: y, Button: input.MouseButtonLeft, Buttons: 1, ClickCount: 1}))
		if i == len(cells)-1 {
			b.do("let go", call(input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: input.DispatchMouseEventTypeMouseReleased, X: x, Y: y, Button: input.MouseButtonLeft, ClickCount: 1}))
		}
	}
}

// tool presses a button of the board, by its words.
func (b *tab) tool(word string) {
	b.t.Helper()
	s := b.find("#drawing button", word, false)
	b.do(word, chromedp.MouseClickXY(s.X, s.Y))
	eval[bool](b, "the board in view", `(document.querySelector(".drawing-board").scrollIntoView({block: "center"}), true)`)
}

const chartText = `document.getElementById("drawing").drawing.text()`

// rows is the chart as it stands on the board.
func (b *tab) rows() string {
	b.t.Helper()
	return rowsOf(eval[string](b, "text", chartText))
}

func rowsOf(text string) string {
	_, chart, _ := strings.Cut(text, "chart: |\n")
	return strings.Join(strings.Fields(chart), "\n")
}

func (b *tab) want(what, rows string) {
	b.t.Helper()
	if got, want := b.rows(), strings.Join(strings.Fields(rows), "\n"); got != want {
		b.t.Errorf("%s:\n%s\nwant\n%s", what, got, want)
	}
}

const blank = "float: 60 mm\ncolours: {x: figure, o: other}\nchart: |\n  ......\n  ......\n  ......\n  ......\n"

// With the mouse: a stroke, a line, a fill, and a part copied; it is kept in the
// workshop as it was drawn.
func TestDrawing_mouse(t *testing.T) {
	w := newWorld(t)
	k := keptFigure(t, w, "Ratón", blank)
	b := onBoard(t, w, desk, "/figures/"+k.ID+"/draw")
	b.drag([2]int{3, 0}, [2]int{3, 2}, [2]int{1, 2})
	b.want("pen", "...... ..x... ..x... xxx...")
	b.do("colour 2", chromedp.KeyEvent("2"))
	b.tool(b.T("drawing-line"))
	b.drag([2]int{0, 5}, [2]int{1, 4}, [2]int{3, 5})
	b.want("line", ".....o ..x..o ..x..o xxx..o")
	b.tool(b.T("drawing-fill"))
	b.drag([2]int{3, 4})
	b.want("fill goes round the corner of x", "oooooo ooxooo ooxooo xxxooo")
	b.do("undo", chromedp.KeyEvent("z", chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	b.want("undone", ".....o ..x..o ..x..o xxx..o")
	b.tool(b.T("drawing-select"))
	b.drag([2]int{3, 0}, [2]int{2, 2})
	b.do("copy", chromedp.KeyEvent("c", chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	b.do("mirror", chromedp.KeyEvent("m"))
	b.want("mirrored in place", ".....o ..x..o x....o xxx..o")
	b.tool(b.T("drawing-erase"))
	b.drag([2]int{1, 2}, [2]int{1, 1})
	b.want("erased", ".....o .....o x....o xxx..o")
	b.press(b.T("save"))
	now, err := w.house.Figure(t.Context(), w.head, k.ID)
	if err != nil {
		t.Fatal(err)
	}
	want := "float: 60 mm\ncolours: {x: figure, o: other}\nchart: |\n  .....o\n  .....o\n  x....o\n  xxx..o\n"
	if now.Value.Text != want {
		t.Errorf("kept:\n%s\nwant\n%s", now.Value.Text, want)
	}
}

// With the keyboard alone, from the top of the page: drawn, told in words, kept.
func TestDrawing_keyboard(t *testing.T) {
	w := newWorld(t)
	k := keptFigure(t, w, "Teclas", blank)
	b := onBoard(t, w, screen{wide: 1280, lang: "es", script: true}, "/figures/"+k.ID+"/draw")
	reached := false
	for range 60 {
		b.do("tab", chromedp.KeyEvent(kb.Tab))
		if eval[bool](b, "focus", `document.activeElement.classList.contains("drawing-board")`) {
			reached = true
			break
		}
	}
	if !reached {
		t.Fatal("the keyboard does not come to the board")
	}
	said := `document.querySelector(".drawing-where").textContent`
	keys := func(all ...string) {
		for _, key := range all {
			b.do("key "+key, chromedp.KeyEvent(key))
		}
	}
	keys(kb.ArrowDown, kb.ArrowRight, kb.ArrowRight)
	if got, want := eval[string](b, "said", said), "renglón 3, cuadro 3: fondo"; got != want {
		t.Errorf("said %q, want %q", got, want)
	}
	keys(" ", kb.ArrowRight, "2", kb.Enter)
	if got, want := eval[string](b, "said", said), "renglón 3, cuadro 4: other"; got != want {
		t.Errorf("said %q, want %q", got, want)
	}
	b.want("set", "...... ..xo.. ...... ......")
	keys("l", kb.Home, kb.ArrowDown, " ", kb.End, kb.ArrowDown, " ")
	b.want("a line by its two ends", "...... ..xo.. ooo... ...ooo")
	keys(kb.Home)
	for range 2 {
		b.do("choose", chromedp.KeyEvent(kb.ArrowRight, chromedp.KeyModifiers(chromedp.ModifierShift)))
	}
	b.do("copy", chromedp.KeyEvent("c", chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	keys("1", "b")
	b.want("a part coloured", "...... ..xo.. ooo... xxxooo")
	keys(kb.Escape, kb.Home, kb.ArrowUp, kb.ArrowUp, kb.ArrowUp)
	b.do("paste", chromedp.KeyEvent("v", chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	keys(kb.End, " ")
	b.want("ground pasted, and a line begun", "...... ..xo.. ooo... xxxooo")
	keys(kb.Escape, "p", "0", kb.ArrowDown, kb.ArrowDown, kb.ArrowDown, " ", "u")
	b.want("upside down", "xxxoo. ooo... ..xo.. ......")
	for range 2 {
		b.do("undo", chromedp.KeyEvent("z", chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	}
	b.do("redo", chromedp.KeyEvent("y", chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	b.want("undone twice, done again once", "...... ..xo.. ooo... xxxoo.")
	for range 90 {
		b.do("tab", chromedp.KeyEvent(kb.Tab))
		if eval[bool](b, "focus", `document.activeElement.form?.id === "drawing-form" && document.activeElement.tagName === "BUTTON"`) {
			break
		}
	}
	if status := b.leave("keep", chromedp.KeyEvent(kb.Enter)); status != 200 {
		t.Fatalf("kept with status %d:\n%s", status, b.text())
	}
	now, err := w.house.Figure(t.Context(), w.head, k.ID)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := rowsOf(now.Value.Text), "......\n..xo..\nooo...\nxxxoo."; got != want {
		t.Errorf("kept:\n%s\nwant\n%s", got, want)
	}
}

// With fingers on a telephone: one draws, two take back what the first began and
// come closer; what is not kept is offered again.
func TestDrawing_touch(t *testing.T) {
	w := newWorld(t)
	k := keptFigure(t, w, "Dedos", blank)
	b := w.open(t, telephone)
	b.do("fingers", call(emulation.SetTouchEmulationEnabled, emulation.SetTouchEmulationEnabledParams{Enabled: true, MaxTouchPoints: 2}))
	b.signIn(workshop.Head)
	b.visit("/figures/" + k.ID + "/draw")
	b.onBoard()
	touch := func(kind input.DispatchTouchEventType, points ...[2]float64) {
		all := []*input.TouchPoint{}
		for i, p := range points {
			all = append(all, &input.TouchPoint{X: p[0], Y: p[1], ID: new(float64(i))})
		}
		b.do("touch", call(input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: all}))
	}
	place := func(row, column int) [2]float64 { x, y := b.at(row, column); return [2]float64{x, y} }
	touch(input.DispatchTouchEventTypeTouchStart, place(0, 0))
	touch(input.DispatchTouchEventTypeTouchMove, place(2, 2))
	touch(input.DispatchTouchEventTypeTouchMove, place(2, 4))
	touch(input.DispatchTouchEventTypeTouchEnd)
	b.want("one finger", "x..... .x.... ..xxx. ......")
	before := place(0, 5)[0] - place(0, 0)[0]
	touch(input.DispatchTouchEventTypeTouchStart, place(3, 0))
	touch(input.DispatchTouchEventTypeTouchStart, place(3, 0), place(3, 3))
	a, z := place(3, 0), place(3, 3)
	for i := range 5 {
		touch(input.DispatchTouchEventTypeTouchMove, [2]float64{a[0] - 6*float64(i), a[1]}, [2]float64{z[0] + 6*float64(i), z[1]})
	}
	touch(input.DispatchTouchEventTypeTouchEnd)
	b.want("two fingers draw nothing", "x..... .x.... ..xxx. ......")
	if after := place(0, 5)[0] - place(0, 0)[0]; after < before*1.1 {
		t.Errorf("two fingers apart: the cells were %v, are %v px", before/5, after/5)
	}
	b.visit("/figures")
	b.visit("/figures/" + k.ID + "/draw")
	b.onBoard()
	b.want("what the workshop keeps", "...... ...... ...... ......")
	s := b.find("#drawing-draft button", b.T("draw-draft-take"), false)
	b.do("go on", chromedp.MouseClickXY(s.X, s.Y))
	b.want("gone on with", "x..... .x.... ..xxx. ......")
}

// A picture of known cells becomes them, and can be changed at once.
func TestDrawing_photo(t *testing.T) {
	w := newWorld(t)
	k := keptFigure(t, w, "Foto", blank)
	b := onBoard(t, w, desk, "/figures/"+k.ID+"/draw")
	dir := t.TempDir()
	cells := strings.Fields("........ ..xxxx.. ..xxxx.. ..xxxx.. ..xxoo.. ..xxoo.. ........")
	img := image.NewNRGBA(image.Rect(0, 0, 8*24, 7*20))
	dyes := map[byte]color.NRGBA{'.': {0xf4, 0xee, 0xdc, 255}, 'x': {0x1f, 0x3a, 0x80, 255}, 'o': {0xb0, 0x20, 0x30, 255}}
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			img.SetNRGBA(x, y, dyes[cells[y/20][x/24]])
		}
	}
	var body bytes.Buffer
	if err := png.Encode(&body, img); err != nil {
		t.Fatal(err)
	}
	lying := bytes.Clone(body.Bytes()) // of 60,000 x 60,000 (PNG, W3C 2003, 5.3 and 11.2.2: sizes and sum of IHDR)
	binary.BigEndian.PutUint32(lying[16:], 60_000)
	binary.BigEndian.PutUint32(lying[20:], 60_000)
	binary.BigEndian.PutUint32(lying[29:], crc32.ChecksumIEEE(lying[12:29]))
	send := func(name string, file []byte, columns string) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, file, 0o600); err != nil {
			t.Fatal(err)
		}
		b.do("choose the picture", chromedp.SetUploadFiles("#p-picture", []string{path}))
		b.write(b.T("draw-columns"), columns)
		s := b.find("#drawing-photo button", b.T("draw-photo-do"), false)
		b.do("send", chromedp.MouseClickXY(s.X, s.Y))
		b.until("an answer", `document.getElementById("drawing-status").textContent !== `+quote(b.T("draw-reading")))
		return eval[string](b, "said", `document.getElementById("drawing-photo-said").innerText`)
	}
	problem := func(code string) string { return b.words.T(code+".mend", check.Args{"most": 400}) }
	for _, c := range []struct {
		name, columns, code string
		file                []byte
	}{
		{"no picture", "8", "photo-kind", []byte("a letter, not a picture")},
		{"empty", "8", "photo-file-empty", nil},
		{"cut short", "8", "photo-damaged", body.Bytes()[:100]},
		{"lying about its size", "8", "photo-large", lying},
		{"too fine", "2000", "photo-columns", body.Bytes()},
	} {
		said := send("bad.png", c.file, c.columns)
		if mend := problem(c.code); !strings.Contains(said, mend) {
			t.Errorf("%s: said %q, want the words of %s: %q", c.name, said, c.code, mend)
		}
		b.want(c.name+" changes nothing", "...... ...... ...... ......")
	}
	if said := send("huge.png", make([]byte, 13<<20), "8"); said != b.T("draw-too-big") {
		t.Errorf("13 MB: said %q", said)
	}
	// 8 cells of 24 px; a cell of 6 ends by 2 picks at 22 and 6 a cm is 0.818
	// times as wide as high, so 140 px high at 192 px wide are 8 x 140/192 x 0.818 =
	// 4.77, 5 rows.
	if said := send("good.png", body.Bytes(), "8"); said != "" {
		t.Errorf("a good picture: said %q", said)
	}
	b.want("the picture", "........ ..xxxx.. ..xxxx.. ..xxoo.. ........")
	b.drag([2]int{4, 0})
	b.want("drawn on", "........ ..xxxx.. ..xxxx.. ..xxoo.. x.......")
	b.do("undo", chromedp.KeyEvent("z", chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	b.do("undo", chromedp.KeyEvent("z", chromedp.KeyModifiers(chromedp.ModifierCtrl)))
	b.want("undone", "...... ...... ...... ......")
}

// The board fits the screen, by day and by night, and keeps to the guidelines.
func TestDrawing_looks(t *testing.T) {
	w := newWorld(t)
	all, err := w.house.Figures(t.Context(), w.head, workshop.Page{})
	if err != nil {
		t.Fatal(err)
	}
	id := ""
	for _, f := range all.Items {
		if f.Value.Name == "Garza" {
			id = f.ID
		}
	}
	pick := keptFigure(t, w, "Labrada", "kind: pick-up\nfloat: 6 mm\ncolours: {o: claro, x: oscuro}\nchart: |\n  ............\n  .....x......\n  ....xxx.....\n  ...xxxxx....\n  ....xxx.....\n  .....x......\n  ............\n  ............\n")
	for _, s := range []screen{{wide: 1280, lang: "es", script: true}, {wide: 390, lang: "es", script: true}, {wide: 1280, lang: "en", dark: true, script: true}, {wide: 390, lang: "es", dark: true, script: true}} {
		b := onBoard(t, w, s, "/figures/"+id+"/draw")
		for _, v := range b.wcag() {
			t.Errorf("%d px: %s", s.wide, v)
		}
		if over := eval[int](b, "width", `document.documentElement.scrollWidth - innerWidth`); over > 0 {
			t.Errorf("%d px: %d px too wide: %v", s.wide, over, b.widest())
		}
		for _, what := range eval[[]string](b, "small", `[...document.querySelectorAll("#drawing button, #drawing summary")].filter(e => e.offsetParent && (e.offsetHeight < 44 || e.offsetWidth < 44)).map(e => e.innerText + " " + e.offsetWidth + " x " + e.offsetHeight)`) {
			t.Errorf("%d px: smaller than 44 px: %s", s.wide, what)
		}
		if *shots != "" {
			eval[bool](b, "open", `(document.querySelectorAll("#drawing details").forEach(d => d.open = true), true)`)
			b.shoot(fmt.Sprintf("drawing-%v-%d", map[bool]string{false: "light", true: "dark"}[s.dark], s.wide))
			b.visit("/figures/" + pick.ID + "/draw")
			b.onBoard()
			eval[bool](b, "wait", `new Promise(done => setTimeout(() => done(true), 300))`)
			b.shoot(fmt.Sprintf("pick-up-%v-%d", map[bool]string{false: "light", true: "dark"}[s.dark], s.wide))
		}
	}
}

// A board of a size that cannot be is refused in words, and a usual one is there.
func TestDrawing_sizes(t *testing.T) {
	w := newWorld(t)
	b := onBoard(t, w, desk, "/figures/new/draw?columns=5&rows=3&kind=pick-up")
	b.want("asked for", "..... ..... .....")
	for _, size := range []string{"columns=2000&rows=2000", "columns=0&rows=5", "columns=x&rows=5", "columns=99999999999999999999"} {
		b.visit("/figures/new/draw?" + size)
		b.onBoard()
		if n := eval[int](b, "said", `document.querySelectorAll("main .problem-list .error").length`); n == 0 {
			t.Errorf("%s: nothing is said", size)
		}
		if got := len(strings.Fields(b.rows())); got != 21 {
			t.Errorf("%s: %d rows, want the usual 21", size, got)
		}
	}
}

// A drawing that was refused or not kept is not lost; one that was kept is not
// offered again.
func TestDrawing_notLost(t *testing.T) {
	w := newWorld(t)
	b := onBoard(t, w, desk, "/figures/new/draw?columns=3&rows=2")
	b.drag([2]int{0, 0}, [2]int{0, 2})
	offered := `!document.getElementById("drawing-draft").hidden`
	b.write(b.T("name"), "Nueva")
	b.write(b.T("owner"), "Las de la orilla")
	s := b.find("main button", b.T("save"), false)
	b.heard.ask(b.url + "/figures/new")
	if status := b.leave("keep", chromedp.MouseClickXY(s.X, s.Y)); status != 422 { // it has an owner and no word of hers
		t.Fatalf("kept with status %d", status)
	}
	b.onBoard()
	b.want("after it was refused", "xxx ...")
	b.visit("/figures")
	b.visit("/figures/new/draw?columns=3&rows=2")
	b.onBoard()
	if !eval[bool](b, "offered", offered) {
		t.Fatal("what was refused is not offered again")
	}
	s = b.find("#drawing-draft button", b.T("draw-draft-take"), false)
	b.do("go on", chromedp.MouseClickXY(s.X, s.Y))
	b.want("gone on with", "xxx ...")
	b.write(b.T("name"), "Nueva")
	b.press(b.T("save"))
	b.visit("/figures/new/draw")
	b.onBoard()
	if eval[bool](b, "offered", offered) {
		t.Error("what was kept is offered again")
	}
}
