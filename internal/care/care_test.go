package care_test

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	_ "modernc.org/sqlite"

	"urdir/internal/archive"
	"urdir/internal/care"
	"urdir/internal/demo"
	"urdir/internal/store"
	"urdir/internal/workshop"
)

// theDay is the day by the clock of all tests; the demo's season ends on it.
var theDay = time.Date(2027, 3, 2, 10, 0, 0, 0, time.UTC)

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// season is the demo as a SQLite file, filled once.
var season = sync.OnceValue(func() []byte {
	dir := must(os.MkdirTemp("", "urdir-care"))
	defer func() { _ = os.RemoveAll(dir) }() // left behind, it would do no harm
	file := filepath.Join(dir, "urdir.sqlite")
	db := must(store.Open(context.Background(), file))
	clock := demo.NewClock(theDay)
	must(demo.Fill(context.Background(), workshop.New(db, clock.Now), clock, "es"))
	if err := db.Close(); err != nil {
		panic(err)
	}
	return must(os.ReadFile(file))
})

// patient is a server on a copy of the season, with a backup of an hour ago.
type patient struct {
	care.Server
	file string
}

func newPatient(t *testing.T) *patient {
	t.Helper()
	dir := t.TempDir()
	p := &patient{file: filepath.Join(dir, "urdir.sqlite")}
	if err := os.WriteFile(p.file, season(), 0o600); err != nil {
		t.Fatal(err)
	}
	p.Now = func() time.Time { return theDay.Add(24 * time.Hour) }
	p.Address, p.Version = p.file, "test"
	p.Room = func(string) (int64, error) { return 5 << 30, nil }
	p.Backups = archive.Keeper{Dir: filepath.Join(dir, "copies"), Every: 24 * time.Hour, Keep: 3,
		Now: func() time.Time { return theDay.Add(23 * time.Hour) }}
	p.open(t)
	p.Backups.DB = p.DB
	if _, err := p.Backups.Once(t.Context()); err != nil {
		t.Fatal(err)
	}
	return p
}

// open opens the file as it is.
func (p *patient) open(t *testing.T) {
	t.Helper()
	var err error
	if p.DB, err = store.Look(t.Context(), p.file); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = p.DB.Close() }) // only read
	p.House = workshop.New(p.DB, p.Now)
}

// harm changes the database behind the program's back.
func (p *patient) harm(t *testing.T, statement string, args ...any) {
	t.Helper()
	db, err := sql.Open("sqlite", p.file)
	if err != nil {
		t.Fatal(err)
	}
	done, err := db.ExecContext(t.Context(), statement, args...)
	if err == nil {
		if n, _ := done.RowsAffected(); n == 0 {
			err = errors.New("it changed nothing")
		}
	}
	if err = errors.Join(err, db.Close()); err != nil {
		t.Fatalf("%s: %v", statement, err)
	}
}

// newest is the path of the newest backup.
func (p *patient) newest(t *testing.T) string {
	t.Helper()
	all, err := archive.Copies(p.Backups.Dir)
	if err != nil || len(all) == 0 {
		t.Fatal("no backup: ", err)
	}
	return filepath.Join(p.Backups.Dir, all[0].Name)
}

func TestExamine_well(t *testing.T) {
	t.Parallel()
	p := newPatient(t)
	r := must(p.Examine(t.Context(), ""))
	var names []string
	for _, f := range r.Findings {
		names = append(names, f.Check)
		if f.State() != care.Well {
			t.Errorf("%s: %v", f.Check, f.Problems)
		}
		if n, _ := f.Args["number"].(int); f.Check == "plans" && n == 0 {
			t.Error("no confirmed plan was looked at")
		}
	}
	want := []string{"tables", "file", "history", "stock", "books", "agreement", "numbers", "plans", "backups", "clock", "room"}
	if !slices.Equal(names, want) {
		t.Errorf("checks: got %v, want %v", names, want)
	}
	if r.State() != care.Well {
		t.Error("all in all: ", r.State())
	}
}

// Whatever breaks is said, by the check it belongs to.
func TestExamine_harm(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name, check, code string
		state             care.State
		harm              func(t *testing.T, p *patient)
	}{
		{"stock that no move brought", "stock", "doctor-fault", care.Wrong, func(t *testing.T, p *patient) {
			p.harm(t, `UPDATE stock SET milligrams = milligrams + 1 WHERE rowid = (SELECT min(rowid) FROM stock)`)
		}},
		{"a move that is gone", "stock", "doctor-fault", care.Wrong, func(t *testing.T, p *patient) {
			p.harm(t, `DELETE FROM moves WHERE seq = 1`)
		}},
		{"an amount in the books", "books", "doctor-fault", care.Wrong, func(t *testing.T, p *patient) {
			p.harm(t, `UPDATE lines SET minor = minor + 100 WHERE rowid = (SELECT min(rowid) FROM lines)`)
		}},
		{"an entry that is gone", "books", "doctor-fault", care.Wrong, func(t *testing.T, p *patient) {
			p.harm(t, `DELETE FROM entries WHERE seq = 1`)
		}},
		{"material booked for a lot that is gone", "agreement", "stock-differs", care.Look, func(t *testing.T, p *patient) {
			p.harm(t, `DELETE FROM stock`)
			p.harm(t, `DELETE FROM moves`)
			p.harm(t, `DELETE FROM counters WHERE name = 'moves'`)
		}},
		{"a number that was left out", "numbers", "doctor-fault", care.Wrong, func(t *testing.T, p *patient) {
			p.harm(t, `INSERT INTO numbers (workshop, series, year, n, kind, id, at) SELECT id, 'ZZ', 2027, 2, 'paper', 'x', '' FROM workshops`)
		}},
		{"a line of the history that is gone", "history", "doctor-fault", care.Wrong, func(t *testing.T, p *patient) {
			p.harm(t, `DELETE FROM history WHERE seq = 5`)
		}},
		{"a record nobody made", "history", "doctor-fault", care.Wrong, func(t *testing.T, p *patient) {
			p.harm(t, `INSERT INTO records (workshop, kind, id, revision, parent, state, sort, words, body) SELECT id, 'customer', 'nobody', 1, '', '', '', '', '{}' FROM workshops`)
		}},
		{"one number in a confirmed plan", "plans", "plan-differs", care.Wrong, func(t *testing.T, p *patient) {
			p.harm(t, `UPDATE records SET body = replace(body, '\"ends\":', '\"ends\":1') WHERE kind = 'frozen'`)
		}},
		{"a confirmed plan that is no JSON", "plans", "plan-unreadable", care.Wrong, func(t *testing.T, p *patient) {
			p.harm(t, `UPDATE records SET body = json_set(body, '$.Plan', '{') WHERE kind = 'frozen'`)
		}},
		{"a confirmed plan of no order", "plans", "plan-of-nothing", care.Wrong, func(t *testing.T, p *patient) {
			p.harm(t, `UPDATE records SET body = json_set(body, '$.Order', 'gone') WHERE kind = 'frozen'`)
		}},
		{"a row that refers to nothing", "file", "doctor-fault", care.Wrong, func(t *testing.T, p *patient) {
			p.harm(t, `INSERT INTO accounts (id, workshop, login, name, role, member, lang, secret) VALUES ('x', 'nowhere', 'x', 'x', 'head', '', 'es', '')`)
		}},
		{"pages of the file overwritten", "file", "doctor-fault", care.Wrong, func(t *testing.T, p *patient) {
			if err := p.DB.Close(); err != nil { // its log goes into the file
				t.Fatal(err)
			}
			body := must(os.ReadFile(p.file))
			for i := len(body) - 64<<10; i < len(body)-32<<10; i++ {
				body[i] = 0xa5
			}
			if err := os.WriteFile(p.file, body, 0o600); err != nil {
				t.Fatal(err)
			}
			p.open(t)
		}},
		{"a newer program's tables", "tables", "doctor-newer", care.Wrong, func(t *testing.T, p *patient) {
			p.harm(t, `INSERT INTO goose_db_version (version_id, is_applied) VALUES ($1, 1)`, must(store.Newest())+1)
		}},
		{"an older program's tables", "tables", "doctor-older", care.Look, func(t *testing.T, p *patient) {
			p.harm(t, `DELETE FROM goose_db_version WHERE version_id = $1`, must(store.Newest()))
		}},
		{"no backups asked for", "backups", "doctor-no-backups", care.Look, func(_ *testing.T, p *patient) { p.Backups.Dir = "" }},
		{"no folder of backups", "backups", "doctor-backup-folder", care.Wrong, func(_ *testing.T, p *patient) { p.Backups.Dir += "-gone" }},
		{"no backup", "backups", "doctor-backup-none", care.Wrong, func(t *testing.T, p *patient) {
			if err := os.Remove(p.newest(t)); err != nil {
				t.Fatal(err)
			}
		}},
		{"an old backup", "backups", "doctor-backup-old", care.Wrong, func(_ *testing.T, p *patient) {
			p.Now = func() time.Time { return theDay.Add(50 * time.Hour) }
		}},
		{"half a backup", "backups", "backup-damaged", care.Wrong, func(t *testing.T, p *patient) {
			name := p.newest(t)
			if err := os.Truncate(name, must(os.Stat(name)).Size()/2); err != nil {
				t.Fatal(err)
			}
		}},
		{"a clock that was set back", "clock", "doctor-clock-behind", care.Wrong, func(_ *testing.T, p *patient) {
			p.Now = func() time.Time { return theDay.AddDate(-1, 0, 0) }
		}},
		{"little room", "room", "doctor-room-little", care.Look, func(_ *testing.T, p *patient) {
			p.Room = func(string) (int64, error) { return 500 << 20, nil }
		}},
		{"no room", "room", "doctor-room-none", care.Wrong, func(_ *testing.T, p *patient) {
			p.Room = func(string) (int64, error) { return 50 << 20, nil }
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			p := newPatient(t)
			c.harm(t, p)
			r := must(p.Examine(t.Context(), ""))
			if r.State() != c.state {
				t.Errorf("all in all: got %s, want %s", r.State(), c.state)
			}
			for _, f := range r.Findings {
				if f.Check != c.check {
					continue
				}
				if f.State() != c.state || len(f.Problems) == 0 || f.Problems[0].Code != c.code {
					t.Errorf("got %s %v, want %s %s", f.State(), f.Problems, c.state, c.code)
				}
				return
			}
			t.Errorf("nothing was said of %s: %v", c.check, r.Findings)
		})
	}
}

// A look changes nothing, not even of an older version.
func TestExamine_changesNothing(t *testing.T) {
	t.Parallel()
	p := newPatient(t)
	p.harm(t, `DELETE FROM goose_db_version WHERE version_id = $1`, must(store.Newest()))
	if err := p.DB.Close(); err != nil {
		t.Fatal(err)
	}
	before := must(os.ReadFile(p.file))
	p.open(t)
	must(p.Examine(t.Context(), ""))
	if err := p.DB.Close(); err != nil {
		t.Fatal(err)
	}
	if !slices.Equal(before, must(os.ReadFile(p.file))) {
		t.Error("the file is another after a look at it")
	}
}

// Recent looks once an hour, or when it is told to.
func TestRecent(t *testing.T) {
	t.Parallel()
	p := newPatient(t)
	is := must(p.Recent(t.Context(), "")).State()
	p.Room = func(string) (int64, error) { return 0, nil }
	kept := must(p.Recent(t.Context(), "")).State()
	p.Forget()
	if again := must(p.Recent(t.Context(), "")).State(); is != care.Well || kept != care.Well || again != care.Wrong {
		t.Errorf("got %s, %s, %s; want well, well, wrong", is, kept, again)
	}
}
