// Package growth_test fills a database as a federation of cooperatives would, has
// people click at one to three servers before it, and says how long pages take.
// Without -long it is a short form that looks whether the filling is sound; with it,
// 300 cooperatives with a million pieces (make growth). Its table is what
// docs/growth.md has.
package growth_test

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"net/http"
	"os"
	"slices"
	"sync"
	"testing"
	"time"

	"urdir/internal/served"
)

var (
	long         = flag.Bool("long", false, "a federation; about half an hour")
	cooperatives = flag.Int("cooperatives", 300, "how many cooperatives the long form has in the end")
	orders       = flag.Int("orders", 417, "orders of each, of 8 pieces")
	seconds      = flag.Int("seconds", 15, "how long people click each time")
)

// program is the binary under test, built once.
var program string

func TestMain(m *testing.M) {
	flag.Parse()
	os.Exit(func() int {
		dir, err := os.MkdirTemp("", "urdir-growth-")
		if err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		defer func() { _ = os.RemoveAll(dir) }() // a folder of ours
		if program, err = served.Build(context.Background(), dir); err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		return m.Run()
	}())
}

// walk is the pages that people look at: the first, lists, and lists turned further.
var walk = []string{"/", "/orders", "/orders?state=done", "/pieces", "/pieces?q=bufanda", "/work", "/yarn", "/members", "/customers", "/history", "/books", "/search?q=posada"}

func TestGrowth(t *testing.T) {
	stages, each, of, long := []int{3}, 6, time.Second, *long
	if long {
		stages, each, of = []int{1, 30, 300, *cooperatives}, *orders, time.Duration(*seconds)*time.Second
		stages = slices.Compact(slices.DeleteFunc(stages, func(n int) bool { return n > *cooperatives }))
	}
	began := time.Now()
	f := newFederation(t, each)
	t.Logf("one cooperative by its own acts: %.0f s", time.Since(began).Seconds())
	for _, n := range stages {
		began = time.Now()
		f.grow(n)
		z := f.sizes()
		if want := int64(n * each * pieces); z.cooperatives != int64(n) || z.pieces > want || z.pieces < want*9/10 {
			t.Fatalf("%+v; wanted %d cooperatives with nearly %d pieces", z, n, want)
		}
		fmt.Printf("%d cooperatives, %d pieces, %d lines of history, %d lines of money, %.1f GB, filled in %.0f s\n",
			z.cooperatives, z.pieces, z.history, z.lines, float64(z.bytes)/1e9, time.Since(began).Seconds())
		if n > 1 {
			f.sound(n - 1)
		}
		for _, servers := range []int{1, 2, 3} {
			f.click(servers, of, time.Second)
			if long {
				f.click(servers, of, 0)
			}
		}
	}
}

// click has a hundred people, spread over the cooperatives and servers, look at pages
// for so long, each so long after the one before has come. Before, each opens every
// page once: a first page is reckoned once after a change, and that is told apart.
func (f *federation) click(servers int, long, pause time.Duration) {
	f.Helper()
	at := make([]string, servers)
	running := make([]*served.Server, servers)
	for i := range running {
		v, err := served.Start(program, "--db", f.address)
		if err != nil {
			f.Fatal(err)
		}
		running[i], at[i] = v, v.At
	}
	began := time.Now()
	f.crowd(at, len(walk), 0, time.Hour)
	first := time.Since(began)
	pages := f.crowd(at, 1<<30, pause, long)
	for _, v := range running {
		if err := v.Stop(); err != nil {
			f.Error(err)
		}
	}
	fmt.Printf("  %d servers, a page %s after the last: %.0f pages/s, median %.1f ms, slowest of a hundred %.0f ms; every page opened by all in %.1f s\n", servers, pause,
		float64(len(pages))/long.Seconds(), ms(pages[len(pages)/2]), ms(pages[len(pages)*99/100]), first.Seconds())
}

// crowd is a hundred people at the servers, each for so many pages or so long, and how
// long each page took, sorted.
func (f *federation) crowd(at []string, most int, pause, long time.Duration) []time.Duration {
	f.Helper()
	const people = 100
	ctx, stop := context.WithTimeout(f.Context(), long)
	defer stop()
	took := make([][]time.Duration, people)
	errs := make([]error, people)
	var all sync.WaitGroup
	for i := range people {
		all.Go(func() {
			took[i], errs[i] = look(ctx, at[i%len(at)], f.keys[i*len(f.keys)/people], i, most, pause)
		})
	}
	all.Wait()
	if err := errors.Join(errs...); err != nil {
		f.Fatal(err)
	}
	pages := slices.Concat(took...)
	slices.Sort(pages)
	return pages
}

// look is one person at so many pages, or until the context ends.
func look(ctx context.Context, at, key string, i, most int, pause time.Duration) (took []time.Duration, _ error) {
	c := &http.Client{Transport: &http.Transport{}}
	defer c.CloseIdleConnections()
	wait := pause * time.Duration(i) / 100 // nobody clicks in step
	for n := i; n < i+most; n, wait = n+1, pause {
		select {
		case <-ctx.Done():
			return took, nil
		case <-time.After(wait):
		}
		began := time.Now()
		r, err := http.NewRequest(http.MethodGet, at+walk[n%len(walk)], nil)
		if err != nil {
			return nil, err
		}
		r.AddCookie(&http.Cookie{Name: "urdir", Value: key})
		got, err := c.Do(r)
		if err != nil {
			return nil, err
		}
		_, err = io.Copy(io.Discard, got.Body)
		if err = errors.Join(err, got.Body.Close()); err != nil {
			return nil, err
		}
		if got.StatusCode != http.StatusOK {
			return nil, fmt.Errorf("%s: %s", r.URL, got.Status)
		}
		took = append(took, time.Since(began))
	}
	return took, nil
}

func ms(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 }
