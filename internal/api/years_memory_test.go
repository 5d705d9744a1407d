package api_test

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"urdir/internal/workshop"
	"urdir/price/books"
)

// memory is what the people of a workshop remember of it, reckoned by themselves from
// what they were told was done.
type memory struct {
	shelf   map[string]int64        // milligrams by lot
	owed    map[string]int64        // pay by member, in minor units
	lent    map[string]int64        // of advances
	numbers map[string]map[int]bool // that were seen, by series
}

func newMemory() *memory {
	return &memory{map[string]int64{}, map[string]int64{}, map[string]int64{}, map[string]map[int]bool{}}
}

func mg(grams float64) int64 { return int64(grams*1000 + 0.5) }

// number remembers a number: 17 of orders, or F-2031-0003.
func (m *memory) number(series, text string) {
	if i := strings.LastIndex(text, "-"); i >= 0 {
		series, text = text[:i], text[i+1:]
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		panic(err)
	}
	if m.numbers[series] == nil {
		m.numbers[series] = map[int]bool{}
	}
	m.numbers[series][n] = true
}

// dusk ends a day: everything must be as it should be, and as it is remembered.
func (y *years) dusk() {
	y.Helper()
	for _, p := range must(y.house.AuditBooks(y.Context(), y.head)) {
		y.Errorf("books: %v", p)
	}
	for _, f := range must(y.house.CheckBooks(y.Context(), y.head)) {
		y.Error("kept:", f)
	}
	y.onceEach()
	y.payRight()
	y.stockRight()
	for series, seen := range y.numbers {
		if last := slices.Max(slices.Collect(maps.Keys(seen))); last != len(seen) {
			y.Errorf("%s has %d numbers up to %d", series, len(seen), last)
		}
	}
	if y.day%7 == 6 {
		y.examined()
	}
	if y.Failed() {
		y.FailNow()
	}
}

// onceEach holds the day's acknowledged changes against its history, which the API
// gives in parts of two hundred only and is read from the house: each is there once.
func (y *years) onceEach() {
	y.Helper()
	deeds := must(y.house.History(y.Context(), y.head, "", "", 3*len(y.acks)+500))
	had := map[ack]int{}
	day := y.now.Format("2006-01-02")
	n := 0
	for _, d := range deeds {
		if d.At.Format("2006-01-02") != day {
			break
		}
		n++
		had[ack{d.Act, d.ID, d.Revision}]++
	}
	if n == len(deeds) && y.day > 0 {
		y.Fatal("the day's history is longer than was asked for")
	}
	for _, a := range y.acks {
		if had[a] != 1 {
			y.Errorf("%+v was acknowledged, and is in the history %d times", a, had[a])
		}
	}
	y.counts["acknowledged and found once"] += len(y.acks)
	y.acks = y.acks[:0]
	y.last += n
}

// payRight holds what members are owed by their statements, by the accounts, and as
// it is remembered, against each other. Accounts are read from the house.
func (y *years) payRight() {
	y.Helper()
	said, lent := map[string]int64{}, int64(0)
	for _, v := range y.timed(keeper, "GET", "/pay/"+y.now.Format("2006-01"), nil).at("items").([]any) {
		s := v.(object)
		said[s["member"].(string)] = minor(s["due"]) + minor(s["withheld"])
		lent += minor(s["owed"])
	}
	sum := func(of map[string]int64) (n int64) {
		for _, v := range of {
			n += v
		}
		return n
	}
	for _, m := range y.members {
		if said[m] != y.owed[m] {
			y.Errorf("%s is owed %d by her statement, and %d by what was agreed and paid", m, said[m], y.owed[m])
		}
	}
	booked := map[string]int64{}
	for _, b := range must(y.house.Books(y.Context(), y.head, "")).Accounts {
		booked[b.Account] += b.Debit - b.Credit
	}
	if booked[books.Payable] != -sum(said) {
		y.Errorf("the accounts owe %d, statements %d", -booked[books.Payable], sum(said))
	}
	if booked[books.Advances] != sum(y.lent) || lent != sum(y.lent) {
		y.Errorf("lent: accounts %d, statements %d, remembered %d", booked[books.Advances], lent, sum(y.lent))
	}
}

// minor is an amount of the API in minor units; none is nothing.
func minor(money any) int64 {
	o, _ := money.(object)
	n, _ := o["minor"].(float64)
	return int64(n)
}

// stockRight holds what lies on the shelf against what is remembered.
func (y *years) stockRight() {
	y.Helper()
	seen := 0
	for _, l := range y.all(dyer, "/yarn?limit=200") {
		id := l["id"].(string)
		if got := mg(l["shelf_g"].(float64)); got != y.shelf[id] {
			y.Errorf("lot %s has %d mg on the shelf, remembered %d", id, got, y.shelf[id])
		}
		if _, known := y.shelf[id]; known {
			seen++
		}
	}
	if seen != len(y.shelf) {
		y.Errorf("%d lots of %d are there", seen, len(y.shelf))
	}
}

// all reads a list to its end.
func (y *years) all(as workshop.Role, path string) (out []object) {
	y.Helper()
	for path != "" {
		a := y.timed(as, "GET", path, nil)
		for _, v := range a.at("items").([]any) {
			out = append(out, v.(object))
		}
		path, _, _ = strings.Cut(strings.TrimPrefix(a.header.Get("Link"), "</api/v1"), ">")
	}
	return out
}

// examined looks at everything as a doctor does, which the API does not.
func (y *years) examined() {
	y.Helper()
	y.counts["examinations"]++
	x := must(y.house.Examine(y.Context(), y.head.Workshop))
	for _, f := range slices.Concat(x.Stock, x.Books, x.Numbers, x.History) {
		y.Error("examined:", f)
	}
	for _, p := range slices.Concat(x.Agreement, x.Plans) {
		y.Errorf("examined: %v", p)
	}
	y.counts["plans reckoned again and found the same"] += x.Frozen
	if !x.Last.Equal(y.clock.now()) && x.Last.After(y.clock.now()) {
		y.Error(fmt.Sprint("the last act is of ", x.Last))
	}
}
