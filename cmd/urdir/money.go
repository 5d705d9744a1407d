package main

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"urdir/check"
	"urdir/internal/store"
	"urdir/internal/workshop"
	"urdir/price"
	"urdir/sheet"
)

// eachHouse runs f for every workshop of a database, as its head, who may see all of
// it. A name parts several from each other.
func (k home) eachHouse(c *cobra.Command, f func(h *workshop.House, p workshop.Person, name string) error) error {
	ctx := c.Context()
	db, err := k.open(ctx, true)
	if err != nil {
		return err
	}
	all, err := db.Workshops(ctx)
	h := workshop.New(db, time.Now)
	for _, w := range all {
		if err != nil {
			break
		}
		err = f(h, workshop.Person{Account: "urdir", Workshop: w.ID, Name: "urdir", Role: workshop.Head}, nameIn(all, w))
	}
	return errors.Join(toldProblems(c, err), db.Close())
}

// nameIn is a workshop's name where there are several.
func nameIn(all []store.Workshop, w store.Workshop) string {
	if len(all) == 1 {
		return ""
	}
	return w.Name
}

func newPayCommand(a *app) *cobra.Command {
	w := a.words
	var k home
	var month string
	c := &cobra.Command{
		Use:                   "pay",
		Short:                 w.T("pay-about", nil),
		Long:                  w.T("pay-about-long", nil),
		Example:               "  urdir pay --month 2026-11 --data taller",
		DisableFlagsInUseLine: true,
		Args:                  arguments(0, 0),
		RunE:                  func(c *cobra.Command, _ []string) error { return a.pay(c, k, month) },
	}
	k.flags(a, c)
	c.Flags().StringVar(&month, "month", time.Now().Format("2006-01"), w.T("pay-flag-month", nil))
	c.Flags().Lookup("month").DefValue = "" // it would be another each month
	return c
}

// payRow is a member's month as JSON.
type payRow struct {
	Workshop string        `json:"workshop,omitempty"`
	Member   string        `json:"member"`
	Minutes  int64         `json:"minutes"`
	Earned   price.Money   `json:"earned"`
	Hourly   price.Money   `json:"hourly"`
	Withheld price.Money   `json:"withheld"`
	Due      price.Money   `json:"due"`
	Owed     price.Money   `json:"advance_owed"`
	Paid     []price.Money `json:"paid"`
	Problems []problem     `json:"problems"`
}

// pay prints what every member did in a month and what is due to her.
func (a *app) pay(c *cobra.Command, k home, month string) error {
	ctx := c.Context()
	if _, err := time.Parse("2006-01", month); err != nil { // whatever is kept
		return mistake("--month", "month-unread", check.Args{"text": month})
	}
	rows := []payRow{}
	err := k.eachHouse(c, func(h *workshop.House, p workshop.Person, name string) error {
		all, err := h.Pay(ctx, p, month)
		if err != nil {
			return err
		}
		if name != "" && !a.json {
			fmt.Fprintln(a.out, a.strong(name))
		}
		for _, s := range all {
			row := payRow{name, s.Member.Value.Name, s.Earned.Minutes, s.Earned.Earned, s.Earned.Hourly, s.Withheld, s.Due, s.Owed, []price.Money{}, a.problems(ofMember(s))}
			for _, out := range s.Payouts {
				if out.Value.Undone == "" {
					row.Paid = append(row.Paid, out.Value.Paid)
				}
			}
			rows = append(rows, row)
			if !a.json {
				a.printStatement(s, row)
				a.tell(ofMember(s))
			}
		}
		return nil
	})
	switch {
	case err != nil:
		return err
	case a.json:
		return a.printJSON(map[string]any{"month": month, "members": rows})
	case len(rows) == 0:
		fmt.Fprintln(a.out, a.words.T("pay-none", check.Args{"month": month}))
	}
	return nil
}

func ofMember(s workshop.Statement) (out stopped) {
	for _, p := range s.Problems {
		out = append(out, located{File: s.Member.Value.Name, Problem: p})
	}
	return out
}

func (a *app) printStatement(s workshop.Statement, row payRow) {
	w := a.words
	fmt.Fprintf(a.out, "%s, %s\n", a.strong(row.Member), s.Month)
	t := table{indent: 2, numbers: true}
	for _, k := range s.Works {
		hours := sheet.WorkTime(w, k.Value.Minutes)
		t.add(k.Value.At+"  "+w.T("paywork-"+k.Value.Kind, nil)+": "+k.Value.Name, hours, w.S(k.Value.Pay))
	}
	for _, row := range []struct {
		key string
		m   price.Money
	}{{"pay-earned", s.Earned.Earned}, {"pay-hourly", s.Earned.Hourly}, {"pay-withheld", s.Withheld}, {"pay-due", s.Due}, {"pay-owed", s.Owed}} {
		t.add(w.T(row.key, nil), "", w.S(row.m))
	}
	for _, m := range row.Paid {
		t.add(w.T("pay-paid", nil), "", w.S(m))
	}
	t.print(a.out)
}

func newBooksCommand(a *app) *cobra.Command {
	w := a.words
	c := &cobra.Command{
		Use:                   "books",
		Short:                 w.T("books-about", nil),
		Long:                  w.T("books-about-long", nil),
		Example:               "  urdir books check --data taller",
		DisableFlagsInUseLine: true,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				return unknownCommand(c, args[0])
			}
			return nil
		},
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	var k home
	sub := &cobra.Command{
		Use:                   "check",
		Short:                 w.T("books-check-about", nil),
		Long:                  w.T("books-check-about-long", nil),
		Example:               "  urdir books check --data taller\n  urdir books check --db postgres://urdir@/urdir --json",
		DisableFlagsInUseLine: true,
		Args:                  arguments(0, 0),
		RunE:                  func(c *cobra.Command, _ []string) error { return a.checkBooks(c, k) },
	}
	k.flags(a, sub)
	c.AddCommand(sub)
	return c
}

// checkBooks goes through the books of material and of money. What the store finds
// is English, for whoever looks after the server.
func (a *app) checkBooks(c *cobra.Command, k home) error {
	ctx := c.Context()
	var found stopped
	held := table{indent: 2, numbers: true}
	err := k.eachHouse(c, func(h *workshop.House, p workshop.Person, name string) error {
		faults, err := h.CheckBooks(ctx, p)
		if err != nil {
			return err
		}
		ps, err := h.AuditBooks(ctx, p)
		if err != nil {
			return err
		}
		for _, f := range faults {
			found = append(found, located{File: name, Problem: check.Problem{Code: "books-fault", Args: check.Args{"fault": strings.TrimSpace(f)}}})
		}
		for _, x := range ps {
			found = append(found, located{File: name, Problem: x})
		}
		b, err := h.Books(ctx, p, "9999-12-31") // all there is
		for _, x := range b.Accounts {
			if sum := x.Sum(); sum.Minor != 0 {
				held.add(strings.TrimSpace(name+" "+a.words.Account(x.Account)), a.words.S(sum))
			}
		}
		return err
	})
	if err != nil {
		return err
	}
	if found.failed() {
		return found
	}
	if a.json {
		return a.printJSON(map[string]any{"problems": a.problems(found)})
	}
	a.tell(found)
	fmt.Fprintln(a.out, a.words.T("books-good", nil))
	if len(held.rows) > 0 {
		fmt.Fprintln(a.out, "\n"+a.heading("books-balances"))
		held.print(a.out)
	}
	return nil
}
