package front

import (
	"context"
	"log/slog"
	"net/http"
	"os"
	"strings"

	"go.opentelemetry.io/otel"
	"go.opentelemetry.io/otel/attribute"
	"go.opentelemetry.io/otel/codes"
	"go.opentelemetry.io/otel/exporters/otlp/otlptrace/otlptracehttp"
	"go.opentelemetry.io/otel/sdk/resource"
	"go.opentelemetry.io/otel/sdk/trace"
	spans "go.opentelemetry.io/otel/trace"
)

// Tracing sends a span of every request, and of what it reads and does, to a collector
// by OTLP over HTTP, if the environment names one as OpenTelemetry's specification has
// it: OTEL_EXPORTER_OTLP_ENDPOINT or OTEL_EXPORTER_OTLP_TRACES_ENDPOINT. The other
// variables of the specification (sampling, headers, OTEL_SDK_DISABLED) hold as well.
// Without one nothing is traced. End sends what is left.
func Tracing(ctx context.Context, version string, log *slog.Logger) (end func(context.Context) error, err error) {
	named := os.Getenv("OTEL_EXPORTER_OTLP_ENDPOINT") + os.Getenv("OTEL_EXPORTER_OTLP_TRACES_ENDPOINT")
	if named == "" || strings.EqualFold(os.Getenv("OTEL_SDK_DISABLED"), "true") || os.Getenv("OTEL_TRACES_EXPORTER") == "none" {
		return func(context.Context) error { return nil }, nil
	}
	to, err := otlptracehttp.New(ctx)
	if err != nil {
		return nil, err
	}
	of, err := resource.New(ctx, resource.WithTelemetrySDK(), resource.WithAttributes(attribute.String("service.name", "urdir"),
		attribute.String("service.version", version)), resource.WithFromEnv())
	if err != nil {
		return nil, err
	}
	p := trace.NewTracerProvider(trace.WithBatcher(to), trace.WithResource(of))
	otel.SetTracerProvider(p)
	otel.SetErrorHandler(otel.ErrorHandlerFunc(func(err error) { log.Warn("trace", "error", err) }))
	return p.Shutdown, nil
}

var tracer = otel.Tracer("urdir/internal/front")

// traced begins the span of a request. A stranger's word on what it is part of is not
// believed. As in the log, it has the pattern of the address and never the address.
func traced(r *http.Request, id string) (*http.Request, func(route string, status int)) {
	ctx, span := tracer.Start(r.Context(), method(r.Method), spans.WithSpanKind(spans.SpanKindServer), spans.WithNewRoot(),
		spans.WithAttributes(attribute.String("http.request.method", method(r.Method)), attribute.String("urdir.request", id)))
	return r.WithContext(ctx), func(route string, status int) {
		span.SetName(route)
		span.SetAttributes(attribute.String("http.route", route), attribute.Int("http.response.status_code", status))
		if status >= http.StatusInternalServerError {
			span.SetStatus(codes.Error, "")
		}
		span.End()
	}
}
