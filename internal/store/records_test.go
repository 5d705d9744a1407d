package store_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/internal/store"
)

func TestRecordIsKeptAsItWasPut(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		want := store.Record{
			Kind: "order", ID: "o1", Parent: "c1", State: "open", Sort: "2031-05-06\x1fo",
			Words: `manta ñandú 50% _ \`, Body: `{"note":"línea 1\nlínea 2 ' \" \\ 🧵"}`,
		}
		update(t, db, "order.save", func(tx *store.Tx) error {
			n, err := tx.Put(want)
			want.Revision = n
			return err
		})
		if want.Revision != 1 {
			t.Errorf("revision of a new record: got %d, want 1", want.Revision)
		}
		view(t, db, shore, func(tx *store.Tx) error {
			got, err := tx.Get("order", "o1")
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("record (-want +got):\n%s", diff)
			}
			if tx.Workshop() != shore {
				t.Errorf("workshop: got %q, want %q", tx.Workshop(), shore)
			}
			return err
		})
	})
}

func TestRecordErrors(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		first := store.Record{Kind: "order", ID: "o1", Body: "1"}
		update(t, db, "order.save", puts(first))
		for _, c := range []struct {
			name string
			f    func(tx *store.Tx) error
			want error
		}{
			{"get of what is not there", func(tx *store.Tx) error { _, err := tx.Get("order", "o2"); return err }, store.ErrNotFound},
			{"get of another kind", func(tx *store.Tx) error { _, err := tx.Get("cloth", "o1"); return err }, store.ErrNotFound},
			{"change of what is not there", puts(store.Record{Kind: "order", ID: "o2", Revision: 1}), store.ErrNotFound},
			{"removal of what is not there", func(tx *store.Tx) error { return tx.Remove("order", "o2", 1) }, store.ErrNotFound},
			{"new one of a name in use", puts(first), store.ErrExists},
			{"file that is not there", func(tx *store.Tx) error { _, _, err := tx.File("f"); return err }, store.ErrNotFound},
		} {
			t.Run(c.name, func(t *testing.T) {
				wants(t, db.Update(t.Context(), shore, act("x"), c.f), c.want)
			})
		}
		if got := len(history(t, db)); got != 1 {
			t.Errorf("entries after acts that failed: got %d, want the first alone", got)
		}
	})
}

// What failed leaves the rest of the act as it would be without it, so an act may
// try, see, and do something else.
func TestFailedStepLeavesNothing(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		update(t, db, "order.save", puts(store.Record{Kind: "order", ID: "o1", Body: "1"}))
		update(t, db, "try", func(tx *store.Tx) error {
			_, err := tx.Put(store.Record{Kind: "order", ID: "o1", Body: "2"})
			wants(t, err, store.ErrExists)
			var c *store.Conflict
			if _, err = tx.Put(store.Record{Kind: "order", ID: "o1", Revision: 7, Body: "2"}); !errors.As(err, &c) {
				t.Errorf("change at another revision: got %v, want a conflict", err)
			}
			wants(t, tx.Remove("order", "o9", 1), store.ErrNotFound)
			var short *store.Short
			if err = tx.Move("lot", 5, "shelf", "loom"); !errors.As(err, &short) {
				t.Errorf("move of what is not there: got %v, want a shortage", err)
			}
			if err = tx.PutFile("f", "text/plain", []byte("1")); err != nil {
				return err
			}
			wants(t, tx.PutFile("f", "text/plain", []byte("2")), store.ErrExists)
			_, err = tx.Put(store.Record{Kind: "order", ID: "o2", Body: "3"})
			return err
		})
		sound(t, db)
		view(t, db, shore, func(tx *store.Tx) error {
			for id, want := range map[string]string{"o1": "1", "o2": "3"} {
				if r, err := tx.Get("order", id); err != nil || r.Body != want || r.Revision != 1 {
					t.Errorf("%s: got %+v, %v, want body %s at revision 1", id, r, err, want)
				}
			}
			_, body, err := tx.File("f")
			if string(body) != "1" {
				t.Errorf("file: got %q, want that of the first", body)
			}
			return err
		})
	})
}

func TestListGivesEveryRecordOnce(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		// Sort words that a language would order otherwise than their bytes, that
		// are alike, and that hold the cursor's own separator.
		sorts := []string{"", "B", "a", "Z", "a-b", "ab", "a b", "ñ", "n", "o", "a\x1fz", "a\x1fb", "~", "_", "ab"}
		var want []string
		update(t, db, "fill", func(tx *store.Tx) error {
			for i, s := range sorts {
				for _, kind := range []string{"cloth", "order"} {
					if _, err := tx.Put(store.Record{Kind: kind, ID: fmt.Sprintf("r%02d", i), Sort: s, Body: "{}"}); err != nil {
						return err
					}
					want = append(want, s+"\x00"+fmt.Sprintf("r%02d", i)+"\x00"+kind)
				}
			}
			return nil
		})
		slices.Sort(want)
		for _, kind := range []string{"", "order"} {
			ofKind := slices.DeleteFunc(slices.Clone(want), func(s string) bool { return !strings.HasSuffix(s, kind) })
			for limit := range len(ofKind) + 2 {
				up := walk(t, db, store.Query{Kind: kind, Limit: limit})
				if diff := cmp.Diff(ofKind, up); diff != "" {
					t.Errorf("kind %q, %d at a time (-want +got):\n%s", kind, limit, diff)
				}
				down := walk(t, db, store.Query{Kind: kind, Limit: limit, Down: true})
				slices.Reverse(down)
				if diff := cmp.Diff(ofKind, down); diff != "" {
					t.Errorf("kind %q, %d at a time, last first (-want +got):\n%s", kind, limit, diff)
				}
			}
		}
	})
}

// walk goes through a list page by page.
func walk(tb testing.TB, db *store.DB, q store.Query) (got []string) {
	tb.Helper()
	for range 100 {
		var next string
		view(tb, db, shore, func(tx *store.Tx) error {
			found, on, err := tx.List(q)
			if q.Limit > 0 && len(found) > q.Limit {
				tb.Errorf("page of %d: got %d records", q.Limit, len(found))
			}
			for _, r := range found {
				got = append(got, r.Sort+"\x00"+r.ID+"\x00"+r.Kind)
			}
			next = on
			return err
		})
		if next == "" {
			return got
		}
		q.After = next
	}
	tb.Fatalf("the list has no end: %v", q)
	return nil
}

func TestQueryNarrows(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		update(t, db, "fill", func(tx *store.Tx) error {
			for _, r := range []store.Record{
				{Kind: "order", ID: "1", Parent: "c1", State: "open", Words: "faja roja 50%"},
				{Kind: "order", ID: "2", Parent: "c1", State: "woven", Words: "faja azul 50 hilos"},
				{Kind: "order", ID: "3", Parent: "c2", State: "open", Words: "manta azul a_b"},
				{Kind: "order", ID: "4", Parent: "c2", State: "paid", Words: `manta axb c\d`},
				{Kind: "cloth", ID: "5", Parent: "c1", State: "open", Words: "faja ñandú 'x'"},
			} {
				if _, err := tx.Put(r); err != nil {
					return err
				}
			}
			return nil
		})
		for _, c := range []struct {
			name string
			q    store.Query
			want string
		}{
			{"everything", store.Query{}, "12345"},
			{"kind", store.Query{Kind: "order"}, "1234"},
			{"parent", store.Query{Parent: "c1"}, "125"},
			{"one state", store.Query{Kind: "order", States: []string{"open"}}, "13"},
			{"states", store.Query{Kind: "order", States: []string{"woven", "paid"}}, "24"},
			{"state nothing has", store.Query{States: []string{"lost"}}, ""},
			{"word", store.Query{Words: []string{"faja"}}, "125"},
			{"part of a word", store.Query{Words: []string{"zu"}}, "23"},
			{"words, each", store.Query{Words: []string{"azul", "faja"}}, "2"},
			{"percent is itself", store.Query{Words: []string{"50%"}}, "1"},
			{"percent alone", store.Query{Words: []string{"%"}}, "1"},
			{"underline is itself", store.Query{Words: []string{"a_b"}}, "3"},
			{"backslash is itself", store.Query{Words: []string{`c\d`}}, "4"},
			{"backslash before percent", store.Query{Words: []string{`\%`}}, ""},
			{"quotation mark", store.Query{Words: []string{"'x'"}}, "5"},
			{"placeholder", store.Query{Words: []string{"?", "$1"}}, ""},
			{"letter beyond ASCII", store.Query{Words: []string{"ñandú"}}, "5"},
			{"all together", store.Query{Kind: "order", Parent: "c2", States: []string{"open", "paid"}, Words: []string{"manta", "b"}}, "34"},
		} {
			t.Run(c.name, func(t *testing.T) {
				view(t, db, shore, func(tx *store.Tx) error {
					found, next, err := tx.List(c.q)
					if err != nil {
						return err
					}
					got := ""
					for _, r := range found {
						got += r.ID
					}
					if got != c.want || next != "" {
						t.Errorf("list: got %s and cursor %q, want %s and none", got, next, c.want)
					}
					// Count does not mind where a page begins or ends.
					q := c.q
					q.Limit, q.After = 1, "\x1f"
					n, err := tx.Count(q)
					if n != len(c.want) {
						t.Errorf("count: got %d, want %d", n, len(c.want))
					}
					return err
				})
			})
		}
	})
}

func TestHistoryKeepsWhatWas(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		r := store.Record{Kind: "order", ID: "o1", Body: "first"}
		save := func(tx *store.Tx) (err error) { r.Revision, err = tx.Put(r); return err }
		update(t, db, "order.make", save)
		r.Body = "second"
		update(t, db, "order.save", save)
		update(t, db, "order.remove", func(tx *store.Tx) error { return tx.Remove("order", "o1", r.Revision) })
		view(t, db, shore, func(tx *store.Tx) error {
			_, err := tx.Get("order", "o1")
			wants(t, err, store.ErrNotFound)
			return nil
		})
		stale := r
		r = store.Record{Kind: "order", ID: "o1", Body: "third"}
		update(t, db, "order.again", save)

		want := []store.Entry{
			{Seq: 4, At: noon, Who: "a-1", Act: "order.again", Kind: "order", ID: "o1", Revision: 3},
			{Seq: 3, At: noon, Who: "a-1", Act: "order.remove", Kind: "order", ID: "o1", Before: "second"},
			{Seq: 2, At: noon, Who: "a-1", Act: "order.save", Kind: "order", ID: "o1", Revision: 2, Before: "first"},
			{Seq: 1, At: noon, Who: "a-1", Act: "order.make", Kind: "order", ID: "o1", Revision: 1},
		}
		if diff := cmp.Diff(want, history(t, db)); diff != "" {
			t.Errorf("history (-want +got):\n%s", diff)
		}
		update(t, db, "cloth.save", puts(store.Record{Kind: "cloth", ID: "o1"}))
		view(t, db, shore, func(tx *store.Tx) error {
			got, err := tx.History("order", "o1", 2)
			if diff := cmp.Diff(want[:2], got); diff != "" {
				t.Errorf("history of one record, two lines (-want +got):\n%s", diff)
			}
			return err
		})

		// Someone who read the record before it went and came again has not read
		// the one that is there now.
		for stale.Revision = 1; stale.Revision < 3; stale.Revision++ {
			var c *store.Conflict
			if err := db.Update(t.Context(), shore, act("order.save"), puts(stale)); !errors.As(err, &c) || c.Now.Body != "third" {
				t.Errorf("change of a record that went and came again, at revision %d: got %v, want a conflict", stale.Revision, err)
			}
		}
	})
}

func TestViewWritesNothing(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		err := db.View(t.Context(), shore, puts(store.Record{Kind: "order", ID: "o1"}))
		if err == nil {
			t.Error("a record put in a View: no error")
		}
		_ = db.View(t.Context(), shore, func(tx *store.Tx) error { _, err := tx.Next("order"); return err })
		view(t, db, shore, func(tx *store.Tx) error {
			if n, err := tx.Count(store.Query{}); n != 0 || err != nil {
				t.Errorf("records: got %d, %v, want none", n, err)
			}
			return nil
		})
		update(t, db, "x", func(tx *store.Tx) error {
			if n, err := tx.Next("order"); n != 1 || err != nil {
				t.Errorf("number after one given in a View: got %d, %v, want 1", n, err)
			}
			return nil
		})
	})
}
