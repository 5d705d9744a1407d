package archive_test

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"urdir/internal/archive"
	"urdir/internal/demo"
	"urdir/internal/store/pgtest"
	"urdir/internal/workshop"
)

// A whole workshop in mid-season moves to PostgreSQL with its people and is the
// same there: its export, its books, who signs in, what the first page says; and
// moves back to SQLite.
func TestImport_wholeWorkshop(t *testing.T) {
	now := time.Date(2031, time.May, 6, 12, 0, 0, 0, time.UTC)
	here := open(t, file(t))
	clock := demo.NewClock(now)
	house := workshop.New(here, clock.Now)
	logins, err := demo.Fill(t.Context(), house, clock, "es")
	must(t, err)
	want := exported(t, here, archive.ExportOptions{Accounts: true})
	name := filepath.Join(t.TempDir(), "x.zip")
	must(t, os.WriteFile(name, want, 0o600))
	there := open(t, pgtest.Start(t))
	_, err = archive.Import(t.Context(), there, name)
	must(t, err)
	if got := exported(t, there, archive.ExportOptions{Accounts: true}); !bytes.Equal(got, want) {
		t.Error("the exports differ")
	}
	moved := workshop.New(there, clock.Now)
	first, _, err := house.SignIn(t.Context(), logins[0].Login, logins[0].Passphrase)
	must(t, err)
	p, _, err := moved.SignIn(t.Context(), logins[0].Login, logins[0].Passphrase)
	must(t, err)
	if first != p {
		t.Errorf("signed in as %+v, want %+v", p, first)
	}
	back := open(t, file(t))
	_, err = archive.Import(t.Context(), back, name)
	must(t, err)
	if got := exported(t, back, archive.ExportOptions{Accounts: true}); !bytes.Equal(got, want) {
		t.Error("the exports differ after the way back")
	}
	faults, err := moved.CheckBooks(t.Context(), p)
	if err != nil || len(faults) > 0 {
		t.Errorf("books: %v, %v", faults, err)
	}
	before, err := house.Today(t.Context(), first)
	must(t, err)
	after, err := moved.Today(t.Context(), p)
	must(t, err)
	if diff := cmp.Diff(before, after); diff != "" {
		t.Errorf("the first page (-before +after):\n%s", diff)
	}
}
