package main

import (
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"io"
	"math/big"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"
)

// said is what a server prints, read while it runs.
type said struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (s *said) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.Write(p)
}

func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.String()
}

// find waits for a text and gives its first part in brackets.
func (s *said) find(t *testing.T, pattern string) string {
	t.Helper()
	for range 1000 {
		if m := regexp.MustCompile(pattern).FindStringSubmatch(s.String()); m != nil {
			return m[1]
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatalf("the server does not say %s:\n%s", pattern, s)
	return ""
}

// The server by TLS, watched, and told to stop while it answers: what is being
// answered is answered whole, and it ends well.
func TestServe_tlsMetricsAndStop(t *testing.T) {
	dir := t.TempDir()
	cert, key := filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	ownCertificate(t, cert, key)
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	var log said
	code := make(chan int, 1)
	go func() {
		code <- run(ctx, []string{"serve", "--lang", "en", "--data", filepath.Join(dir, "shop"), "--listen", "127.0.0.1:0", "--cert", cert, "--key", key,
			"--metrics", "127.0.0.1:0", "--log", "json", "--verbose"}, strings.NewReader(""), io.Discard, &log, noEnv)
	}()
	at := log.find(t, `(https://127\.0\.0\.1:[0-9]+)`)
	metrics := log.find(t, `"address":"(127\.0\.0\.1:[0-9]+)"`)
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}} //nolint:gosec // its own certificate
	get := func(address string) (*http.Response, string) {
		t.Helper()
		r, err := client.Get(address)
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = r.Body.Close() }() // read whole
		body, err := io.ReadAll(r.Body)
		if err != nil {
			t.Fatal(err)
		}
		return r, string(body)
	}
	for _, path := range []string{"/healthz", "/readyz"} {
		if r, body := get(at + path); r.StatusCode != http.StatusOK || body != "ok\n" {
			t.Errorf("%s: %d %q", path, r.StatusCode, body)
		}
	}
	if r, _ := get(at + "/signin"); r.Header.Get("Strict-Transport-Security") == "" {
		t.Error("by TLS browsers are not told to stay with it")
	}
	if _, body := get("http://" + metrics + "/metrics"); !strings.Contains(body, `urdir_http_requests_total{route="GET /signin",status="200"} 1`) {
		t.Errorf("metrics: %.400s", body)
	}
	if r, _ := get(at + "/metrics"); r.StatusCode != http.StatusNotFound {
		t.Errorf("metrics for everybody: %d", r.StatusCode)
	}
	slow, send := io.Pipe()
	answered := make(chan string, 1)
	go func() {
		r, err := client.Post(at+"/signin", "application/x-www-form-urlencoded", slow)
		if err != nil {
			answered <- err.Error()
			return
		}
		_ = r.Body.Close() // not read
		answered <- r.Status
	}()
	if _, err := io.WriteString(send, "login=x&more="+strings.Repeat("x", 64<<10)+"&pass"); err != nil { // more than is held back
		t.Fatal(err)
	}
	time.Sleep(200 * time.Millisecond) // it has begun to answer
	stop()
	time.Sleep(50 * time.Millisecond) // it has begun to stop
	_, err := io.WriteString(send, "phrase=y")
	if e := send.Close(); err != nil || e != nil {
		t.Fatal(err, e)
	}
	if got := <-answered; !strings.HasPrefix(got, "422") {
		t.Errorf("what was being sent: %s, want it to be answered", got)
	}
	if got := <-code; got != exitGood {
		t.Errorf("exit %d\n%s", got, &log)
	}
}

// ownCertificate writes one that nobody vouches for.
func ownCertificate(t *testing.T, cert, key string) {
	t.Helper()
	k, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := &x509.Certificate{SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour)}
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

func TestServe_mistakes(t *testing.T) {
	for _, args := range [][]string{{"--cert", "x"}, {"--cert", "x", "--key", "y"}, {"--behind-proxy", "proxy.example"}, {"--log", "xml"}, {"--metrics", "nowhere"}} {
		var log said
		if code := run(t.Context(), append([]string{"serve", "--data", filepath.Join(t.TempDir(), "shop")}, args...), strings.NewReader(""), io.Discard, &log, noEnv); code != exitMistake {
			t.Errorf("%v: exit %d, %s", args, code, &log)
		}
	}
}
