package workshop

import (
	"time"

	"urdir/check"
	"urdir/measure"
	"urdir/schedule"
	"urdir/schedule/rates"
)

// CalendarHouse is what a workshop's calendar goes by beside its week and feasts.
type CalendarHouse struct {
	Zone    string                    `json:",omitempty"` // IANA name; empty: UTC
	Opens   int                       `json:",omitempty"` // minutes after midnight; zero: DefaultOpens
	Closed  []Closure                 `json:",omitempty"`
	Looms   int                       `json:",omitempty"` // for classes
	Frames  map[string]int            `json:",omitempty"` // how many there are of a frame; not there: one
	Buying  int                       `json:",omitempty"` // days until yarn that is sent for is there; zero: DefaultBuying
	Minutes map[string]measure.Minute `json:",omitempty"` // of a kind of work (package rates), for one unit, until records say more
}

// Defaults of a calendar that does not say; common practice, no source.
const (
	DefaultOpens  = 8 * 60
	DefaultBuying = 7
)

// Closure is days on which less is worked, or nothing: market days, weeks of
// harvest, a holiday.
type Closure struct {
	Name     string
	From, To string        `json:",omitempty"` // dates, both included; empty: without a first or last
	Weekdays []string      `json:",omitempty"` // mon ... sun; none: all
	Weeks    []int         `json:",omitempty"` // which of that weekday in the month, 1 to 5, -1 the last; none: all
	Share    measure.Ratio `json:",omitempty"` // of the hours that are still worked
}

// Hours is when a member can work and how much paid work she would like.
type Hours struct {
	Offers   []Offer   `json:",omitempty"` // none: Member.Hours, spread over the workshop's week
	Wants    int       `json:",omitempty"` // paid hours a week; zero: all that she offers
	Absences []Absence `json:",omitempty"`
}

// Offer is hours of a weekday, in minutes after midnight.
type Offer struct {
	Day      string // mon ... sun
	From, To int
}

// Absence is days on which a member does not work.
type Absence struct {
	From, To string // dates, both included; To empty: until she says
	Why      string `json:",omitempty"`
}

// Class is what makes an order a class: it is held on its day, and small warps are
// ready on looms by then.
type Class struct {
	Day      string // date
	From, To int    // minutes after midnight
	Seats    int
	Learners int    // who have a seat
	Teacher  string `json:",omitempty"` // member; empty: whoever teaches
	Ahead    int    `json:",omitempty"` // days before it on which preparing begins; zero: DefaultAhead
}

// DefaultAhead is how many days before a class its warps may be begun.
const DefaultAhead = 21

// TaskKind is what is done in a task.
type TaskKind string

// Kinds of tasks, in the order of an order.
const (
	YarnTask    TaskKind = "yarn"    // sent for and waited for
	BathTask    TaskKind = "bath"    // a day's baths of a dyeing
	DryTask     TaskKind = "dry"     // on the line
	WindTask    TaskKind = "wind"    // skeins to balls
	WarpTask    TaskKind = "warp"    // on a frame
	DressTask   TaskKind = "dress"   // on the loom
	WeaveTask   TaskKind = "weave"   //
	BackTask    TaskKind = "back"    // taken back, weighed
	WashTask    TaskKind = "wash"    //
	SewTask     TaskKind = "sew"     //
	FinishTask  TaskKind = "finish"  // fringes, mending, pressing
	LabelTask   TaskKind = "label"   //
	DeliverTask TaskKind = "deliver" //
	ClassTask   TaskKind = "class"   //
)

// Task is one step of the work as people know it, with when it is in a timetable.
type Task struct {
	Key     string
	Kind    TaskKind
	Orders  []string // records
	Numbers []int64  // of the orders
	Where   string   // kind of page: order, job, dyeing
	ID      string   // of it
	Name    string   // what it is about
	Loads   []Load   // the hands' work; none: no rate is known of it
	Begun   bool

	Member  string // who does it; empty: nobody's hands, or whoever is in the workshop
	Places  []string
	Start   time.Time // from when it takes its places
	First   time.Time // hands work from First to Last
	Last    time.Time
	End     time.Time // standing and drying included
	Minutes int       // of hands
	Hands   []Stretch // when she works at it, day by day
	Told    bool      // as it is, she knows
	Was     *Turn     // what she was told, if that is something else
}

// Load is an amount of one kind of work, as package rates knows it.
type Load struct {
	Kind     string
	Quantity measure.Count
}

// Stretch is hours of one day.
type Stretch struct{ From, To time.Time }

// Turn is what someone was told of a task.
type Turn struct {
	Member  string    `json:",omitempty"`
	Start   time.Time // from when it takes its places
	End     time.Time
	Places  []string  `json:",omitempty"`
	Hands   []Stretch `json:",omitempty"`
	Minutes int
	Kind    TaskKind
	Name    string
	Where   string
	ID      string
	Orders  []string
}

// Told is all that people were told of the tasks of one order, or of one dyeing:
// by the task's key.
type Told struct {
	Of    string // record
	Turns map[string]Turn
	At    time.Time
	By    string
}

// Retelling is one change of what people were told, so that it can be undone:
// the records it changed, at the revisions it gave them.
type Retelling struct {
	At     time.Time
	By     string
	Move   *Shift `json:",omitempty"` // nil: a timetable was accepted
	Tasks  int
	After  map[string]int64
	Undone bool `json:",omitempty"`
}

// OrderTime is when an order is worked for and ready.
type OrderTime struct {
	ID       string
	Number   int64
	Customer string
	Due      string
	Promised bool
	Class    bool
	Start    time.Time
	Ready    time.Time
	Late     int // days begun
}

// Left is an order that stands in no timetable, and why.
type Left struct {
	ID       string
	Number   int64
	Problems check.Problems
}

// MemberShare is what a member is given of the paid work she would like.
type MemberShare struct {
	Member, Name string
	Given, Wants measure.Minute
}

// Timetable is who does what when.
type Timetable struct {
	Begin     time.Time
	Zone      *time.Location
	Tasks     []Task // by start
	Orders    []OrderTime
	Left      []Left
	Problems  check.Problems // what is in the way, or to be looked at
	Shares    []MemberShare
	Fairness  measure.Ratio
	Score     schedule.Score
	Bound     schedule.Bound
	Over      int64 // weighted days late above the bound
	Gap       measure.Ratio
	Schedules int
	Mark      string            // of what it was made from
	Names     map[string]string // of members, by record

	works *works
	plan  schedule.Plan
}

// Promise is a day that was promised to a customer.
type Promise struct {
	Order       string
	Number      int64
	Day         string        // date
	Probability measure.Ratio // with which it was given
	Given       time.Time
	By          string
}

// forecasts is how long each kind of work takes each member.
type forecasts struct {
	rates rates.Rates
	memo  map[[2]string]rates.Forecast
}
