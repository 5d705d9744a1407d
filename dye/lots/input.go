package lots

import (
	"math"

	"urdir/measure"
)

// Milligram is a mass that adds up exactly.
type Milligram int64

// Milligrams is a mass to the nearest milligram.
func Milligrams(m measure.Gram) Milligram { return Milligram(math.Round(float64(m) * 1000)) }

// Gram is the same mass in grams.
func (m Milligram) Gram() measure.Gram { return measure.Gram(float64(m) / 1000) }

// Most that a Work may hold. MaxDay is about ten years.
const (
	MaxWants  = 5000
	MaxPots   = 16
	MaxStages = 4
	MaxDay    = 3650
	MaxWait   = 30
	MaxWeight = 1000

	maxStrength = 10        // of the weight of fibre
	maxMass     = 1_000_000 // g, of a want
	maxLitres   = 100_000
)

// Work is everything a dye plan is made from. Days are counted from 0, the first
// on which anything can be dyed.
type Work struct {
	Wants   []Want       `json:"wants"`
	Recipes []Recipe     `json:"recipes"`
	Pots    []Pot        `json:"pots"`
	Line    measure.Gram `json:"line_g"`      // dry mass of the yarn that can hang on a day
	Closed  []int        `json:"closed_days"` // no pot is lit: feasts, market days, days without the dyer
}

// Want is yarn of one colour for one order line or group of pieces. It is never
// split over lots.
type Want struct {
	Key      string        `json:"key"`
	Recipe   string        `json:"recipe"`
	Strength measure.Ratio `json:"strength_fraction"` // dyestuff, of the weight of fibre; told apart to 0.01 %
	Fibre    string        `json:"fibre"`             // class, as cellulose or protein
	Kind     string        `json:"kind,omitempty"`    // yarns of one kind may share a bath
	Wanted   measure.Gram  `json:"wanted_g"`
	Skein    measure.Gram  `json:"skein_g"` // whole skeins are dyed
	From     int           `json:"from_day"`
	Due      int           `json:"due_day"` // the warp is laid: the yarn must be dry
	Weight   int           `json:"weight"`  // what a day late counts; zero is 1
}

// Recipe is what the plan must know of one.
type Recipe struct {
	Key    string         `json:"key"`
	Fibres []string       `json:"fibres,omitempty"` // classes it suits; none named: all
	Liquor measure.LPerKG `json:"liquor_l_per_kg"`
	Stages []Stage        `json:"stages"`
	Dry    int            `json:"dry_days"` // on the line
	Left   measure.Ratio  `json:"left_fraction"`
}

// Stage is one day's bath. Min and Max are days after the stage before, at least
// 1; in the first stage they mean nothing. Both zero are 1 and 1.
type Stage struct {
	Key string `json:"key"`
	Min int    `json:"min_wait_days"`
	Max int    `json:"max_wait_days"`
}

// Pot is a dye pot. Fill is how full it may be.
type Pot struct {
	Key    string        `json:"key"`
	Litres measure.Litre `json:"litres_l"`
	Fill   measure.Ratio `json:"fill_fraction"`
}
