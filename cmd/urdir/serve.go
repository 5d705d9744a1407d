package main

import (
	"context"
	"crypto/rand"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"os/signal"
	"path/filepath"
	"runtime/debug"
	"strings"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"urdir/check"
	"urdir/internal/api"
	"urdir/internal/archive"
	"urdir/internal/care"
	"urdir/internal/courier"
	"urdir/internal/demo"
	"urdir/internal/front"
	"urdir/internal/store"
	"urdir/internal/web"
	"urdir/internal/workshop"
)

// serving is what was typed.
type serving struct {
	data, db, listen string
	demo, secure     bool
	verbose          bool
	logForm          string // text or json
	metrics          string // address; empty: none
	cert, key        string // files
	proxies          string // addresses of proxies that are believed
	backups          archive.Keeper
	private          bool // messages may go to addresses of private networks
}

func newServeCommand(a *app) *cobra.Command {
	w := a.words
	var s serving
	c := &cobra.Command{
		Use:                   "serve",
		Short:                 w.T("serve-about", nil),
		Long:                  w.T("serve-about-long", nil),
		Example:               "  urdir serve --demo\n  urdir serve --data taller --listen 0.0.0.0:8080",
		DisableFlagsInUseLine: true,
		Args:                  arguments(0, 0),
		RunE:                  func(c *cobra.Command, _ []string) error { return a.serve(c.Context(), s) },
	}
	f := c.Flags()
	f.StringVar(&s.data, "data", "urdir-data", w.T("serve-flag-data", nil))
	f.StringVar(&s.db, "db", "", w.T("serve-flag-db", nil))
	f.StringVar(&s.listen, "listen", "127.0.0.1:8080", w.T("serve-flag-listen", nil))
	f.BoolVar(&s.demo, "demo", false, w.T("serve-flag-demo", nil))
	f.BoolVar(&s.secure, "secure", false, w.T("serve-flag-secure", nil))
	keeperFlags(a, c, &s.backups)
	f.BoolVar(&s.private, "private-hooks", false, w.T("serve-flag-private-hooks", nil))
	f.StringVar(&s.cert, "cert", "", w.T("serve-flag-cert", nil))
	f.StringVar(&s.key, "key", "", w.T("serve-flag-key", nil))
	f.StringVar(&s.proxies, "behind-proxy", "", w.T("serve-flag-behind-proxy", nil))
	f.StringVar(&s.logForm, "log", "text", w.T("serve-flag-log", nil))
	f.StringVar(&s.metrics, "metrics", "", w.T("serve-flag-metrics", nil))
	f.BoolVar(&s.verbose, "verbose", false, w.T("serve-flag-verbose", nil))
	return c
}

// serve runs the server until it is told to stop; what is being answered then
// is answered.
func (a *app) serve(ctx context.Context, s serving) error {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(50) // a workshop's old laptop has memory for little else
	}
	ctx, stop := signal.NotifyContext(ctx, os.Interrupt, syscall.SIGTERM)
	defer stop()
	outside, err := a.outside(&s)
	if err != nil {
		return err
	}
	traced, err := front.Tracing(ctx, version(), outside.log)
	if err != nil {
		return mistake("OTEL_EXPORTER_OTLP_ENDPOINT", "trace-refused", check.Args{"reason": err.Error()})
	}
	defer func() {
		if late := traced(context.WithoutCancel(ctx)); late != nil {
			outside.log.Warn("trace", "error", late)
		}
	}()
	address, clean, err := s.database()
	if err != nil {
		return mistake("--data", "file-unwritable", check.Args{"file": s.data, "reason": err.Error()})
	}
	defer clean()
	db, err := store.Open(ctx, address)
	if err != nil {
		return mistake("--db", "database-closed", check.Args{"reason": err.Error()})
	}
	defer func() { _ = db.Close() }() // everything acknowledged is on disk already
	o := web.Options{Log: outside.log, Secure: s.secure}
	house, err := a.house(ctx, db, s, &o)
	if err != nil {
		return err
	}
	listener, err := net.Listen("tcp", s.listen)
	if err != nil {
		return mistake("--listen", "address-taken", check.Args{"address": s.listen, "reason": err.Error()})
	}
	o.Address = reachable(listener.Addr(), s.secure)
	if err = a.welcome(ctx, house, s.scheme()+listener.Addr().String(), &o); err != nil {
		return err
	}
	s.backups.DB, s.backups.Log, s.backups.Now = db, o.Log, time.Now
	o.Care = &care.Server{DB: db, House: house, Address: address, Backups: s.backups, Version: version(), Now: house.Now}
	handler, err := handlers(house, o)
	if err != nil {
		return err
	}
	defer s.courier(ctx, house, o.Log)()
	go sweep(ctx, house, o.Log)
	stopBackups, err := s.keepBackups(ctx)
	if err != nil {
		return err
	}
	defer stopBackups()
	return outside.serve(ctx, listener, handler, o.Care)
}

// handlers is everything the server answers: pages, and the API beside them.
func handlers(house *workshop.House, o web.Options) (http.Handler, error) {
	pages, err := web.New(house, o)
	if err != nil {
		return nil, err
	}
	mux := http.NewServeMux()
	mux.Handle("/", pages)
	mux.Handle("/api/v1/", api.New(house, api.Options{Log: o.Log}))
	return mux, nil
}

// courier sends messages to other programs until the context ends; the function waits
// for those under way.
func (s serving) courier(ctx context.Context, house *workshop.House, log *slog.Logger) (wait func()) {
	ctx, stop := context.WithCancel(ctx)
	done := make(chan struct{})
	go func() {
		defer close(done)
		courier.New(house, courier.Options{Log: log, Private: s.private}).Run(ctx)
	}()
	return func() { stop(); <-done }
}

// sweep takes away once a day the keys that have ended: nobody enters by them, and
// nobody should read them. That several servers do it does no harm.
func sweep(ctx context.Context, house *workshop.House, log *slog.Logger) {
	for {
		if err := house.Sweep(ctx); err != nil && ctx.Err() == nil {
			log.Error("sweep", "error", err)
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(24 * time.Hour):
		}
	}
}

// keepBackups makes backups at intervals, if that was asked for, until the context
// ends; the function waits for one that is being made.
func (s serving) keepBackups(ctx context.Context) (wait func(), err error) {
	k := s.backups
	switch {
	case k.Dir == "":
		return func() {}, nil
	case k.Every < time.Minute:
		return nil, mistake("--backup-every", "backup-interval", check.Args{"text": k.Every.String()})
	case k.Keep < 1:
		return nil, mistake("--keep", "out-of-range", check.Args{"value": k.Keep, "low": 1, "high": 10000})
	}
	if err := os.MkdirAll(k.Dir, 0o700); err != nil { // said now, and not at night
		return nil, mistake("--backup", "file-unwritable", check.Args{"file": k.Dir, "reason": err.Error()})
	}
	ctx, stop := context.WithCancel(ctx)
	done := make(chan struct{})
	go func() {
		defer close(done)
		k.Run(ctx)
	}()
	return func() { stop(); <-done }, nil
}

// database is where the workshop is kept; a demo is in a folder that goes away.
func (s serving) database() (address string, clean func(), err error) {
	clean = func() {}
	switch {
	case s.demo:
		dir, err := os.MkdirTemp("", "urdir-demo-")
		if err != nil {
			return "", clean, err
		}
		return filepath.Join(dir, "urdir.sqlite"), func() { _ = os.RemoveAll(dir) }, nil
	case s.db != "":
		return s.db, clean, nil
	}
	if err := os.MkdirAll(s.data, 0o700); err != nil {
		return "", clean, err
	}
	return filepath.Join(s.data, "urdir.sqlite"), clean, nil
}

// house makes the workshops' rules, and fills a demo.
func (a *app) house(ctx context.Context, db *store.DB, s serving, o *web.Options) (*workshop.House, error) {
	if !s.demo {
		return workshop.New(db, time.Now), nil
	}
	fmt.Fprintln(a.errOut, a.words.T("serve-demo-fills", nil))
	clock := demo.NewClock(time.Now())
	house := workshop.New(db, clock.Now)
	logins, err := demo.Fill(ctx, house, clock, a.words.Base)
	debug.FreeOSMemory() // what filling took
	if err == nil {
		o.Demo = logins[0].Login + " / " + logins[0].Passphrase
	}
	return house, err
}

// welcome says where the pages are, and on the first start the link that makes
// the head's account.
func (a *app) welcome(ctx context.Context, house *workshop.House, here string, o *web.Options) error {
	empty, err := house.Empty(ctx)
	if err != nil {
		return err
	}
	if empty {
		o.StartKey = strings.ToLower(rand.Text())
		fmt.Fprintln(a.errOut, a.words.T("serve-first", check.Args{"link": here + "/start/" + o.StartKey}))
		return nil
	}
	fmt.Fprintln(a.errOut, a.words.T("serve-at", check.Args{"address": here}))
	if o.Demo != "" {
		fmt.Fprintln(a.errOut, a.words.T("serve-demo-login", check.Args{"login": o.Demo}))
	}
	return nil
}

// reachable is the address under which others on the network find this server;
// empty if it listens to this machine alone.
func reachable(at net.Addr, secure bool) string {
	tcp, ok := at.(*net.TCPAddr)
	if !ok || tcp.IP.IsLoopback() {
		return ""
	}
	host := tcp.IP
	if host.IsUnspecified() {
		if host = ownAddress(); host == nil {
			return ""
		}
	}
	scheme := "http"
	if secure {
		scheme = "https"
	}
	return fmt.Sprintf("%s://%s", scheme, net.JoinHostPort(host.String(), fmt.Sprint(tcp.Port)))
}

// ownAddress is this machine's address on its private network, if it has one.
func ownAddress() net.IP {
	addrs, err := net.InterfaceAddrs()
	if err != nil {
		return nil
	}
	for _, a := range addrs {
		if n, ok := a.(*net.IPNet); ok && n.IP.IsPrivate() && n.IP.To4() != nil {
			return n.IP
		}
	}
	return nil
}
