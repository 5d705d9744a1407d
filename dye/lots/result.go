package lots

import (
	"urdir/check"
	"urdir/measure"
)

// Plan is a dye plan and how good it is.
type Plan struct {
	Lots   []Lot         `json:"lots"` // by first day
	Days   []Day         `json:"days"` // on which a pot is lit
	Line   []Hung        `json:"line"` // days on which yarn hangs
	Late   []Late        `json:"late"` // wants that are dry after they are due
	Score  Score         `json:"score"`
	Bound  Bound         `json:"bound"`
	Over   int64         `json:"late_over_bound_days"` // weighted lateness beyond the bound
	Gap    measure.Ratio `json:"work_gap_fraction"`    // work beyond the bound, of the bound
	Proven bool          `json:"proven"`               // lateness and work are the least there can be
	Steps  int           `json:"steps"`
}

// Score is a plan's objective and what it is made of.
type Score struct {
	Late    int64 `json:"late_days"` // weighted
	Work    int64 `json:"work"`      // 3 dye days + 2 baths + 1 fresh dye baths
	DyeDays int   `json:"dye_days"`
	Baths   int   `json:"baths"` // of all stages
	Fresh   int   `json:"fresh_dye_baths"`
	After   int   `json:"afterbaths"`
	Ready   int64 `json:"ready_days"` // sum over wants of the day they are dry
}

// Lot is yarn of one colour that is dyed together. Lots are numbered from 1.
type Lot struct {
	Number   int           `json:"number"`
	Recipe   string        `json:"recipe"`
	Strength measure.Ratio `json:"strength_fraction"`
	Fibre    string        `json:"fibre"`
	Kind     string        `json:"kind,omitempty"`
	Wants    []Part        `json:"wants"`
	Mass     Milligram     `json:"mass_mg"`
	Stages   []Soak        `json:"stages"`
	Dry      int           `json:"dry_day"`
	After    int           `json:"after_lot,omitempty"` // the lot whose last bath it is dyed in
	Why      []Reason      `json:"why"`
}

// Part is what a lot or a bath holds of a want.
type Part struct {
	Want   string    `json:"want"`
	Skeins int       `json:"skeins"`
	Mass   Milligram `json:"mass_mg"`
}

// Soak is a stage of a lot on its day.
type Soak struct {
	Stage string `json:"stage"`
	Day   int    `json:"day"`
	Baths []Bath `json:"baths"`
}

// Bath is what goes into one pot. Fill is of the dry yarn the pot may hold.
type Bath struct {
	Pot    string        `json:"pot"`
	Parts  []Part        `json:"parts"`
	Mass   Milligram     `json:"mass_mg"`
	Liquor measure.Litre `json:"liquor_l"`
	Fill   measure.Ratio `json:"fill_fraction"`
}

// Day is what is in the pots on a day, in the order in which to begin: baths that
// stand from the day before, then lots by number.
type Day struct {
	Day   int     `json:"day"`
	Fires []Fired `json:"pots"`
}

// Fired is a pot on a day.
type Fired struct {
	Pot   string    `json:"pot"`
	Lot   int       `json:"lot"`
	Stage string    `json:"stage"`
	Mass  Milligram `json:"mass_mg"`
	After bool      `json:"afterbath"`
}

// Hung is the dry mass of the yarn on the line on a day.
type Hung struct {
	Day  int       `json:"day"`
	Mass Milligram `json:"mass_mg"`
}

// Late is a want that is dry after its due day. Fewest is how late it would be if
// it were dyed before everything else.
type Late struct {
	Want   string `json:"want"`
	Lot    int    `json:"lot"`
	Days   int    `json:"days"`
	Fewest int    `json:"fewest_days"`
}

// Reason is why a lot is as it is: a key of the words, with its values. A "day"
// among them is a day number, in place of which a page gives the date.
type Reason struct {
	Key  string     `json:"key"`
	Args check.Args `json:"args"`
}
