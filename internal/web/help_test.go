package web

import (
	"cmp"
	"context"
	"errors"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"urdir/internal/archive"
	"urdir/internal/care"
	"urdir/internal/demo"
	"urdir/internal/store"
	"urdir/internal/workshop"
)

var ctx = context.Background()

// theDay is the day by the clock of all tests.
var theDay = time.Date(2027, 3, 2, 10, 0, 0, 0, time.UTC)

// must gives a value, or panics: in a test that ends it and shows where.
func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// season is the demo, filled once, with people of every role signed in, and a
// second workshop beside it whose things nobody of the first may see.
type season struct {
	file   []byte // the SQLite database
	people map[string]workshop.Person
	keys   map[string]string // sessions, by the names of people
	ours   map[string]string // names of things by what they are: "order", "draft", "job given" ...
	theirs map[string]string
}

const phrase = "la marea sube despacio" // of the demo's people

var filled = sync.OnceValue(func() *season {
	dir := must(os.MkdirTemp("", "urdir-web"))
	defer func() { _ = os.RemoveAll(dir) }() // left behind, it would do no harm
	file := filepath.Join(dir, "urdir.db")
	db := must(store.Open(ctx, file))
	clock := demo.NewClock(theDay)
	s := fill(workshop.New(db, clock.Now), clock)
	if err := db.Close(); err != nil {
		panic(err)
	}
	s.file = must(os.ReadFile(file))
	return s
})

// fill fills a database.
func fill(h *workshop.House, clock *demo.Clock) *season {
	s := &season{people: map[string]workshop.Person{}, keys: map[string]string{}, ours: map[string]string{}, theirs: map[string]string{}}
	logins := must(demo.Fill(ctx, h, clock, "es"))
	for _, l := range logins {
		p, key, err := h.SignIn(ctx, l.Login, l.Passphrase)
		s.people[l.Login], s.keys[l.Login] = must(p, err), key
	}
	head := s.people["amaranta"]
	for _, r := range []struct{ role, login string }{{"head", "amaranta"}, {"dyer", "dionisia"}, {"seller", "elvira"}, {"bookkeeper", "crisanto"}, {"member", "benita"}} {
		s.people[r.role], s.keys[r.role] = s.people[r.login], s.keys[r.login]
	}
	idle := must(h.SaveMember(ctx, head, workshop.Kept[workshop.Member]{Value: workshop.Member{Name: "Ausencia Rolón", Skills: []string{"weave"}}}))
	s.ours["member"] = idle.ID
	account(s, h, head, "idle", workshop.Account{Name: "Ausencia Rolón", Login: "ausencia", Role: workshop.MemberRole, Member: idle.ID, Lang: "es"})
	s.ours["account"] = account(s, h, head, "spare", workshop.Account{Name: "Prudencia", Login: "prudencia", Role: workshop.Seller, Lang: "es"})
	s.name(h, head)
	s.dyes(h, head)
	s.samples(h, head)
	s.dates(h, head)

	other, key, err := foreign(h)
	s.people["foreign"], s.keys["foreign"] = must(other, err), key
	s.them(h, other)
	s.dyesToo(h, other)
	s.supplies(h, head, other)
	s.pays(h, head, other)
	s.theirs["sample"] = bareSample(h, other)
	s.ours["partner"], s.ours["offer"] = sharing(h, head)
	s.theirs["partner"], s.theirs["offer"] = sharing(h, other)
	s.sells(h, head, other)
	s.ours["hook"] = must(h.Hooks(ctx, head)).Items[0].ID
	hook, _, err := h.SaveHook(ctx, other, workshop.Kept[workshop.Hook]{Value: workshop.Hook{URL: "https://ajena.example/"}})
	s.theirs["hook"] = must(hook, err).ID
	return s
}

func account(s *season, h *workshop.House, head workshop.Person, as string, a workshop.Account) string {
	id := must(h.SaveAccount(ctx, head, a, phrase))
	p, key, err := h.SignIn(ctx, a.Login, phrase)
	s.people[as], s.keys[as] = must(p, err), key
	return id
}

// name finds things of the demo, one of every kind and in every state.
func (s *season) name(h *workshop.House, head workshop.Person) {
	take := func(what, id string) {
		if s.ours[what] == "" {
			s.ours[what] = id
		}
	}
	all, _, err := h.Orders(ctx, head, workshop.Page{})
	for _, o := range must(all, err).Items {
		v := must(h.Order(ctx, head, o.ID))
		switch {
		case o.Value.Cancelled != "":
			take("cancelled", o.ID)
		case o.Value.Confirmed == "":
			take("draft", o.ID)
			take("draft line", o.Value.Lines[0].ID)
		case len(v.Jobs) > 0 && v.Lines[0].Wants[0].Lot.ID != "":
			take("order", o.ID)
			take("line", o.Value.Lines[0].ID)
			take("yarn", v.Lines[0].Wants[0].Yarn)
		}
		for _, j := range v.Jobs {
			what := "job " + string(j.Value.State())
			if j.Value.Paid() {
				what = "job paid"
			}
			if j.Value.State() != workshop.Waiting || !slices.ContainsFunc(v.Lines[0].Wants, func(w workshop.Want) bool { return w.Lot.ID == "" || !w.Enough }) {
				take(what, j.ID)
			}
			if j.Value.Member == s.people["benita"].Member && j.Value.State() != workshop.Off {
				take("hers", j.ID)
			}
			if j.Value.Member == s.people["zoila"].Member {
				take("another's", j.ID)
			}
		}
		for _, x := range v.Pieces {
			what := "piece " + string(x.Value.State())
			if x.Value.State() == workshop.Unfinished && must(h.Piece(ctx, head, x.ID)).Ready {
				what = "piece ready"
			}
			take(what, x.ID)
		}
	}
	s.ours["job"], s.ours["piece"] = s.ours["job weaving"], s.ours["piece finished"]
	s.ours["cloth"] = must(h.Cloths(ctx, head, workshop.Page{})).Items[0].ID
	s.ours["customer"] = must(h.Customers(ctx, head, workshop.Page{})).Items[0].ID
	s.ours["figure"] = must(h.Figures(ctx, head, workshop.Page{})).Items[0].ID
	ls, _, err := h.Lots(ctx, head, workshop.Page{})
	s.ours["lot"] = must(ls, err).Items[0].ID
}

// foreign opens a second workshop on the same server.
func foreign(h *workshop.House) (workshop.Person, string, error) {
	if _, err := h.SetUp(ctx, "Taller Ajeno", "Fermina", "fermina", phrase, "es"); err != nil {
		return workshop.Person{}, "", err
	}
	return h.SignIn(ctx, "fermina", phrase)
}

// them makes one thing of every kind in the second workshop.
func (s *season) them(h *workshop.House, p workshop.Person) {
	t := s.theirs
	cloth, _, err := h.Cloth(ctx, s.people["head"], s.ours["cloth"], 0)
	c := must(h.SaveCloth(ctx, p, workshop.Kept[workshop.Cloth]{Value: must(cloth, err).Value}))
	cu := must(h.SaveCustomer(ctx, p, workshop.Kept[workshop.Customer]{Value: workshop.Customer{Name: "Ajena"}}))
	m := must(h.SaveMember(ctx, p, workshop.Kept[workshop.Member]{Value: workshop.Member{Name: "Ajena"}}))
	l := must(h.SaveLot(ctx, p, workshop.Kept[workshop.Lot]{Value: workshop.Lot{Label: "Ajena", Colour: "#336699", Fibre: "cotton"}}))
	f := must(h.Figure(ctx, s.people["head"], s.ours["figure"]))
	k := must(h.SaveFigure(ctx, p, workshop.Kept[workshop.Figure]{Value: f.Value}))
	o := must(h.SaveOrder(ctx, p, workshop.Kept[workshop.Order]{Value: workshop.Order{Customer: cu.ID, Lines: []workshop.Line{{Cloth: c.ID, Quantity: 1}}}}))
	o = must(h.ConfirmOrder(ctx, p, o.ID, o.Revision))
	v := must(h.Order(ctx, p, o.ID))
	t["order"], t["line"], t["cloth"], t["customer"], t["member"], t["lot"], t["figure"] = o.ID, o.Value.Lines[0].ID, c.ID, cu.ID, m.ID, l.ID, k.ID
	t["job"], t["piece"], t["account"] = v.Jobs[0].ID, v.Pieces[0].ID, p.Account
}

// site is a server for one test, on a copy of the season.
type site struct {
	testing.TB
	*season
	house   *workshop.House
	db      *store.DB
	handler http.Handler
	renewed map[string]string // sessions that took the place of a season's
	faults  *faults
}

// newSite opens a copy of the season.
func newSite(tb testing.TB) *site { return newSiteWith(tb, Options{}) }

func newSiteWith(tb testing.TB, o Options) *site {
	tb.Helper()
	file := filepath.Join(tb.TempDir(), "urdir.db")
	if err := os.WriteFile(file, filled().file, 0o600); err != nil {
		tb.Fatal(err)
	}
	return openSite(tb, file, filled(), o)
}

func openSite(tb testing.TB, address string, s *season, o Options) *site {
	tb.Helper()
	db, err := store.Open(ctx, address)
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() { _ = db.Close() }) // a test may have closed it
	return serveSite(tb, workshop.New(db, demo.NewClock(theDay).Now), db, s, o)
}

func serveSite(tb testing.TB, h *workshop.House, db *store.DB, s *season, o Options) *site {
	tb.Helper()
	f := &faults{}
	o.Log = logTo(f)
	o.Care = &care.Server{DB: db, House: h, Version: "test", Now: h.Now, Room: func(string) (int64, error) { return 5 << 30, nil },
		Address: filepath.Join(tb.TempDir(), "urdir.sqlite"), Backups: archive.Keeper{DB: db, Dir: filepath.Join(tb.TempDir(), "copies"), Every: 24 * time.Hour, Keep: 3, Log: o.Log, Now: h.Now}}
	handler, err := New(h, o)
	if err != nil {
		tb.Fatal(err)
	}
	return &site{TB: tb, season: s, house: h, db: db, handler: handler, faults: f, renewed: map[string]string{}}
}

func logTo(f *faults) *slog.Logger { return slog.New(slog.NewTextHandler(f, nil)) }

// faults is the server's log: in a test, whatever is in it is a fault.
type faults struct {
	mu sync.Mutex
	b  strings.Builder
}

func (f *faults) Write(p []byte) (int, error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	return f.b.Write(p)
}

func (f *faults) take() string {
	f.mu.Lock()
	defer f.mu.Unlock()
	s := f.b.String()
	f.b.Reset()
	return s
}

// noFaults fails the test if the server wrote a fault in its log.
func (s *site) noFaults() {
	s.Helper()
	if got := s.faults.take(); got != "" {
		s.Errorf("the server's log: got %.2000s, want nothing", got)
	}
}

// answer is what came back.
type answer struct {
	*httptest.ResponseRecorder
	body string
}

func (s *site) request(r *http.Request, as string) answer {
	if key := cmp.Or(s.renewed[as], s.keys[as]); key != "" {
		r.AddCookie(&http.Cookie{Name: "urdir", Value: key})
	}
	w := httptest.NewRecorder()
	s.handler.ServeHTTP(w, r)
	return answer{w, w.Body.String()}
}

// get asks for a page as someone; "" is a stranger.
func (s *site) get(path, as string, headers ...string) answer {
	r := httptest.NewRequest(http.MethodGet, path, nil)
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	return s.request(r, as)
}

// post sends a form as someone.
func (s *site) post(path, as string, form url.Values) answer {
	r := httptest.NewRequest(http.MethodPost, path, strings.NewReader(form.Encode()))
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return s.request(r, as)
}

// want fails the test if an answer has another status.
func (s *site) want(what string, got answer, status int) {
	s.Helper()
	if got.Code != status {
		s.Errorf("%s: got %d (%s), want %d", what, got.Code, got.Header().Get("Location"), status)
	}
}

// pairs makes form values of name, value, name, value.
func pairs(v ...string) url.Values {
	out := url.Values{}
	for i := 0; i+1 < len(v); i += 2 {
		out.Add(v[i], v[i+1])
	}
	return out
}

// revision is the revision a thing is at now.
func (s *site) revision(what, id string) string {
	s.Helper()
	head := s.people["head"]
	var n int64
	var err error
	switch what {
	case "order":
		n, err = revisionOf(s.house.Order(ctx, head, id))
	case "job":
		n, err = revisionOf(s.house.Job(ctx, head, id))
	case "piece":
		n, err = revisionOf(s.house.Piece(ctx, head, id))
	case "dyeing":
		n, err = revisionOf(s.house.Dyeing(ctx, head, id))
	case "settings":
		var k workshop.Kept[workshop.Settings]
		k, err = s.house.Settings(ctx, head)
		n = k.Revision
	default:
		n, err = 0, errors.New("no kind "+what)
	}
	if err != nil {
		s.Fatal(err)
	}
	return strconv.FormatInt(n, 10)
}

func revisionOf(v any, err error) (int64, error) {
	switch v := v.(type) {
	case workshop.OrderView:
		return v.Revision, err
	case workshop.JobView:
		return v.Revision, err
	case workshop.PieceView:
		return v.Revision, err
	case workshop.DyeingView:
		return v.Revision, err
	}
	return 0, err
}

// onShelf is how much of every lot lies on the shelf, in all.
func (s *site) onShelf() (sum float64) {
	s.Helper()
	_, stock, err := s.house.Lots(ctx, s.people["head"], workshop.Page{})
	if err != nil {
		s.Fatal(err)
	}
	for _, l := range stock {
		sum += float64(l.OnShelf)
	}
	return sum
}
