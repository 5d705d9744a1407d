package workshop

import (
	"strings"

	"urdir/price"
	"urdir/price/books"
)

// Money is an amount in the smallest unit of a currency.
type Money = price.Money

// MoneyHouse is what a workshop's prices, pay and books go by. Nothing in it is
// assumed but where it says so: floors, taxes and who owes them are for the
// workshop and its country to decide.
type MoneyHouse struct {
	Country  string    // as a tag says where a piece is made
	Card     string    // the workshop's own words on a piece's card
	Cards    CardHouse `json:",omitzero"`
	Season   string    // that sales belong to now; empty: the year
	PayDay   int       // day of the next month on which a month's pay is handed out; zero: not said
	Floors   price.Floors
	Channels []price.Channel // the first is the usual one; none: the own shop, which keeps nothing
	Tax      price.Tax       // local rules decide
	Overhead []price.Overhead
	Aim      price.Aim
	Steps    []price.Step // off for quantities
	Custom   price.Customary
	Deposit  price.Percent
	Valid    int           // days that a quote can be accepted; zero: DefaultValid
	Fund     price.Percent // of what a sale leaves, put into the social fund
	Exchange []price.Exchange

	// Pay is what was agreed for a kind of work.
	Pay map[string]price.Pay
	// Minutes is how long work takes that no plan knows of: of teach, carry and meet
	// for an order.
	Minutes map[string]int
	FuelKG  Money            // a kilo of what burns under the pots
	Kilo    map[string]Money // a kilo of yarn of a fibre, where its lot does not say
	// Accounts of the books besides those the program books to.
	Accounts books.Chart
}

// DefaultValid is how many days a quote can be accepted, where the workshop does not
// say. Common practice, no source.
const DefaultValid = 30

// PayKinds is every kind of paid work.
var PayKinds = []string{"lay", "weave", "brocade", "dye", "sew", "finish", "teach", "carry", "meet"}

// HouseKinds is the kinds of work no plan knows of.
var HouseKinds = []string{"teach", "carry", "meet"}

// AccountOf is an account by its key: its first part says what kind it is.
func AccountOf(key string) books.Account {
	kinds := map[string]books.Kind{"assets": books.Asset, "liabilities": books.Liability, "equity": books.Equity, "income": books.Income, "expenses": books.Expense}
	first, _, _ := strings.Cut(key, ":")
	return books.Account{Key: key, Kind: kinds[first]}
}

// Work is something a member did that is paid.
type Work struct {
	Member  string
	Kind    string // of PayKinds; of a warp, weave
	At      string // date
	Order   string `json:",omitempty"`
	Where   string `json:",omitempty"` // kind of page it was told on: job, piece, dyeing
	ID      string `json:",omitempty"` // of it
	Name    string // what it was
	Product string `json:",omitempty"` // the cloth
	Pieces  int    `json:",omitempty"`
	Minutes int64
	Told    bool // she told the minutes; otherwise they are what it usually takes
	Pay     Money
}

// Advance is what a member was lent on pay to come, and the share of each pay that
// goes to paying it back. The last share holds for all she owes.
type Advance struct {
	Member string
	At     string // date
	Amount Money
	Share  price.Percent
	Note   string `json:",omitempty"`
	Undone string `json:",omitempty"` // date
}

// Payout is a pay that was handed to a member, with its number.
type Payout struct {
	Number   string
	Member   string
	Month    string // 2031-05
	At       string // date
	By       string
	From     string // account
	Works    []PaidWork
	Withheld Money // of the advance
	Paid     Money
	Undone   string `json:",omitempty"` // date
}

// PaidWork is what of a work was settled.
type PaidWork struct {
	Work   string // record
	Amount Money
}

// Quote is an offer of a price for an order, as it was made.
type Quote struct {
	Number   string
	Order    string
	OrderNo  int64
	Customer string // name
	Language string
	Product  string
	By       string
	Made     price.Quote // frozen: costs, rates and floors as they were
	Terms    string
	Parts    bool // shows the customer where the money goes
	Accepted *Acceptance
}

// Acceptance is who accepted a quote, when, and what was paid beforehand.
type Acceptance struct {
	By      string // the customer, or who spoke for her
	On      string // date
	Told    string // who wrote it down; empty if she did it herself by a link
	Link    string `json:",omitempty"` // the link by which she did
	Deposit Money
}

// Paper is an invoice, a receipt, or the counter-document of one of them.
type Paper struct {
	Number   string
	Kind     PaperKind
	Order    string
	OrderNo  int64
	Customer string // name
	Language string
	On       string // date
	By       string
	Lines    []PaperLine `json:",omitempty"`
	Net      Money       // without tax
	Tax      Money
	TaxName  string        `json:",omitempty"`
	TaxRate  price.Percent `json:",omitzero"`
	Total    Money
	Deposit  Money  `json:",omitzero"`  // paid before, of an invoice
	Account  string `json:",omitempty"` // a receipt: where the money went
	Channel  string `json:",omitempty"`
	Note     string `json:",omitempty"`
	Cancels  string `json:",omitempty"` // a counter-document: the number of the other
	Undone   string `json:",omitempty"` // number of the counter-document
}

// PaperKind is what a paper is.
type PaperKind string

// The kinds of papers, each with the series of its numbers.
const (
	InvoicePaper PaperKind = "invoice"
	ReceiptPaper PaperKind = "receipt"
	CounterPaper PaperKind = "counter"
)

// Series of the workshop's numbers.
const (
	quoteSeries  = "P"
	payoutSeries = "L"
)

var paperSeries = map[PaperKind]string{InvoicePaper: "F", ReceiptPaper: "R", CounterPaper: "A"}

// PaperLine is some pieces of an invoice.
type PaperLine struct {
	Name     string
	Quantity int
	Each     Money
	Amount   Money
}
