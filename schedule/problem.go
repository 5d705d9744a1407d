package schedule

import "time"

// Minutes is an amount of time, or a point in time counted from Problem.Begin.
type Minutes int

// Problem is the work of a workshop and what there is to do it with. Keys are the
// caller's; each is there once among its kind.
type Problem struct {
	Begin     time.Time      // nothing new starts before it
	In        *time.Location // of the calendars' hours; nil: UTC
	Days      int            // how far calendars are looked at; zero: 366
	Calendars []Calendar
	People    []Person
	Places    []Place
	Orders    []Order
	Steps     []Step
}

// Person is a member. She works when all her calendars are open, and at any hour
// if she has none.
type Person struct {
	Key       string
	Calendars []string
	Skills    []string
	Overtime  Minutes // so long may she go on after the last hours of each day
	Wants     Minutes // paid work she would like in the time planned; zero: she takes no part in the sharing
	Given     Minutes // of it she has had already
}

// Place is a pot, the drying line, a frame, a loom. A shared place holds steps
// side by side as long as their amounts fit; any other holds one at a time.
type Place struct {
	Key, Kind string
	Capacity  int // litres, kilograms, seats; zero: 1
	Shared    bool
}

// Order is what a date is promised for.
type Order struct {
	Key    string
	From   time.Time // nothing is done for it before; zero: from the beginning
	Due    time.Time // zero: no date was promised
	Weight int       // what a day late counts; zero: 1
}

// Step is one piece of work: first hands, then standing time by the clock (a
// soak, drying), which follows at once. Places are occupied from its start to
// its end, the person while hands work and in between.
type Step struct {
	Key    string
	Kind   string   // of work; only carried along
	Orders []string // it serves; several: a batch that they share
	Work   Minutes  // of hands
	Stand  Minutes  // by the clock
	Whole  bool     // hands may not stop in between: all work in one stretch of hours

	Skill    string // needed
	Who      []Hand // may do it; none: whoever has the skill; no skill either: no member's hands
	Stay     string // steps of one name here all stay with one person: a warp
	Calendar string // hours of hands besides the person's own: the dye yard's; none: any
	Needs    []Need
	After    []After

	At   time.Time // hours that are fixed: a class; zero: free
	Told *Told     // what a person was told
}

// Hand is a person who may do a step, and her work at it; zero: the step's.
type Hand struct {
	Person string
	Work   Minutes
}

// Need is room that a step takes up: in a place by key, or in any of a kind.
type Need struct {
	Place, Kind string
	Amount      int // zero: 1
}

// After is a step that must have ended: at least Min and at most Max before, by
// the clock. Max zero: it may lie for as long as it likes.
type After struct {
	Step     string
	Min, Max Minutes
}

// Told is what a person knows: she does the step, from a time on, in places. What
// she was told stays as it is unless Free; then moving it counts as a change.
// What has begun is hers, whatever Free says, and goes on as soon as she can: its
// Work and Stand are what is left.
type Told struct {
	Person string // none for a step without hands
	Start  time.Time
	Places []string // for each need; none: whichever is free
	Begun  bool
	Free   bool // may be moved: she will be asked
}

// Calendar is hours of work: those of the week, changed on some days by rules. A
// later rule goes before an earlier one.
type Calendar struct {
	Key    string
	Weekly []Hours
	Rules  []Rule
}

// Hours are hours of a day of the week.
type Hours struct {
	Day time.Weekday
	Span
}

// Span is hours by the wall clock of one day, in minutes after midnight, the end
// not included.
type Span struct{ From, To int }

// Rule gives some days other hours: a feast, a market day, an absence, weeks of
// harvest, a Sunday worked for once.
type Rule struct {
	Name     string         // what people call it
	From, To Date           // both included; zero: without a first or last day; year 0: every year
	Weekdays []time.Weekday // none: all
	Weeks    []int          // which of that weekday in the month, 1 to 5, -1 the last; none: all
	Hours    []Span         // none: closed
}

// Date is a day of the Gregorian calendar.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// When is a point of the problem's time.
func (p *Problem) When(m Minutes) time.Time {
	return p.Begin.Add(time.Duration(m) * time.Minute).In(p.in())
}

// at is a time in minutes from the beginning, seconds dropped.
func (p *Problem) at(t time.Time) int32 {
	d := t.Sub(p.Begin)
	m := d / time.Minute
	if d < m*time.Minute {
		m--
	}
	return int32(max(min(m, 1<<29), -1<<29))
}

func (p *Problem) in() *time.Location {
	if p.In == nil {
		return time.UTC
	}
	return p.In
}

func (p *Problem) days() int {
	if p.Days == 0 {
		return 366
	}
	return p.Days
}
