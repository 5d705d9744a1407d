// Package browser_test opens the workshop's pages in a real browser: Chromium,
// found in PATH. It has no code of its own.
package browser_test

import (
	"context"
	"fmt"
	"log/slog"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"urdir/internal/archive"
	"urdir/internal/care"
	"urdir/internal/demo"
	"urdir/internal/lang"
	"urdir/internal/store"
	"urdir/internal/web"
	"urdir/internal/workshop"
)

func TestMain(m *testing.M) {
	code := m.Run()
	if chromium.stop != nil {
		chromium.stop()
	}
	if filled.dir != "" {
		_ = os.RemoveAll(filled.dir) // a folder of the system's for such things
	}
	os.Exit(code)
}

// chromium is the one browser of all tests; each visitor has her own tab and
// her own cookies in it.
var chromium struct {
	once sync.Once
	path string
	ctx  context.Context
	stop func()
	err  error
}

// browser starts Chromium, once. Without it the tests fail: pages nobody has
// opened are not known to work.
func browser(t testing.TB) context.Context {
	t.Helper()
	chromium.once.Do(func() {
		for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
			if p, err := exec.LookPath(name); err == nil {
				chromium.path = p
				break
			}
		}
		if chromium.path == "" {
			chromium.err = fmt.Errorf("no chromium in PATH; install it: apt-get install chromium")
			return
		}
		opts := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(chromium.path), chromedp.NoSandbox, chromedp.DisableGPU,
			chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true), chromedp.Flag("hide-scrollbars", true))
		all, stopAll := chromedp.NewExecAllocator(context.Background(), opts...)
		ctx, stop := chromedp.NewContext(all)
		chromium.stop = func() { stop(); stopAll() }
		chromium.ctx, chromium.err = ctx, chromedp.Do(ctx)
	})
	if chromium.err != nil {
		t.Fatal("Chromium does not start: ", chromium.err)
	}
	return chromium.ctx
}

// filled is a demo in a file, filled once and copied for each test.
var filled struct {
	once   sync.Once
	dir    string
	logins []demo.Login
	err    error
}

func fill() error {
	var err error
	if filled.dir, err = os.MkdirTemp("", "urdir-browser-"); err != nil {
		return err
	}
	db, err := store.Open(context.Background(), filepath.Join(filled.dir, "demo.sqlite"))
	if err != nil {
		return err
	}
	clock := demo.NewClock(time.Now())
	filled.logins, err = demo.Fill(context.Background(), workshop.New(db, clock.Now), clock, "es")
	if e := db.Close(); err == nil {
		err = e
	}
	return err
}

// world is a workshop in mid-season and its server.
type world struct {
	t     testing.TB
	house *workshop.House
	url   string
	head  workshop.Person
}

func newWorld(t testing.TB) world {
	t.Helper()
	filled.once.Do(func() { filled.err = fill() })
	if filled.err != nil {
		t.Fatal(filled.err)
	}
	file := filepath.Join(t.TempDir(), "urdir.sqlite")
	body, err := os.ReadFile(filepath.Join(filled.dir, "demo.sqlite"))
	if err != nil {
		t.Fatal(err)
	}
	if err = os.WriteFile(file, body, 0o600); err != nil {
		t.Fatal(err)
	}
	db, err := store.Open(t.Context(), file)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if failed := db.Close(); failed != nil {
			t.Error(failed)
		}
	})
	w := world{t: t, house: workshop.New(db, time.Now)}
	handler, err := web.New(w.house, web.Options{Log: slog.New(slog.NewTextHandler(t.Output(), &slog.HandlerOptions{Level: slog.LevelWarn})),
		Care: &care.Server{DB: db, House: w.house, Address: file, Version: "test", Now: time.Now,
			Backups: archive.Keeper{DB: db, Dir: filepath.Join(t.TempDir(), "copies"), Every: 24 * time.Hour, Keep: 3, Now: time.Now}}})
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(handler)
	t.Cleanup(server.Close)
	w.url = server.URL
	if w.head, _, err = w.house.SignIn(t.Context(), filled.logins[0].Login, filled.logins[0].Passphrase); err != nil {
		t.Fatal(err)
	}
	return w
}

// login gives how someone with a role signs in.
func login(t testing.TB, role workshop.Role) demo.Login {
	t.Helper()
	for _, l := range filled.logins {
		if l.Role == role {
			return l
		}
	}
	t.Fatalf("the demo has nobody who is %s", role)
	return demo.Login{}
}

func words(t testing.TB, base string) *lang.Words {
	t.Helper()
	w, err := lang.For(base)
	if err != nil {
		t.Fatal(err)
	}
	return w
}
