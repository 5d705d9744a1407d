package workshop

import (
	"urdir/colour"
	"urdir/dye"
	"urdir/measure"
)

// DyeHouse is what a workshop's dye house has and goes by.
type DyeHouse struct {
	Place    dye.Place
	Line     measure.Gram   // dry yarn that can hang on the line at once
	Lead     int            // days from dry yarn to the finished piece
	Limit    colour.DeltaE  // up to which a lot passes beside its standard
	Clock    measure.Minute // clocks are ahead of universal time
	Waters   []string       // where water is from
	Measures []Kitchen
	Reorder  map[string]measure.Gram // of a substance or plant, the least to have
}

// Kitchen is a measure of the workshop's own: what a level spoon or cup of
// something weighs, or what a pail holds.
type Kitchen struct {
	What   string // key of a substance, or the Latin name of a plant
	Name   string
	Mass   measure.Gram
	Volume measure.Litre // of what is measured by volume
}

// Defaults of a dye house that does not say; all from memory but the limit.
const (
	DefaultLine measure.Gram = 5000
	DefaultLead int          = 21
)

// Filled is a dye house with the defaults where it says nothing.
func (d DyeHouse) Filled() DyeHouse {
	usual := dye.NewPlace()
	if d.Place.Water == 0 {
		d.Place.Water = usual.Water
	}
	if d.Place.Air == 0 {
		d.Place.Air = usual.Air
	}
	if d.Place.Humidity == 0 {
		d.Place.Humidity = usual.Humidity
	}
	if d.Line == 0 {
		d.Line = DefaultLine
	}
	if d.Lead == 0 {
		d.Lead = DefaultLead
	}
	if d.Limit == 0 {
		d.Limit = colour.DefaultLimit
	}
	return d
}

// RecipeText is a recipe of the workshop's own: a recipe file. Its record is
// named by the recipe's key, and stands before a shipped recipe of that key.
type RecipeText struct {
	Name string // in the workshop's language, for lists
	Text string
}

// Supply is one bag, jar or gathering of a plant, mordant or other help of
// dyeing. How much there is follows from moves; what is measured by volume
// counts a gram for a millilitre.
type Supply struct {
	What     string // key of a substance, or the Latin name of a plant
	Name     string // as it is called here
	Gathered string // where it grew or came from
	By       string // who gathered or sold it
	Day      string // date it was gathered or bought
	Expires  string // date it should be used by
	Note     string
}

// Purchase is supplies that were bought, and what they cost.
type Purchase struct {
	Supply string
	Day    string
	From   string
	Mass   measure.Gram
	Cost   Money
	Paid   string `json:",omitempty"` // account it was paid from; empty: cash
	Note   string
}

// Wish is how a line of an order wants a yarn dyed.
type Wish struct {
	Recipe   string        // key
	Strength measure.Ratio `json:",omitempty"` // dyestuff, of the weight of fibre; zero: the recipe's own
	Colour   *colour.Lab   `json:",omitempty"` // wanted; nil: about the recipe's
}

// LotDye is what a lot knows of its dyeing. The dye house keeps it.
type LotDye struct {
	Undyed   bool          `json:",omitempty"` // yarn to be dyed
	Dyeing   string        `json:",omitempty"` // record of the dyeing it came of
	Recipe   string        `json:",omitempty"`
	Strength measure.Ratio `json:",omitempty"`
	Standard *colour.Lab   `json:",omitempty"` // colour that was wanted
	Measured *colour.Lab   `json:",omitempty"` // colour that it has
	How      string        `json:",omitempty"` // the colour was found: eye, photo, typed
	Unjudged bool          `json:",omitempty"` // dry, and nobody has said yet whether it will do
	Rejected bool          `json:",omitempty"` // not for the pieces it was dyed for
}

// Dyeing is one lot on its way through the dye house: planned, dyed, dried,
// judged. Its recipe is kept as it was when it was planned.
type Dyeing struct {
	Number   int64 // counted through the workshop
	Lot      string
	Label    string // the lot's name
	Recipe   string // key
	Text     string // recipe file
	Strength measure.Ratio
	Fibre    string // of the yarn: cotton, wool ...
	Count    string
	Mass     measure.Gram
	Skein    measure.Gram
	From     string      // lot of yarn it takes
	Standard *colour.Lab `json:",omitempty"`
	After    string      `json:",omitempty"` // dyeing in whose bath it is dyed
	Days     []DyeDay    // one for each stage of the recipe
	Dry      string      // date
	For      []DyeFor
	Facts    []DyeFact
}

// DyeDay is when a stage of a dyeing is to be done, and in which pots.
type DyeDay struct {
	Kind dye.Kind
	Day  string
	Pots []string
}

// DyeFor is a yarn of an order's line that a dyeing is for.
type DyeFor struct {
	Order, Line, Yarn string
	Number            int64 // of the order
	Mass              measure.Gram
}

// DyeFact is something that happened to a dyeing. Which fields are used is said
// with its kind.
type DyeFact struct {
	Kind     DyeFactKind
	At       string          // date
	By       string          // name of who told it
	Stage    int             `json:",omitempty"` // stage: counted from 0
	Dyer     string          `json:",omitempty"` // stage: who did it
	Pots     []string        `json:",omitempty"` // stage
	Water    string          `json:",omitempty"` // stage: where from
	Hottest  measure.Celsius `json:",omitempty"` // stage
	Time     measure.Minute  `json:",omitempty"` // stage: in the bath
	From     string          `json:",omitempty"` // begun: lot of yarn
	Mass     measure.Gram    `json:",omitempty"` // begun: taken; out: dry, off the line
	Colour   *colour.Lab     `json:",omitempty"` // coloured
	How      string          `json:",omitempty"` // coloured: eye, photo, typed
	Apart    colour.DeltaE   `json:",omitempty"` // judged: from the standard
	Accepted bool            `json:",omitempty"` // judged
	Picture  string          `json:",omitempty"` // a file
	Note     string          `json:",omitempty"`
	Moves    []Moved         `json:",omitempty"` // material that went with it
}

// DyeFactKind is what happened to a dyeing.
type DyeFactKind string

const (
	BegunFact    DyeFactKind = "begun"    // the yarn left the shelf
	StageFact    DyeFactKind = "stage"    // a day's baths are done
	OutFact      DyeFactKind = "out"      // dry and weighed
	ColouredFact DyeFactKind = "coloured" // its colour was found
	JudgedFact   DyeFactKind = "judged"   // beside its standard
)

// Hows is how a colour can be found.
var Hows = []string{"eye", "photo", "typed"}

// Sample is a skein dyed to learn what a strength gives; a strength of zero is
// the yarn as it goes into the bath, mordanted.
type Sample struct {
	Recipe   string
	Strength measure.Ratio
	Colour   colour.Lab
	How      string
	Day      string
	Note     string
}

// Trial is a test of how fast a lot's colour is: to washing, light or rubbing.
type Trial struct {
	Lot      string
	Kind     string // wash, light, rub-dry, rub-wet
	Day      string
	By       string
	How      string       // soap, temperature, hours, in her own words
	Before   *colour.Lab  `json:",omitempty"`
	After    *colour.Lab  `json:",omitempty"`
	Change   colour.Grade `json:",omitempty"` // grey scale ISO 105-A02, by eye or of Before and After
	Staining colour.Grade `json:",omitempty"` // grey scale ISO 105-A03
	Note     string
}

// Trials is every kind of test.
var Trials = []string{"wash", "light", "rub-dry", "rub-wet"}
