package web

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"urdir/check"
	"urdir/internal/workshop"
	"urdir/price/books"
)

// entryLines is how many lines an entry written by hand has at most; the first ones
// are always shown.
const (
	entryLines = 6
	firstLines = 2
)

// preset is a kind of entry that is often written: where money arrives and where it
// comes from.
type preset struct{ Key, Into, From string }

var presets = []preset{
	{"expense", books.Overhead, books.Cash}, {"fuel", books.FuelUsed, books.Cash}, {"transport", books.Transport, books.Cash},
	{"sale", books.Cash, books.Sales}, {"bank", books.Bank, books.Cash}, {"share", books.Cash, books.Savings},
	{"fund", books.Savings, books.SocialFund}, {"help", books.SocialFund, books.Cash},
}

// entryForm is an entry while it is written.
type entryForm struct {
	Chart    books.Chart
	Kind     string
	Presets  []preset
	Lines    []entryLine
	Today    string
	Currency string
	Season   string
}

// entryLine is a line's fields.
type entryLine struct {
	N       int
	Account string
	More    bool
}

// At is the name of a field of the line.
func (l entryLine) At(field string) string { return fmt.Sprintf("lines[%d].%s", l.N, field) }

func (v *visit) entryForm() (entryForm, error) {
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return entryForm{}, err
	}
	out := entryForm{Chart: set.Value.Money.Chart(), Kind: cut(v.r.URL.Query().Get("kind")), Presets: presets, Today: v.today(), Currency: set.Value.Currency,
		Season: set.Value.Money.Season}
	for n := range entryLines {
		out.Lines = append(out.Lines, entryLine{N: n, More: n >= firstLines})
	}
	if i := slices.IndexFunc(presets, func(p preset) bool { return p.Key == out.Kind }); i >= 0 {
		out.Lines[0].Account, out.Lines[1].Account = presets[i].Into, presets[i].From
	}
	return out, nil
}

func newEntry(v *visit) error {
	view, err := v.entryForm()
	if err != nil {
		return err
	}
	return v.page("entry-form", v.T("entry-new"), view)
}

func postEntry(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	view, err := v.entryForm()
	if err != nil {
		return err
	}
	e := f.entry(view.Currency)
	made := ""
	if err = f.err(); err == nil {
		made, err = v.once(f, func(ctx context.Context) (string, error) {
			n, failed := v.s.house.PostEntry(ctx, v.Person, e)
			return itoa(int(n)), failed
		})
	}
	if err != nil {
		return v.again(said(err, "lines", "lines[0].in"), "entry-form", v.T("entry-new"), view)
	}
	return v.to("/books/entries/"+made, "entry-posted")
}

// entry reads the form: a line has an amount that arrives or one that goes out. What
// the entry is told by stands on each line.
func (f *form) entry(code string) books.Entry {
	e := books.Entry{Date: f.text("date"), Text: f.text("text"), Document: f.text("document")}
	tags := map[string]string{}
	for _, tag := range workshop.ProfitTags {
		if s := strings.TrimSpace(f.text(tag)); s != "" {
			tags[tag] = s
		}
	}
	for n := range entryLines {
		l := entryLine{N: n}
		in, out := f.money(l.At("in"), code), f.money(l.At("out"), code)
		account := f.text(l.At("account"))
		if in.Minor == 0 && out.Minor == 0 {
			continue
		}
		if in.Minor > 0 && out.Minor > 0 {
			f.ps.Wrong(l.At("in"), "entry-both-sides", check.Args{"account": f.v.Account(account)})
		}
		e.Lines = append(e.Lines, books.Line{Account: account, Amount: workshop.Money{Minor: in.Minor - out.Minor, Currency: code},
			Item: strings.TrimSpace(f.text(l.At("item"))), Tags: tags})
	}
	return e
}

// reverseEntry undoes an entry that was written by hand, or opens the books again.
func reverseEntry(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	n, ok := wholeNumber(v.r.PathValue("n"))
	if !ok {
		return &workshop.Error{Code: workshop.NotFound}
	}
	e, err := v.s.house.Entry(v.r.Context(), v.Person, n)
	if err != nil {
		return err
	}
	if e.Source != "" {
		f.ps.Wrong("", "entry-of-fact", check.Args{"text": e.Text})
		return v.entryAgain(f.err())
	}
	by, err := v.s.house.ReverseEntry(v.r.Context(), v.Person, n, f.text("why"))
	if err != nil {
		return v.entryAgain(err)
	}
	if e.Closes != "" {
		return v.to("/books", "books-opened")
	}
	return v.to("/books/entries/"+itoa(int(by)), "entry-reversed")
}

// closeView is a period that is about to be closed.
type closeView struct {
	booksView
	From, To string
	Equity   []string
}

func (v *visit) closeView() (closeView, error) {
	b, err := v.booksView("")
	if err != nil {
		return closeView{}, err
	}
	view := closeView{booksView: b}
	for _, a := range b.Chart {
		if a.Kind == books.Equity {
			view.Equity = append(view.Equity, a.Key)
		}
	}
	now := v.s.house.Now()
	view.To = now.AddDate(0, 0, -now.Day()).Format(time.DateOnly)
	view.From = view.To[:len("2006-01-")] + "01"
	if len(b.Closed) > 0 {
		if last, err := time.Parse(time.DateOnly, b.Closed[0].Date); err == nil {
			view.From = last.AddDate(0, 0, 1).Format(time.DateOnly)
		}
	}
	return view, nil
}

func closePage(v *visit) error {
	view, err := v.closeView()
	if err != nil {
		return err
	}
	return v.page("books-close", v.T("books-close"), view)
}

func closePeriod(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	view, err := v.closeView()
	if err != nil {
		return err
	}
	carried, names := f.texts("carry"), map[string]string{}
	for _, i := range view.Open {
		names[i.Item] = strings.TrimSpace(i.Name + " · " + i.Who)
		if f.yes("carry-all") {
			carried = append(carried, i.Item)
		}
	}
	p := books.Period{Key: f.text("key"), From: f.text("begins"), To: f.text("ends")}
	_, err = v.s.house.ClosePeriod(v.r.Context(), v.Person, p, f.text("into"), carried)
	if e, ok := errors.AsType[*workshop.Error](err); ok {
		for i, x := range e.Problems { // by their names, not by their keys
			if item, is := x.Args["item"].(string); is && names[item] != "" {
				e.Problems[i].Args["item"] = names[item]
			}
			if account, is := x.Args["account"].(string); is {
				e.Problems[i].Args["account"] = v.Account(account)
			}
		}
	}
	if err != nil {
		return v.again(said(said(err, "from", "begins"), "to", "ends"), "books-close", v.T("books-close"), view)
	}
	return v.to("/books", "period-closed")
}
