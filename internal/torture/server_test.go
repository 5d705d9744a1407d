package torture_test

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os/exec"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"
)

// server is a running program.
type server struct {
	at   string // http://127.0.0.1:PORT
	cmd  *exec.Cmd
	said chan string // what it wrote, when it ends
}

var addressLine = regexp.MustCompile(`http://127\.0\.0\.1:\d+`)

// serve starts the program on a shop and waits until it says where it is.
func serve(tb testing.TB, s *shop) *server {
	tb.Helper()
	cmd := exec.Command(program, append([]string{"--lang", "en", "serve", "--listen", "127.0.0.1:0"}, s.where()...)...)
	out, err := cmd.StderrPipe()
	must(tb, err)
	must(tb, cmd.Start())
	v := &server{cmd: cmd, said: make(chan string, 1)}
	tb.Cleanup(func() { _ = cmd.Process.Kill() }) // it may have ended
	at := make(chan string, 1)
	go func() {
		var all strings.Builder
		for lines := bufio.NewScanner(out); lines.Scan(); {
			if a := addressLine.FindString(lines.Text()); a != "" && len(at) == 0 {
				at <- a
			}
			fmt.Fprintln(&all, lines.Text())
		}
		close(at)
		v.said <- all.String()
	}()
	select {
	case v.at = <-at:
	case <-time.After(30 * time.Second):
	}
	if v.at == "" {
		tb.Fatalf("the server does not start: %s", v.kill())
	}
	v.answers(tb)
	return v
}

// answers waits until the program answers and has its database.
func (v *server) answers(tb testing.TB) {
	tb.Helper()
	for end := time.Now().Add(30 * time.Second); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
		got, err := http.Get(v.at + "/healthz")
		if err != nil {
			continue
		}
		_ = got.Body.Close() // nothing more is wanted of it
		if got.StatusCode == http.StatusOK {
			return
		}
	}
	tb.Fatalf("the server does not answer: %s", v.kill())
}

// kill ends the program as a power cut would, and gives what it had written.
func (v *server) kill() string {
	_ = v.cmd.Process.Kill() // it may have ended
	said := <-v.said
	_ = v.cmd.Wait() // it was killed
	return said
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
