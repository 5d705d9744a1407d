package store_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/internal/store"
)

// posting is an entry of two lines.
func posting(date string, minor int64, from, to string) store.Posting {
	return store.Posting{Date: date, Text: to, Lines: []store.PostingLine{{Account: to, Currency: "USD", Minor: minor}, {Account: from, Currency: "USD", Minor: -minor}}}
}

func posts(es ...store.Posting) func(*store.Tx) error {
	return func(tx *store.Tx) error {
		for _, e := range es {
			if _, err := tx.Post(e); err != nil {
				return err
			}
		}
		return nil
	}
}

// By hand: two sales of a season, one of them undone, and a closing.
func TestPost(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		sale := posting("2031-05-03", 18000, "income:sales", "assets:customers")
		sale.Source, sale.Settles, sale.Document = "invoice:i1", "order o1", "F-2031-0001"
		sale.Lines[0].Item, sale.Lines[1].Tags = "o1", map[string]string{"season": "2031", "product": "faja ñ"}
		update(t, db, "sell", posts(posting("2031-05-01", 500, "equity:savings", "assets:cash"), sale, posting("2031-05-04", 700, "income:sales", "assets:cash")))
		back := posting("2031-05-09", -18000, "income:sales", "assets:customers")
		back.Source, back.Settles, back.Reverses = sale.Source, sale.Settles, 2
		back.Lines[0].Item, back.Lines[1].Tags = "o1", sale.Lines[1].Tags
		closing := posting("2031-05-31", 700, "equity:savings", "income:sales")
		closing.Closes = "2031-05"

		view(t, db, shore, func(tx *store.Tx) error {
			settled, err := tx.Settled("order o1")
			open, err2 := tx.OpenItems("", "")
			found, err3 := tx.PostedFor("invoice:", true)
			if !settled || len(found) != 1 || found[0].Seq != 2 {
				t.Errorf("settled %v, posted for the invoice: %+v", settled, found)
			}
			if diff := cmp.Diff([]store.Item{{Account: "assets:customers", Item: "o1", Currency: "USD", Minor: 18000}}, open); diff != "" {
				t.Errorf("open (-want +got):\n%s", diff)
			}
			return errors.Join(err, err2, err3)
		})
		update(t, db, "undo", posts(back, closing))
		wants(t, db.Update(t.Context(), shore, act("undo"), posts(back)), store.ErrExists)
		view(t, db, shore, func(tx *store.Tx) error {
			settled, err := tx.Settled("order o1")
			undone, err2 := tx.Undone(2)
			found, err3 := tx.PostedFor("invoice:i1", false)
			closed, err4 := tx.Closings()
			if settled || undone != 4 || len(found) != 0 || len(closed) != 1 || closed[0].Date != "2031-05-31" {
				t.Errorf("after undoing: settled %v, undone by %d, posted %v, closings %+v", settled, undone, found, closed)
			}
			open, err5 := tx.OpenItems("", "")
			then, err6 := tx.ItemUntil(store.Item{Account: "assets:customers", Item: "o1", Currency: "USD"}, "2031-05-08")
			if len(open) != 0 || then != 18000 {
				t.Errorf("open now: %v, on the 8th: %d", open, then)
			}
			for _, c := range []struct {
				tag, account, value, from, to string
				want                          []store.Sum
			}{
				{"", "income:sales", "", "", "2031-05-08", []store.Sum{{"income:sales", "", "USD", 0, 18700}}},
				{"", "income:sales", "", "", "", []store.Sum{{"income:sales", "", "USD", 18700, 18700}}},
				{"", "assets:cash", "", "2031-05-02", "2031-05-04", []store.Sum{{"assets:cash", "", "USD", 700, 0}}},
				{"season", "", "", "", "2031-05-05", []store.Sum{{"income:sales", "2031", "USD", 0, 18000}}},
				{"season", "", "2030", "", "", nil},
				{store.ClosingTag, "", "", "", "", []store.Sum{{"equity:savings", "2031-05", "USD", 0, 700}, {"income:sales", "2031-05", "USD", 700, 0}}},
			} {
				got, broken := tx.Sums(c.tag, c.account, c.value, c.from, c.to)
				if diff := cmp.Diff(c.want, got); diff != "" || broken != nil {
					t.Errorf("sums by %q of %q: %v (-want +got):\n%s", c.tag, c.account, broken, diff)
				}
			}
			got, err7 := tx.Posting(2)
			want := sale
			want.Seq, want.At, want.Who, want.Act = 2, noon, "a-1", "sell"
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("entry (-want +got):\n%s", diff)
			}
			_, none := tx.Posting(99)
			wants(t, none, store.ErrNotFound)
			return errors.Join(err, err2, err3, err4, err5, err6, err7)
		})
		err := db.Update(t.Context(), shore, act("post"), func(tx *store.Tx) error {
			_, unkept := tx.Post(store.Posting{Date: "2031-05-10", Lines: []store.PostingLine{{Account: "assets:cash", Currency: "USD", Minor: 1}, {Account: "income:sales", Currency: "EUR", Minor: -1}}})
			return unkept
		})
		if err == nil {
			t.Error("an entry that does not balance was kept")
		}
		sound(t, db)
	})
}

// Whatever is posted, every page of a list is a part of the whole, in order.
func TestPostings_pages(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := open(t, address)
		run := 0
		rapid.Check(t, func(r *rapid.T) {
			run++
			ctx, workshop := context.Background(), fmt.Sprintf("w%d", run)
			must(t, db.MakeWorkshop(ctx, store.Workshop{ID: workshop}, noon))
			accounts := []string{"a", "b", "c"}
			var all []store.Posting
			must(t, db.Update(ctx, workshop, act("post"), func(tx *store.Tx) error {
				for range rapid.IntRange(0, 20).Draw(r, "entries") {
					e := posting(fmt.Sprintf("2031-05-%02d", rapid.IntRange(1, 9).Draw(r, "day")), 1, rapid.SampledFrom(accounts).Draw(r, "from"), rapid.SampledFrom(accounts).Draw(r, "to"))
					seq, err := tx.Post(e)
					if err != nil {
						return err
					}
					e.Seq = seq
					all = append(all, e)
				}
				return nil
			}))
			q := store.PostingQuery{Account: rapid.SampledFrom(append(accounts, "")).Draw(r, "account"), Limit: rapid.IntRange(1, 5).Draw(r, "limit"), Down: rapid.Bool().Draw(r, "down"),
				From: rapid.SampledFrom([]string{"", "2031-05-03"}).Draw(r, "since"), To: rapid.SampledFrom([]string{"", "2031-05-07"}).Draw(r, "until")}
			var want, got []int64
			slices.SortStableFunc(all, func(a, b store.Posting) int { return compareDates(a, b, q.Down) })
			for _, e := range all {
				in := q.Account == "" || e.Lines[0].Account == q.Account || e.Lines[1].Account == q.Account
				if in && e.Date >= q.From && (q.To == "" || e.Date <= q.To) {
					want = append(want, e.Seq)
				}
			}
			must(t, db.View(ctx, workshop, func(tx *store.Tx) error {
				for {
					page, next, err := tx.Postings(q)
					for _, e := range page {
						got = append(got, e.Seq)
						if len(e.Lines) != 2 {
							r.Fatalf("entry %d has %d lines", e.Seq, len(e.Lines))
						}
					}
					if q.After = next; next == "" || err != nil {
						return err
					}
				}
			}))
			if !slices.Equal(got, want) {
				r.Fatalf("%+v: got %v, want %v", q, got, want)
			}
		})
	})
}

func compareDates(a, b store.Posting, down bool) int {
	if down {
		a, b = b, a
	}
	if a.Date != b.Date {
		return map[bool]int{true: -1, false: 1}[a.Date < b.Date]
	}
	return int(a.Seq - b.Seq)
}

// A number that was asked for in a transaction that failed is given out again.
func TestNumbers_haveNoGaps(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		stop := errors.New("stop")
		give := func(year int, then error) error {
			return db.Update(t.Context(), shore, act("number"), func(tx *store.Tx) error {
				n, err := tx.NextNumber("F", year)
				n.Kind, n.ID = "invoice", fmt.Sprintf("%d-%d", year, n.N)
				return errors.Join(err, tx.KeepNumber(n), then)
			})
		}
		must(t, give(2031, nil))
		wants(t, give(2031, stop), stop)
		must(t, give(2032, nil))
		must(t, give(2031, nil))
		view(t, db, shore, func(tx *store.Tx) error {
			got, err := tx.Numbers()
			want := []store.Number{{"F", 2031, 1, "invoice", "2031-1"}, {"F", 2031, 2, "invoice", "2031-2"}, {"F", 2032, 1, "invoice", "2032-1"}}
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("numbers (-want +got):\n%s", diff)
			}
			return err
		})
		sound(t, db)
	})
}

func TestCheckFindsFaultsOfMoney(t *testing.T) {
	for _, c := range []struct {
		name string
		sql  []string
		want []string
	}{
		{"sum changed", []string{`UPDATE sums SET debit = debit + 1 WHERE account = 'assets:cash'`},
			[]string{"\"\\x1fassets:cash\\x1f2031-05-01\" : sums of 501 and 0 USD are kept; the lines make 500 and 0"}},
		{"sum lost", []string{`DELETE FROM sums WHERE tag = 'season'`},
			[]string{"\"season\\x1fequity:savings\\x1f2031-05-01\" 2031: no sums are kept; the lines make 0 and 500 USD"}},
		{"item changed", []string{`UPDATE items SET minor = 7`},
			[]string{"item o1 of equity:savings: 7 USD are open by its total, -500 by its lines"}},
		{"item lost", []string{`DELETE FROM items`},
			[]string{"item o1 of equity:savings: no total is kept; the lines make -500 USD"}},
		{"line changed", []string{`UPDATE lines SET minor = 499 WHERE entry = 1 AND n = 1`},
			[]string{"\"\\x1fassets:cash\\x1f2031-05-01\" : sums of 500 and 0 USD are kept; the lines make 499 and 0", "entry 1 is off by -1 USD"}},
		{"last entry lost", []string{`DELETE FROM entries WHERE seq = 2`, `DELETE FROM lines WHERE entry = 2`, `DELETE FROM sums WHERE date = '2031-05-02'`},
			[]string{"the books have 1 entries; 2 were written"}},
		{"first entry lost", []string{`DELETE FROM entries WHERE seq = 1`, `DELETE FROM lines WHERE entry = 1`, `DELETE FROM sums WHERE date = '2031-05-01'`, `DELETE FROM items`},
			[]string{"the books have 1 entries; 2 were written", "entry 2 stands where entry 1 should"}},
		{"number lost", []string{`DELETE FROM numbers WHERE n = 1`}, []string{"F-2031-0002 stands where 0001 should"}},
		{"last number lost", []string{`DELETE FROM numbers WHERE n = 2`}, []string{"number.F.2031: the last is 1; 2 were given out"}},
		{"number from nowhere", []string{`INSERT INTO numbers VALUES ('w-shore', 'R', 2031, 1, 'receipt', 'r', '')`},
			[]string{"number.R.2031: nothing says how many were given out"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			onBoth(t, func(t *testing.T, address string) {
				db := settle(t, address)
				first := posting("2031-05-01", 500, "equity:savings", "assets:cash")
				first.Lines[1].Item, first.Lines[1].Tags = "o1", map[string]string{"season": "2031"}
				update(t, db, "fill", func(tx *store.Tx) error {
					for range 2 {
						n, err := tx.NextNumber("F", 2031)
						n.Kind, n.ID = "invoice", fmt.Sprint(n.N)
						if err = errors.Join(err, tx.KeepNumber(n)); err != nil {
							return err
						}
					}
					return posts(first, posting("2031-05-02", 3, "equity:savings", "assets:bank"))(tx)
				})
				spoiled(t, db, address, c.sql, c.want)
			})
		})
	}
}
