package archive_test

import (
	"archive/zip"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/internal/archive"
	"urdir/internal/store"
	"urdir/internal/store/pgtest"
)

const (
	shore = "w-shore"
	hill  = "w-hill"
)

var noon = time.Date(2031, time.May, 6, 12, 0, 0, 123456000, time.UTC)

func must(tb testing.TB, err error) {
	tb.Helper()
	if err != nil {
		tb.Fatal(err)
	}
}

func open(tb testing.TB, address string) *store.DB {
	tb.Helper()
	db, err := store.Open(context.Background(), address)
	must(tb, err)
	tb.Cleanup(func() { _ = db.Close() })
	return db
}

func file(tb testing.TB) string { return filepath.Join(tb.TempDir(), "urdir.sqlite") }

// texts are what people write, and what has broken programs.
var texts = rapid.SampledFrom([]string{"", "hilo", `"; DROP TABLE`, "=1+1", "ñandú 🧵", "line\nline\r\n", "\u2028\u2029<&>", "a\tb", `\u0000\`, "'x", "9007199254740993", "\ufeffx"})

// deed is one act of a season.
type deed struct {
	what, id, body, sort, words, from string
	milligrams                        int64
	bytes                             []byte
}

// seasons are seasons of random acts.
var seasons = rapid.SliceOfN(rapid.Custom(func(t *rapid.T) deed {
	return deed{
		what: rapid.SampledFrom([]string{"put", "put", "remove", "move", "file", "pay", "tell"}).Draw(t, "act"), id: rapid.SampledFrom([]string{"a", "b", "ñ"}).Draw(t, "id"),
		body: texts.Draw(t, "body"), sort: texts.Draw(t, "sort"), words: texts.Draw(t, "words"),
		from:       rapid.SampledFrom([]string{"outside", "dyed:=x"}).Draw(t, "from"),
		milligrams: rapid.Int64Range(1, 1<<53+1).Draw(t, "mg"), bytes: rapid.SliceOf(rapid.Byte()).Draw(t, "bytes"),
	}
}), 0, 30)

// live keeps a season in both workshops.
func live(tb testing.TB, db *store.DB, season []deed) {
	tb.Helper()
	for _, w := range []string{shore, hill} {
		must(tb, db.MakeWorkshop(tb.Context(), store.Workshop{ID: w, Name: "=Taller " + w}, noon))
		must(tb, db.PutAccount(tb.Context(), store.Account{ID: "a-" + w, Workshop: w, Login: "maru." + w, Name: "Maru", Secret: "hash"}))
		must(tb, db.PutKey(tb.Context(), "k-"+w, "a-"+w, store.CardKey, noon, noon))
		kept := map[string]int64{}
		for i, d := range season {
			act := store.Act{At: noon.Add(time.Duration(i) * time.Second), Who: "a-" + w, What: d.what}
			must(tb, db.Update(tb.Context(), w, act, func(tx *store.Tx) error { return d.do(tx, i, kept) }))
		}
	}
}

func (d deed) do(tx *store.Tx, i int, kept map[string]int64) (err error) {
	switch d.what {
	case "remove":
		if kept[d.id] > 0 {
			err = tx.Remove("thing", d.id, kept[d.id])
			delete(kept, d.id)
		}
		return err
	case "move":
		return errors.Join(tx.Move("lot", d.milligrams, d.from, "shelf"), tx.Move("lot", d.milligrams, "shelf", d.from))
	case "pay":
		return d.pay(tx, i)
	case "tell":
		_, err = tx.Tell(store.Message{Hook: "h", Event: "order.confirmed", Made: noon, Body: d.body})
		return errors.Join(err, tx.PutSecret(fmt.Sprint("h", i), store.Secret{Secret: d.sort, Former: d.words, Ends: noon}),
			tx.Give(store.Given{Account: "a", Key: fmt.Sprint("k", i), Digest: d.id, At: noon, Status: 201, Tag: `"1"`, Body: d.body}),
			tx.TakeTelling(store.Telling{Account: "a", Key: fmt.Sprint("t", i), Device: d.id, N: int64(i), Digest: d.id, At: noon, Said: d.words}))
	case "file":
		return tx.PutFile(fmt.Sprintf("laid.A/../%d", i), "image/png", d.bytes)
	}
	kept[d.id], err = tx.Put(store.Record{Kind: "thing", ID: d.id, Revision: kept[d.id], Body: d.body, Sort: d.sort, Words: d.words})
	return err
}

// pay books something, with a numbered paper; the numbers go without a gap.
func (d deed) pay(tx *store.Tx, i int) error {
	n, err := tx.NextNumber("R", 2031)
	if err != nil {
		return err
	}
	n.Kind, n.ID = "receipt", fmt.Sprint("r", i)
	minor := d.milligrams % 1_000_000
	_, err = tx.Post(store.Posting{Date: "2031-05-06", Text: d.body, Document: n.ID, Source: fmt.Sprint("s", i), Lines: []store.PostingLine{
		{Account: "liabilities:members", Currency: "USD", Minor: minor + 1, Item: d.words, Tags: map[string]string{"member": d.id, "season": "2031"}},
		{Account: "assets:cash", Currency: "USD", Minor: -minor - 1},
	}})
	return errors.Join(err, tx.KeepNumber(n))
}

// What goes from SQLite to PostgreSQL and back is the same, byte for byte, and so
// it is the other way round.
func TestExport_thereAndBack(t *testing.T) {
	for seed := range 8 {
		t.Run(fmt.Sprint(seed), func(t *testing.T) {
			addresses := []string{file(t), pgtest.Start(t), file(t)}
			if seed%2 == 1 {
				addresses = []string{pgtest.Start(t), file(t), pgtest.Start(t)}
			}
			o := archive.ExportOptions{Accounts: seed%4 > 1, Workshop: []string{"", hill, ""}[seed%3]}
			db := open(t, addresses[0])
			live(t, db, seasons.Example(seed))
			want := exported(t, db, o)
			for _, address := range addresses[1:] {
				db = open(t, address)
				zipped := filepath.Join(t.TempDir(), "x.zip")
				must(t, os.WriteFile(zipped, want, 0o600))
				_, err := archive.Import(t.Context(), db, zipped)
				must(t, err)
				if got := exported(t, db, o); !bytes.Equal(got, want) {
					t.Fatalf("exports differ (-before +after):\n%s", cmp.Diff(unzipped(t, want), unzipped(t, got)))
				}
				if faults, err := db.Verify(t.Context()); err != nil || len(faults) > 0 {
					t.Fatalf("verify: %v, %v", faults, err)
				}
			}
		})
	}
}

func exported(tb testing.TB, db *store.DB, o archive.ExportOptions) []byte {
	tb.Helper()
	name := filepath.Join(tb.TempDir(), "x.zip")
	_, err := archive.Export(context.Background(), db, name, o)
	must(tb, err)
	body, err := os.ReadFile(name)
	must(tb, err)
	return body
}

func unzipped(tb testing.TB, body []byte) map[string]string {
	tb.Helper()
	z, err := zip.NewReader(bytes.NewReader(body), int64(len(body)))
	must(tb, err)
	out := map[string]string{}
	for _, f := range z.File {
		r, err := f.Open()
		must(tb, err)
		text, err := io.ReadAll(r)
		must(tb, err)
		out[f.Name] = string(text)
	}
	return out
}

// settled is a database with one season, always the same.
func settled(tb testing.TB, address string) *store.DB {
	tb.Helper()
	db := open(tb, address)
	for _, w := range []string{shore, hill} {
		must(tb, db.MakeWorkshop(tb.Context(), store.Workshop{ID: w, Name: "=Taller " + w}, noon))
		must(tb, db.PutAccount(tb.Context(), store.Account{ID: "a-" + w, Workshop: w, Login: "maru." + w, Name: "Maru", Secret: "$argon2id$secret"}))
		must(tb, db.PutKey(tb.Context(), "hash-of-key-"+w, "a-"+w, store.CardKey, noon, noon))
		must(tb, db.Update(tb.Context(), w, store.Act{At: noon, Who: "a-" + w, What: "save"}, func(tx *store.Tx) error {
			_, err := tx.Put(store.Record{Kind: "order", ID: "o1", Body: `{"Note":"=cmd"}`})
			return errors.Join(err, tx.Move("red", 5000, "outside", "shelf"), tx.PutFile("f1", "image/png", []byte("\x89PNG")))
		}))
	}
	return db
}

// Secrets stay in the house unless they are asked for.
func TestExport_secrets(t *testing.T) {
	db := settled(t, file(t))
	for _, with := range []bool{false, true} {
		all := unzipped(t, exported(t, db, archive.ExportOptions{Accounts: with}))
		for name, text := range all {
			for _, secret := range []string{"argon2id$secret", "hash-of-key"} {
				if strings.Contains(text, secret) && !with {
					t.Errorf("%s holds %s", name, secret)
				}
			}
		}
		if got := strings.Contains(all["tables/accounts.jsonl"], "$argon2id$secret"); got != with {
			t.Errorf("with accounts %v: secrets %v", with, got)
		}
	}
}

// An export of one workshop has nothing of another.
func TestExport_oneWorkshop(t *testing.T) {
	db := settled(t, file(t))
	for name, text := range unzipped(t, exported(t, db, archive.ExportOptions{Workshop: hill, Accounts: true})) {
		if strings.Contains(text, shore) || strings.Contains(name, "shore") {
			t.Errorf("%s holds something of the other workshop:\n%s", name, text)
		}
	}
	_, err := archive.Export(t.Context(), db, filepath.Join(t.TempDir(), "x.zip"), archive.ExportOptions{Workshop: "w-none"})
	wantFaults(t, "an export of no workshop", err, "workshop-unknown")
}

// Every table and column has words in every language, and text that looks like a
// formula is none in the CSV.
func TestExport_readable(t *testing.T) {
	all := unzipped(t, exported(t, settled(t, file(t)), archive.ExportOptions{Accounts: true}))
	for _, name := range []string{"README.en.md", "README.es.md"} {
		if text := all[name]; len(text) < 2000 || regexp.MustCompile(`\[[a-z]+-`).MatchString(text) {
			t.Errorf("%s lacks words:\n%s", name, text)
		}
	}
	for _, table := range store.Tables {
		_, there := all["tables/"+table.Name+".jsonl"]
		if !there || !strings.HasPrefix(all["tables/"+table.Name+".csv"], table.Columns[0].Name+",") {
			t.Errorf("%s is not in the zip", table.Name)
		}
	}
	if !strings.Contains(all["tables/workshops.csv"], "'=Taller") {
		t.Errorf("a formula in the CSV:\n%s", all["tables/workshops.csv"])
	}
	if got := all["files/w-shore/f1.png"]; got != "\x89PNG" {
		t.Errorf("the picture: %q", got)
	}
}

func wantFaults(tb testing.TB, what string, err error, codes ...string) {
	tb.Helper()
	var fs archive.Faults
	if !errors.As(err, &fs) {
		tb.Errorf("%s: got %v, want faults %v", what, err, codes)
		return
	}
	var got []string
	for _, f := range fs {
		at := f.Code
		if f.Line > 0 {
			at = fmt.Sprintf("%s at %s:%d", f.Code, f.File, f.Line)
		}
		got = append(got, at)
	}
	if diff := cmp.Diff(codes, got); diff != "" {
		tb.Errorf("%s: faults (-want +got):\n%s\n%v", what, diff, fs)
	}
}
