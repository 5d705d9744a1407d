package torture_test

import (
	"fmt"
	"io"
	"net"
	"slices"
	"strings"
	"testing"
	"time"

	"urdir/internal/served"
	"urdir/internal/store"
	"urdir/internal/workshop"
)

// Requests that are sent by half, or a byte at a time, are no acts, and hold nobody
// else up.
func TestHalfSentAndSlow(t *testing.T) {
	s := newShop(t, "")
	v := serve(t, s)
	to := strings.TrimPrefix(v.At, "http://")
	body := "name=Nadie+a+medias&contact=" + strings.Repeat("x", 200)
	request := fmt.Sprintf("POST /customers/new HTTP/1.1\r\nHost: %s\r\nCookie: urdir=%s\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: %d\r\n\r\n%s",
		to, s.key, len(body), body)
	var open []net.Conn
	for i := range 200 {
		c, err := net.Dial("tcp", to)
		must(t, err)
		_, err = io.WriteString(c, request[:i*(len(request)-2)/199])
		must(t, err)
		if i%2 == 0 {
			must(t, c.Close())
		} else {
			open = append(open, c)
		}
		counts.add("requests sent by half", 1)
	}
	took := quick(t, s, v)
	for _, c := range open { // another byte of each; all lack one still
		_ = c.SetDeadline(time.Now().Add(time.Second))
		_, _ = io.WriteString(c, "x") // the server may have given up on it
	}
	took = append(took, quick(t, s, v)...)
	for _, c := range open {
		_ = c.Close() // the server may have closed it
	}
	slices.Sort(took)
	if worst := took[len(took)-1]; worst > 5*time.Second {
		t.Errorf("an act beside a hundred slow requests took %s", worst)
	}
	v.Kill()
	s.check(t)
	s.inHouse(t, func(_ *store.DB, h *workshop.House) {
		found, err := h.Customers(t.Context(), s.head, workshop.Page{Find: "medias"})
		must(t, err)
		if len(found.Items) > 0 {
			t.Errorf("%d requests sent by half were acts", len(found.Items))
		}
	})
}

// quick does acts and gives what each took.
func quick(t *testing.T, s *shop, v *served.Server) (took []time.Duration) {
	t.Helper()
	c := newClient(s)
	defer c.http.CloseIdleConnections()
	for range 40 {
		began := time.Now()
		must(t, c.act(t.Context(), v.At))
		took = append(took, time.Since(began))
	}
	return took
}

// The server waits ten seconds for the head of a request and not longer.
func TestSlowHead(t *testing.T) {
	if !*long {
		notHere(t, "the ten seconds of a slow request's head (only with -long)", nil)
	}
	s := newShop(t, "")
	v := serve(t, s)
	c, err := net.Dial("tcp", strings.TrimPrefix(v.At, "http://"))
	must(t, err)
	began := time.Now()
	_, err = io.WriteString(c, "GET / HTTP/1.1\r\nHost: x\r\nX: ")
	must(t, err, c.SetDeadline(began.Add(20*time.Second)))
	_, err = io.ReadAll(c)
	if took := time.Since(began); err != nil || took > 15*time.Second {
		t.Errorf("a request without an end was held %s: %v", took, err)
	}
	must(t, c.Close())
}
