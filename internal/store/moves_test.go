package store_test

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/internal/store"
)

func TestMoves(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		update(t, db, "buy", func(tx *store.Tx) error { return tx.Move("red", 500_000, "outside", "shelf") })
		update(t, db, "give", func(tx *store.Tx) error { return tx.Move("red", 120_001, "shelf", "weaver") })
		update(t, db, "buy", func(tx *store.Tx) error { return tx.Move("blue", 7, "outside", "shelf") })
		err := db.Update(t.Context(), shore, act("give"), func(tx *store.Tx) error { return tx.Move("red", 379_999+1, "shelf", "weaver") })
		var short *store.Short
		if !errors.As(err, &short) {
			t.Fatalf("move of more than there is: got %v, want a shortage", err)
		}
		if diff := cmp.Diff(store.Short{Place: "shelf", Lot: "red", Have: 379_999, Wanted: 380_000}, *short); diff != "" {
			t.Errorf("shortage (-want +got):\n%s", diff)
		}
		update(t, db, "give", func(tx *store.Tx) error { return tx.Move("red", 379_999, "shelf", "weaver") })

		view(t, db, shore, func(tx *store.Tx) error {
			for _, c := range []struct {
				place, lot string
				want       []store.Stock
			}{
				{"", "", []store.Stock{{"outside", "blue", -7}, {"outside", "red", -500_000}, {"shelf", "blue", 7}, {"weaver", "red", 500_000}}},
				{"shelf", "", []store.Stock{{"shelf", "blue", 7}}},
				{"", "red", []store.Stock{{"outside", "red", -500_000}, {"weaver", "red", 500_000}}},
				{"shelf", "red", nil},
			} {
				got, err := tx.Held(c.place, c.lot)
				if err != nil {
					return err
				}
				if diff := cmp.Diff(c.want, got); diff != "" {
					t.Errorf("held at %q of %q (-want +got):\n%s", c.place, c.lot, diff)
				}
			}
			for _, c := range []struct {
				lot, place string
				want       []int64
			}{
				{"", "", []int64{1, 2, 3, 4}},
				{"red", "", []int64{1, 2, 4}},
				{"", "weaver", []int64{2, 4}},
				{"red", "shelf", []int64{1, 2, 4}},
				{"blue", "weaver", nil},
			} {
				moves, err := tx.Moves(c.lot, c.place)
				if err != nil {
					return err
				}
				var got []int64
				for _, m := range moves {
					got = append(got, m.Seq)
				}
				if diff := cmp.Diff(c.want, got); diff != "" {
					t.Errorf("moves of %q at %q (-want +got):\n%s", c.lot, c.place, diff)
				}
			}
			all, err := tx.Moves("", "")
			want := store.Move{Seq: 2, At: noon, Who: "a-1", Act: "give", Lot: "red", Milligrams: 120_001, From: "shelf", To: "weaver"}
			if diff := cmp.Diff(want, all[1]); diff != "" {
				t.Errorf("move (-want +got):\n%s", diff)
			}
			return err
		})
		sound(t, db)
	})
}

func TestMovesThatAreNone(t *testing.T) {
	const most = 1<<63 - 1
	onBoth(t, func(t *testing.T, address string) {
		db := settle(t, address)
		update(t, db, "buy", func(tx *store.Tx) error { return tx.Move("red", most, "outside", "shelf") })
		for _, c := range []struct {
			name       string
			milligrams int64
			from, to   string
		}{
			{"nothing", 0, "outside", "shelf"},
			{"less than nothing", -1, "shelf", "outside"},
			{"to where it is", 1, "shelf", "shelf"},
			{"more than can be counted", 2, "outside", "shelf"},
		} {
			if err := db.Update(t.Context(), shore, act("x"), func(tx *store.Tx) error { return tx.Move("red", c.milligrams, c.from, c.to) }); err == nil {
				t.Errorf("%s: no error", c.name)
			}
		}
		view(t, db, shore, func(tx *store.Tx) error {
			got, err := tx.Held("", "")
			if diff := cmp.Diff([]store.Stock{{"outside", "red", -most}, {"shelf", "red", most}}, got); diff != "" {
				t.Errorf("stock (-want +got):\n%s", diff)
			}
			return err
		})
		sound(t, db)
	})
}

// Whatever is moved, what the places hold is what a ledger kept in the head says.
func TestStockIsTheSumOfMoves(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		db := open(t, address)
		run := 0
		rapid.Check(t, func(r *rapid.T) {
			run++
			ctx, workshop := context.Background(), fmt.Sprintf("w%d", run)
			if err := db.MakeWorkshop(ctx, store.Workshop{ID: workshop}, noon); err != nil {
				r.Fatal(err)
			}
			ledger := map[store.Stock]int64{}
			for range rapid.IntRange(1, 8).Draw(r, "acts") {
				scratch := maps.Clone(ledger)
				stop := errors.New("stop")
				err := db.Update(ctx, workshop, act("move"), func(tx *store.Tx) error { return moveAtRandom(r, tx, scratch, stop) })
				switch {
				case err == nil:
					ledger = scratch
				case !errors.Is(err, stop):
					r.Fatal(err)
				}
			}
			err := db.View(ctx, workshop, func(tx *store.Tx) error {
				var want []store.Stock
				for k, n := range ledger {
					if n != 0 {
						want = append(want, store.Stock{Place: k.Place, Lot: k.Lot, Milligrams: n})
					}
				}
				slices.SortFunc(want, func(a, b store.Stock) int { return strings.Compare(a.Place+"\x00"+a.Lot, b.Place+"\x00"+b.Lot) })
				got, err := tx.Held("", "")
				if diff := cmp.Diff(want, got); diff != "" {
					r.Errorf("stock (-want +got):\n%s", diff)
				}
				faults, err2 := tx.Check()
				if len(faults) > 0 {
					r.Errorf("check: %q", faults)
				}
				return errors.Join(err, err2)
			})
			if err != nil {
				r.Fatal(err)
			}
		})
	})
}

// moveAtRandom makes some moves in one act and in the ledger, goes on after a
// shortage, and sometimes gives the act up.
func moveAtRandom(r *rapid.T, tx *store.Tx, ledger map[store.Stock]int64, stop error) error {
	places := []string{"outside", "shelf", "weaver", "loom"}
	for range rapid.IntRange(1, 5).Draw(r, "moves") {
		lot := rapid.SampledFrom([]string{"red", "blue"}).Draw(r, "lot")
		from := rapid.SampledFrom(places).Draw(r, "from")
		to := rapid.SampledFrom(places).Filter(func(p string) bool { return p != from }).Draw(r, "to")
		n := rapid.Int64Range(1, 1000).Draw(r, "milligrams")
		have := ledger[store.Stock{Place: from, Lot: lot}]
		var short *store.Short
		switch err := tx.Move(lot, n, from, to); {
		case errors.As(err, &short):
			if want := (store.Short{Place: from, Lot: lot, Have: have, Wanted: n}); from == "outside" || have >= n || *short != want {
				r.Errorf("shortage: got %+v, the ledger has %d of %d", *short, have, n)
			}
			continue
		case err != nil:
			return err
		case from != "outside" && have < n:
			r.Errorf("moved %d from %s, which has %d", n, from, have)
		}
		ledger[store.Stock{Place: from, Lot: lot}] -= n
		ledger[store.Stock{Place: to, Lot: lot}] += n
	}
	if rapid.IntRange(0, 4).Draw(r, "stop") == 0 {
		return stop
	}
	return nil
}

func TestCheckFindsFaults(t *testing.T) {
	for _, c := range []struct {
		name string
		sql  []string
		want []string
	}{
		{"stock changed", []string{`UPDATE stock SET milligrams = milligrams + 1 WHERE place = 'shelf'`},
			[]string{"shelf holds 56 mg of red; its moves make 55"}},
		{"stock lost", []string{`DELETE FROM stock WHERE place = 'loom'`},
			[]string{"loom should hold 45 mg of red and has nothing"}},
		{"stock from nowhere", []string{`INSERT INTO stock VALUES ('w-shore', 'attic', 'red', 3)`},
			[]string{"attic holds 3 mg of red; its moves make 0"}},
		{"less than nothing", []string{`UPDATE moves SET milligrams = 99 WHERE seq = 2`, `UPDATE stock SET milligrams = -4 WHERE place = 'shelf'`,
			`UPDATE stock SET milligrams = 104 WHERE place = 'loom'`},
			[]string{"shelf holds less than nothing of red"}},
		{"move changed", []string{`UPDATE moves SET milligrams = 41 WHERE seq = 2`},
			[]string{"loom holds 45 mg of red; its moves make 46", "shelf holds 55 mg of red; its moves make 54"}},
		{"move and its stock lost", []string{`DELETE FROM moves WHERE seq = 2`, `UPDATE stock SET milligrams = 95 WHERE place = 'shelf'`,
			`UPDATE stock SET milligrams = 5 WHERE place = 'loom'`},
			[]string{"there are 2 moves; 3 were made"}},
		{"last move and its stock lost", []string{`DELETE FROM moves WHERE seq = 3`, `UPDATE stock SET milligrams = 60 WHERE place = 'shelf'`,
			`UPDATE stock SET milligrams = 40 WHERE place = 'loom'`},
			[]string{"there are 2 moves; 3 were made"}},
		{"entry lost", []string{`DELETE FROM history WHERE seq = 2`}, []string{"the history has 3 entries; 4 were written"}},
		{"last entry lost", []string{`DELETE FROM history WHERE seq = 4`}, []string{"the history has 3 entries; 4 were written"}},
		{"all stock lost", []string{`DELETE FROM stock`}, []string{"loom should hold 45 mg of red and has nothing",
			"outside should hold -100 mg of red and has nothing", "shelf should hold 55 mg of red and has nothing"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			onBoth(t, func(t *testing.T, address string) {
				db := settle(t, address)
				update(t, db, "fill", func(tx *store.Tx) error {
					for i := range 4 {
						if _, err := tx.Put(store.Record{Kind: "order", ID: fmt.Sprint(i)}); err != nil {
							return err
						}
					}
					return errors.Join(tx.Move("red", 100, "outside", "shelf"), tx.Move("red", 40, "shelf", "loom"), tx.Move("red", 5, "shelf", "loom"))
				})
				spoiled(t, db, address, c.sql, c.want)
			})
		})
	}
}

// spoiled changes sound books behind the store's back and says if Check does not
// find just these faults.
func spoiled(t *testing.T, db *store.DB, address string, sql, want []string) {
	t.Helper()
	sound(t, db)
	raw := rawFor(t, address, shore)
	for _, s := range sql {
		if n := raw.run(t, s); n == 0 {
			t.Fatalf("%s: changed nothing", s)
		}
	}
	view(t, db, shore, func(tx *store.Tx) error {
		got, err := tx.Check()
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("faults (-want +got):\n%s", diff)
		}
		return err
	})
}
