package books

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"urdir/check"
)

// Number is the number of a document: an invoice, a receipt, a pay slip. Each series
// counts from 1 in each year without a gap; a document that was a mistake keeps its
// number and is reversed.
type Number struct {
	Series string // capital letters and digits, as F
	Year   int
	N      int64
}

// String is the number as it is printed: "F-2026-0012".
func (n Number) String() string { return fmt.Sprintf("%s-%04d-%04d", n.Series, n.Year, n.N) }

// ParseNumber reads a number as it is printed; ok is false for anything else.
func ParseNumber(text string) (n Number, ok bool) {
	parts := strings.Split(text, "-")
	if len(parts) != 3 {
		return Number{}, false
	}
	year, err := strconv.Atoi(parts[1])
	count, err2 := strconv.ParseInt(parts[2], 10, 64)
	n = Number{parts[0], year, count}
	return n, err == nil && err2 == nil && n.valid() && n.String() == text
}

func (n Number) valid() bool {
	return n.Series != "" && strings.Trim(n.Series, "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789") == "" && n.Year > 0 && n.Year < 10000 && n.N > 0
}

// Next is the number after the last one of its series, in a year: 1 if last is of
// another year, or zero. Whoever takes it must hold the series until the document is
// kept, or two would have the same.
func Next(last Number, series string, year int) Number {
	if last.Series == series && last.Year == year {
		return Number{series, year, last.N + 1}
	}
	return Number{series, year, 1}
}

// CheckNumbers looks for gaps and for numbers used twice, in each series and year.
// Problems: number-missing, once for each gap; number-twice; number-unread.
func CheckNumbers(numbers []Number) (ps check.Problems) {
	sorted := slices.SortedFunc(slices.Values(numbers), func(a, b Number) int {
		return cmp.Or(cmp.Compare(a.Series, b.Series), cmp.Compare(a.Year, b.Year), cmp.Compare(a.N, b.N))
	})
	last := Number{}
	for _, n := range sorted {
		if !n.valid() {
			ps.Wrong("documents", "number-unread", check.Args{"text": n.String()})
			continue
		}
		switch want := Next(last, n.Series, n.Year); {
		case n == last:
			ps.Wrong("documents", "number-twice", check.Args{"number": n.String()})
		case n.N > want.N:
			to := Number{n.Series, n.Year, n.N - 1}
			ps.Wrong("documents", "number-missing", check.Args{"from": want.String(), "to": to.String()})
		}
		last = n
	}
	return ps
}
