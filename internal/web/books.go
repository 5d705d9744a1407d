package web

import (
	"io"
	"slices"
	"strings"

	"urdir/check"
	"urdir/internal/workshop"
	"urdir/price/books"
)

// booksView is the books on a day.
type booksView struct {
	workshop.BooksView
	Today    string
	Currency string
}

// Here is what an account holds in the workshop's currency.
func (b booksView) Here(account string) workshop.Money {
	for _, a := range b.Accounts {
		if a.Account == account && a.Currency == b.Currency {
			return a.Sum()
		}
	}
	return workshop.Money{Currency: b.Currency}
}

// Last is the entry that closed the last period, or 0.
func (b booksView) Last() int64 {
	if len(b.Closed) == 0 {
		return 0
	}
	return b.Closed[0].N
}

// Booked writes an amount of minor units, as books hold them.
func (v *visit) Booked(minor int64, code string) string {
	return v.Money(workshop.Money{Minor: minor, Currency: code})
}

func (v *visit) booksView(to string) (booksView, error) {
	b, err := v.s.house.Books(v.r.Context(), v.Person, to)
	if err != nil {
		return booksView{}, err
	}
	code, err := v.currency()
	return booksView{b, v.today(), code}, err
}

func booksPage(v *visit) error {
	to := cut(v.r.URL.Query().Get("to"))
	b, err := v.booksView(to)
	if err != nil {
		v.Form = v.r.URL.Query()
		return v.again(err, "books", v.T("books-room"), booksView{Today: v.today()})
	}
	return v.page("books", v.T("books-room"), b)
}

// journalView is a part of the journal.
type journalView struct {
	Page    workshop.JournalPage
	Entries []workshop.Entry
	Next    string
	Chart   books.Chart
}

func journal(v *visit) error {
	q := v.r.URL.Query()
	p := workshop.JournalPage{Account: cut(q.Get("account")), Document: strings.TrimSpace(cut(q.Get("document"))), From: cut(q.Get("from")), To: cut(q.Get("to")),
		Find: cut(q.Get("q")), After: q.Get("after"), Limit: pageSize}
	es, next, err := v.s.house.Journal(v.r.Context(), v.Person, p)
	if err != nil {
		return err
	}
	chart, err := v.chart()
	if err != nil {
		return err
	}
	return v.page("journal", v.T("journal"), journalView{p, es, next, chart})
}

// chart is the accounts of the workshop.
func (v *visit) chart() (books.Chart, error) {
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	return set.Value.Money.Chart(), err
}

// entryView is an entry of the journal.
type entryView struct{ workshop.EntryView }

// ByHand says whether an entry can be reversed here: what was told elsewhere is undone
// there, and its entry with it.
func (e entryView) ByHand() bool { return e.Source == "" && e.Undone == 0 && e.Reverses == 0 }

func entryPage(v *visit) error { return v.entryAgain(nil) }

func (v *visit) entryAgain(wrong error) error {
	n, ok := wholeNumber(v.r.PathValue("n"))
	if !ok {
		return &workshop.Error{Code: workshop.NotFound}
	}
	e, err := v.s.house.Entry(v.r.Context(), v.Person, n)
	if err != nil {
		return err
	}
	view := entryView{e}
	title := v.T("entry-n", "n", itoa(int(n)))
	if wrong != nil {
		return v.again(wrong, "entry", title, view)
	}
	return v.page("entry", title, view)
}

// SourceLink is the page of what an entry was written for; empty if it has none.
func (v *visit) SourceLink(e workshop.Entry) string {
	kind, rest, _ := strings.Cut(e.Source, ":")
	id, _, _ := strings.Cut(rest, ":")
	if m := memberIn(e); m != "" && slices.Contains([]string{"payout", "advance", "work"}, kind) {
		return v.Link("pay", m)
	}
	return v.Link(kind, id)
}

// memberIn is the member an entry is about; empty if it is about none.
func memberIn(e workshop.Entry) string {
	for _, l := range e.Lines {
		if m := l.Tags["member"]; m != "" {
			return m
		}
	}
	return ""
}

// profitView is profit told by a tag.
type profitView struct {
	Tag, From, To string
	Tags          []string
	Rows          []books.Profit
	All           []books.Profit // of each currency
}

func profitPage(v *visit) error {
	q := v.r.URL.Query()
	view := profitView{Tag: cut(q.Get("tag")), From: cut(q.Get("from")), To: cut(q.Get("to")), Tags: workshop.ProfitTags}
	if view.Tag == "" {
		view.Tag = workshop.ProfitTags[0]
	}
	var err error
	if view.Rows, err = v.s.house.Profit(v.r.Context(), v.Person, view.Tag, view.From, view.To); err != nil {
		v.Form = q
		return v.again(err, "profit", v.T("profit"), view)
	}
	view.All = books.TotalProfit(view.Rows)
	return v.page("profit", v.T("profit"), view)
}

// auditPage goes through all of the books and says in words whether they are sound.
func auditPage(v *visit) error {
	ps, err := v.s.house.AuditBooks(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	return v.page("books-check", v.T("books-check"), ps)
}

// exportBooks sends the whole journal for the accountant.
func exportBooks(format string) func(*visit) error {
	return func(v *visit) error {
		kind, name := "text/csv; charset=utf-8", "journal.csv"
		if format == "text" {
			kind, name = "text/plain; charset=utf-8", "journal.txt"
		}
		v.w.Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
		return v.send(kind, "", func(w io.Writer) error { return v.s.house.ExportBooks(v.r.Context(), v.Person, w, format) })
	}
}

// Unsound says whether something is wrong, beside what only wants a look.
func (v *visit) Unsound(ps check.Problems) bool { return ps.Failed() }

// Through is the accounts an entry goes through, each once, the first few.
func (v *visit) Through(lines []books.Line) (keys []string) {
	const most = 4
	for _, l := range lines {
		if len(keys) < most && !slices.Contains(keys, l.Account) {
			keys = append(keys, l.Account)
		}
	}
	return keys
}
