package front

import (
	"context"
	"crypto/rand"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Options say how requests are taken.
type Options struct {
	Log     *slog.Logger
	Proxies []netip.Prefix // whose X-Forwarded-* is believed
	Metrics *Metrics       // nil: nothing is measured
}

// Handler takes requests for next. What it logs of each is the number it gave it,
// method, pattern of the address, status, bytes and time: never the address itself,
// which may hold a key or what someone looks for, nor who asks.
func Handler(next http.Handler, o Options) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		believe(r, o.Proxies)
		id := rand.Text()[:12]
		w.Header().Set("X-Request-Id", id)
		r = r.WithContext(context.WithValue(r.Context(), requestID{}, id))
		r, end := traced(r, id)
		counted := &counter{ResponseWriter: w, status: http.StatusOK}
		began := time.Now()
		defer func() {
			took := time.Since(began)
			route := r.Pattern
			if route == "" {
				route = "none"
			}
			o.Log.DebugContext(r.Context(), "request", "method", method(r.Method), "route", route, "status", counted.status, "bytes", counted.bytes, "took", took)
			o.Metrics.request(route, counted.status, took)
			end(route, counted.status)
		}()
		next.ServeHTTP(counted, r)
	})
}

// method is one of those there are: others are a stranger's words.
func method(m string) string {
	switch m {
	case http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodPatch, http.MethodDelete, http.MethodOptions:
		return m
	}
	return "other"
}

// counter notes what was answered.
type counter struct {
	http.ResponseWriter
	status int
	bytes  int64
	wrote  bool
}

func (c *counter) WriteHeader(status int) {
	if !c.wrote {
		c.status, c.wrote = status, status >= 200
	}
	c.ResponseWriter.WriteHeader(status)
}

func (c *counter) Write(p []byte) (int, error) {
	c.wrote = true
	n, err := c.ResponseWriter.Write(p)
	c.bytes += int64(n)
	return n, err
}

// Unwrap is for http.ResponseController.
func (c *counter) Unwrap() http.ResponseWriter { return c.ResponseWriter }

type requestID struct{}

// LogHandler adds the number of the request to what is logged about it.
func LogHandler(h slog.Handler) slog.Handler { return numbered{h} }

type numbered struct{ slog.Handler }

func (n numbered) Handle(ctx context.Context, r slog.Record) error {
	if id, ok := ctx.Value(requestID{}).(string); ok {
		r.AddAttrs(slog.String("request", id))
	}
	return n.Handler.Handle(ctx, r)
}

func (n numbered) WithAttrs(as []slog.Attr) slog.Handler { return numbered{n.Handler.WithAttrs(as)} }

func (n numbered) WithGroup(name string) slog.Handler { return numbered{n.Handler.WithGroup(name)} }

// ParseProxies reads addresses and networks, separated by commas.
func ParseProxies(s string) (out []netip.Prefix, wrong string) {
	for part := range strings.SplitSeq(s, ",") {
		part = strings.TrimSpace(part)
		if part == "" {
			continue
		}
		if a, err := netip.ParseAddr(part); err == nil {
			out = append(out, netip.PrefixFrom(a.Unmap(), a.Unmap().BitLen()))
			continue
		}
		p, err := netip.ParsePrefix(part)
		if err != nil {
			return nil, part
		}
		out = append(out, p.Masked())
	}
	return out, ""
}

func among(of []netip.Prefix, a netip.Addr) bool {
	for _, p := range of {
		if p.Contains(a.Unmap()) {
			return true
		}
	}
	return false
}

// forwarded are the headers in which proxies say whom they speak for.
var forwarded = []string{"Forwarded", "X-Forwarded-For", "X-Forwarded-Host", "X-Forwarded-Proto", "X-Real-Ip"}

// believe takes from a proxy that is known where a request comes from and which
// server it is for, and from nobody else. Of the addresses of X-Forwarded-For each
// proxy adds the one it sees at the end, so the last that is no known proxy is the
// visitor's; all before it is her own word.
func believe(r *http.Request, proxies []netip.Prefix) {
	at, err := netip.ParseAddrPort(r.RemoteAddr)
	if err == nil && among(proxies, at.Addr()) {
		hops := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
		for _, hop := range slices.Backward(hops) {
			a, err := netip.ParseAddr(strings.TrimSpace(hop))
			if err != nil {
				break
			}
			r.RemoteAddr = net.JoinHostPort(a.Unmap().String(), strconv.Itoa(int(at.Port())))
			if !among(proxies, a) {
				break
			}
		}
		if host := r.Header.Get("X-Forwarded-Host"); host != "" && !strings.ContainsAny(host, ", /\\@") {
			r.Host = host
		}
	}
	for _, h := range forwarded {
		r.Header.Del(h)
	}
}
