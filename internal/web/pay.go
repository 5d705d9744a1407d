package web

import (
	"net/http"
	"slices"
	"strings"
	"time"

	"urdir/check"
	"urdir/internal/workshop"
	"urdir/price"
)

// payMonths is how pay is written in addresses: a month.
const payMonths = "2006-01"

// month is the month a page of pay is asked for: this one, unless the address says.
func (v *visit) month() string {
	if m := cut(v.r.URL.Query().Get("month")); m != "" {
		return m
	}
	return v.s.house.Now().Format(payMonths)
}

// Month writes the month of a date, or one kept as YYYY-MM.
func (v *visit) Month(month string) string {
	t, err := time.Parse(payMonths, month[:min(len(month), len(payMonths))])
	if err != nil {
		return month
	}
	return v.T("month-year", "month", v.T("month-"+itoa(int(t.Month()))), "year", itoa(t.Year()))
}

// Account is an account of the books in words.
func (v *visit) Account(key string) string { return v.Words.Account(key) }

// Around is a month and those before and after it, for links.
type Around struct{ Before, This, After string }

func monthsAround(month string) Around {
	t, err := time.Parse(payMonths, month)
	if err != nil {
		return Around{This: month}
	}
	return Around{t.AddDate(0, -1, 0).Format(payMonths), month, t.AddDate(0, 1, 0).Format(payMonths)}
}

// payView is a month's pay of all members.
type payView struct {
	Around
	Rows     []workshop.Statement
	All      workshop.PayTotals
	Over     []workshop.MemberTime
	From, To string
	Floors   bool // some floor is set
}

// Low is the statements that are below a floor, or have a work that is.
func (p payView) Low() (out []workshop.Statement) {
	for _, s := range p.Rows {
		if s.Below() || len(s.Low) > 0 {
			out = append(out, s)
		}
	}
	return out
}

// Boxes is where money goes and comes from.
func (v *visit) Boxes() ([]string, error) {
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	return set.Value.Money.Boxes(), err
}

func payPage(v *visit) error {
	q := v.r.URL.Query()
	if q.Has("from") || q.Has("to") {
		return paySeason(v)
	}
	if !v.May("PayOut") {
		return v.to("/pay/me", "")
	}
	return v.payAgain(v.month(), nil)
}

// payAgain shows a month's pay, with what was wrong with paying it.
func (v *visit) payAgain(month string, wrong error) error {
	view, err := v.payView(month)
	if err != nil {
		return err
	}
	if wrong != nil {
		return v.again(wrong, "pay", v.T("pay-room"), view)
	}
	return v.page("pay", v.T("pay-room"), view)
}

func (v *visit) payView(month string) (payView, error) {
	view := payView{Around: monthsAround(month)}
	ctx := v.r.Context()
	var err error
	if view.Rows, err = v.s.house.Pay(ctx, v.Person, month); err != nil {
		return view, err
	}
	set, err := v.s.house.Settings(ctx, v.Person)
	if err != nil {
		return view, err
	}
	f := set.Value.Money.Floors
	view.Floors = f.Workshop.Minor+f.Legal.Minor > 0
	view.All = workshop.TotalPay(view.Rows, set.Value.Currency)
	return view, nil
}

// paySeason shows pay from one month to another.
func paySeason(v *visit) error {
	q := v.r.URL.Query()
	view := payView{From: cut(q.Get("from")), To: cut(q.Get("to"))}
	view.Around = monthsAround(v.month())
	var err error
	view.Over, err = v.s.house.PayOver(v.r.Context(), v.Person, view.From, view.To)
	if err != nil {
		v.Form = q
		return v.again(err, "pay-season", v.T("pay-season"), view)
	}
	return v.page("pay-season", v.T("pay-season"), view)
}

// payMany pays everybody who is ticked. What is due to each is what the page said;
// whoever was paid before something is refused stays paid.
func payMany(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	month, whom := cut(f.text("month")), f.texts("pay")
	if len(whom) == 0 {
		f.ps.Wrong("pay", "pay-nobody", nil)
	}
	for _, id := range whom {
		due, ok := dueTyped(f.text("due-" + id))
		if !ok {
			f.ps.Wrong("pay", "amount-unread", check.Args{"text": f.text("due-" + id)})
		}
		if f.ps.Failed() {
			break
		}
		if _, err := v.s.house.PayOut(v.r.Context(), v.Person, id, month, due, f.text("box")); err != nil {
			return v.payAgain(month, said(err, "from", "box"))
		}
	}
	if err := f.err(); err != nil {
		if _, bad := time.Parse(payMonths, month); bad != nil {
			month = v.month()
		}
		return v.payAgain(month, err)
	}
	http.Redirect(v.w, v.r, "/pay?month="+escape(month)+"&done=paid-out", http.StatusSeeOther)
	return nil
}

// dueTyped reads what a page said was due: minor units and currency.
func dueTyped(s string) (workshop.Money, bool) {
	code, minor, ok := strings.Cut(s, " ")
	if !ok {
		return workshop.Money{}, false
	}
	n, ok := wholeNumber(minor)
	return workshop.Money{Minor: n, Currency: code}, ok
}

// DueTyped writes what dueTyped reads.
func (v *visit) DueTyped(m workshop.Money) string { return m.Currency + " " + itoa(int(m.Minor)) }

// statementView is a member's month.
type statementView struct {
	workshop.Statement
	Around
	Mine     bool
	Chosen   *workshop.Kept[workshop.Work]
	Kinds    []string
	Currency string
	Today    string
	Orders   []workshop.Kept[workshop.Order]
}

// IsOpen says whether a work is still to be paid, or a part of it.
func (s statementView) IsOpen(id string) bool { _, open := s.Open[id]; return open }

// IsLow says whether a work pays less than a floor.
func (s statementView) IsLow(id string) bool {
	return slices.ContainsFunc(s.Low, func(l workshop.LowPay) bool { return l.ID == id })
}

// Raisable says whether some of what is below a floor is still to be paid.
func (s statementView) Raisable() bool {
	return slices.ContainsFunc(s.Low, func(l workshop.LowPay) bool { return s.Open[l.ID] == l.Value.Pay })
}

// myPay shows someone her own pay.
func myPay(v *visit) error {
	if v.Person.Member == "" {
		if v.May("PayOut") {
			return v.to("/pay", "")
		}
		return &workshop.Error{Code: workshop.NotFound}
	}
	return v.statementAgain(v.Person.Member, nil)
}

func memberPay(v *visit) error { return v.statementAgain(v.r.PathValue("id"), nil) }

// statementAgain shows a member's month, with what was wrong with a form on it.
func (v *visit) statementAgain(member string, wrong error) error {
	month := v.month()
	if m := v.r.PostForm.Get("month"); m != "" {
		month = cut(m)
	}
	ctx := v.r.Context()
	s, err := v.s.house.Statement(ctx, v.Person, member, month)
	if err != nil {
		return err
	}
	set, err := v.s.house.Settings(ctx, v.Person)
	if err != nil {
		return err
	}
	view := statementView{Statement: s, Around: monthsAround(month), Mine: member == v.Person.Member && v.r.URL.Path == "/pay/me",
		Kinds: workshop.PayKinds, Currency: set.Value.Currency, Today: v.today()}
	if v.May("TellWork") {
		open, _, err := v.s.house.Orders(ctx, v.Person, workshop.Page{State: "open", Limit: 100})
		if err != nil {
			return err
		}
		view.Orders = open.Items
	}
	work := cut(v.r.URL.Query().Get("work") + v.r.PostForm.Get("work"))
	for _, w := range slices.Concat(s.Earlier, s.Works) {
		if w.ID == work && view.IsOpen(w.ID) {
			view.Chosen = &w
		}
	}
	title := s.Member.Value.Name
	if view.Mine {
		title = v.T("pay-mine")
	}
	if wrong != nil {
		return v.again(wrong, "pay-member", title, view)
	}
	return v.page("pay-member", title, view)
}

// Why says what the pay of a work comes from: what was agreed for its kind, or for it
// as a whole.
func (v *visit) Why(s statementView, w workshop.Kept[workshop.Work]) string {
	if by, ok := s.Basis[w.ID]; ok {
		return v.T("pay-why-"+string(by.Per), "rate", by.Rate, "hours", v.Hours(w.Value.Minutes))
	}
	if w.Value.Minutes == 0 {
		return v.T("pay-why-agreed")
	}
	return v.T("pay-why-agreed-hour", "rate", price.Hourly(w.Value.Pay, w.Value.Minutes))
}

// WorkLink is the page a work was told on, as far as the visitor may see it.
func (v *visit) WorkLink(w workshop.Work) string {
	if w.Where != "job" && !v.May("Piece") {
		return ""
	}
	return v.Link(w.Where, w.ID)
}
