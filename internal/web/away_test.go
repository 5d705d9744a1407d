package web

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"urdir/internal/demo"
	"urdir/internal/store"
	"urdir/internal/store/pgtest"
	"urdir/internal/workshop"
)

// On PostgreSQL: pages of every kind, forms, and texts it does not take; then the
// server stops under the pages, which say so, and comes back, and so do they.
func TestPostgreSQL(t *testing.T) {
	t.Parallel()
	server := pgtest.New(t)
	db, err := store.Open(ctx, server.Database(t))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = db.Close() })
	clock := demo.NewClock(theDay)
	house := workshop.New(db, clock.Now)
	s := serveSite(t, house, db, fill(house, clock), Options{})
	for _, path := range s.everyPage() {
		got := s.get(path, "head")
		if got.Code >= 500 {
			t.Errorf("%s: got %d", path, got.Code)
		}
		if strings.HasPrefix(got.Header().Get("Content-Type"), "text/html") {
			for _, f := range faultsOf(got.body, "es") {
				t.Errorf("%s: %s", path, f)
			}
		}
	}
	for _, path := range []string{"/orders/%00", "/orders/%ff", "/orders?q=%00", "/orders?state=%ff", "/history?kind=%00", "/cloths/x%00/cloth.svg", "/orders?after=%00"} {
		s.want(path, s.get(path, "head"), http.StatusNotFound)
	}
	for _, path := range []string{"/signin", "/people/new", "/customers/new", "/work/" + s.ours["job"] + "/give", "/restore/customer/x"} {
		s.want(path+" with a zero", s.post(path, "head", pairs("login", "a\x00", "name", "b\x00", "lang", "es\x00")), http.StatusUnprocessableEntity)
	}
	for _, b := range s.badForms() {
		s.want(b.path+" "+b.field, s.post(b.path, "head", b.form), http.StatusUnprocessableEntity)
	}
	s.noFaults()

	server.Stop(t)
	for _, path := range []string{"/", "/orders", "/signin", "/readyz", "/work/" + s.ours["job"], "/orders/" + s.ours["order"] + "/edit"} {
		got := s.get(path, "head")
		s.want(path+" without a database", got, http.StatusServiceUnavailable)
		if path != "/readyz" && len(faultsOf(got.body, "en")) > 0 {
			t.Errorf("%s without a database: %v", path, faultsOf(got.body, "en"))
		}
	}
	s.want("a form without a database", s.post("/customers/new", "head", pairs("name", "Nueva")), http.StatusServiceUnavailable)
	s.want("styles without a database", s.get("/static/urdir.css", "head"), http.StatusOK)
	server.Restart(t)
	for deadline := time.Now().Add(10 * time.Second); s.get("/readyz", "").Code != http.StatusOK && time.Now().Before(deadline); {
		time.Sleep(20 * time.Millisecond)
	}
	s.want("after it is back", s.get("/orders", "head"), http.StatusOK)
	s.want("a form after it is back", s.post("/customers/new", "head", pairs("name", "Nueva")), http.StatusSeeOther)
	if log := s.faults.take(); strings.Contains(log, "panic") {
		t.Errorf("a panic: %s", log)
	}
}

// A database that was closed under the pages is a fault; it is answered with a
// page all the same.
func TestDatabaseClosed(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.want("before", s.get("/orders", "head"), http.StatusOK)
	if err := s.db.Close(); err != nil {
		t.Fatal(err)
	}
	for _, path := range []string{"/", "/orders", "/signin", "/work"} {
		got := s.get(path, "head")
		if got.Code != http.StatusServiceUnavailable && got.Code != http.StatusInternalServerError || len(faultsOf(got.body, "en")) > 0 {
			t.Errorf("%s: got %d, %v", path, got.Code, faultsOf(got.body, "en"))
		}
	}
	s.want("ready", s.get("/readyz", ""), http.StatusServiceUnavailable)
	s.want("alive", s.get("/healthz", ""), http.StatusOK)
	if log := s.faults.take(); strings.Contains(log, "panic") {
		t.Errorf("a panic: %s", log)
	}
}

// A panic in a page is a page too, and goes to the log and nowhere else.
func TestPanic(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	sv := s.server()
	pages, err := readPages()
	if err != nil {
		t.Fatal(err)
	}
	sv.pages, sv.mux = pages, http.NewServeMux()
	f := &faults{}
	sv.opt.Log = logTo(f)
	s.handler = sv.outer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { panic("the reason") }))
	got := s.get("/card/secret-key", "head")
	s.want("panic", got, http.StatusInternalServerError)
	if strings.Contains(got.body, "the reason") || !strings.Contains(got.body, "<main") {
		t.Error("the visitor sees the reason, or no page")
	}
	log := f.take()
	if !strings.Contains(log, "the reason") {
		t.Error("the log has no reason")
	}
	if strings.Contains(log, "secret-key") {
		t.Error("the log has a card's key")
	}
}
