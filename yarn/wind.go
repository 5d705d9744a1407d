package yarn

import (
	"math"

	"urdir/measure"
)

// Purchase is yarn bought by the skein.
type Purchase struct {
	Need   measure.Gram
	Skeins int
	Buy    measure.Gram
	Left   measure.Gram
}

// Buy rounds a need up to whole skeins of the given mass, which must be above
// zero. The last bits of a float never cost a skein: a millionth of one is
// forgiven.
func Buy(need, skein measure.Gram) Purchase {
	n := int(math.Ceil(float64(need/skein) - 1e-6))
	p := Purchase{Need: need, Skeins: n, Buy: skein * measure.Gram(n)}
	p.Left = max(0, p.Buy-need)
	return p
}

// Ball is one of several equal balls.
type Ball struct {
	Balls  int
	Length measure.M // of the doubled thread on each
	Strand measure.M // of the single strand in each
	Mass   measure.Gram
}

// Wind divides a length of ends over balls held together at the frame; balls
// is at least one.
func (t Thread) Wind(end measure.M, balls int) Ball {
	each := end / measure.M(balls)
	return Ball{Balls: balls, Length: each, Strand: t.StrandLength(each), Mass: t.Mass(each)}
}
