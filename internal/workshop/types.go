package workshop

import (
	"time"

	"urdir/measure"
)

// Customer is who orders.
type Customer struct {
	Name     string
	Contact  string // how she is reached
	Language string // of what she gets to read: "es" or "en"
	Note     string
}

// Cloth is a design: a cloth file in its current version.
type Cloth struct {
	Name    string
	Kind    string // scarf, runner ... the kind it began as
	Note    string
	Text    string // the cloth file
	Version int    // counted from 1
	From    Origin `json:",omitzero"` // of a branch: what it began as
}

// Origin is the version of another cloth that a cloth began as.
type Origin struct {
	Cloth   string
	Name    string // as it was called then
	Version int
}

// Version is a cloth file as it was.
type Version struct {
	Cloth string
	N     int
	Text  string
	By    string
	At    string // date
	Note  string `json:",omitempty"` // what was said when it was saved
	Back  int    `json:",omitempty"` // the version it was made equal to, if it goes back to one
}

// Draft is work on a cloth that is not saved as a version yet. The designer keeps
// it by itself, one for a cloth and a person.
type Draft struct {
	Cloth   string
	Account string // whose it is
	By      string // her name
	Version int    // it began from
	Text    string
	Since   time.Time // when it began
	At      time.Time // when it was last written
	Mark    Mark      // what of her work it holds
}

// Mark says which page wrote a draft and how far that page had come, so that what
// arrives late or twice is known. A page gives itself a name nobody else has and
// counts its steps from 1.
type Mark struct {
	Desk string
	Step int
}

// Figure is a chart of the library, with its story and who may use it.
type Figure struct {
	Name    string
	Text    string // its part of a cloth file
	Origin  string
	Meaning string
	Owner   string
	Sale    string // yes, no or ask
	Ask     string // who can agree
	Granted string // when and by whom it was agreed
	Tell    bool   `json:",omitempty"` // its owner agreed that buyers are told what it means
}

// Lot is yarn of one kind and colour, dyed or bought together. How much of it
// there is follows from moves.
type Lot struct {
	Label   string
	Letter  string
	Colour  string // #rrggbb
	Fibre   string
	Count   string
	Skein   measure.Gram
	Dyed    string // date it came out of the bath, or empty for bought colour
	Waiting bool   // still to be dyed
	Note    string
	Reorder measure.Gram // below this it is to be got again
	Dye     LotDye       `json:",omitzero"`
}

// Member is a weaver, or someone who lays warps, dyes, sews.
type Member struct {
	Name      string
	Skills    []string // lay, weave, brocade, pick-up, dye, sew, teach
	Hours     int      // offered a week
	Languages []string
	Reach     string // how she likes to be reached
	Named     bool   // agreed to be named on a piece's card
	Away      bool   // takes no work now
	Note      string
	Time      Hours `json:",omitzero"` // SaveHours keeps it
}

// Skills is every skill.
var Skills = []string{"lay", "weave", "brocade", "pick-up", "dye", "sew", "teach"}

// Order is what a customer wants, by when.
type Order struct {
	Number    int64
	Customer  string
	Taken     string // date
	Due       string // date
	Deposit   Money
	Wishes    string
	Lines     []Line
	Confirmed string // date; from then on its plans are kept as they were
	Cancelled string // date
	// Done is the date from which everything was delivered and paid. It follows
	// from the facts of the order's warps and pieces, and is kept so that lists
	// need not reckon it; nobody sets it.
	Done string
	// Class is nil for goods. SaveClass keeps it.
	Class *Class `json:",omitempty"`
	// Promise is the last promise given of it.
	Promise string `json:",omitempty"`
}

// Line is some pieces of one cloth.
type Line struct {
	ID       string
	Cloth    string
	Version  int
	Quantity int
	Wishes   string
	Lots     map[string]string // yarn of the cloth file -> lot
	Dye      map[string]Wish   `json:",omitempty"` // yarn of the cloth file -> how it is to be dyed
}

// Sheet is everything a plan is made from: a cloth file and what the order and
// the workshop add to it. Made again, it gives the same plan.
type Sheet struct {
	Text     string
	Frame    string // part of a cloth file, for a cloth that brings none
	Quantity int
	Customer string
	Due      string
	Sale     map[string]string // figure -> permission, from the library
	Lots     map[string]Lot    // yarn of the cloth file -> the lot that is used
}

// Frozen is the sheet an order was confirmed with, and the plan it gave.
type Frozen struct {
	Order, Line string
	Cloth       string
	Version     int
	Sheet       Sheet
	Plan        string // JSON
}

// Fact is something that happened. Which fields are used is said with its kind.
type Fact struct {
	Kind   FactKind
	At     string       // date
	By     string       // name of who told it
	Member string       `json:",omitempty"` // given: who has it now
	CM     measure.CM   `json:",omitempty"` // told: woven so far; finished: length
	Width  measure.CM   `json:",omitempty"` // finished
	Grams  measure.Gram `json:",omitempty"` // back, finished: weight
	Pay    Money        `json:",omitzero"`  // given: agreed; paid: paid
	Paper  string       `json:",omitempty"` // paid: the number it was paid with, with other work
	Note   string       `json:",omitempty"`
	Shown  string       `json:",omitempty"` // told on the road: when, by the telephone's clock, which may be wrong
	Moves  []Moved      `json:",omitempty"` // material that went with it
	// Minutes is what she says it took her, of laid and told, and Did the work it
	// was for; Sure that she was asked and it is right.
	Minutes measure.Minute `json:",omitempty"`
	Did     []Load         `json:",omitempty"`
	Sure    bool           `json:",omitempty"`
}

// FactKind is what happened.
type FactKind string

const (
	// Of a warp in work.
	GivenFact FactKind = "given" // to a member, with its yarn
	LaidFact  FactKind = "laid"
	ToldFact  FactKind = "told" // woven so far
	BackFact  FactKind = "back" // off the loom and taken back
	PaidFact  FactKind = "paid"
	// Of a piece.
	FinishedFact  FactKind = "finished" // washed, sewn, tagged
	DeliveredFact FactKind = "delivered"
	ReturnedFact  FactKind = "returned"
	RepairedFact  FactKind = "repaired"
)

// Moved is material that went with a fact, so that undoing it moves it back.
type Moved struct {
	Lot        string
	Milligrams int64
	From, To   string
}

// Job is one laying of a warp of an order: what one member lays, weaves and
// gives back.
type Job struct {
	Order, Line string
	Number      int64  // of the order, for people
	Warp        string // key in the cloth file
	Laying      int    // from 1
	Layings     int
	Cloth       string     // name
	Length      measure.CM // to weave, on the loom
	Member      string     // who has it
	Facts       []Fact
}

// Piece is one piece of an order.
type Piece struct {
	Number      int64 // on its tag; counted through the workshop
	Order, Line string
	OrderNumber int64
	Cloth       string // name
	N, Of       int
	Facts       []Fact
	Card        string `json:",omitempty"` // key of its card, while that is shown; it is on the tag and no secret
	Ask         Money  `json:",omitzero"`  // what it is for sale for, in the shop
	Photo       string `json:",omitempty"` // picture of it, for card and shop
}

// Settings are the workshop's own.
type Settings struct {
	Name     string
	Address  string `json:",omitempty"` // where letters reach it, in lines, as papers say it
	Language string
	Currency string
	Paper    string // a4 or letter
	Frames   []Frame
	Pots     []Pot
	Week     map[string]int // hours worked, mon ... sun
	Feasts   []Feast
	Shrink   struct{ Length, Width measure.Ratio }
	Take     measure.Ratio // spare yarn
	Dye      DyeHouse
	Money    MoneyHouse    `json:",omitzero"` // SaveMoneyHouse keeps it
	Calendar CalendarHouse `json:",omitzero"`
}

// Frame is a warping frame of the workshop, as its part of a cloth file.
type Frame struct {
	Name string
	Text string
}

// Pot is a dye pot.
type Pot struct {
	Name   string
	Litres float64
}

// Feast is a day nobody works.
type Feast struct {
	Day  string // date
	Name string
}
