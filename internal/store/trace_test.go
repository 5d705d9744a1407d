package store_test

import (
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"go.opentelemetry.io/otel"
	"go.opentelemetry.io/otel/sdk/trace"
	"go.opentelemetry.io/otel/sdk/trace/tracetest"

	"urdir/internal/store"
)

// Whoever watches is told of each act and reading, as a part of what asked for it.
func TestTraces(t *testing.T) {
	watch := tracetest.NewSpanRecorder()
	otel.SetTracerProvider(trace.NewTracerProvider(trace.WithSpanProcessor(watch)))
	t.Cleanup(func() { otel.SetTracerProvider(trace.NewTracerProvider()) })
	db := settle(t, filepath.Join(t.TempDir(), "urdir.db"))
	ctx, asked := otel.Tracer("test").Start(t.Context(), "request")
	if err := db.Update(ctx, shore, act("order.save"), func(*store.Tx) error { return nil }); err != nil {
		t.Fatal(err)
	}
	if err := db.View(ctx, shore, func(*store.Tx) error { return nil }); err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, s := range watch.Ended() {
		if s.Parent().SpanID() == asked.SpanContext().SpanID() {
			got = append(got, s.Name())
		}
	}
	if diff := cmp.Diff([]string{"act order.save", "read"}, got); diff != "" {
		t.Error(diff)
	}
}
