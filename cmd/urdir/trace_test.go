package main

import (
	"compress/gzip"
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
	"go.opentelemetry.io/otel"
	"go.opentelemetry.io/otel/trace/noop"
	collector "go.opentelemetry.io/proto/otlp/collector/trace/v1"
	"google.golang.org/protobuf/proto"
)

// A collector that the environment names is sent the spans of requests, and of what
// they read, in the protobuf of OTLP 1.x as its own library reads it; no span has an
// address that someone asked for.
func TestServe_traces(t *testing.T) {
	var mu sync.Mutex
	var got []*collector.ExportTraceServiceRequest
	c := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		body := io.Reader(r.Body)
		if r.Header.Get("Content-Encoding") == "gzip" {
			var err error
			if body, err = gzip.NewReader(body); err != nil {
				t.Error(err)
				return
			}
		}
		text, err := io.ReadAll(body)
		sent := new(collector.ExportTraceServiceRequest)
		if e := proto.Unmarshal(text, sent); err != nil || e != nil || r.URL.Path != "/v1/traces" {
			t.Error(r.URL, err, e)
		}
		mu.Lock()
		defer mu.Unlock()
		got = append(got, sent)
	}))
	defer c.Close()
	t.Setenv("OTEL_EXPORTER_OTLP_ENDPOINT", c.URL)
	t.Cleanup(func() { otel.SetTracerProvider(noop.NewTracerProvider()) })
	ctx, stop := context.WithCancel(t.Context())
	var log said
	code := make(chan int, 1)
	go func() {
		code <- run(ctx, []string{"serve", "--lang", "en", "--data", filepath.Join(t.TempDir(), "shop"), "--listen", "127.0.0.1:0"}, strings.NewReader(""), io.Discard, &log, noEnv)
	}()
	at := log.find(t, `(http://127\.0\.0\.1:[0-9]+)`)
	r, err := http.Get(at + "/c/averyprivatekey")
	if err != nil {
		t.Fatal(err)
	}
	_ = r.Body.Close() // not read
	stop()
	if exit := <-code; exit != exitGood {
		t.Fatalf("exit %d\n%s", exit, &log)
	}
	names, parents := map[string]string{}, map[string]string{} // by span
	for _, sent := range got {
		if strings.Contains(sent.String(), "averyprivatekey") {
			t.Errorf("a key is in a span: %s", sent)
		}
		for _, of := range sent.ResourceSpans {
			for _, scope := range of.ScopeSpans {
				for _, s := range scope.Spans {
					names[string(s.SpanId)], parents[string(s.SpanId)] = s.Name, string(s.ParentSpanId)
				}
			}
		}
	}
	seen := map[string]bool{}
	for id, name := range names {
		if up := names[parents[id]]; up != "" {
			name = up + " > " + name
		}
		seen[name] = true
	}
	if !seen["GET /c/{key}"] {
		t.Errorf("no span of the request:\n%s", cmp.Diff(nil, seen))
	}
}
