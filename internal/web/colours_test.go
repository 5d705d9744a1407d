package web

import (
	"bytes"
	"image/jpeg"
	"math"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"urdir/check"
	"urdir/colour"
	"urdir/internal/lang"
	"urdir/internal/workshop"
)

// read is the address at which a photograph is read.
func read(page, mark string) string {
	q := marks()
	q.Set("photo", mark)
	return page + "?" + q.Encode()
}

var labOnPage = regexp.MustCompile(`<b>[^<]*</b> L (-?[0-9,]+) · a (-?[0-9,]+) · b (-?[0-9,]+)`)

// readOnPage is the last colour a page in Spanish tells.
func readOnPage(s *site, body string) (c colour.Lab) {
	s.Helper()
	all := labOnPage.FindAllStringSubmatch(body, -1)
	if len(all) == 0 {
		s.Fatal("no colour on the page")
	}
	m := all[len(all)-1]
	for i, to := range []*float64{&c.L, &c.A, &c.B} {
		*to = must(strconv.ParseFloat(strings.ReplaceAll(m[i+1], ",", "."), 64))
	}
	return c
}

// Made-up photographs of yarn of a known colour in known light: what is read
// beside the card is the colour, whatever the light, the noise and the size of the
// picture. By construction; the eight bits of a picture leave less than one
// CIEDE2000 in the dark, and less than half in the middle.
func TestColour_photo(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := "/yarn/" + s.ours["lot"] + "/colour"
	for name, sc := range map[string]scene{
		"madder in yellow light":   {yarn: colour.Lab{L: 42, A: 36, B: 24}, light: daylight, side: 640, card: true},
		"indigo in blue shade":     {yarn: colour.Lab{L: 30, A: 2, B: -22}, light: colour.Linear{R: 0.6, G: 0.75, B: 1.1}, side: 900, card: true},
		"weld, noisy, twelve MP":   {yarn: colour.Lab{L: 78, A: -4, B: 55}, light: daylight, side: 4000, card: true, noise: true},
		"undyed, of an odd size":   {yarn: colour.Lab{L: 85, A: 1, B: 9}, light: daylight, side: 1237, card: true},
		"walnut, half as exposed":  {yarn: colour.Lab{L: 38, A: 9, B: 18}, light: colour.Linear{R: 0.42, G: 0.4, B: 0.38}, side: 800, card: true},
		"cochineal, slight noise":  {yarn: colour.Lab{L: 38, A: 50, B: 8}, light: daylight, side: 801, card: true, noise: true},
		"a lamp, strongly yellow":  {yarn: colour.Lab{L: 50, A: 5, B: 10}, light: colour.Linear{R: 1, G: 0.62, B: 0.4}, side: 700, card: true},
		"the least that is looked": {yarn: colour.Lab{L: 50, A: 0, B: 0}, light: daylight, side: 200, card: true},
	} {
		got := s.get(read(page, s.laidPhoto(page, sc.photograph())), "dyer")
		s.want(name, got, http.StatusOK)
		most := colour.DeltaE(0.5)
		if sc.light.R < 0.5 {
			most = 1
		}
		if d := colour.Difference(readOnPage(s, got.body), sc.yarn); d > most {
			t.Errorf("%s: read %v, %.2f from %v", name, readOnPage(s, got.body), d, sc.yarn)
		}
		for _, f := range faultsOf(got.body, "es") {
			t.Errorf("%s: %s", name, f)
		}
		cast := strings.Contains(name, "lamp")
		if warned := strings.Contains(got.body, `class="caution"`); warned != cast {
			t.Errorf("%s: warned %v, want %v", name, warned, cast)
		}
	}
	s.noFaults()
}

// What cannot be read, or not well, is said in words; nothing is kept of it
// unless it can be read.
func TestColour_photoProblems(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := "/yarn/" + s.ours["lot"] + "/colour"
	madder := colour.Lab{L: 42, A: 36, B: 24}
	good := scene{yarn: madder, light: daylight, side: 640, card: true}
	tilted, bright, dark, none := good, good, good, good
	tilted.tilt, none.card = 1, false
	bright.light, dark.light = colour.Linear{R: 9, G: 8, B: 6}, colour.Linear{R: 0.05, G: 0.05, B: 0.05}
	for _, c := range []struct {
		what string
		scene
		at   url.Values
		code string
		read bool
	}{
		{"tilted light", tilted, marks(), "card-uneven", true},
		{"far too bright", bright, marks(), "region-clipped", false},
		{"far too dark", dark, marks(), "card-dark", false},
		{"no card", none, marks(), "card-not-found", false},
		{"the yarn's edge in the mark", good, marks("yarn-left", "50"), "swatch-uneven", true},
		{"a mark too small", good, marks("card-width", "1"), "region-small", false},
		{"a mark beyond the edge", good, marks("yarn-left", "90"), "region-outside", false},
	} {
		for name := range c.at { // the last one counts
			c.at[name] = c.at[name][len(c.at[name])-1:]
		}
		mark := s.laidPhoto(page, c.photograph())
		c.at.Set("photo", mark)
		got := s.get(page+"?"+c.at.Encode(), "dyer")
		s.want(c.what, got, http.StatusOK)
		_, mend := must(lang.For("es")).Problem(check.Problem{Code: c.code, Args: check.Args{"least": 24}})
		s.says(c.what, got, mend)
		if keeps := strings.Contains(got.body, `name="how" value="photo"`); keeps != c.read {
			t.Errorf("%s: it can be kept: %v, want %v", c.what, keeps, c.read)
		}
		if c.read {
			continue
		}
		c.at.Set("how", "photo")
		c.at.Set("revision", "1")
		s.want(c.what+", kept all the same", s.post(page, "dyer", c.at), http.StatusUnprocessableEntity)
	}
	mark := s.laidPhoto(page, good.photograph())
	for field, v := range map[string]string{"card-left": "mucho", "yarn-top": "-3", "yarn-height": "140", "grey": "ciento", "card-top": ""} {
		q := marks()
		q.Set(field, v)
		q.Set("photo", mark)
		got := s.get(page+"?"+q.Encode(), "dyer")
		if s.want(field, got, http.StatusOK); v != "" {
			s.beside(field, s.read(field, got), field)
		}
	}
	s.noFaults()
}

// What is no photograph, or none any more, is refused beside its field.
func TestColour_photoRefused(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	page := "/yarn/" + s.ours["lot"] + "/colour"
	for what, body := range map[string][]byte{"nothing": nil, "empty": {}, "text": []byte("urdir: 1"), "half of one": scene{side: 100}.photograph()[:200]} {
		got := s.sendScene(page, "dyer", body, nil)
		s.want(what, got, http.StatusUnprocessableEntity)
		s.beside(what, s.read(what, got), "picture")
	}
	got := s.sendScene(page, "dyer", make([]byte, maxPhoto+maxBody+1), nil)
	s.want("too large", got, http.StatusUnprocessableEntity)
	s.beside("too large", s.read("too large", got), "picture")

	first := s.laidPhoto(page, scene{side: 100, light: daylight, card: true}.photograph())
	s.laidPhoto(page, scene{side: 120, light: daylight, card: true}.photograph())
	for what, got := range map[string]answer{"the one before": s.get(read(page, first), "dyer"), "of another": s.get(read(page, first), "head"), "as a picture": s.get("/photo?mark="+first, "dyer")} {
		s.want(what, got, http.StatusUnprocessableEntity)
		s.says(what, got, "Esa foto ya no está aquí.")
	}
	s.want("a seller", s.sendScene(page, "seller", scene{side: 100}.photograph(), nil), http.StatusForbidden)
	s.noFaults()
}

// A lot's colour is kept by all three ways, with the way it was found.
func TestColour_lot(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	id := s.ours["lot"]
	page, yarn := "/yarn/"+id+"/colour", colour.Lab{L: 42, A: 36, B: 24}
	revision := func() string {
		l, _, err := s.house.Lot(ctx, s.people["dyer"], id)
		return strconv.FormatInt(must(l, err).Revision, 10)
	}
	mark := s.laidPhoto(page, scene{yarn: yarn, light: daylight, side: 640, card: true}.photograph())
	photo := marks("how", "photo", "photo", mark)
	for _, c := range []struct {
		how  string
		form url.Values
		want colour.Lab
	}{
		{"eye", pairs("how", "eye", "picked", "#8a3324"), colour.SRGB{R: 0x8a, G: 0x33, B: 0x24}.Lab()},
		{"typed", pairs("how", "typed", "lab", "52,3; 14,1; -38"), colour.Lab{L: 52.3, A: 14.1, B: -38}},
		{"photo", photo, yarn},
	} {
		c.form.Set("revision", revision())
		s.want(c.how, s.post(page, "dyer", c.form), http.StatusSeeOther)
		l, _, err := s.house.Lot(ctx, s.people["dyer"], id)
		if d := must(l, err).Value.Dye; d.How != c.how || d.Measured == nil || colour.Difference(*d.Measured, c.want) > 0.5 {
			t.Errorf("%s: kept %v by %q, want %v", c.how, d.Measured, d.How, c.want)
		}
		s.want(c.how+" from an old page", s.post(page, "dyer", c.form), http.StatusConflict)
	}
	for _, bad := range []struct{ how, field, text string }{{"typed", "lab", "rojo"}, {"typed", "lab", "140, 0, 0"}, {"typed", "lab", ""}, {"eye", "picked", "#12"}} {
		what := bad.how + " " + bad.text
		got := s.post(page, "dyer", pairs("revision", revision(), "how", bad.how, bad.field, bad.text))
		s.want(what, got, http.StatusUnprocessableEntity)
		s.beside(what, s.read(what, got), bad.field)
	}
	s.want("no way", s.post(page, "dyer", pairs("revision", revision())), http.StatusUnprocessableEntity)
	s.noFaults()
}

// A dyeing's colour is told beside its standard, and its photograph kept with
// it; before it is dry it is refused.
func TestColour_dyeing(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	id := s.ours["dyeing accepted"]
	page := "/dye/" + id + "/colour"
	d := must(s.house.Dyeing(ctx, s.people["dyer"], id))
	must(s.house.UndoDyeing(ctx, s.people["dyer"], id, d.Revision)) // not judged yet
	yarn := *d.Value.Standard
	yarn.L += 6
	mark := s.laidPhoto(page, scene{yarn: yarn, light: daylight, side: 640, card: true}.photograph())
	got := s.get(read(page, mark), "dyer")
	es := must(lang.For("es"))
	s.says("beside its standard", got, es.T("colour-fails", nil))
	s.says("beside its standard", got, es.T("colour-way-lighter", nil))
	root := s.read("page", got)
	for _, f := range root.mainForms() {
		if f.fields().Get("how") == "photo" {
			s.want("keep", s.post(page, "dyer", f.fields()), http.StatusSeeOther)
		}
	}
	f, ok := must(s.house.Dyeing(ctx, s.people["dyer"], id)).Value.Coloured()
	if !ok || f.How != "photo" || colour.Difference(*f.Colour, yarn) > 0.5 {
		t.Fatalf("kept %+v", f)
	}
	pic := must(s.house.Picture(ctx, s.people["seller"], f.Picture))
	if img, err := jpeg.Decode(bytes.NewReader(pic.Body)); err != nil || img.Bounds().Dx() != 640 {
		t.Errorf("the photograph that is kept: %v", err)
	}
	for _, state := range []workshop.DyeState{workshop.DyePlanned, workshop.DyeBegun, workshop.DyeRejected} {
		id := s.ours["dyeing "+string(state)]
		now := must(s.house.Dyeing(ctx, s.people["dyer"], id))
		got := s.post("/dye/"+id+"/colour", "dyer", pairs("how", "typed", "lab", "50, 10, 10", "revision", strconv.FormatInt(now.Revision, 10)))
		s.want(string(state), got, http.StatusUnprocessableEntity)
		if page := s.page("/dye/"+id+"/colour", "dyer"); !slices.ContainsFunc(page.all("li"), func(n *node) bool { return n.attr["class"] == "caution" }) {
			t.Errorf("%s: the page does not say that it is too early, or too late", state)
		}
	}
	s.noFaults()
}

// A smaller picture has the light of the larger: of a fine pattern of black and
// nearly white (254), half that light, which sRGB codes as 187 (IEC 61966-2-1: by
// hand, 254 is 0.991 of white) and not as 127. What is full in half of a part stays
// full; in a quarter of it it does not.
func TestShrunk(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		every      int
		grey, want uint8
	}{{1, 255, 255}, {2, 254, 187}, {2, 255, 255}, {4, 255, 137}} {
		small := shrunk(pattern(c.every, c.grey), 100)
		if b := small.Bounds(); b.Dx() != 100 || b.Dy() != 75 {
			t.Fatalf("%v", b)
		}
		if got := small.RGBAAt(50, 30); math.Abs(float64(got.G)-float64(c.want)) > 1 || got.A != 255 {
			t.Errorf("every %d, %d: got %v, want %d", c.every, c.grey, got, c.want)
		}
	}
	if img := pattern(2, 90); shrunk(img, 4000).Bounds() != img.Bounds() {
		t.Error("a small picture is made larger")
	}
}
