package dye

import (
	"slices"
	"strings"

	"urdir/measure"
)

// Fibre is a class of fibre; dyes and mordants take on each in their own way.
type Fibre string

const (
	Cellulose Fibre = "cellulose" // cotton, linen, hemp, ramie, agave, jute
	Protein   Fibre = "protein"   // wool, alpaca, llama, silk
)

// FibreOf is the class of a fibre's name, as in a cloth file; ok is false for
// one that takes no plant dye, or is not known.
func FibreOf(name string) (class Fibre, ok bool) {
	switch name {
	case "cotton", "linen", "hemp", "ramie", "agave", "jute", string(Cellulose):
		return Cellulose, true
	case "wool", "alpaca", "llama", "silk", string(Protein):
		return Protein, true
	}
	return "", false
}

// Kind is what a step does.
type Kind string

const (
	Soak    Kind = "soak"    // wet the fibre through
	Scour   Kind = "scour"   // wash out grease and wax
	Tannin  Kind = "tannin"  // give cellulose something for the mordant to hold
	Mordant Kind = "mordant" // the metal salt that binds the dye
	Fix     Kind = "fix"     // afterbath that sets a mordant
	Extract Kind = "extract" // draw the dye out of the plant, without fibre
	Dye     Kind = "dye"
	Modify  Kind = "modify" // shift the colour with iron, acid or alkali
	Dip     Kind = "vat"    // dips in a vat, with airing
	Rinse   Kind = "rinse"
	Wash    Kind = "wash"
	Rest    Kind = "rest" // hang or lie, without a bath
	Dry     Kind = "dry"
)

// Kinds is every kind, in the usual order of the work.
var Kinds = []Kind{Soak, Scour, Tannin, Mordant, Fix, Extract, Dye, Dip, Modify, Rinse, Wash, Rest, Dry}

// wet says whether a step of this kind has a bath of its own.
func (k Kind) wet() bool { return k != Rest && k != Dry }

// Text is words in several languages by their tag; "" is a text in whichever
// language its writer speaks.
type Text map[string]string

// In is the text in a language, else in none, else in English, else the first
// there is by the order of tags.
func (t Text) In(tag string) string {
	base, _, _ := strings.Cut(tag, "-")
	for _, l := range []string{tag, base, "", "en"} {
		if s := t[l]; s != "" {
			return s
		}
	}
	tags := make([]string, 0, len(t))
	for l := range t {
		tags = append(tags, l)
	}
	slices.Sort(tags)
	for _, l := range tags {
		if t[l] != "" {
			return t[l]
		}
	}
	return ""
}

// Material is something a recipe uses that is no chemical of the list: a plant,
// an insect, an earth.
type Material struct {
	Key   string // by which amounts speak of it
	Latin string // botanical or zoological name, or that of the mineral
	Name  Text   // common name, with the part used
	Fresh bool   // weighed fresh; dried it is many times stronger
	Toxic bool   // beyond the usual care; the note says how
}

// Amount is how much of a substance or material a step takes. One of the five
// is given; Low and High are the published range of a Share, zero if none.
type Amount struct {
	What       string
	Share      measure.Ratio // of the weight of dry fibre (WOF)
	PerLitre   measure.PerLitre
	MLPerLitre measure.MLPerLitre
	MLPerKG    measure.MLPerKG // of dry fibre
	Low, High  measure.Ratio
	Source     string // published source, or "from memory"
}

// Segment is a stretch of a temperature curve: from one temperature to another
// at a rate, and a hold there. From and Rate may be zero: from where the bath
// is, at DefaultRate.
type Segment struct {
	From, To measure.Celsius
	Rate     measure.CPerMin
	Hold     measure.Minute
}

// Step is one thing done with the fibre.
type Step struct {
	Kind    Kind
	Amounts []Amount
	Liquor  measure.LPerKG // zero: the recipe's
	Same    bool           // in the bath of the step before: no new water
	Times   int            // waters, one after the other; zero is one
	Heat    []Segment
	Vat     *Vat
	Work    measure.Minute // hands
	Stand   measure.Minute // standing: soaking, cooling, resting
	NextDay bool           // begins another day
	Wait    measure.Minute // the longest the fibre may wait after the step before; zero: not said
	Hazards []Hazard       // beyond those that follow from what is in the bath
	Waste   Waste
	Note    Text
	Source  string // of temperature and time
}

// Recipe is the way to one colour on one class of fibre.
type Recipe struct {
	Key       string
	Name      Text
	Shade     Text   // the colour in words
	Colour    string // about, as #rrggbb; from memory
	Fibre     Fibre
	Liquor    measure.LPerKG
	Materials []Material
	Steps     []Step
	Left      measure.Ratio // share of the strength left for an afterbath; zero: none worth it
	Sample    bool          // try a sample first
	Note      Text
}

// Material is the material of a key, or nil.
func (r Recipe) Material(key string) *Material {
	for i := range r.Materials {
		if r.Materials[i].Key == key {
			return &r.Materials[i]
		}
	}
	return nil
}

// liquor is the liquor ratio of a step.
func (r Recipe) liquor(s Step) measure.LPerKG {
	if s.Liquor > 0 {
		return s.Liquor
	}
	return r.Liquor
}

// times is how many waters a step has.
func (s Step) times() int { return max(1, s.Times) }
