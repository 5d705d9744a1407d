package main

import (
	"context"
	"crypto/tls"
	"errors"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"os"
	"os/signal"
	"syscall"
	"time"

	"urdir/check"
	"urdir/internal/archive"
	"urdir/internal/care"
	"urdir/internal/front"
)

// outside is how the server meets the world: its log, its certificate, the proxies
// it believes, and where it is watched.
type outside struct {
	log     *slog.Logger
	cert    *front.Certificate // nil: plain HTTP
	proxies []netip.Prefix
	watched net.Listener // nil: by nobody
}

// outside reads what was typed of it. A certificate and a proxy both mean that
// browsers come by TLS.
func (a *app) outside(s *serving) (*outside, error) {
	var o outside
	level := slog.LevelInfo
	if s.verbose {
		level = slog.LevelDebug
	}
	options := &slog.HandlerOptions{Level: level}
	switch s.logForm {
	case "text":
		o.log = slog.New(front.LogHandler(slog.NewTextHandler(a.errOut, options)))
	case "json":
		o.log = slog.New(front.LogHandler(slog.NewJSONHandler(a.errOut, options)))
	default:
		return nil, mistake("--log", "value-choice", check.Args{"text": s.logForm, "choices": "text, json"})
	}
	var wrong string
	if o.proxies, wrong = front.ParseProxies(s.proxies); wrong != "" {
		return nil, mistake("--behind-proxy", "proxy-unread", check.Args{"text": wrong})
	}
	if (s.cert == "") != (s.key == "") {
		return nil, mistake("--cert", "cert-and-key", nil)
	}
	var err error
	if s.cert != "" {
		if o.cert, err = front.OpenCertificate(s.cert, s.key, o.log); err != nil {
			return nil, mistake("--cert", "cert-unread", check.Args{"reason": err.Error()})
		}
	}
	s.secure = s.secure || s.cert != "" || len(o.proxies) > 0
	if s.metrics != "" {
		if o.watched, err = net.Listen("tcp", s.metrics); err != nil {
			return nil, mistake("--metrics", "address-taken", check.Args{"address": s.metrics, "reason": err.Error()})
		}
	}
	return &o, nil
}

// scheme is how the server itself is spoken to.
func (s serving) scheme() string {
	if s.cert != "" {
		return "https://"
	}
	return "http://"
}

// patience is how long what is being answered may take after the server was told to
// stop.
const patience = 10 * time.Second

// serve serves until the context ends; what is being answered then is answered.
func (o *outside) serve(ctx context.Context, listener net.Listener, handler http.Handler, c *care.Server) error {
	taking := front.Options{Log: o.log, Proxies: o.proxies}
	if o.watched != nil {
		taking.Metrics = front.NewMetrics(c.Version, func() bool { return c.DB.Ping(ctx) == nil }, func() time.Time { return newestBackup(c.Backups.Dir) })
		mux := http.NewServeMux()
		mux.Handle("GET /metrics", taking.Metrics.Handler())
		o.log.Info("metrics", "address", o.watched.Addr().String())
		watched := &http.Server{Handler: mux, ReadHeaderTimeout: 10 * time.Second}
		go func() { _ = watched.Serve(o.watched) }() // ends with Close
		defer func() { _ = watched.Close() }()       // nobody waits for its answer
	}
	if o.cert != nil {
		listener = tls.NewListener(listener, o.cert.TLS())
		defer o.reloadOnHangup()()
	}
	server := &http.Server{Handler: front.Handler(handler, taking), ReadHeaderTimeout: 10 * time.Second, ReadTimeout: time.Minute, IdleTimeout: 2 * time.Minute,
		MaxHeaderBytes: 64 << 10, ErrorLog: slog.NewLogLogger(o.log.Handler(), slog.LevelDebug)}
	done := make(chan error, 1)
	go func() { done <- server.Serve(listener) }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
	}
	last, cancel := context.WithTimeout(context.WithoutCancel(ctx), patience)
	defer cancel()
	if err := server.Shutdown(last); err != nil {
		return err
	}
	if err := <-done; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// reloadOnHangup reads the certificate again when the program is told to (SIGHUP),
// until stop.
func (o *outside) reloadOnHangup() (stop func()) {
	told := make(chan os.Signal, 1)
	signal.Notify(told, syscall.SIGHUP)
	go func() {
		for range told {
			if err := o.cert.Reload(); err != nil {
				o.log.Error("certificate", "error", err)
			} else {
				o.log.Info("certificate read again")
			}
		}
	}()
	return func() { signal.Stop(told); close(told) }
}

// newestBackup is when the newest backup in a folder was made; zero if there is
// none.
func newestBackup(dir string) time.Time {
	all, err := archive.Copies(dir)
	if dir == "" || err != nil || len(all) == 0 {
		return time.Time{}
	}
	return all[0].Taken
}
