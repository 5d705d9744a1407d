package front //nolint:testpackage // believe is within

import (
	"net/http"
	"net/http/httptest"
	"net/netip"
	"testing"
)

// FuzzBelieve: whatever stands in the headers of proxies, a request comes from one
// address; who is no proxy says nothing of it, and nothing behind believes more.
func FuzzBelieve(f *testing.F) {
	for _, s := range []string{"203.0.113.7", "203.0.113.7, 10.0.0.1", "::1", "[::1]:80", "10.0.0.1,,", ",", "unknown", "fe80::1%eth0", "\x00", "::ffff:10.0.0.1"} {
		f.Add("10.0.0.1:80", s, "telar.example")
		f.Add("198.51.100.7:1234", s, "a/b@c")
	}
	proxies, _ := ParseProxies("10.0.0.0/8, ::1")
	f.Fuzz(func(t *testing.T, from, hops, host string) {
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.RemoteAddr = from
		r.Header = http.Header{"X-Forwarded-For": {hops}, "X-Forwarded-Host": {host}, "Forwarded": {host}, "X-Real-Ip": {hops}, "X-Forwarded-Proto": {host}}
		at, err := netip.ParseAddrPort(from)
		known := err == nil && among(proxies, at.Addr())
		believe(r, proxies)
		if len(r.Header) > 0 {
			t.Errorf("%v is left", r.Header)
		}
		if !known && (r.RemoteAddr != from || r.Host != "example.com") {
			t.Errorf("%q, no proxy, is believed: from %s for %s", from, r.RemoteAddr, r.Host)
		}
		if _, err := netip.ParseAddrPort(r.RemoteAddr); known && err != nil {
			t.Errorf("%q by %q: from %q, no address", hops, from, r.RemoteAddr)
		}
	})
}

// FuzzParseProxies: a list of proxies is read, or the part that is wrong is told.
func FuzzParseProxies(f *testing.F) {
	for _, s := range []string{"", "10.0.0.1", "10.0.0.0/8, ::1", "10.0.0.0/99", "::ffff:10.0.0.1", "fe80::1%eth0", ",,", "x"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		out, wrong := ParseProxies(s)
		for _, p := range out {
			if !p.IsValid() || wrong != "" {
				t.Errorf("%q: %v and %q", s, out, wrong)
			}
		}
	})
}
