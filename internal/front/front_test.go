package front //nolint:testpackage // believe and current are within

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/json"
	"encoding/pem"
	"io"
	"log"
	"log/slog"
	"math/big"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A proxy that is known is believed, nobody else; what a visitor herself wrote
// before it is not.
func TestBelieve(t *testing.T) {
	proxies, wrong := ParseProxies("127.0.0.1, 10.1.0.0/16, ::1")
	if wrong != "" {
		t.Fatal(wrong)
	}
	for _, c := range []struct{ name, from, said, host, wantFrom, wantHost string }{
		{"by the proxy", "127.0.0.1:5000", "203.0.113.9", "taller.example", "203.0.113.9:5000", "taller.example"},
		{"by a chain of them", "10.1.2.3:5000", "198.51.100.7, 203.0.113.9, 10.1.9.9", "", "203.0.113.9:5000", "own"},
		{"a visitor who lies about herself", "127.0.0.1:5000", "10.1.0.1, 203.0.113.9", "", "203.0.113.9:5000", "own"},
		{"a visitor without the proxy", "203.0.113.9:5000", "192.0.2.1", "evil.example", "203.0.113.9:5000", "own"},
		{"a neighbour of the proxy", "10.2.0.1:5000", "192.0.2.1", "evil.example", "10.2.0.1:5000", "own"},
		{"nonsense", "127.0.0.1:5000", "unknown", "a, b", "127.0.0.1:5000", "own"},
		{"version 6", "[::1]:5000", "2001:db8::5", "", "[2001:db8::5]:5000", "own"},
		{"version 4 in 6", "[::ffff:127.0.0.1]:5000", "::ffff:203.0.113.9", "", "203.0.113.9:5000", "own"},
	} {
		r := httptest.NewRequest(http.MethodGet, "/", nil)
		r.RemoteAddr, r.Host = c.from, "own"
		r.Header.Set("X-Forwarded-For", c.said)
		r.Header.Set("X-Forwarded-Host", c.host)
		believe(r, proxies)
		if r.RemoteAddr != c.wantFrom || r.Host != c.wantHost || r.Header.Get("X-Forwarded-For") != "" {
			t.Errorf("%s: from %s for %s, want %s for %s", c.name, r.RemoteAddr, r.Host, c.wantFrom, c.wantHost)
		}
	}
	if _, wrong = ParseProxies("10.0.0.0/33"); wrong != "10.0.0.0/33" {
		t.Errorf("a network that is none: %q", wrong)
	}
}

// What is logged has a number, and neither keys, nor what was looked for, nor from
// where.
func TestLog_nothingPrivate(t *testing.T) {
	var b strings.Builder
	logger := slog.New(LogHandler(slog.NewJSONHandler(&b, &slog.HandlerOptions{Level: slog.LevelDebug})))
	mux := http.NewServeMux()
	mux.HandleFunc("POST /card/{key}", func(w http.ResponseWriter, r *http.Request) {
		logger.ErrorContext(r.Context(), "fault")
		w.WriteHeader(http.StatusTeapot)
		_, _ = io.WriteString(w, "short") // to a recorder
	})
	r := httptest.NewRequest(http.MethodPost, "/card/SECRETKEY?q=Rosaura", strings.NewReader("passphrase=hush"))
	r.RemoteAddr = "203.0.113.9:4000"
	r.Header.Set("Cookie", "urdir=SESSION")
	w := httptest.NewRecorder()
	m := NewMetrics("1", func() bool { return true }, func() time.Time { return time.Unix(1700000000, 0) })
	Handler(mux, Options{Log: logger, Metrics: m}).ServeHTTP(w, r)
	for _, private := range []string{"SECRETKEY", "Rosaura", "203.0.113", "hush", "SESSION"} {
		if strings.Contains(b.String(), private) {
			t.Errorf("the log holds %s: %s", private, b.String())
		}
	}
	for line := range strings.Lines(b.String()) {
		var said map[string]any
		if err := json.Unmarshal([]byte(line), &said); err != nil || said["request"] != w.Header().Get("X-Request-Id") || said["request"] == "" {
			t.Errorf("line %s: %v, want the number %s", line, err, w.Header().Get("X-Request-Id"))
		}
		if said["msg"] == "request" && (said["route"] != "POST /card/{key}" || said["status"] != 418.0 || said["bytes"] != 5.0) {
			t.Errorf("line %s", line)
		}
	}
	page := httptest.NewRecorder()
	m.Handler().ServeHTTP(page, httptest.NewRequest(http.MethodGet, "/metrics", nil))
	for _, want := range []string{`urdir_http_requests_total{route="POST /card/{key}",status="418"} 1`, "urdir_database_up 1", "urdir_backup_newest_timestamp_seconds 1.7e+09", `urdir_build_info{version="1"} 1`} {
		if !strings.Contains(page.Body.String(), want) {
			t.Errorf("metrics lack %s", want)
		}
	}
}

// A certificate that is replaced is used from the next minute on, or from when it
// is told; one that is spoilt leaves the former.
func TestCertificate(t *testing.T) {
	dir := t.TempDir()
	cert, key := filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	write(t, cert, key, 1)
	c, err := OpenCertificate(cert, key, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	listener, err := tls.Listen("tcp", "127.0.0.1:0", c.TLS())
	if err != nil {
		t.Fatal(err)
	}
	server := &http.Server{Handler: http.NotFoundHandler(), ReadHeaderTimeout: time.Second, ErrorLog: log.New(io.Discard, "", 0)}
	go func() { _ = server.Serve(listener) }() // ends with Close
	defer func() { _ = server.Close() }()      // of a test
	serial := func() int64 {
		t.Helper()
		conn, failed := tls.Dial("tcp", listener.Addr().String(), &tls.Config{InsecureSkipVerify: true}) //nolint:gosec // its own certificate is what is looked at
		if failed != nil {
			t.Fatal(failed)
		}
		defer func() { _ = conn.Close() }() // only looked at
		return conn.ConnectionState().PeerCertificates[0].SerialNumber.Int64()
	}
	if got := serial(); got != 1 {
		t.Errorf("first: %d", got)
	}
	write(t, cert, key, 2)
	later := time.Now().Add(time.Hour)
	if err = os.Chtimes(cert, later, later); err != nil {
		t.Fatal(err)
	}
	if got := serial(); got != 1 {
		t.Errorf("at once: %d; the files are looked at once a minute", got)
	}
	c.current(time.Now().Add(2 * time.Minute))
	if got := serial(); got != 2 {
		t.Errorf("two minutes later: %d, want the new one", got)
	}
	if err = os.WriteFile(cert, []byte("spoilt"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err = c.Reload(); err == nil {
		t.Error("a spoilt certificate is no error")
	}
	if got := serial(); got != 2 {
		t.Errorf("after a spoilt one: %d, want the former", got)
	}
	if _, err = tls.Dial("tcp", listener.Addr().String(), &tls.Config{InsecureSkipVerify: true, MaxVersion: tls.VersionTLS11, MinVersion: tls.VersionTLS10}); err == nil { //nolint:gosec // it is to be refused
		t.Error("TLS 1.1 is spoken")
	}
}

// write makes a certificate of its own with a number.
func write(t *testing.T, cert, key string, serial int64) {
	t.Helper()
	k, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := &x509.Certificate{SerialNumber: big.NewInt(serial), Subject: pkix.Name{CommonName: "taller.example"}, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour)}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &k.PublicKey, k)
	if err != nil {
		t.Fatal(err)
	}
	private, err := x509.MarshalPKCS8PrivateKey(k)
	if err != nil {
		t.Fatal(err)
	}
	for name, block := range map[string]*pem.Block{cert: {Type: "CERTIFICATE", Bytes: der}, key: {Type: "PRIVATE KEY", Bytes: private}} {
		if err := os.WriteFile(name, pem.EncodeToMemory(block), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}
