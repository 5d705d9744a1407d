package store_test

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"urdir/internal/store"
	"urdir/internal/store/pgtest"
)

// A new migration needs a dump of a database at its version, to try the next one
// on: go test ./internal/store -run TestEveryVersion -dump, with sqlite3 and
// pg_dump installed.
var dump = flag.Bool("dump", false, "write testdata/vN.sql and vN.postgres.sql of the newest version")

// newest gives the version of the newest migration.
func newest(tb testing.TB) int {
	tb.Helper()
	names, err := store.Migrations()
	must(tb, err)
	number, _, _ := strings.Cut(filepath.Base(names[len(names)-1]), "_")
	n, err := strconv.Atoi(number)
	must(tb, err)
	return n
}

func dumpName(version int, postgres bool) string {
	if postgres {
		return filepath.Join("testdata", fmt.Sprintf("v%d.postgres.sql", version))
	}
	return filepath.Join("testdata", fmt.Sprintf("v%d.sql", version))
}

// A database that any former version has written opens, with every row in it.
func TestEveryVersionOpens(t *testing.T) {
	if *dump {
		writeDumps(t)
	}
	for version := 1; version <= newest(t); version++ {
		t.Run(fmt.Sprint("v", version), func(t *testing.T) {
			onBoth(t, func(t *testing.T, address string) {
				statements, err := os.ReadFile(dumpName(version, strings.HasPrefix(address, "postgres:")))
				if err != nil {
					t.Fatalf("%v; make it with: go test ./internal/store -run TestEveryVersion -dump", err)
				}
				old := rawFor(t, address, "")
				old.run(t, string(statements))
				must(t, old.db.Close())
				if got := rawFor(t, address, "").texts(t, `SELECT max(version_id) FROM goose_db_version`); got[0] != fmt.Sprint(version) {
					t.Fatalf("the dump is of version %s", got[0])
				}
				before := rowsOf(t, address, version)
				if len(before) < 40 {
					t.Fatalf("the dump has only %d rows", len(before))
				}
				db := open(t, address)
				if diff := cmp.Diff(before, rowsOf(t, address, version)); diff != "" {
					t.Errorf("rows (-before +after):\n%s", diff)
				}
				sound(t, db)
				history(t, db)
				view(t, db, shore, seasonOf(t, version))
				view(t, db, hill, seasonOf(t, version))
				update(t, db, "order.save", puts(store.Record{Kind: "order", ID: "new"}))
				update(t, db, "pay", func(tx *store.Tx) error { return keepMoney(tx, "later") })
				sound(t, db)
			})
		})
	}
}

// since is the tables that the first version did not have, and which had them first.
var since = map[string]int{"entries": 2, "lines": 2, "sums": 2, "items": 2, "numbers": 2,
	"tokens": 3, "answers": 3, "secrets": 3, "messages": 3, "tellings": 4, "tries": 5}

// everyRow gives all rows of all workshops as text, each with its table's name.
func everyRow(tb testing.TB, address string) []string {
	tb.Helper()
	return rowsOf(tb, address, newest(tb))
}

// rowsOf is everyRow for the tables that a version had.
func rowsOf(tb testing.TB, address string, version int) (all []string) {
	tb.Helper()
	for _, on := range []string{shore, hill} {
		r := rawFor(tb, address, on)
		for table, columns := range map[string]string{
			"entries":   "workshop, seq, at, who, act, date, text, document, source, settles, reverses, closes",
			"lines":     "workshop, entry, n, date, account, currency, minor, item, tags",
			"sums":      "workshop, tag, account, value, currency, date, debit, credit",
			"items":     "workshop, account, item, currency, minor",
			"numbers":   "workshop, series, year, n, kind, id, at",
			"tokens":    "hash, id, account, name, scopes, made, ends, used",
			"answers":   "workshop, account, key, digest, at, status, tag, body",
			"secrets":   "workshop, id, secret, former, ends",
			"messages":  "workshop, seq, hook, event, made, state, tries, next, tried, status, note, body",
			"tellings":  "workshop, account, key, device, n, digest, at, taken, said",
			"tries":     "name, free",
			"workshops": "id, name, made",
			"records":   "workshop, kind, id, revision, parent, state, sort, words, body",
			"history":   "workshop, seq, at, who, act, kind, id, revision, body",
			"moves":     "workshop, seq, at, who, act, lot, milligrams, from_place, to_place",
			"stock":     "workshop, place, lot, milligrams",
			"counters":  "workshop, name, last",
			"files":     "workshop, id, type, length(body)",
			"accounts":  "id, workshop, login, name, role, member, lang, secret, closed",
			"keys":      "hash, account, use, made, ends",
		} {
			if since[table] > version {
				continue
			}
			joined := strings.ReplaceAll(columns, ", ", " || '|' || ")
			all = append(all, r.texts(tb, `SELECT '`+table+`: ' || `+joined+` FROM `+table)...)
		}
	}
	slices.Sort(all)
	return slices.Compact(all) // SQLite and the unguarded tables show every workshop twice
}

// keepSeason writes something into every table.
func keepSeason(tx *store.Tx) error {
	for i := range 3 {
		n, err := tx.Next("order")
		if err != nil {
			return err
		}
		r := store.Record{
			Kind: "order", ID: fmt.Sprint("o", n), Parent: "c1", State: "open", Sort: fmt.Sprintf("2031-05-%02d", n),
			Words: `faja ñandú 50% a_b \`, Body: `{"note":"línea 1\nlínea 2 ' \" \\ 🧵"}`,
		}
		if r.Revision, err = tx.Put(r); err != nil {
			return err
		}
		if i > 0 {
			r.State = "woven"
			if r.Revision, err = tx.Put(r); err != nil {
				return err
			}
		}
		if i > 1 {
			if err := tx.Remove(r.Kind, r.ID, r.Revision); err != nil {
				return err
			}
		}
	}
	for _, m := range []struct {
		milligrams int64
		from, to   string
	}{{5_000_000_000_000, "outside", "shelf"}, {1_250_001, "shelf", "weaver"}, {1_250_001, "weaver", "outside"}} {
		if err := tx.Move("red", m.milligrams, m.from, m.to); err != nil {
			return err
		}
	}
	if err := keepMoney(tx, "ñandú 'pago' 🧵"); err != nil {
		return err
	}
	if err := keepTold(tx); err != nil {
		return err
	}
	return tx.PutFile("f1", "image/png", []byte("\x89PNG\r\n\x1a\n\x00\xff'"))
}

// keepTold answers another program, and has something to tell to one.
func keepTold(tx *store.Tx) error {
	_, err := tx.Tell(store.Message{Hook: "h1", Event: "order.confirmed", Made: noon, Body: `{"order":"o1"}`})
	return errors.Join(err, tx.PutSecret("h1", store.Secret{Secret: "now", Former: "before", Ends: noon}),
		tx.Give(store.Given{Account: "a-1", Key: "k1", Digest: "d", At: noon, Status: 201, Tag: `"1"`, Body: `{"name":"Ñandú"}`}),
		tx.TakeTelling(store.Telling{Account: "a-1", Key: "t1", Device: "p1", N: 3, Digest: "d", At: noon, Said: "así no"}))
}

// keepMoney pays a member, with a numbered paper.
func keepMoney(tx *store.Tx, text string) error {
	n, err := tx.NextNumber("R", 2031)
	if err != nil {
		return err
	}
	n.Kind, n.ID = "receipt", fmt.Sprint("r", n.N)
	_, err = tx.Post(store.Posting{Date: "2031-05-06", Text: text, Document: n.ID, Source: "job:o1:" + n.ID, Settles: "pay " + n.ID, Lines: []store.PostingLine{
		{Account: "liabilities:members", Currency: "USD", Minor: 1250, Item: "job 1", Tags: map[string]string{"member": "m ñ", "season": "2031"}},
		{Account: "assets:cash", Currency: "USD", Minor: -1250},
	}})
	return errors.Join(err, tx.KeepNumber(n))
}

// seasonIsThere fails the test unless what keepSeason wrote is there.
func seasonIsThere(tb testing.TB) func(*store.Tx) error { return seasonOf(tb, newest(tb)) }

// seasonOf is seasonIsThere for what a version had.
func seasonOf(tb testing.TB, version int) func(*store.Tx) error {
	return func(tx *store.Tx) error {
		if version >= since["entries"] {
			open, err := tx.OpenItems("liabilities:members", "job 1")
			if diff := cmp.Diff([]store.Item{{Account: "liabilities:members", Item: "job 1", Currency: "USD", Minor: 1250}}, open); err != nil || diff != "" {
				tb.Errorf("open items: %v (-want +got):\n%s", err, diff)
			}
		}
		orders, _, err := tx.List(store.Query{Kind: "order", Words: []string{"ñandú", "50%", "a_b", `\`}})
		if err != nil {
			return err
		}
		const body = `{"note":"línea 1\nlínea 2 ' \" \\ 🧵"}`
		if len(orders) != 2 || orders[0].Body != body || orders[0].Revision != 1 || orders[1].Revision != 2 || orders[1].State != "woven" {
			tb.Errorf("orders: got %+v", orders)
		}
		held, err := tx.Held("shelf", "red")
		if diff := cmp.Diff([]store.Stock{{Place: "shelf", Lot: "red", Milligrams: 4_999_998_749_999}}, held); err != nil || diff != "" {
			tb.Errorf("stock: %v (-want +got):\n%s", err, diff)
		}
		_, file, err := tx.File("f1")
		if string(file) != "\x89PNG\r\n\x1a\n\x00\xff'" {
			tb.Errorf("file: got %q", file)
		}
		return err
	}
}

func writeDumps(t *testing.T) {
	t.Helper()
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		for _, w := range []string{shore, hill} {
			must(t, db.Update(t.Context(), w, act("season.keep"), keepSeason))
			must(t, db.PutAccount(t.Context(), store.Account{ID: "a-" + w, Workshop: w, Login: "maru." + w, Name: "Maru", Role: "lead", Lang: "es", Secret: "x"}))
			must(t, db.PutKey(t.Context(), "k-"+w, "a-"+w, store.CardKey, noon, noon.Add(time.Hour)))
			must(t, db.PutToken(t.Context(), "t-"+w, store.Token{ID: "t-" + w, Account: "a-" + w, Name: "cuentas", Scopes: "orders:read", Made: noon, Ends: noon.Add(time.Hour)}))
		}
		_, err := db.Try(t.Context(), "h-maru", noon, store.Limit{AtOnce: 1, Every: time.Minute})
		must(t, err)
		must(t, db.Close())
		postgres := strings.HasPrefix(address, "postgres:")
		var out []byte
		if postgres {
			// Settings of one version of the server, and orders to psql, are no
			// part of the database.
			for line := range strings.Lines(string(pgtest.Dump(t, address))) {
				if strings.HasPrefix(line, "SET ") || strings.HasPrefix(line, `\`) || strings.HasPrefix(line, "--") || strings.HasPrefix(line, "SELECT pg_catalog.set_config(") {
					continue
				}
				out = append(out, line...)
			}
		} else {
			if out, err = exec.Command("sqlite3", address, ".dump").Output(); err != nil {
				t.Fatal(err)
			}
		}
		must(t, os.WriteFile(dumpName(newest(t), postgres), out, 0o600))
	})
}

func TestOpenAgainChangesNothing(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		update(t, db, "season.keep", keepSeason)
		before := append(everyRow(t, address), schema(t, address)...)
		for range 2 {
			must(t, open(t, address).Close())
		}
		if diff := cmp.Diff(before, append(everyRow(t, address), schema(t, address)...)); diff != "" {
			t.Errorf("rows and tables (-first +again):\n%s", diff)
		}
	})
}

// schema gives tables, columns, indexes and policies as text, and the migrations
// that have run.
func schema(tb testing.TB, address string) []string {
	tb.Helper()
	r := rawFor(tb, address, "")
	ran := r.texts(tb, `SELECT version_id FROM goose_db_version ORDER BY id`)
	if !strings.HasPrefix(address, "postgres:") {
		return append(ran, r.texts(tb, `SELECT coalesce(sql, name) FROM sqlite_master ORDER BY name`)...)
	}
	ran = append(ran, r.texts(tb, `SELECT table_name || column_name || data_type || coalesce(collation_name, '') FROM information_schema.columns
		WHERE table_schema = 'public' ORDER BY table_name, ordinal_position`)...)
	ran = append(ran, r.texts(tb, `SELECT indexdef FROM pg_indexes WHERE schemaname = 'public' ORDER BY indexdef`)...)
	return append(ran, r.texts(tb, `SELECT tablename || policyname || qual || with_check FROM pg_policies ORDER BY tablename`)...)
}

// A program does not touch what a newer one has written: the file is, byte for byte,
// what it was.
func TestNewerDatabaseIsRefused(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		must(t, settle(t, address).Close())
		later := newest(t) + 1
		applied := map[bool]string{true: "true", false: "1"}[strings.HasPrefix(address, "postgres:")]
		rawFor(t, address, "").run(t, fmt.Sprintf(`INSERT INTO goose_db_version (version_id, is_applied) VALUES (%d, %s)`, later, applied))
		before := fileOf(t, address)
		db, err := store.Open(t.Context(), address)
		if err == nil {
			t.Fatal("opened a newer database: ", db)
		}
		if !bytes.Equal(before, fileOf(t, address)) {
			t.Error("the file is another after it was refused")
		}
		if want := fmt.Sprint("version ", later); !strings.Contains(err.Error(), want) {
			t.Errorf("error: got %v, want it to name %s", err, want)
		}
	})
}

// fileOf is a SQLite file; nil of PostgreSQL.
func fileOf(t *testing.T, address string) []byte {
	t.Helper()
	if strings.HasPrefix(address, "postgres:") {
		return nil
	}
	body, err := os.ReadFile(address)
	must(t, err)
	return body
}
