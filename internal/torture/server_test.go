package torture_test

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"urdir/internal/served"
)

// serve starts the program on a shop.
func serve(tb testing.TB, s *shop) *served.Server {
	tb.Helper()
	v, err := served.Start(program, s.where()...)
	must(tb, err)
	tb.Cleanup(func() { v.Kill() })
	return v
}

// client is somebody at the pages.
type client struct {
	shop *shop
	http *http.Client
}

func newClient(s *shop) *client {
	return &client{s, &http.Client{
		Transport:     &http.Transport{},
		Timeout:       20 * time.Second,
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}}
}

// errRefused is an answer that acknowledges nothing.
var errRefused = errors.New("refused")

// post sends a form; only a redirect acknowledges.
func (c *client) post(ctx context.Context, address string, form url.Values) (to string, err error) {
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, address, strings.NewReader(form.Encode()))
	if err != nil {
		return "", err
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.AddCookie(&http.Cookie{Name: "urdir", Value: c.shop.key})
	got, err := c.http.Do(r)
	if err != nil {
		return "", err
	}
	defer func() { _ = got.Body.Close() }() // read to its end
	body, err := io.ReadAll(got.Body)
	if err != nil {
		return "", err
	}
	if got.StatusCode != http.StatusSeeOther {
		return "", fmt.Errorf("%w: %d: %.3000s", errRefused, got.StatusCode, body)
	}
	return got.Header.Get("Location"), nil
}

// act does one act of the four kinds in turn, and notes it if it is acknowledged.
func (c *client) act(ctx context.Context, at string) error {
	n := c.shop.one()
	switch n % 4 {
	case 0:
		to, err := c.post(ctx, at+"/customers/new", url.Values{"name": {fmt.Sprint("Doña ", n)}})
		if err != nil {
			return err
		}
		id, _, _ := strings.Cut(strings.TrimPrefix(to, "/customers/"), "?")
		c.shop.keep(id, moved{})
		return nil
	case 1:
		return c.move(ctx, "receive", at+"/yarn/"+c.shop.lot+"/receive", n, nil)
	case 2:
		return c.move(ctx, "discard", at+"/yarn/"+c.shop.lot+"/discard", n, nil)
	}
	return c.move(ctx, "buy", at+"/supplies/"+c.shop.bag+"/buy", n, url.Values{"cost": {"1.25"}, "bought": {"2026-11-02"}})
}

func (c *client) move(ctx context.Context, what, address string, n int64, form url.Values) error {
	if form == nil {
		form = url.Values{}
	}
	form.Set("grams", gramsOf(n)+" g")
	_, err := c.post(ctx, address, form)
	if err == nil {
		c.shop.keep("", moved{what, n})
	}
	return err
}

// crowd has clients act on servers until ctx ends; a client goes on after an act
// that failed if patient says so.
func crowd(ctx context.Context, s *shop, n int, at func(i int) string, patient func(error) bool) error {
	var group sync.WaitGroup
	errs := make([]error, n)
	for i := range n {
		group.Go(func() {
			c := newClient(s)
			defer c.http.CloseIdleConnections()
			for ctx.Err() == nil {
				if err := c.act(ctx, at(i)); err != nil && ctx.Err() == nil && !patient(err) {
					errs[i] = err
					return
				}
			}
		})
	}
	group.Wait()
	return errors.Join(errs...)
}
