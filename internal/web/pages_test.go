package web

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image/jpeg"
	"image/png"
	"io"
	"maps"
	"net/http"
	"slices"
	"strings"
	"testing"
)

// everyPage is the address of every page there is, with things in every state
// and the lists in every narrowing.
func (s *site) everyPage() (out []string) {
	for _, r := range s.server().routes() {
		method, path := address(r.pattern, s.ours)
		if method == http.MethodGet {
			out = append(out, path)
		}
	}
	for _, what := range slices.Sorted(maps.Keys(s.ours)) {
		switch kind, state, _ := strings.Cut(what, " "); {
		case what == "draft" || what == "cancelled":
			out = append(out, "/orders/"+s.ours[what], "/orders/"+s.ours[what]+"/edit")
		case kind == "job" && state != "":
			out = append(out, "/work/"+s.ours[what])
		case kind == "piece" && state != "":
			out = append(out, "/pieces/"+s.ours[what])
		case kind == "dyeing" && state != "":
			out = append(out, "/dye/"+s.ours[what])
		case kind == "piece" && state == "":
			out = append(out, "/cards/"+s.ours[what], "/cards/"+s.ours["piece ready"])
		case kind == "quote" || kind == "paper":
			out = append(out, "/"+kind+"s/"+s.ours[what])
		}
	}
	for list, states := range map[string]string{"/orders": "draft open cancelled none", "/yarn": "ready waiting", "/figures": "yes ask no",
		"/work": "waiting given laid weaving back", "/pieces": "unfinished finished delivered returned", "/supplies": "low expired", "/dye/lots": "planned begun out accepted rejected", "/quotes": "open accepted", "/papers": "invoice receipt counter", "/cards": "finished delivered"} {
		for state := range strings.FieldsSeq(states) {
			out = append(out, list+"?state="+state, list+"?state="+state+"&q=zzz")
		}
	}
	for _, kind := range []string{"scarf", "runner", "sash", "tunic", "bag", "blanket", "class", "none", "../scarf"} {
		out = append(out, "/cloths/new?kind="+kind)
	}
	recipe := "/recipes/" + ownRecipe
	out = append(out, "/recipes?state=protein", "/recipes?q=zzz", "/recipes?dropped="+ownRecipe, recipe+"?mass=0", recipe+"?mass=2000&litres=40", "/recipes/indigo-cotton",
		"/recipes/new?like=indigo-cotton", recipe+"/shades?wish=50,30,20", recipe+"/shades?wish=nada", recipe+"/shades?over=indigo-wool", "/recipes/madder-cotton/shades")
	return append(out, "/search?q=a", "/search?q=zzz", "/settings/frames/3", "/history?kind=order&id="+s.ours["order"], "/nothing",
		"/cloths/"+s.ours["cloth"]+"?v=1", "/cloths/"+s.ours["cloth"]+"?v=99", "/orders?done=saved", "/signin?to=/orders", "/signin?done=signed-out",
		"/orders/new?customer="+s.ours["customer"]+"&cloth="+s.ours["cloth"], "/supplies/new?what=tin", "/pay?month=2027-01", "/pay?month=nada", "/pay?from=2026-11&to=2027-03", "/pay?from=x&to=y", "/pay/"+s.ours["earner"]+"?month="+s.ours["month"],
		"/pay/"+s.ours["earner"]+"?month="+s.ours["month"]+"&work="+s.ours["work line"], "/books?to=2026-12-31", "/books?to=ayer", "/books/journal?account=assets:cash&q=luz", "/books/journal?q=zzz",
		"/books/entries/new?kind=fund", "/books/entries/"+s.ours["by hand"], "/books/entries/"+s.ours["closing"], "/books/profit?tag=channel", "/books/profit?tag=lot&from=x", "/supplies/"+s.ours["liquid"],
		"/yarn/shelf?by=wish&wish=rojo", "/yarn/shelf?by=picked&picked=%23a8442f", "/cloths/"+s.ours["cloth"]+"/with?yarn="+s.ours["cloth yarn"]+"&lot="+s.ours["lot"],
		"/orders/"+s.ours["order"]+"/"+s.ours["line"]+"/with?yarn="+s.ours["yarn"]+"&lot="+s.ours["lot"])
}

// Every page in both languages, for every role: all words there, HTML that holds
// together, and nothing from elsewhere.
func TestPages_areSound(t *testing.T) {
	t.Parallel()
	for _, lang := range []string{"es", "en"} {
		t.Run(lang, func(t *testing.T) {
			t.Parallel()
			for _, who := range []string{"head", "member", ""} {
				s := newSiteWith(t, Options{Address: "http://192.168.1.20:8080", Demo: "amaranta / una frase"})
				if who != "" {
					s.want("language", s.post("/language", who, pairs("lang", lang)), http.StatusSeeOther)
				}
				n := 0
				for _, path := range s.everyPage() {
					got := s.get(path, who, "Accept-Language", lang, "Cookie", "lang="+lang) // chosen: a customer's page has hers else
					if got.Code == http.StatusSeeOther || !strings.HasPrefix(got.Header().Get("Content-Type"), "text/html") {
						continue
					}
					n++
					for _, f := range faultsOf(got.body, lang) {
						t.Errorf("%s %s: %s", who, path, f)
					}
					if got.Header().Get("Content-Language") != lang {
						t.Errorf("%s: Content-Language: got %q, want %q", path, got.Header().Get("Content-Language"), lang)
					}
				}
				if least := map[string]int{"head": 60, "member": 8, "": 4}[who]; n < least {
					t.Errorf("%q saw %d pages, want more", who, n)
				}
				s.noFaults()
			}
		})
	}
}

// A page is where its links lead: nothing that a page offers is refused to whom
// it offers it.
func TestPages_linksLeadSomewhere(t *testing.T) {
	t.Parallel()
	for _, who := range []string{"head", "dyer", "seller", "bookkeeper", "member", "idle"} {
		t.Run(who, func(t *testing.T) {
			t.Parallel()
			s := newSite(t)
			seen, todo, days := map[string]bool{"/": true}, []string{"/"}, 0
			for len(todo) > 0 && len(seen) < 400 {
				path := todo[0]
				todo = todo[1:]
				if strings.HasSuffix(path, ".pdf") || strings.Contains(path, ".png") || strings.Contains(path, ".svg") || strings.Contains(path, ".jpg") {
					continue // TestPictures
				}
				got := s.get(path, who)
				if got.Code != http.StatusOK {
					t.Errorf("%s: got %d, want 200: a page links to it", path, got.Code)
				}
				if got.Code == http.StatusSeeOther || !strings.HasPrefix(got.Header().Get("Content-Type"), "text/html") {
					continue
				}
				root, err := parse(got.body)
				if err != nil {
					t.Fatalf("%s: %v", path, err)
				}
				for _, a := range root.all("a") {
					if to := a.attr["href"]; strings.HasPrefix(to, "/") && !seen[to] {
						if strings.HasPrefix(to, "/calendar") {
							if days++; days > 40 {
								continue // its days and steps are alike, and hundreds
							}
						}
						seen[to] = true
						todo = append(todo, to)
					}
				}
			}
			if least := map[string]int{"member": 5, "idle": 3}[who]; len(seen) < max(least, 3) || who == "head" && len(seen) < 150 {
				t.Errorf("%d addresses, want more", len(seen))
			}
			s.noFaults()
		})
	}
}

// Pictures and documents are what they say they are: SVG that is XML, PNG that
// is read by the standard library, PDF by its first and last words (ISO 32000-1,
// 7.5.2 and 7.5.5).
func TestPictures(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for _, r := range s.server().routes() {
		method, path := address(r.pattern, s.ours)
		if method != http.MethodGet || !strings.Contains(path, ".") {
			continue
		}
		got := s.get(path, "head")
		s.want(path, got, http.StatusOK)
		body := got.Body.Bytes()
		switch kind := got.Header().Get("Content-Type"); {
		case strings.HasSuffix(path, ".svg"):
			if kind != "image/svg+xml" {
				t.Errorf("%s: got %q", path, kind)
			}
			if err := wellFormedXML(got.body); err != nil {
				t.Errorf("%s: %v", path, err)
			}
		case strings.HasSuffix(path, ".png"):
			if _, err := png.Decode(bytes.NewReader(body)); err != nil || kind != "image/png" {
				t.Errorf("%s: %q %v", path, kind, err)
			}
		case strings.HasSuffix(path, ".jpg"): // for the telephone
			if _, err := jpeg.Decode(bytes.NewReader(body)); err != nil || kind != "image/jpeg" || len(body) > 6000 {
				t.Errorf("%s: %q, %d bytes, %v", path, kind, len(body), err)
			}
		case strings.HasSuffix(path, ".pdf"):
			if !bytes.HasPrefix(body, []byte("%PDF-1.")) || !bytes.HasSuffix(bytes.TrimSpace(body), []byte("%%EOF")) || kind != "application/pdf" {
				t.Errorf("%s: %q, %d bytes, no PDF", path, kind, len(body))
			}
		}
	}
	s.noFaults()
}

func wellFormedXML(s string) error {
	d := xml.NewDecoder(strings.NewReader(s))
	for {
		switch _, err := d.Token(); {
		case errors.Is(err, io.EOF):
			return nil
		case err != nil:
			return err
		}
	}
}

// What a member is sent says nothing of the customer.
func TestPages_memberSeesNoCustomer(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	j, err := s.house.Job(ctx, s.people["head"], s.ours["hers"])
	if err != nil {
		t.Fatal(err)
	}
	o, err := s.house.Order(ctx, s.people["head"], j.Value.Order)
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"/", "/work", "/work/" + j.ID} {
		if got := s.get(path, "member"); got.Code != http.StatusOK || strings.Contains(got.body, o.Customer.Value.Name) {
			t.Errorf("%s: got %d; it must not name %s", path, got.Code, o.Customer.Value.Name)
		}
	}
	s.noFaults()
}
