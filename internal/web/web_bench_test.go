package web

import (
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"slices"
	"sync"
	"testing"
	"time"

	"urdir/internal/demo"
	"urdir/internal/store"
	"urdir/internal/store/pgtest"
	"urdir/internal/workshop"
)

// What a page costs, without the network: the demo's, on SQLite.
func BenchmarkPages(b *testing.B) {
	s := newSite(b)
	for _, p := range []struct{ name, path, who string }{
		{"today", "/", "head"}, {"today-member", "/", "member"}, {"orders", "/orders", "head"}, {"order", "/orders/" + s.ours["order"], "head"},
		{"work", "/work", "head"}, {"warp", "/work/" + s.ours["job"], "head"}, {"yarn", "/yarn", "head"}, {"pieces", "/pieces", "head"}, {"piece", "/pieces/" + s.ours["piece"], "head"}, {"cloths", "/cloths", "head"}, {"cloth", "/cloths/" + s.ours["cloth"], "head"}, {"cloth-svg", "/cloths/" + s.ours["cloth"] + "/cloth.svg", "head"},
		{"sheets-pdf", "/work/" + s.ours["job"] + "/sheets.pdf", "head"},
	} {
		b.Run(p.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if got := s.get(p.path, p.who); got.Code != http.StatusOK {
					b.Fatalf("%s: got %d", p.path, got.Code)
				}
			}
		})
	}
}

// From a handler being made to its first page.
func BenchmarkColdStart(b *testing.B) {
	s := newSite(b)
	for b.Loop() {
		fresh := serveSite(b, workshop.New(s.db, demo.NewClock(theDay).Now), s.db, s.season, Options{})
		if got := fresh.get("/", "head"); got.Code != http.StatusOK {
			b.Fatalf("got %d", got.Code)
		}
	}
}

// A hundred people who click without a pause, over the loopback: how long a page
// takes in the middle and for the slowest of a hundred.
func BenchmarkClicking(b *testing.B) {
	for _, pause := range []time.Duration{time.Second, 0} {
		b.Run(fmt.Sprintf("every %s", pause), func(b *testing.B) { clicking(b, pause) })
	}
}

// clicking has a hundred people click on both databases, each so long after the
// page before has come.
func clicking(b *testing.B, pause time.Duration) {
	b.Run("SQLite", func(b *testing.B) { click(b, newSite(b), pause) })
	b.Run("PostgreSQL", func(b *testing.B) {
		db, err := store.Open(ctx, pgtest.Start(b))
		if err != nil {
			b.Fatal(err)
		}
		b.Cleanup(func() { _ = db.Close() })
		clock := demo.NewClock(theDay)
		house := workshop.New(db, clock.Now)
		click(b, serveSite(b, house, db, fill(house, clock), Options{}), pause)
	})
}

// The limit: a bare handler that writes as many bytes as a page of orders has.
func BenchmarkClicking_bare(b *testing.B) {
	s := newSite(b)
	page := s.get("/orders", "head").Body.Bytes()
	s.handler = http.HandlerFunc(func(rw http.ResponseWriter, _ *http.Request) { _, _ = rw.Write(page) }) // who asked will miss it
	click(b, s, time.Second)
}

func click(b *testing.B, s *site, pause time.Duration) {
	const people = 100
	server := httptest.NewServer(s.handler)
	defer server.Close()
	walk := []string{"/", "/orders", "/orders/" + s.ours["order"], "/work", "/work/" + s.ours["job"], "/yarn", "/pieces", "/pieces/" + s.ours["piece"], "/cloths", "/cloths/" + s.ours["cloth"]}
	transport := &http.Transport{MaxIdleConnsPerHost: people}
	defer transport.CloseIdleConnections()
	client := &http.Client{Transport: transport}
	var mu sync.Mutex
	var took []time.Duration
	for b.Loop() {
		var all sync.WaitGroup
		for i := range people {
			all.Go(func() {
				mine := make([]time.Duration, 0, len(walk))
				time.Sleep(pause * time.Duration(i) / people) // nobody clicks in step
				for n := range walk {
					time.Sleep(pause)
					began := time.Now()
					if err := visitOnce(client, server.URL+walk[(n+i)%len(walk)], s.keys["head"]); err != nil {
						b.Error(err)
					}
					mine = append(mine, time.Since(began))
				}
				mu.Lock()
				defer mu.Unlock()
				took = append(took, mine...)
			})
		}
		all.Wait()
	}
	slices.Sort(took)
	b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "median-ms")
	b.ReportMetric(float64(took[len(took)*99/100].Microseconds())/1000, "p99-ms")
	b.ReportMetric(float64(len(took))/b.Elapsed().Seconds(), "pages/s")
}

func visitOnce(client *http.Client, address, key string) error {
	r, err := http.NewRequest(http.MethodGet, address, nil)
	if err != nil {
		return err
	}
	r.AddCookie(&http.Cookie{Name: "urdir", Value: key})
	got, err := client.Do(r)
	if err != nil {
		return err
	}
	defer func() { _ = got.Body.Close() }() // read to its end
	if _, err := io.Copy(io.Discard, got.Body); err != nil {
		return err
	}
	if got.StatusCode != http.StatusOK {
		return fmt.Errorf("%s: got %d", address, got.StatusCode)
	}
	return nil
}
