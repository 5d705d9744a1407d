package price

import (
	"fmt"
	"math/big"
	"slices"

	"urdir/check"
)

func at(list string, i int) string { return fmt.Sprintf("%s[%d]", list, i) }

// Split shares an amount out by weights, as a payment among people or a discount
// among lines. The parts are whole minor units, add up to the amount, and none is a
// unit or more from its exact share: each has its share rounded down, and the
// largest remainders get a unit more, the first of equal ones (Hamilton's method).
// Problem: split-weights, if no weight is positive or one is negative.
func Split(total Money, weights []int64) ([]Money, check.Problems) {
	var ps check.Problems
	sum := new(big.Int)
	for _, w := range weights {
		if w < 0 {
			ps.Wrong("weights", "split-weights", nil)
			return nil, ps
		}
		sum.Add(sum, big.NewInt(w))
	}
	if sum.Sign() == 0 {
		ps.Wrong("weights", "split-weights", nil)
		return nil, ps
	}
	parts, order, rests := make([]Money, len(weights)), make([]int, len(weights)), make([]*big.Int, len(weights))
	left := total.Minor
	for i, w := range weights {
		exact := new(big.Int).Mul(big.NewInt(total.Minor), big.NewInt(w))
		share, rest := new(big.Int).DivMod(exact, sum, new(big.Int)) // down, also below nothing
		parts[i], rests[i], order[i] = Money{share.Int64(), total.Currency}, rest, i
		left -= parts[i].Minor
	}
	slices.SortStableFunc(order, func(a, b int) int { return rests[b].Cmp(rests[a]) })
	for _, i := range order[:left] {
		parts[i].Minor++
	}
	return parts, ps
}

// Taken is what a part of a lot is booked at when it is taken out: before and taken
// are in the lot's unit. Whatever the parts, all of them add up to the cost, and
// what is left is worth the cost less what was taken.
func Taken(cost Money, lot, before, taken int64) Money {
	if lot <= 0 {
		return Money{0, cost.Currency}
	}
	value := func(n int64) int64 { return round(mul(whole(cost.Minor), ratio(n, lot)), half) }
	return Money{value(before+taken) - value(before), cost.Currency}
}

// Average is what a unit of a lot costs on average, half up: cost x unit / lot. Zero
// for a lot of which nothing is there. Lot and unit are in one unit, such as
// milligrams.
func Average(cost Money, lot, unit int64) Money {
	if lot <= 0 {
		return Money{0, cost.Currency}
	}
	return Money{round(mul(whole(cost.Minor), ratio(unit, lot)), half), cost.Currency}
}
