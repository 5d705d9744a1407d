package web

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"hash/crc32"
	"html"
	"image"
	"image/color"
	"image/png"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"urdir/check"
	"urdir/internal/lang"
	"urdir/internal/screen"
	"urdir/internal/workshop"
)

// The library is found by name, origin, meaning and owner, and says of each
// figure whether it may be sold.
func TestFigures_found(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	k := workshop.Kept[workshop.Figure]{Value: workshop.Figure{Name: "Caracola", Origin: "Vista en Tresfuentes", Meaning: "Llama a la lluvia", Owner: "Las hermanas Quilapán",
		Sale: "ask", Text: "colours: {x: figure}\nchart: |\n  .x.\n"}}
	kept, err := s.house.SaveFigure(ctx, s.people["head"], k)
	if err != nil {
		t.Fatal(err)
	}
	for _, q := range []string{"caracola", "Tresfuentes", "lluvia", "quilapan"} {
		got := s.get("/figures?q="+q, "bookkeeper")
		if !strings.Contains(got.body, "/figures/"+kept.ID+`"`) {
			t.Errorf("%q does not find it", q)
		}
		if n := strings.Count(got.body, `class="line"`); n != 1 {
			t.Errorf("%q finds %d figures", q, n)
		}
		for _, want := range []string{"Las hermanas Quilapán", "/figures/" + kept.ID + "/small.png", `class="tag blocked"`} {
			if !strings.Contains(got.body, want) {
				t.Errorf("%q: the list does not show %q", q, want)
			}
		}
	}
	s.noFaults()
}

// A chart of three cells in the two colours of a cloth, in the list's picture.
func TestFigures_small(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	save := func(text string) string {
		k, err := s.house.SaveFigure(ctx, s.people["head"], workshop.Kept[workshop.Figure]{Value: workshop.Figure{Name: "Tres", Sale: "yes", Text: text}})
		return must(k, err).ID
	}
	at := func(id string, column, of, row, rows int) color.Color {
		img, err := png.Decode(s.get("/figures/"+id+"/small.png", "head").Body)
		if err != nil {
			t.Fatal(err)
		}
		b := img.Bounds()
		return color.RGBAModel.Convert(img.At((2*column+1)*b.Dx()/(2*of), (2*row+1)*b.Dy()/(2*rows)))
	}
	id := save("cell: {ends: 11, picks: 3}\ncolours: {a: first-of-two, b: second-of-two}\nchart: |\n  .ab\n")
	white := color.RGBA{255, 255, 255, 255}
	if a, b := at(id, 1, 3, 0, 1), at(id, 2, 3, 0, 1); at(id, 0, 3, 0, 1) != white || a == b || a == white || b == white {
		t.Errorf("brocade: %v %v %v", at(id, 0, 3, 0, 1), a, b)
	}
	// In pick-up the ground shows the first yarn in odd rows, from below.
	id = save("kind: pick-up\ncolours: {a: first-of-two, b: second-of-two}\nchart: |\n  .a\n  .b\n")
	if at(id, 0, 2, 1, 2) != at(id, 1, 2, 0, 2) || at(id, 0, 2, 0, 2) != at(id, 1, 2, 1, 2) || at(id, 0, 2, 0, 2) == at(id, 0, 2, 1, 2) {
		t.Error("pick-up: the ground has not the colours of its sheds")
	}
	s.noFaults()
}

// photo sends a picture; script says whether the page's script does.
func (s *site) photo(fields url.Values, file []byte, script bool) answer {
	var b bytes.Buffer
	w := multipart.NewWriter(&b)
	for name := range fields {
		must(0, w.WriteField(name, fields.Get(name)))
	}
	if file != nil {
		must(must(w.CreateFormFile("picture", "../picture.png")).Write(file))
	}
	must(0, w.Close())
	r := httptest.NewRequest(http.MethodPost, "/figures/photo", &b)
	r.Header.Set("Content-Type", w.FormDataContentType())
	if script {
		r.Header.Set("Accept", "application/json")
	}
	return s.request(r, "head")
}

// picture paints cells of 12 x 12 pixels.
func picture(cells ...string) []byte {
	img := image.NewNRGBA(image.Rect(0, 0, 12*len(cells[0]), 12*len(cells)))
	dyes := map[byte]color.NRGBA{'.': {240, 236, 220, 255}, 'x': {30, 50, 120, 255}, 'o': {170, 30, 40, 255}}
	for y := range img.Rect.Dy() {
		for x := range img.Rect.Dx() {
			img.SetNRGBA(x, y, dyes[cells[y/12][x/12]])
		}
	}
	var b bytes.Buffer
	must(0, png.Encode(&b, img))
	return b.Bytes()
}

// square is a figure whose cells are square: 6 ends at 24/cm, 2 picks at 8/cm.
func square(more ...string) url.Values {
	f := pairs("columns", "6", "colours", "2", "sett", "24", "picks", "8", "like", "way: across\nfloat: 44 mm\ncolours: {x: figure}\nchart: |\n  x\n")
	for i := 0; i+1 < len(more); i += 2 {
		f.Set(more[i], more[i+1])
	}
	return f
}

func TestPhoto(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	cells := []string{"xxxxxx", "x....x", "x.xx.x", "x....x", "xxxxxx"}
	for _, c := range []struct {
		ground string
		want   string
	}{
		{"edge", "......\n.xxxx.\n.x..x.\n.xxxx.\n......"},
		{"lightest", "xxxxxx\nx....x\nx.xx.x\nx....x\nxxxxxx"},
	} {
		got := s.photo(square("ground", c.ground), picture(cells...), true)
		var is struct {
			Text     string        `json:"text"`
			Problems []screen.Said `json:"problems"`
		}
		if err := json.Unmarshal([]byte(got.body), &is); err != nil || len(is.Problems) > 0 {
			t.Fatalf("%s: %v %v %.200s", c.ground, err, is.Problems, got.body)
		}
		head, chart, _ := strings.Cut(is.Text, "chart: |\n")
		if strings.Join(strings.Fields(chart), "\n") != c.want || !strings.Contains(head, "way: across\nfloat: 44 mm\n") {
			t.Errorf("%s:\n%s\nwant, woven like the figure sent,\n%s", c.ground, is.Text, c.want)
		}
	}
	// Without a script the form comes, with the chart in it.
	root := s.read("photo", s.photo(square("ground", "lightest"), picture(cells...), false))
	f := root.field("text")
	if f == nil || !strings.Contains(f.holds(), "x.xx.x") {
		t.Error("without a script: the form has not the chart")
	}
	// Clean, a single cell is gone; else it stays.
	dot := []string{"......", "......", "...x..", "......", "......"}
	for _, clean := range []string{"", "yes"} {
		got := s.photo(square("ground", "edge", "clean", clean), picture(dot...), true)
		if has := strings.Contains(got.body, "...x.."); has != (clean == "") {
			t.Errorf("clean %q: %s", clean, got.body)
		}
	}
	s.noFaults()
}

// What is no picture, or lies, is refused in words, and nothing is made for it.
func TestPhoto_refused(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	es, err := lang.For("es")
	if err != nil {
		t.Fatal(err)
	}
	good := picture("x.", ".x")
	lying, endless, small := sized(good, 60_000, 60_000), sized(good, 1<<31-1, 1<<31-1), sized(good, 1, 1)
	for _, c := range []struct {
		what string
		form url.Values
		file []byte
		code string
	}{
		{"none", square(), nil, "photo-empty"},
		{"empty", square(), []byte{}, "photo-file-empty"},
		{"a page", square(), []byte("<html><script>alert(1)</script>"), "photo-kind"},
		{"cut", square(), good[:40], "photo-damaged"},
		{"a size no computer holds", square(), lying, "photo-large"},
		{"a size no file has", square(), endless, "photo-damaged"},
		{"a size that is too small", square(), small, "photo-damaged"},
		{"13 MB", square(), append(bytes.Clone(good), make([]byte, 13<<20)...), "photo-file-large"},
		{"20 MB", square(), append(bytes.Clone(good), make([]byte, 20<<20)...), "photo-file-large"},
		{"too fine", square("columns", "2000"), good, "photo-columns"},
		{"no columns", square("columns", "many"), good, "number-not-whole"},
		{"too many colours", square("colours", "99"), good, "photo-colours"},
		{"too many colours for a lightest", square("colours", "0", "ground", "lightest"), good, "photo-colours"},
		{"a sett of nothing", square("sett", "0"), good, "out-of-range"},
		{"pick-up in three colours", square("colours", "4", "ground", "edge", "like", "kind: pick-up\ncolours: {x: a, o: b}\nchart: |\n  x\n"), fourColours(), "design-pick-up-colours"},
	} {
		for _, script := range []bool{true, false} {
			got := s.photo(c.form, c.file, script)
			most := map[string]int{"photo-columns": 400, "photo-colours": 13}[c.code]
			mend := es.T(c.code+".mend", check.Args{"most": most})
			if !strings.Contains(html.UnescapeString(got.body), mend) || got.Code >= 500 {
				t.Errorf("%s (script %v): got %d, %.300q; want the words of %s: %q", c.what, script, got.Code, got.body, c.code, mend)
			}
		}
	}
	s.noFaults()
}

// sized is a PNG whose head says another size (PNG, W3C 2003, 5.3 and 11.2.2:
// width and height begin the data of IHDR, whose sum covers name and data).
func sized(file []byte, width, height uint32) []byte {
	out := bytes.Clone(file)
	binary.BigEndian.PutUint32(out[16:], width)
	binary.BigEndian.PutUint32(out[20:], height)
	binary.BigEndian.PutUint32(out[29:], crc32.ChecksumIEEE(out[12:29]))
	return out
}

func fourColours() []byte {
	img := image.NewNRGBA(image.Rect(0, 0, 48, 48))
	for i := range 48 * 48 {
		img.SetNRGBA(i%48, i/48, []color.NRGBA{{240, 236, 220, 255}, {30, 50, 120, 255}, {170, 30, 40, 255}, {40, 120, 40, 255}}[i%48/12])
	}
	var b bytes.Buffer
	must(0, png.Encode(&b, img))
	return b.Bytes()
}

// A chart of 2,000 x 2,000 is refused on the page it was drawn on, and a figure
// drawn there is kept from there.
func TestDrawPage(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	got := s.get("/figures/"+s.ours["figure"]+"/draw", "head")
	s.want("draw", got, http.StatusOK)
	if csp := got.Header().Get("Content-Security-Policy"); !strings.Contains(csp, "script-src 'self' 'wasm-unsafe-eval'") {
		t.Errorf("the page cannot run the program: %s", csp)
	}
	if csp := s.get("/figures/"+s.ours["figure"], "head").Header().Get("Content-Security-Policy"); strings.Contains(csp, "wasm") {
		t.Errorf("another page can run programs: %s", csp)
	}
	huge := "colours: {x: figure}\nchart: |\n" + strings.Repeat("  "+strings.Repeat("x", 2000)+"\n", 900) // as much as a form may hold
	for name, text := range map[string]string{"2,000 wide": huge, "2,000 x 2,000": "chart: |\n" + strings.Repeat("  "+strings.Repeat(".", 500)+"\n", 2000), "no chart": "colours: {x: figure}\n"} {
		back := s.post("/figures/new", "head", pairs("page", "draw", "name", "Grande", "sale", "yes", "text", text))
		s.want(name, back, http.StatusUnprocessableEntity)
		root := s.read(name, back)
		if root.field("text") == nil || !strings.Contains(back.body, `id="drawing"`) || !strings.Contains(back.body, `id="w-text"`) {
			t.Errorf("%s: not the page it was drawn on, or no words", name)
		}
	}
	got = s.post("/figures/new", "head", pairs("page", "draw", "name", "Pequeña", "sale", "yes", "text", "colours: {x: figure}\nchart: |\n  x\n"))
	s.want("a good one", got, http.StatusSeeOther)
	s.noFaults()
}
