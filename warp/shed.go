package warp

import "urdir/measure"

// Sheds is how the cross divides the ends: the odd ones lie over the shed rod,
// the even ones hang in the heddles (common practice).
type Sheds struct {
	Rod        int        `json:"rod_ends"`
	Heddles    int        `json:"heddles"`
	Height     measure.CM `json:"heddle_height_cm"`
	StringEach measure.CM `json:"string_each_cm"`
	String     measure.M  `json:"string_m"`
}

// Allowances of heddle string, from memory: the loop goes down and up again,
// takes a hitch over the heddle stick, and the whole ends in two knots.
const (
	hitch measure.CM = 2
	knots measure.CM = 40
)

// DefaultHeddleHeight is the depth of a heddle loop, from memory.
const DefaultHeddleHeight measure.CM = 8

// Shed divides the ends and reckons the heddle string for loops of the height.
func Shed(ends int, height measure.CM) Sheds {
	s := Sheds{Rod: (ends + 1) / 2, Heddles: ends / 2, Height: height, StringEach: 2*height + hitch}
	s.String = (measure.CM(s.Heddles)*s.StringEach + knots).M()
	return s
}
