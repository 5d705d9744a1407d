package web

import (
	"net/http"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"urdir/internal/demo"
	"urdir/internal/store"
	"urdir/internal/workshop"
)

// cookie is the session an answer gives; empty if none.
func (a answer) cookie() string {
	for _, c := range a.Result().Cookies() {
		if c.Name == "urdir" {
			return c.Value
		}
	}
	return ""
}

// A wrong passphrase and an unknown name are answered alike, and after ten tries
// at once nobody is let in for a while, not even with the right one.
func TestSignIn_wrong(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	wrong := s.post("/signin", "", pairs("login", "amaranta", "passphrase", "no es esta la frase"))
	unknown := s.post("/signin", "", pairs("login", "nadie", "passphrase", "no es esta la frase"))
	s.want("wrong passphrase", wrong, http.StatusUnprocessableEntity)
	if strings.ReplaceAll(wrong.body, "amaranta", "nadie") != unknown.body || wrong.Code != unknown.Code {
		t.Error("a wrong passphrase and an unknown name are told apart")
	}
	if wrong.cookie() != "" || strings.Contains(wrong.body, "no es esta la frase") {
		t.Error("refused, but there is a session, or the passphrase is in the page")
	}
	for range workshop.TriesAtOnce {
		s.post("/signin", "", pairs("login", "amaranta", "passphrase", "otra"))
	}
	got := s.post("/signin", "", pairs("login", "amaranta", "passphrase", phrase))
	s.want("too many tries", got, http.StatusUnprocessableEntity)
	if got.cookie() != "" {
		t.Error("too many tries: let in")
	}
	slow, err := parse(got.body)
	if err != nil {
		t.Fatal(err)
	}
	if w := slow.byID("w-passphrase"); w == nil || w.text == "" {
		t.Error("too many tries: not said beside the field")
	}
	for _, login := range []string{"", strings.Repeat("a", 100_000), "x\x00", "\xff", "' OR 1=1 --"} {
		if got := newSite(t).post("/signin", "", pairs("login", login, "passphrase", "una frase")); got.Code < 400 || got.Code >= 500 {
			t.Errorf("login %.20q: got %d, want it refused", login, got.Code)
		}
	}
	s.noFaults()
}

// A session opens with the right passphrase, however the name is written, and
// ends with signing out.
func TestSignIn_andOut(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	in := s.post("/signin", "", pairs("login", " AMARANTA ", "passphrase", phrase))
	s.want("sign in", in, http.StatusSeeOther)
	s.keys["now"] = in.cookie()
	defer delete(s.keys, "now")
	s.want("signed in", s.get("/orders", "now"), http.StatusOK)
	out := s.post("/signout", "now", nil)
	if out.cookie() != "" || out.Result().Cookies()[0].MaxAge >= 0 {
		t.Error("signing out leaves the cookie")
	}
	s.want("signed out", s.get("/orders", "now"), http.StatusSeeOther)
	s.want("another's session goes on", s.get("/orders", "elvira"), http.StatusOK)
	s.noFaults()
}

// An account that is closed is out at once, and stays out.
func TestSignIn_closedAccount(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.want("before", s.get("/orders", "spare"), http.StatusOK)
	form := pairs("name", "Prudencia", "login", "prudencia", "role", "seller", "lang", "es", "closed", "yes")
	s.want("close", s.post("/people/"+s.ours["account"], "head", form), http.StatusSeeOther)
	s.want("open page of hers", s.get("/orders", "spare"), http.StatusSeeOther)
	s.want("signing in", s.post("/signin", "", pairs("login", "prudencia", "passphrase", phrase)), http.StatusUnprocessableEntity)
	own := s.post("/people/"+s.people["head"].Account, "head", pairs("name", "Amaranta", "login", "amaranta", "role", "head", "lang", "es", "closed", "yes"))
	s.want("the head closing her own", own, http.StatusUnprocessableEntity)
	s.noFaults()
}

// A card's link shows a page, and only its button opens the session; a new card
// ends the one before, and ending cards ends what they opened.
func TestCard(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	defer delete(s.keys, "card")
	link := regexp.MustCompile(`/card/[A-Z2-7]+`)
	makeOne := func() string {
		got := s.post("/people/"+s.ours["account"]+"/card", "head", nil)
		s.want("make a card", got, http.StatusOK)
		if !strings.Contains(got.body, "<path d=") || len(faultsOf(got.body, "es")) > 0 {
			t.Errorf("no QR, or %v", faultsOf(got.body, "es"))
		}
		return link.FindString(got.body)
	}
	first := makeOne()
	if first == "" {
		t.Fatal("the page shows no link")
	}
	if shown := s.get("/people/"+s.ours["account"], "head"); strings.Contains(shown.body, first) {
		t.Error("the card is shown again")
	}
	s.want("looking at the card", s.get(first, ""), http.StatusOK)
	if got := s.get(first, ""); len(got.Result().Cookies()) != 0 {
		t.Error("looking at a card opens a session")
	}
	in := s.post(first, "", nil)
	s.want("going in", in, http.StatusSeeOther)
	s.keys["card"] = in.cookie()
	s.want("gone in", s.get("/", "card"), http.StatusOK)
	second := makeOne()
	s.want("the old card", s.post(first, "", nil), http.StatusUnprocessableEntity)
	s.want("the new card", s.post(second, "", nil), http.StatusSeeOther)
	s.want("ending cards", s.post("/people/"+s.ours["account"]+"/nocard", "head", nil), http.StatusSeeOther)
	s.want("the ended card", s.post(second, "", nil), http.StatusUnprocessableEntity)
	s.want("what it opened", s.get("/", "card"), http.StatusSeeOther)
	for range workshop.TriesAtOnce {
		s.post("/card/AAAA", "", nil)
	}
	s.want("guessing cards", s.post("/card/AAAA", "", nil), http.StatusUnprocessableEntity)
	s.noFaults()
}

// An invitation shows whom it is for and opens nothing by being looked at; a weak
// passphrase leaves it valid, and it works once.
func TestInvite(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	defer delete(s.keys, "invited")
	got := s.post("/people/"+s.ours["account"]+"/invite", "head", nil)
	s.want("make an invitation", got, http.StatusOK)
	link := regexp.MustCompile(`/invite/[A-Z2-7]{26}`).FindString(got.body)
	if link == "" || len(faultsOf(got.body, "es")) > 0 {
		t.Fatalf("no link, or %v", faultsOf(got.body, "es"))
	}
	shown := s.get(link, "")
	s.want("looking at it", shown, http.StatusOK)
	if len(shown.Result().Cookies()) != 0 || len(faultsOf(shown.body, "es")) > 0 {
		t.Errorf("looking at an invitation opens a session, or %v", faultsOf(shown.body, "es"))
	}
	s.want("a weak passphrase", s.post(link, "", pairs("passphrase", "corta")), http.StatusUnprocessableEntity)
	in := s.post(link, "", pairs("passphrase", "los juncos de la marisma"))
	s.want("going in", in, http.StatusSeeOther)
	s.keys["invited"] = in.cookie()
	s.want("gone in", s.get("/", "invited"), http.StatusOK)
	s.want("a second time", s.post(link, "", pairs("passphrase", "los juncos de la marisma")), http.StatusUnprocessableEntity)
	s.want("one nobody made", s.get("/invite/AAAA", ""), http.StatusUnprocessableEntity)
	if cleanPath(link) != "/invite/..." {
		t.Error("its key is in the log")
	}
	s.noFaults()
}

// Only the link from the terminal opens a workshop, and only while there is none.
func TestStart(t *testing.T) {
	t.Parallel()
	db, err := store.Open(ctx, filepath.Join(t.TempDir(), "urdir.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = db.Close() }()
	house := workshop.New(db, demo.NewClock(theDay).Now)
	s := serveSite(t, house, db, &season{}, Options{StartKey: "the-key"})
	form := pairs("workshop", "Taller", "name", "Amaranta", "login", "amaranta", "passphrase", phrase)
	for _, key := range []string{"other", "the-ke", "the-key2", "%00"} {
		s.want("start with "+key, s.post("/start/"+key, "", form), http.StatusNotFound)
		s.want("page with "+key, s.get("/start/"+key, ""), http.StatusNotFound)
	}
	keyless := serveSite(t, house, db, &season{}, Options{})
	s.want("start without a key", keyless.post("/start/", "", form), http.StatusNotFound)
	for _, f := range faultsOf(s.get("/signin", "").body, "en") {
		t.Error(f)
	}
	for _, f := range faultsOf(s.get("/start/the-key", "").body, "en") {
		t.Error(f)
	}
	short := s.post("/start/the-key", "", pairs("workshop", "Taller", "name", "", "login", "amaranta", "passphrase", "corta"))
	s.want("refused", short, http.StatusUnprocessableEntity)
	in := s.post("/start/the-key", "", form)
	s.want("start", in, http.StatusSeeOther)
	s.keys = map[string]string{"head": in.cookie()}
	for _, path := range []string{"/", "/orders", "/cloths", "/figures", "/yarn", "/members", "/work", "/pieces", "/settings", "/people", "/history", "/customers"} {
		got := s.get(path, "head")
		s.want(path, got, http.StatusOK)
		for _, f := range faultsOf(got.body, "en") {
			t.Errorf("empty %s: %s", path, f)
		}
	}
	s.want("start again", s.post("/start/the-key", "", form), http.StatusNotFound)
	s.want("page again", s.get("/start/the-key", ""), http.StatusNotFound)
	s.noFaults()
}

// Two servers of one database count tries together.
func TestSignIn_twoServers(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	second := serveSite(t, workshop.New(s.db, s.house.Now), s.db, s.season, Options{})
	for i := range workshop.TriesAtOnce {
		at := []*site{s, second}[i%2]
		at.want("a wrong try", at.post("/signin", "", pairs("login", "amaranta", "passphrase", "otra")), http.StatusUnprocessableEntity)
	}
	for _, at := range []*site{s, second} {
		at.want("one more", at.post("/signin", "", pairs("login", "amaranta", "passphrase", phrase)), http.StatusUnprocessableEntity)
	}
	s.noFaults()
}

// One's own passphrase is changed by who knows it; whoever is signed in elsewhere is
// out.
func TestMe(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.want("wrong old one", s.post("/me", "elvira", pairs("old", "otra", "passphrase", "una frase nueva")), http.StatusUnprocessableEntity)
	s.want("short new one", s.post("/me", "elvira", pairs("old", phrase, "passphrase", "corta")), http.StatusUnprocessableEntity)
	s.keys["elsewhere"] = s.post("/signin", "", pairs("login", "elvira", "passphrase", phrase)).cookie()
	defer delete(s.keys, "elsewhere")
	s.want("signed in elsewhere", s.get("/", "elsewhere"), http.StatusOK)
	change := s.post("/me", "elvira", pairs("old", phrase, "passphrase", "una frase nueva"))
	s.want("change", change, http.StatusSeeOther)
	s.want("elsewhere", s.get("/", "elsewhere"), http.StatusSeeOther)
	s.want("with the former session", s.get("/", "elvira"), http.StatusSeeOther)
	s.keys["here"] = change.cookie()
	defer delete(s.keys, "here")
	s.want("here", s.get("/", "here"), http.StatusOK)
	s.want("old one", s.post("/signin", "", pairs("login", "elvira", "passphrase", phrase)), http.StatusUnprocessableEntity)
	s.want("new one", s.post("/signin", "", pairs("login", "elvira", "passphrase", "una frase nueva")), http.StatusSeeOther)
	for range workshop.TriesAtOnce {
		s.post("/me", "here", pairs("old", "otra", "passphrase", "una frase nueva"))
	}
	s.want("guessing", s.post("/me", "here", pairs("old", "una frase nueva", "passphrase", "otra frase nueva")), http.StatusUnprocessableEntity)
	s.noFaults()
}
