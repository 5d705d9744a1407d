package store_test

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"urdir/internal/store"
)

// A list asks for one thing of the store. Whole says that it is for all that a
// workshop has, and so may read all of it; no list may read all that a database has.
type list struct {
	of    string // method of Tx
	whole bool
	ask   func(*store.Tx) error
}

// lists is everything a Tx reads.
var lists = []list{
	{"Get", false, func(tx *store.Tx) error { _, err := tx.Get("order", "r7"); return none(err) }},
	{"List", false, listing(store.Query{Kind: "order", Limit: 50})},
	{"List", false, listing(store.Query{Kind: "order", Limit: 50, Down: true})},
	{"List", false, listing(store.Query{Kind: "order", States: []string{"s1"}, Limit: 50})},
	{"List", false, listing(store.Query{Kind: "order", Parent: "p7"})},
	{"List", true, listing(store.Query{Kind: "order", Words: []string{"seven"}, Limit: 50})}, // reads the kind's words
	{"List", false, listing(store.Query{Kind: "order", After: "order\x1fr900\x1f00000900", Limit: 50})},
	{"Count", false, func(tx *store.Tx) error {
		_, err := tx.Count(store.Query{Kind: "order", States: []string{"s1"}})
		return err
	}},
	{"History", false, func(tx *store.Tx) error { _, err := tx.History("order", "r7", 0); return err }},
	{"History", false, func(tx *store.Tx) error { _, err := tx.History("", "", 50); return err }},
	{"LastAct", true, func(tx *store.Tx) error { _, err := tx.LastAct(); return err }},
	{"Mark", false, func(tx *store.Tx) error { _, err := tx.Mark(); return err }},
	{"HeldOf", false, func(tx *store.Tx) error { _, err := tx.HeldOf("piece:", "l7", "l8", "l9"); return err }},
	{"Held", false, func(tx *store.Tx) error { _, err := tx.Held("b7", ""); return err }},
	{"Moves", false, func(tx *store.Tx) error { _, err := tx.Moves("l7", ""); return err }},
	{"Moves", false, func(tx *store.Tx) error { _, err := tx.Moves("", "b7"); return err }},
	{"Posting", false, func(tx *store.Tx) error { _, err := tx.Posting(7); return none(err) }},
	{"Postings", false, posted(store.PostingQuery{Limit: 50})},
	{"Postings", false, posted(store.PostingQuery{Limit: 50, Down: true})},
	{"Postings", false, posted(store.PostingQuery{Account: "a7", Limit: 50, Down: true})},
	{"Postings", false, posted(store.PostingQuery{Document: "d7"})},
	{"EachPosting", true, func(tx *store.Tx) error { return tx.EachPosting(func(store.Posting) error { return nil }) }},
	{"Undone", false, func(tx *store.Tx) error { _, err := tx.Undone(7); return err }},
	{"PostedFor", false, func(tx *store.Tx) error { _, err := tx.PostedFor("f7", false); return err }},
	{"PostedFor", false, func(tx *store.Tx) error { _, err := tx.PostedFor("f7", true); return err }},
	{"Settled", false, func(tx *store.Tx) error { _, err := tx.Settled("s7"); return err }},
	{"Closings", false, func(tx *store.Tx) error { _, err := tx.Closings(); return err }},
	{"Sums", false, func(tx *store.Tx) error { _, err := tx.Sums("", "a7", "", "", ""); return err }},
	{"SumsOf", false, func(tx *store.Tx) error { _, err := tx.SumsOf("lot", "a7", "l7", "l8", "l9"); return err }},
	{"OpenItems", false, func(tx *store.Tx) error { _, err := tx.OpenItems("a7", ""); return err }},
	{"ItemUntil", false, func(tx *store.Tx) error {
		_, err := tx.ItemUntil(store.Item{Account: "a7", Item: "i7"}, "2031")
		return err
	}},
	{"Numbers", true, func(tx *store.Tx) error { _, err := tx.Numbers(); return err }},
	{"File", false, func(tx *store.Tx) error { _, _, err := tx.File("x"); return none(err) }},
	{"Secret", false, func(tx *store.Tx) error { _, err := tx.Secret("x"); return none(err) }},
	{"Given", false, func(tx *store.Tx) error { _, err := tx.Given("a", "k"); return none(err) }},
	{"Telling", false, func(tx *store.Tx) error { _, err := tx.Telling("a", "k"); return none(err) }},
	{"LastTelling", false, func(tx *store.Tx) error { _, err := tx.LastTelling("a", "d"); return err }},
	{"FirstMessages", false, func(tx *store.Tx) error { _, err := tx.FirstMessages(); return err }},
	{"Messages", false, func(tx *store.Tx) error { _, err := tx.Messages("h7", 0, 50); return err }},
	{"Check", true, func(tx *store.Tx) error { _, err := tx.Check(); return err }},
	{"Examine", true, func(tx *store.Tx) error { _, err := tx.Examine(); return err }},
	{"Gaps", true, func(tx *store.Tx) error { _, err := tx.Gaps(); return err }},
}

// noLists are the methods of Tx that write, or ask the database nothing.
var noLists = []string{"Context", "DropFile", "DropGiven", "DropMessages", "DropTellings", "DropTellingsOf", "Give", "Jot", "KeepNumber", "Move", "Next", "NextNumber", "Post", "Put", "PutFile",
	"PutSecret", "Redact", "Remove", "SetMessage", "TakeChanged", "TakeTelling", "Tell", "Told", "Workshop"}

func listing(q store.Query) func(*store.Tx) error {
	return func(tx *store.Tx) error { _, _, err := tx.List(q); return err }
}

func posted(q store.PostingQuery) func(*store.Tx) error {
	return func(tx *store.Tx) error { _, _, err := tx.Postings(q); return err }
}

// none takes it that nothing is there: the question was asked.
func none(err error) error {
	if errors.Is(err, store.ErrNotFound) {
		return nil
	}
	return err
}

func TestLists_all(t *testing.T) {
	tx := reflect.TypeFor[*store.Tx]()
	for m := range tx.Methods() {
		name := m.Name
		if walked := slices.ContainsFunc(lists, func(l list) bool { return l.of == name }); walked == slices.Contains(noLists, name) {
			t.Errorf("Tx.%s: it must be among the lists whose plans are looked at, or among what reads nothing", name)
		}
	}
}

// No list reads a table from end to end, nor all of a workshop for a part of it, nor
// sorts what an index has in order.
func TestLists_plans(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db, s := spied(t, address)
		plain := open(t, address).Pools()[0]
		for i := range 8 {
			id := fmt.Sprint("w", i)
			must(t, db.MakeWorkshop(t.Context(), store.Workshop{ID: id, Name: id}, noon))
			crowded(t, plain, store.IsPostgres(address), id)
		}
		if store.IsPostgres(address) {
			_, err := plain.Exec("ANALYZE")
			must(t, err)
		}
		for _, l := range lists {
			s.take()
			must(t, db.View(t.Context(), "w3", l.ask))
			for _, a := range s.take() {
				part := !l.whole
				limited := part && strings.Contains(a.query, "LIMIT")
				for _, line := range explained(t, plain, store.IsPostgres(address), a) {
					if why := badPlan(line, part, limited); why != "" {
						t.Errorf("%s: %s: %s\n%s", l.of, why, line, a.query)
					}
				}
			}
		}
	})
}

var (
	readsAll    = regexp.MustCompile(`(^SCAN|Seq Scan on) (records|history|moves|stock|entries|lines|sums|items|numbers|messages)\b`)
	readsWhole  = regexp.MustCompile(`^SEARCH (records|history|moves|stock|entries|lines|sums|items|messages) USING (COVERING )?(INDEX|PRIMARY KEY) ?\w* \(workshop=\?\)$`)
	sortsAnyway = regexp.MustCompile(`TEMP B-TREE FOR ORDER BY`)
	inOrder     = regexp.MustCompile(`USING (COVERING )?INDEX (sqlite_autoindex_history_1|entries_date|entries_closes|sqlite_autoindex_entries_1)`)
)

// badPlan says what is wrong with a step of a plan, of a list that is for a part of
// the workshop, or that stops at a limit. A step in an index whose order the list
// has stops there too.
func badPlan(line string, part, limited bool) string {
	switch {
	case readsAll.MatchString(line):
		return "reads all that the database has"
	case part && readsWhole.MatchString(line) && !inOrder.MatchString(line):
		return "reads all that the workshop has"
	case limited && sortsAnyway.MatchString(line):
		return "sorts"
	}
	return ""
}

// explained gives the steps of a statement's plan.
func explained(tb testing.TB, pool *sql.DB, postgres bool, a asked) (steps []string) {
	tb.Helper()
	tx, err := pool.BeginTx(context.Background(), nil)
	must(tb, err)
	defer func() { _ = tx.Rollback() }() // nothing was written
	query, columns := "EXPLAIN QUERY PLAN "+a.query, 4
	if postgres {
		query, columns = "EXPLAIN "+a.query, 1
		_, err = tx.Exec(`SELECT set_config('urdir.workshop', 'w3', true)`)
		must(tb, err)
	}
	rows, err := tx.Query(query, a.args...)
	must(tb, err)
	defer func() { must(tb, rows.Close()) }()
	for rows.Next() {
		step := ""
		into := []any{new(any), new(any), new(any), &step}[4-columns:]
		must(tb, rows.Scan(into...))
		steps = append(steps, strings.TrimSpace(step))
	}
	must(tb, rows.Err())
	return steps
}

// crowded gives a workshop some thousands of rows of each kind, as they come from a
// pattern: for plans only how many there are matters.
func crowded(tb testing.TB, pool *sql.DB, postgres bool, workshop string) {
	tb.Helper()
	tx, err := pool.BeginTx(context.Background(), nil)
	must(tb, err)
	defer func() { _ = tx.Rollback() }() // after Commit it does nothing
	if postgres {
		_, err = tx.Exec(`SELECT set_config('urdir.workshop', $1, true)`, workshop)
		must(tb, err)
	}
	at := noon.UTC().Format(time.RFC3339)
	for _, insert := range []string{
		`records SELECT '@', CASE i % 3 WHEN 0 THEN 'order' WHEN 1 THEN 'piece' ELSE 'job' END, 'r' || i, 1, 'p' || i / 9, 's' || i % 7, substr('0000000' || i, -8), 'word seven' || i % 70, '{}' FROM n`,
		`history SELECT '@', i, '` + at + `', 'a', 'x', 'order', 'r' || i / 3, 1, '{}' FROM n`,
		`moves SELECT '@', i, '` + at + `', 'a', 'x', 'l' || i % 90, 1, 'shelf', 'b' || i FROM n`,
		`stock SELECT '@', 'b' || i, 'l' || i % 90, 1 FROM n`,
		`entries SELECT '@', i, '` + at + `', 'a', 'x', '2031-01-' || i % 28, '', CASE i % 9 WHEN 0 THEN 'd' || i ELSE '' END, 'f' || i, CASE i % 9 WHEN 1 THEN 's' || i ELSE '' END, CASE i % 50 WHEN 2 THEN i - 1 ELSE 0 END, CASE i WHEN 900 THEN '2030' ELSE '' END FROM n`,
		`lines SELECT '@', i, 1, '2031-01-' || i % 28, 'a' || i % 40, 'USD', 1, CASE i % 4 WHEN 0 THEN 'i' || i ELSE '' END, '' FROM n`,
		`sums SELECT '@', '', 'a' || i % 40, '', 'USD', '2031-' || i, 1, 0 FROM n`,
		`items SELECT '@', 'a' || i % 40, 'i' || i, 'USD', i % 2 FROM n`,
		`numbers SELECT '@', 'F', 2031, i, 'paper', 'x' || i, '` + at + `' FROM n`,
		`messages SELECT '@', i, 'h' || i % 40, 'e', '', CASE i % 40 WHEN 0 THEN 'waiting' ELSE 'sent' END, 1, '', '', 0, '', '' FROM n`,
	} {
		if postgres {
			insert = strings.ReplaceAll(insert, "substr('0000000' || i, -8)", "lpad(i::text, 8, '0')")
		}
		table, rest, _ := strings.Cut(strings.ReplaceAll(insert, "@", workshop), " ")
		_, err := tx.Exec("INSERT INTO " + table + " WITH RECURSIVE n(i) AS (SELECT 1 UNION ALL SELECT i + 1 FROM n WHERE i < 3000) " + rest)
		must(tb, err)
	}
	must(tb, tx.Commit())
}
