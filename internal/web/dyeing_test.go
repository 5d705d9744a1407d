package web

import (
	"bytes"
	"image/jpeg"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"

	"urdir/dye"
	"urdir/internal/lang"
	"urdir/internal/workshop"
)

// sendPhoto sends a form with a file.
func (s *site) sendPhoto(path, as string, form url.Values, file []byte) answer {
	var b bytes.Buffer
	m := multipart.NewWriter(&b)
	for name, values := range form {
		for _, v := range values {
			if err := m.WriteField(name, v); err != nil {
				s.Fatal(err)
			}
		}
	}
	w := must(m.CreateFormFile("photo", "bath.jpg"))
	must(w.Write(file))
	if err := m.Close(); err != nil {
		s.Fatal(err)
	}
	r := httptest.NewRequest(http.MethodPost, path, &b)
	r.Header.Set("Content-Type", m.FormDataContentType())
	return s.request(r, as)
}

// wishLine is a line of an open order with a yarn of plant fibre that no lot was
// chosen for.
func (s *site) wishLine() (order, line, yarn string) {
	s.Helper()
	all, _, err := s.house.Orders(ctx, s.people["head"], workshop.Page{State: "open"})
	for _, o := range must(all, err).Items {
		v := must(s.house.Order(ctx, s.people["head"], o.ID))
		for _, l := range v.Lines {
			for _, w := range l.Wants {
				if c, ok := dye.FibreOf(w.Need.Fibre); ok && c == dye.Cellulose && w.Need.Mass > 0 && len(l.Dye) == 0 {
					return o.ID, l.ID, w.Yarn
				}
			}
		}
	}
	s.Fatal("the demo has no line for a wish")
	return "", "", ""
}

// What is asked of a dye and cannot be is explained beside its field, and all
// that was typed stays.
func TestWishDye_badInput(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	order, line, yarn := s.wishLine()
	for name, c := range map[string]struct{ recipe, strength, colour, field, code string }{
		"a recipe for wool":       {"madder-wool", "30", "#a8442f", "recipe", "dye-for-protein"},
		"300 % of dry root":       {"madder-cotton", "300", "#a8442f", "strength", "dye-strength"},
		"nothing of the fibre":    {"madder-cotton", "0", "", "strength", "out-of-range"},
		"less than nothing":       {"madder-cotton", "-5", "", "strength", "dye-strength"},
		"a strength unread":       {"madder-cotton", "1,234.5", "", "strength", "quantity-comma"},
		"a colour that is none":   {"madder-cotton", "30", "rojo", "colour", "colour-value"},
		"a strength but no dye":   {"", "30", "", "recipe", "field-empty"},
		"a recipe nobody has got": {"dragon", "", "", "recipe", "dye-recipe-gone"},
	} {
		at := "dye." + yarn
		got := s.post("/orders/"+order+"/dye/"+line, "dyer", pairs("revision", s.revision("order", order), at+".recipe", c.recipe, at+".strength", c.strength, at+".colour", c.colour))
		s.want(name, got, http.StatusUnprocessableEntity)
		root := must(parse(got.body))
		field := root.byID("dye-" + line + "-" + yarn + "-" + c.field)
		if field == nil || field.attr["aria-invalid"] != "true" || root.byID(field.attr["aria-describedby"]) == nil {
			t.Errorf("%s: nothing is said beside %s", name, c.field)
		}
		for part, typed := range map[string]string{"recipe": c.recipe, "strength": c.strength, "colour": c.colour} {
			if f := root.byID("dye-" + line + "-" + yarn + "-" + part); typed != "dragon" && part != "recipe" && f.holds() != typed {
				t.Errorf("%s: %s holds %q, typed was %q", name, part, f.holds(), typed)
			}
		}
		say := strings.TrimSuffix(lettersOf(wordsOf(t, "es").T(c.code+".mend", nil)), " .") // up to a value
		if !strings.Contains(lettersOf(got.body), say) {
			t.Errorf("%s: the page does not say %q", name, say)
		}
	}
	s.want("a good wish", s.post("/orders/"+order+"/dye/"+line, "dyer", pairs("revision", s.revision("order", order),
		"dye."+yarn+".recipe", "madder-cotton", "dye."+yarn+".strength", "30", "dye."+yarn+".colour", "40, 45, 28")), http.StatusSeeOther)
	wish := must(s.house.Order(ctx, s.people["head"], order)).Lines[0].Dye[yarn]
	if wish.Strength != 0.3 || wish.Colour == nil || wish.Colour.A != 45 {
		t.Errorf("kept is %+v", wish)
	}
	form := must(parse(s.get("/orders/"+order+"/edit", "head").body)).mainForms()[0].fields()
	s.want("the order changed", s.post("/orders/"+order+"/edit", "head", form), http.StatusSeeOther)
	if kept := must(s.house.Order(ctx, s.people["head"], order)).Lines[0].Dye[yarn]; kept.Recipe != "madder-cotton" {
		t.Errorf("after the order was changed its wish is %+v", kept)
	}
	s.noFaults()
}

// The whole way of a lot by its forms, and back again by undoing.
func TestDyeing_forms(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	id := s.ours["dyeing planned"]
	at := "/dye/" + id
	rev := func() string { return s.revision("dyeing", id) }
	view := func() workshop.DyeingView { return must(s.house.Dyeing(ctx, s.people["head"], id)) }
	from := s.bare(view())
	refused := func(what string, got answer, fields ...string) {
		t.Helper()
		s.want(what, got, http.StatusUnprocessableEntity)
		root := must(parse(got.body))
		for _, f := range fields {
			if k := root.field(f); k == nil || k.attr["aria-invalid"] != "true" {
				t.Errorf("%s: %s is not marked", what, f)
			}
		}
	}
	refused("a day before the yarn is in", s.post(at+"/stage", "dyer", pairs("revision", rev(), "day", "2027-03-02")))
	refused("yarn of no lot", s.post(at+"/begin", "dyer", pairs("revision", rev(), "from", "nobody", "grams", "100")), "from")
	refused("no yarn at all", s.post(at+"/begin", "dyer", pairs("revision", rev(), "from", from, "grams", "0")), "grams")
	refused("more than there is", s.post(at+"/begin", "dyer", pairs("revision", rev(), "from", from, "grams", "9000 kg")), "grams")
	s.want("the yarn goes in", s.post(at+"/begin", "dyer", pairs("revision", rev(), "from", from, "grams", "500")), http.StatusSeeOther)
	refused("dry before it is dyed", s.post(at+"/out", "dyer", pairs("revision", rev(), "grams", "500")))
	bad := pairs("revision", rev(), "day", "ayer", "dyer", "Dionisia", "hottest", "140", "time", "-5", "note", "sube despacio")
	got := s.post(at+"/stage", "dyer", bad)
	refused("hotter than water boils", got, "hottest", "time", "day")
	root := must(parse(got.body))
	for name, v := range bad {
		if f := root.field(name); name != "revision" && f.holds() != v[0] {
			t.Errorf("%s holds %q, typed was %q", name, f.holds(), v[0])
		}
	}
	refused("no photograph", s.sendPhoto(at+"/stage", "dyer", pairs("revision", rev(), "day", "2027-03-02"), []byte("no picture")), "photo")
	refused("a photograph too big", s.sendPhoto(at+"/stage", "dyer", pairs("revision", rev()), make([]byte, maxPhoto+maxBody+1)), "photo")
	for range view().Value.Days {
		form := must(parse(s.get(at, "dyer").body)).byID("now").all("form")[0].fields() // as the page proposes it
		form.Set("hottest", "62,5")
		form.Set("time", "70")
		s.want("a day done", s.sendPhoto(at+"/stage", "dyer", form, photograph(2400, 1200)), http.StatusSeeOther)
	}
	facts := view().Value.Facts
	last := facts[len(facts)-1]
	if last.Hottest != 62.5 || last.Time != 70 || last.Picture == "" || len(last.Pots) == 0 || last.Water == "" {
		t.Errorf("told was %+v", last)
	}
	s.pictureIsSmall(last.Picture)
	refused("too heavy", s.post(at+"/out", "dyer", pairs("revision", rev(), "grams", "5000")), "grams")
	s.want("dry", s.post(at+"/out", "dyer", pairs("revision", rev(), "grams", "505")), http.StatusSeeOther)
	refused("neither", s.post(at+"/judge", "dyer", pairs("revision", rev())))
	d := view()
	far := *d.Value.Standard
	far.L = 100 - far.L
	must(s.house.ColourDyeing(ctx, s.people["dyer"], id, d.Revision, far, "typed", nil))
	refused("accepted without a word", s.post(at+"/judge", "dyer", pairs("revision", rev(), "verdict", "accept", "note", "")), "note")
	s.want("accepted with one", s.post(at+"/judge", "dyer", pairs("revision", rev(), "verdict", "accept", "note", "la clienta lo quiere así")), http.StatusSeeOther)
	for view().Value.State() != workshop.DyePlanned {
		s.want("undo", s.post(at+"/undo", "dyer", pairs("revision", rev())), http.StatusSeeOther)
		s.want("page", s.get(at, "dyer"), http.StatusOK)
	}
	s.want("undoing nothing", s.post(at+"/undo", "dyer", pairs("revision", rev())), http.StatusUnprocessableEntity)
	s.noFaults()
}

// bare is undyed yarn for a dyeing, enough of it.
func (s *site) bare(d workshop.DyeingView) string {
	s.Helper()
	l := must(s.house.SaveLot(ctx, s.people["dyer"], workshop.Kept[workshop.Lot]{Value: workshop.Lot{Label: "Crudo", Colour: "#e9e1d0", Fibre: d.Value.Fibre, Count: d.Value.Count,
		Dye: workshop.LotDye{Undyed: true}}}))
	must(0, s.house.Receive(ctx, s.people["dyer"], l.ID, 5000, workshop.Money{}, ""))
	return l.ID
}

// pictureIsSmall looks at a photograph as it is kept and sent: an image of at
// most 1600 pixels with nothing in its file but the picture (JPEG's own segments:
// ISO/IEC 10918-1, table B.1; APP1 to APP15 and COM hold what others write), under
// a policy that lets it do nothing.
func (s *site) pictureIsSmall(id string) {
	s.Helper()
	got := s.get("/pictures/"+id, "seller")
	s.want("picture", got, http.StatusOK)
	body := got.Body.Bytes()
	c, err := jpeg.DecodeConfig(bytes.NewReader(body))
	if err != nil || max(c.Width, c.Height) > 1600 || c.Width != 2*c.Height {
		s.Errorf("picture: %v, %d x %d", err, c.Width, c.Height)
	}
	for i := 2; i+3 < len(body) && body[i] == 0xff && body[i+1] != 0xda; i += 2 + int(body[i+2])<<8 + int(body[i+3]) {
		if m := body[i+1]; m > 0xe0 && m <= 0xef || m == 0xfe {
			s.Errorf("the picture's file has a segment %#x", m)
		}
	}
	for name, want := range map[string]string{"Content-Type": "image/jpeg", "X-Content-Type-Options": "nosniff", "Content-Security-Policy": "default-src 'none'; sandbox", "Content-Disposition": "inline"} {
		if got.Header().Get(name) != want {
			s.Errorf("picture: %s: got %q, want %q", name, got.Header().Get(name), want)
		}
	}
	s.want("a member's", s.get("/pictures/"+id, "member"), http.StatusForbidden)
	s.want("another workshop's", s.get("/pictures/"+id, "foreign"), http.StatusNotFound)
}

// The dye house says of every caution, every label and every place for spent
// baths what there is to say: nothing is left out.
func TestDyeing_care(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, lang := range []string{"es", "en"} {
		s.want("language", s.post("/language", "head", pairs("lang", lang)), http.StatusSeeOther)
		w := wordsOf(t, lang)
		for _, d := range must(s.house.Dyeings(ctx, s.people["head"], workshop.Page{})).Items {
			v := must(s.house.Dyeing(ctx, s.people["head"], d.ID))
			page := lettersOf(must(parse(s.get("/dye/"+d.ID, "head").body)).all("main")[0].text)
			want := []string{w.T("dye-waste-law", nil)}
			for _, h := range v.Batch.Hazards {
				want = append(want, w.T("hazard-"+string(h), nil))
			}
			for _, a := range v.Batch.Amounts {
				if sub := dye.SubstanceOf(a.What); sub != nil {
					for _, code := range sub.GHS {
						want = append(want, code+" "+w.T("ghs-"+code, nil))
					}
				}
			}
			for _, step := range v.Batch.Steps {
				if step.Waste != "" {
					want = append(want, w.T("waste-"+string(step.Waste), nil))
				}
			}
			for _, text := range want {
				if !strings.Contains(page, lettersOf(text)) {
					t.Errorf("%s %s: the page does not say %q", lang, d.Value.Label, text)
				}
			}
		}
	}
}

func wordsOf(tb testing.TB, base string) *lang.Words {
	tb.Helper()
	w, err := lang.For(base)
	if err != nil {
		tb.Fatal(err)
	}
	return w
}

// lettersOf is a text without what pages and words part letters with.
func lettersOf(s string) string {
	return strings.Join(strings.FieldsFunc(strings.NewReplacer("&#39;", "'", "&#34;", `"`, "&amp;", "&").Replace(s), func(r rune) bool { return r == ' ' || r == '\n' || r == '\u00a0' || r == '\u202f' }), " ")
}

// A plan that was shown is accepted as it is; if anything changed meanwhile the
// dye house says so and shows the new one.
func TestDyeHouse_accept(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	order, line, yarn := s.wishLine()
	must(s.house.WishDye(ctx, s.people["dyer"], order, line, must(s.house.Order(ctx, s.people["head"], order)).Revision,
		map[string]workshop.Wish{yarn: {Recipe: "madder-cotton", Strength: 0.3}}))
	page := must(parse(s.get("/dye?steps=50", "dyer").body))
	var form url.Values
	for _, f := range page.mainForms() {
		if f.attr["action"] == "/dye/accept" {
			form = f.fields()
		}
	}
	if form.Get("steps") != "50" {
		t.Fatalf("the plan is sent as %v", form)
	}
	if seller := must(parse(s.get("/dye", "seller").body)); slices.ContainsFunc(seller.mainForms(), func(n *node) bool { return n.attr["action"] == "/dye/accept" }) {
		t.Error("a seller is offered to accept the plan")
	}
	stale := url.Values{"mark": {"0000"}, "steps": {"50"}}
	if got := s.post("/dye/accept", "dyer", stale); got.Code != http.StatusUnprocessableEntity || !strings.Contains(got.body, form.Get("mark")) {
		t.Errorf("a plan that is not the one shown: got %d", got.Code)
	}
	s.want("accept", s.post("/dye/accept", "dyer", form), http.StatusSeeOther)
	lot := ""
	for _, l := range must(s.house.Order(ctx, s.people["head"], order)).Lines {
		if l.ID == line {
			lot = l.Lots[yarn]
		}
	}
	if lot == "" {
		t.Error("the order's yarn has no lot")
	}
	for _, steps := range []string{"x", "-1", "0", "99999999999999999999", ""} {
		s.want("steps "+steps, s.get("/dye?steps="+steps, "seller"), http.StatusOK)
	}
	s.noFaults()
}

// The lit part is half a disc and half an ellipse more or less, whose half axis
// across is r (1 - 2 lit): the ellipse has the share 2 lit - 1 of the disc's area.
// On the right while the moon grows (sweep 1 turns with the clock: SVG 2, 9.3.8).
func TestMoonPath(t *testing.T) {
	t.Parallel()
	v := &visit{}
	for _, c := range []struct {
		moon dye.Moon
		want string
	}{
		{dye.Moon{Phase: dye.NewMoon, Lit: 0}, "M10 2A8 8 0 0 1 10 18A8.00 8 0 0 0 10 2Z"},        // back along the edge: nothing
		{dye.Moon{Phase: dye.FirstQuarter, Lit: 0.5}, "M10 2A8 8 0 0 1 10 18A0.00 8 0 0 0 10 2Z"}, // the right half
		{dye.Moon{Phase: dye.WaxingGibbous, Lit: 0.75}, "M10 2A8 8 0 0 1 10 18A4.00 8 0 0 1 10 2Z"},
		{dye.Moon{Phase: dye.FullMoon, Lit: 1}, "M10 2A8 8 0 0 1 10 18A8.00 8 0 0 1 10 2Z"}, // the whole
		{dye.Moon{Phase: dye.LastQuarter, Lit: 0.5}, "M10 2A8 8 0 0 0 10 18A0.00 8 0 0 1 10 2Z"},
		{dye.Moon{Phase: dye.WaningCrescent, Lit: 0.25}, "M10 2A8 8 0 0 0 10 18A4.00 8 0 0 1 10 2Z"},
	} {
		if got := v.MoonPath(c.moon); got != c.want {
			t.Errorf("%s %v: got %s, want %s", c.moon.Phase, c.moon.Lit, got, c.want)
		}
	}
}

// Every step has its picture, and there is none beyond the last.
func TestDyeing_stepPictures(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	id := s.ours["dyeing"]
	steps := len(must(s.house.Dyeing(ctx, s.people["head"], id)).Batch.Steps)
	for n := range steps {
		got := s.get("/dye/"+id+"/step/"+itoa(n), "seller")
		s.want("step "+itoa(n), got, http.StatusOK)
		if kind := got.Header().Get("Content-Type"); kind != "image/svg+xml" {
			t.Errorf("step %d: got %q", n, kind)
		}
		if err := wellFormedXML(got.body); err != nil {
			t.Errorf("step %d: %v", n, err)
		}
	}
	for _, n := range []string{itoa(steps), "-1", "x", "99999999999999999999"} {
		s.want("step "+n, s.get("/dye/"+id+"/step/"+n, "head"), http.StatusNotFound)
	}
	for _, page := range []string{"0.png", "99.png", "x"} {
		s.want("page "+page, s.get("/dye/"+id+"/page/"+page, "head"), http.StatusNotFound)
	}
	s.noFaults()
}
