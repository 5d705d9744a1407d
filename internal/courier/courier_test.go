package courier_test

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"urdir/internal/courier"
	"urdir/internal/store"
	"urdir/internal/workshop"
)

// The signature of RFC 9421, appendix B.2.5 (hmac-sha256), with the secret and the
// message of B.1.5 and B.2.
func TestMAC_publishedExample(t *testing.T) {
	secret, err := base64.StdEncoding.DecodeString("uzvJfB4u3N0Jy4T7NZ75MDVcr8zSTInedJtkgcu46YW4XByzNJjxBdtjUkdJPBtbmHhIDi6pcl8jsasjlTMtDQ==")
	if err != nil {
		t.Fatal(err)
	}
	how, got := courier.Signed([][2]string{{"date", "Tue, 20 Apr 2021 02:07:55 GMT"}, {"@authority", "example.com"}, {"content-type", "application/json"}},
		time.Unix(1618884473, 0), "test-shared-secret", secret)
	if want := `("date" "@authority" "content-type");created=1618884473;keyid="test-shared-secret"`; how != want {
		t.Errorf("parameters %s, want %s", how, want)
	}
	if want := "pxcQw6G3AjtMBQjwo8XzkZf/bws5LelbaMk5rGIGtE8="; got != want {
		t.Errorf("signature %s, want %s", got, want)
	}
}

// receiver is another program that is told something.
type receiver struct {
	*httptest.Server
	mu     sync.Mutex
	got    []string // events
	faults []string
	status func(n int) int // of the nth message, from 1
	secret string
}

func newReceiver(t *testing.T) *receiver {
	r := &receiver{status: func(int) int { return http.StatusNoContent }}
	r.Server = httptest.NewServer(r)
	t.Cleanup(r.Close)
	return r
}

func (x *receiver) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	x.mu.Lock()
	defer x.mu.Unlock()
	body, err := io.ReadAll(r.Body)
	var e workshop.Event
	if err != nil || json.Unmarshal(body, &e) != nil {
		x.faults = append(x.faults, fmt.Sprintf("%v: %s", err, body))
	}
	if why := x.verify(r, body); why != "" {
		x.faults = append(x.faults, why)
	}
	x.got = append(x.got, e.Event)
	w.Header().Set("Location", x.URL+"/elsewhere")
	w.WriteHeader(x.status(len(x.got)))
}

// verify checks a signature as docs/api.md tells a receiver to, with nothing of this
// package.
func (x *receiver) verify(r *http.Request, body []byte) string {
	how, found := strings.CutPrefix(r.Header.Get("Signature-Input"), "urdir=")
	how, _, _ = strings.Cut(how, ", urdir-former=")
	if want := `("@method" "@target-uri" "content-type" "content-digest");created=`; !found || !strings.HasPrefix(how, want) {
		return "signed parts: " + how
	}
	sum := sha256.Sum256(body)
	digest := "sha-256=:" + base64.StdEncoding.EncodeToString(sum[:]) + ":"
	if r.Header.Get("Content-Digest") != digest {
		return "digest " + r.Header.Get("Content-Digest")
	}
	signed := "\"@method\": POST\n\"@target-uri\": " + x.URL + r.URL.Path + "\n\"content-type\": application/json\n\"content-digest\": " + digest + "\n\"@signature-params\": " + how
	m := hmac.New(sha256.New, []byte(x.secret))
	m.Write([]byte(signed))
	if want := "urdir=:" + base64.StdEncoding.EncodeToString(m.Sum(nil)) + ":"; !strings.HasPrefix(r.Header.Get("Signature"), want) {
		return "signature " + r.Header.Get("Signature") + ", want " + want
	}
	return ""
}

func (x *receiver) events() []string {
	x.mu.Lock()
	defer x.mu.Unlock()
	return slices.Clone(x.got)
}

// hooked is a workshop with an address.
type hooked struct {
	*testing.T
	house *workshop.House
	head  workshop.Person
	hook  workshop.Kept[workshop.Hook]
	now   time.Time
	mu    sync.Mutex
}

func (h *hooked) clock() time.Time {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.now
}

func (h *hooked) pass(d time.Duration) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.now = h.now.Add(d)
}

func newHooked(t *testing.T, url string) (*hooked, string) {
	t.Helper()
	db, err := store.Open(t.Context(), filepath.Join(t.TempDir(), "urdir.db"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = db.Close() })
	h := &hooked{T: t, now: time.Date(2031, time.May, 6, 12, 0, 0, 0, time.UTC)}
	h.house = workshop.New(db, h.clock)
	if h.head, err = h.house.SetUp(t.Context(), "Taller del Estero", "Amaranta", "amaranta", "la marea sube despacio", "es"); err != nil {
		t.Fatal(err)
	}
	var secret string
	if h.hook, secret, err = h.house.SaveHook(t.Context(), h.head, workshop.Kept[workshop.Hook]{Value: workshop.Hook{URL: url}}); err != nil {
		t.Fatal(err)
	}
	return h, secret
}

// order takes an order: an event.
func (h *hooked) order() {
	h.Helper()
	c, err := h.house.SaveCustomer(h.Context(), h.head, workshop.Kept[workshop.Customer]{Value: workshop.Customer{Name: "Posada"}})
	if err == nil {
		_, err = h.house.SaveOrder(h.Context(), h.head, workshop.Kept[workshop.Order]{Value: workshop.Order{Customer: c.ID}})
	}
	if err != nil {
		h.Fatal(err)
	}
}

func (h *hooked) log() (out []string) {
	h.Helper()
	_, log, err := h.house.Hook(h.Context(), h.head, h.hook.ID)
	if err != nil {
		h.Fatal(err)
	}
	for _, m := range slices.Backward(log) {
		out = append(out, fmt.Sprint(m.Event, " ", m.State, " ", m.Tries, " ", m.Status))
	}
	return out
}

// Messages arrive signed and in order; one that is refused is tried again before those
// behind it, a redirection is not followed, and a program that is started anew goes on.
func TestCourier_sends(t *testing.T) {
	x := newReceiver(t)
	x.status = func(n int) int { return []int{204, 500, 302, 200, 200}[n-1] }
	h, secret := newHooked(t, x.URL+"/avisos")
	x.secret = secret
	send := func() {
		t.Helper()
		if err := courier.New(h.house, courier.Options{Private: true}).Send(t.Context(), h.head.Workshop); err != nil {
			t.Fatal(err)
		}
	}
	if err := h.house.TryHook(t.Context(), h.head, h.hook.ID); err != nil {
		t.Fatal(err)
	}
	h.order()
	if err := h.house.TryHook(t.Context(), h.head, h.hook.ID); err != nil {
		t.Fatal(err)
	}
	send()
	send() // its time has not come
	if got, want := x.events(), []string{"ping", "order.draft"}; !slices.Equal(got, want) {
		t.Errorf("at first %q, want %q", got, want)
	}
	h.pass(10 * time.Second)
	send() // a courier of its own each time, as after a restart
	h.pass(30 * time.Second)
	send()
	if got, want := x.events(), []string{"ping", "order.draft", "order.draft", "order.draft", "ping"}; !slices.Equal(got, want) || len(x.faults) > 0 {
		t.Errorf("got %q, want %q; %q", got, want, x.faults)
	}
	if got, want := h.log(), []string{"ping sent 1 204", "order.draft sent 3 200", "ping sent 1 200"}; !slices.Equal(got, want) {
		t.Errorf("log %q, want %q", got, want)
	}
}

// A change is told at once while the courier runs, without anybody asking.
func TestCourier_runs(t *testing.T) {
	x := newReceiver(t)
	h, secret := newHooked(t, x.URL)
	x.secret = secret
	ctx, stop := context.WithCancel(t.Context())
	done := make(chan struct{})
	go func() {
		defer close(done)
		courier.New(h.house, courier.Options{Private: true}).Run(ctx)
	}()
	h.order()
	for until := time.Now().Add(10 * time.Second); len(x.events()) == 0 && time.Now().Before(until); {
		time.Sleep(5 * time.Millisecond)
	}
	stop()
	<-done
	if got := x.events(); !slices.Equal(got, []string{"order.draft"}) {
		t.Errorf("told %q", got)
	}
}

// No address of a private network is called, by whatever name, unless the server was
// started so that it may.
func TestCourier_guard(t *testing.T) {
	x := newReceiver(t)
	port := x.URL[strings.LastIndex(x.URL, ":"):]
	for _, url := range []string{x.URL, "http://localhost" + port, "http://[::1]" + port, "http://0.0.0.0" + port, "http://[::ffff:127.0.0.1]" + port, "http://2130706433" + port} {
		h, _ := newHooked(t, url)
		if err := h.house.TryHook(t.Context(), h.head, h.hook.ID); err != nil {
			t.Fatal(err)
		}
		if err := courier.New(h.house, courier.Options{}).Send(t.Context(), h.head.Workshop); err != nil {
			t.Fatal(err)
		}
		if got := h.log(); !slices.Equal(got, []string{"ping waiting 1 0"}) {
			t.Errorf("%s: %q", url, got)
		}
	}
	if got := x.events(); len(got) != 0 {
		t.Errorf("called in spite of the guard: %q", got)
	}
}

// Which addresses are public: some of the blocks of the IANA special-purpose address
// registries (RFC 6890 and its updates), their neighbours, and addresses of root name
// servers as they are published.
func TestPublic(t *testing.T) {
	for text, want := range map[string]bool{
		"198.41.0.4": true, "2001:503:ba3e::2:30": true, "9.255.255.255": true, "11.0.0.0": true, "100.63.255.255": true, "100.128.0.0": true,
		"172.15.255.255": true, "172.32.0.0": true, "169.253.255.255": true, "2606:4700::1": true,
		"127.0.0.1": false, "127.255.255.254": false, "10.1.2.3": false, "172.16.0.1": false, "172.31.255.255": false, "192.168.0.1": false, "169.254.169.254": false,
		"100.64.0.1": false, "0.0.0.0": false, "255.255.255.255": false, "224.0.0.1": false, "192.0.2.1": false, "198.18.0.1": false,
		"::1": false, "::": false, "fe80::1": false, "fd00::1": false, "ff02::1": false, "::ffff:10.0.0.1": false, "64:ff9b::7f00:1": false, "2002:7f00:1::": false, "2001:db8::1": false,
		"fe80::1%eth0": false,
	} {
		if got := courier.Public(netip.MustParseAddr(text)); got != want {
			t.Errorf("%s: public %v, want %v", text, got, want)
		}
	}
}
