package browser_test

import (
	"net"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/cdproto/network"

	"urdir/internal/workshop"
)

// The bytes that a member's page may take on the wire, both ways, headers counted:
// the first time, with all that it is made of, and then. The line of the trial gives
// 400 kbit/s, and an answer takes 400 ms to begin.
const (
	firstBytes = 150_000
	nextBytes  = 10_000
	lineRate   = 400_000 / 8 // bytes a second
	lineDelay  = 400 * time.Millisecond
	firstReady = 6 * time.Second
)

// thin is a listener at the end of such a line, which counts what goes over it.
// What the browser's worker asks for goes over it as well.
type thin struct {
	net.Listener
	bytes *atomic.Int64
	free  *sync.Mutex // the line carries one thing at a time
}

func (l thin) Accept() (net.Conn, error) {
	c, err := l.Listener.Accept()
	return &thinConn{Conn: c, line: l}, err
}

type thinConn struct {
	net.Conn
	line  thin
	asked atomic.Bool // since the last answer
}

func (c *thinConn) Read(b []byte) (int, error) {
	n, err := c.Conn.Read(b)
	c.line.bytes.Add(int64(n))
	c.asked.Store(true)
	return n, err
}

func (c *thinConn) Write(b []byte) (int, error) {
	if c.asked.Swap(false) {
		time.Sleep(lineDelay)
	}
	c.line.free.Lock()
	time.Sleep(time.Duration(len(b)) * time.Second / lineRate)
	c.line.free.Unlock()
	n, err := c.Conn.Write(b)
	c.line.bytes.Add(int64(n))
	return n, err
}

// onThinLine gives the same world at the far end of such a line; passed gives how
// many bytes went over it since it was asked last, when nothing more comes.
func (w world) onThinLine(t *testing.T) (near world, passed func() int64) {
	t.Helper()
	to, err := url.Parse(w.url)
	if err != nil {
		t.Fatal(err)
	}
	through := httputil.NewSingleHostReverseProxy(to)
	server := httptest.NewUnstartedServer(http.HandlerFunc(through.ServeHTTP))
	l := thin{server.Listener, &atomic.Int64{}, &sync.Mutex{}}
	server.Listener = l
	server.Start()
	t.Cleanup(server.Close)
	w.url = server.URL
	return w, func() int64 {
		for last := int64(-1); last != l.bytes.Load(); time.Sleep(2 * lineDelay) {
			last = l.bytes.Load()
		}
		return l.bytes.Swap(0)
	}
}

// The page is light enough for a slow line, and can be used soon: the first time it
// is opened, by a browser that has nothing of the workshop; when something was told;
// and when nothing has changed.
func TestPhone_weight(t *testing.T) {
	near, passed := newWorld(t).onThinLine(t)
	l := login(t, workshop.MemberRole)
	me, session, err := near.house.SignIn(t.Context(), l.Login, l.Passphrase)
	if err != nil {
		t.Fatal(err)
	}
	b := near.open(t, telephone)
	b.do("she is signed in", call(network.SetCookie, network.SetCookieParams{Name: "urdir", Value: session, URL: b.url}))
	start := time.Now()
	b.visit("/hand")
	b.until("it can be used", `!!window.handQueue`)
	ready, first := time.Since(start), passed()

	j := near.weaving(t, me)
	before := len(near.told(t, me, j.ID))
	eval[bool](b, "tell", tellsByPage+"(33)")
	near.wants(t, near.settled(t, b, me, j.ID, before), []float64{33})
	telling := passed()
	open := func() (time.Duration, int64) {
		start := time.Now()
		b.visit("/hand")
		return time.Since(start), passed()
	}
	if _, err = near.house.Tell(t.Context(), near.head, j.ID, near.weaving(t, me).Revision, 35, 0); err != nil {
		t.Fatal(err)
	}
	again, next := open()
	_, same := open()
	t.Logf("first %d bytes, usable after %v; telling and seeing it told %d; opened anew %d after %v; unchanged %d", first, ready.Round(10*time.Millisecond), telling, next,
		again.Round(10*time.Millisecond), same)
	if first < 20_000 || first > firstBytes || ready > firstReady {
		t.Errorf("the first time %d bytes and %v, want at most %d and %v", first, ready, firstBytes, firstReady)
	}
	for what, n := range map[string]int64{"telling": telling, "changed": next, "unchanged": same} {
		if n < 100 || n > nextBytes {
			t.Errorf("%s: %d bytes, want at most %d", what, n, nextBytes)
		}
	}
}
