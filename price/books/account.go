package books

import (
	"slices"
	"strings"

	"urdir/check"
)

// Kind is what an account is.
type Kind string

const (
	Asset     Kind = "asset"     // what there is, and what is owed to the workshop
	Liability Kind = "liability" // what it owes
	Equity    Kind = "equity"    // savings and funds of its members
	Income    Kind = "income"
	Expense   Kind = "expense"
)

// Account is a place money can be.
type Account struct {
	Key  string // lower case, parts parted by colons: "assets:cash"
	Kind Kind
	// Items says that the account is kept item by item (a customer's order, a
	// member's piece), and that an item open in it keeps a period from closing
	// unless it is carried over by name.
	Items bool
}

// Chart is the accounts of a workshop.
type Chart []Account

// Accounts that the program itself books to.
const (
	Cash          = "assets:cash"
	Bank          = "assets:bank"
	Customers     = "assets:customers" // what customers owe
	Advances      = "assets:advances"  // lent to members on pay to come
	MaterialStock = "assets:materials"
	Payable       = "liabilities:members" // pay that is due
	Deposits      = "liabilities:deposits"
	TaxDue        = "liabilities:tax"
	Savings       = "equity:savings"
	SocialFund    = "equity:social-fund"
	Sales         = "income:sales"
	MaterialsUsed = "expenses:materials"
	MembersPay    = "expenses:pay"
	FuelUsed      = "expenses:fuel"
	Transport     = "expenses:transport"
	SellingFees   = "expenses:fees"
	Overhead      = "expenses:overhead"
	ExchangeLoss  = "expenses:exchange" // gains are credits of it
)

// NewChart is the accounts a cooperative of weavers starts with; it may have more.
func NewChart() Chart {
	return Chart{
		{Cash, Asset, false}, {Bank, Asset, false}, {Customers, Asset, true}, {Advances, Asset, false}, {MaterialStock, Asset, false},
		{Payable, Liability, true}, {Deposits, Liability, true}, {TaxDue, Liability, false},
		{Savings, Equity, false}, {SocialFund, Equity, false},
		{Sales, Income, false},
		{MaterialsUsed, Expense, false}, {MembersPay, Expense, false}, {FuelUsed, Expense, false}, {Transport, Expense, false},
		{SellingFees, Expense, false}, {Overhead, Expense, false}, {ExchangeLoss, Expense, false},
	}
}

// Find is the account of a key.
func (c Chart) Find(key string) (Account, bool) {
	if i := slices.IndexFunc(c, func(a Account) bool { return a.Key == key }); i >= 0 {
		return c[i], true
	}
	return Account{}, false
}

// result reports whether an account is emptied when a period closes.
func (a Account) result() bool { return a.Kind == Income || a.Kind == Expense }

// Validate is everything that is wrong with a chart.
func (c Chart) Validate() (ps check.Problems) {
	seen := map[string]bool{}
	for i, a := range c {
		path := at("accounts", i)
		if !plainKey(a.Key) {
			ps.Wrong(path+".key", "account-key", check.Args{"text": a.Key})
		}
		if seen[a.Key] {
			ps.Wrong(path+".key", "account-twice", check.Args{"account": a.Key})
		}
		seen[a.Key] = true
		switch a.Kind {
		case Asset, Liability, Equity, Income, Expense:
		default:
			ps.Wrong(path+".kind", "account-kind", check.Args{"text": string(a.Kind)})
		}
	}
	return ps
}

// plainKey is true for keys that every program reads alike.
func plainKey(key string) bool {
	for part := range strings.SplitSeq(key, ":") {
		if part == "" || strings.Trim(part, "abcdefghijklmnopqrstuvwxyz0123456789-") != "" {
			return false
		}
	}
	return true
}
