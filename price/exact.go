package price

import (
	"math"
	"math/big"

	"github.com/govalues/decimal"
)

// rounding is what happens to a part of a minor unit.
type rounding int

const (
	down rounding = iota // towards minus infinity
	half                 // to the nearest, halves up
	up                   // towards plus infinity
)

func whole(n int64) *big.Rat { return new(big.Rat).SetInt64(n) }

func ratio(n, of int64) *big.Rat { return big.NewRat(n, of) }

func mul(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }

func quo(a, b *big.Rat) *big.Rat { return new(big.Rat).Quo(a, b) }

func add(a, b *big.Rat) *big.Rat { return new(big.Rat).Add(a, b) }

func sub(a, b *big.Rat) *big.Rat { return new(big.Rat).Sub(a, b) }

// fraction is a decimal as it is: coefficient over a power of ten.
func fraction(d decimal.Decimal) *big.Rat {
	n := new(big.Int).SetUint64(d.Coef())
	if d.IsNeg() {
		n.Neg(n)
	}
	return new(big.Rat).SetFrac(n, tenTo(d.Scale()))
}

func tenTo(n int) *big.Int { return new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(n)), nil) }

// round makes a whole number of a fraction; one that is too large for money stays
// the largest there is, which no bound lets pass.
func round(r *big.Rat, how rounding) int64 {
	q, rest := new(big.Int).DivMod(r.Num(), r.Denom(), new(big.Int)) // down, since the denominator is positive
	if how == up && rest.Sign() > 0 || how == half && rest.Lsh(rest, 1).Cmp(r.Denom()) >= 0 {
		q.Add(q, big.NewInt(1))
	}
	switch {
	case q.IsInt64():
		return q.Int64()
	case q.Sign() < 0:
		return math.MinInt64
	}
	return math.MaxInt64
}
