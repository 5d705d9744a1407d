package books_test

import (
	"slices"
	"testing"

	"urdir/price"
	"urdir/price/books"
)

// Worked by hand: the members bring 1000.00; 300.00 of yarn is bought, of which 120.00
// is used; a sale of 500.00 is paid; 200.00 of pay is due, 150.00 of it paid.
//
//	cash 1000 - 300 + 500 - 150 = 1050; materials 180; together 1230
//	owed to members 50; savings 1000; result 500 - 120 - 200 = 180; together 1230
func TestStandings(t *testing.T) {
	line := func(account string, minor int64, item string) books.Line {
		return books.Line{Account: account, Amount: price.Money{Minor: minor, Currency: "USD"}, Item: item}
	}
	entries := []books.Entry{
		{Lines: []books.Line{line(books.Cash, 100000, ""), line(books.Savings, -100000, "")}},
		{Lines: []books.Line{line(books.MaterialStock, 30000, ""), line(books.Cash, -30000, "")}},
		{Lines: []books.Line{line(books.MaterialsUsed, 12000, ""), line(books.MaterialStock, -12000, "")}},
		{Lines: []books.Line{line(books.Cash, 50000, ""), line(books.Sales, -50000, "")}},
		{Lines: []books.Line{line(books.MembersPay, 20000, ""), line(books.Payable, -20000, "warp")}},
		{Lines: []books.Line{line(books.Payable, 15000, "warp"), line(books.Cash, -15000, "")}},
		{Lines: []books.Line{line(books.Bank, 700, ""), line(books.Bank, -700, "")}}, // holds nothing
		{Lines: []books.Line{{Account: books.Cash, Amount: price.Money{Minor: 5, Currency: "EUR"}}, {Account: books.Sales, Amount: price.Money{Minor: -5, Currency: "EUR"}}}},
	}
	if got := entries[4].Moved(); len(got) != 1 || got[0].Minor != 20000 {
		t.Errorf("an entry moves %v", got)
	}
	accounts, _ := books.Trial(slices.Values(entries))
	all := books.Standings(accounts, books.NewChart())
	i := slices.IndexFunc(all, func(s books.Standing) bool { return s.Currency == "USD" })
	if len(all) != 2 || i < 0 {
		t.Fatalf("got %+v", all)
	}
	s := all[i]
	if s.Assets != 123000 || s.Liabilities != 5000 || s.Equity != 100000 || s.Result != 18000 || s.Assets != s.Sources() {
		t.Errorf("got %+v", s)
	}
	if len(s.Has) != 2 || s.Has[0].Account != books.Cash || s.Has[0].Sum().Minor != 105000 || s.Has[1].Sum().Minor != 18000 {
		t.Errorf("has %+v", s.Has)
	}
	if len(s.Owes) != 1 || s.Owes[0].Sum().Minor != 5000 || len(s.Own) != 1 || s.Own[0].Sum().Minor != 100000 {
		t.Errorf("owes %+v, own %+v", s.Owes, s.Own)
	}
	if len(s.Earned) != 1 || s.Earned[0].Sum().Minor != 50000 || len(s.Spent) != 2 || s.Spent[0].Sum().Minor != 12000 || s.Spent[1].Sum().Minor != 20000 {
		t.Errorf("earned %+v, spent %+v", s.Earned, s.Spent)
	}
	if e := all[1-i]; e.Assets != 5 || e.Result != 5 {
		t.Errorf("euros: %+v", e)
	}
}
