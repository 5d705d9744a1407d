package tables

import (
	"strconv"
	"strings"
	"time"

	"urdir/check"
)

// Numbers says how a table writes its decimals.
type Numbers struct{ comma, point bool }

// NumbersOf looks at the cells of some columns for numbers that can be read in one
// way only, and takes the others to be written alike.
func NumbersOf(s Sheet, columns ...int) (n Numbers) {
	for _, r := range s.Rows {
		for _, i := range columns {
			c := r.Cell(i)
			if c.Exact {
				continue
			}
			comma, point := plainMarks(c.Text)
			n.comma, n.point = n.comma || comma, n.point || point
		}
	}
	return n
}

// plainMarks says what a number proves: 12,5 and 1.234,5 a decimal comma, 12.5 and
// 1,234.5 a point; 1.234 and 1,234 nothing.
func plainMarks(s string) (comma, point bool) {
	lastComma, lastPoint := strings.LastIndexByte(s, ','), strings.LastIndexByte(s, '.')
	decimals := func(at int) int { return len(strings.TrimRight(s[at+1:], "%gkGK \u00a0")) }
	switch {
	case lastComma > lastPoint:
		return lastPoint >= 0 || strings.Count(s, ",") == 1 && decimals(lastComma) != 3, strings.Count(s, ",") > 1
	case lastPoint > lastComma:
		return strings.Count(s, ".") > 1, lastComma >= 0 || strings.Count(s, ".") == 1 && decimals(lastPoint) != 3
	}
	return false, false
}

// Parse reads a number; it may be grouped by the other mark or by spaces. The
// problem's code is "quantity-number", or "quantity-comma" for what can be read in
// two ways in this table.
func (n Numbers) Parse(c Cell) (v float64, code string) {
	s := strings.NewReplacer(" ", "", "\u00a0", "", "\u202f", "", "'", "").Replace(c.Text)
	if c.Exact {
		return plainFloat(s)
	}
	decimal, group := ".", ","
	marked := strings.ContainsAny(s, ".,")
	comma, point := plainMarks(s)
	switch {
	case comma:
		decimal, group = ",", "."
	case point || !marked:
	case n.comma == n.point: // nothing says which, or both do
		return 0, "quantity-comma"
	case n.comma:
		decimal, group = ",", "."
	}
	whole, rest, _ := strings.Cut(s, decimal)
	parts := strings.Split(strings.TrimLeft(whole, "+-"), group)
	for i, p := range parts[1:] {
		if len(p) != 3 || i == 0 && (parts[0] == "" || len(parts[0]) > 3) {
			return 0, "quantity-number"
		}
	}
	s = strings.ReplaceAll(whole, group, "")
	if rest != "" {
		s += "." + rest
	}
	if strings.Trim(s, "+-.0123456789") != "" { // no 1e5, no Inf
		return 0, "quantity-number"
	}
	return plainFloat(s)
}

func plainFloat(s string) (v float64, code string) {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return 0, "quantity-number"
	}
	return v, ""
}

// Dates says in which order a table writes day and month.
type Dates struct{ dayFirst, monthFirst bool }

// DatesOf looks at the cells of some columns for dates that can be read in one way
// only.
func DatesOf(s Sheet, columns ...int) (d Dates) {
	for _, r := range s.Rows {
		for _, i := range columns {
			a, b, _, ok := threeNumbers(r.Cell(i).Text)
			d.dayFirst, d.monthFirst = d.dayFirst || ok && a > 12 && b <= 12, d.monthFirst || ok && b > 12 && a <= 12
		}
	}
	return d
}

// threeNumbers reads 28/11/2026, 28-11-26 and 28.11.2026.
func threeNumbers(s string) (a, b, year int, ok bool) {
	parts := strings.FieldsFunc(s, func(r rune) bool { return r == '/' || r == '-' || r == '.' })
	if len(parts) != 3 || len(parts[0]) > 2 || len(parts[1]) > 2 || len(parts[2]) != 2 && len(parts[2]) != 4 {
		return 0, 0, 0, false
	}
	numbers := [3]int{}
	for i, p := range parts {
		n, err := strconv.Atoi(p)
		if err != nil {
			return 0, 0, 0, false
		}
		numbers[i] = n
	}
	if len(parts[2]) == 2 {
		numbers[2] += 2000
	}
	return numbers[0], numbers[1], numbers[2], true
}

// Parse reads a date and gives it as YYYY-MM-DD; empty stays empty. The problem's
// code is "date-unread", or "date-two-ways" when day and month may be meant either
// way in this table.
func (d Dates) Parse(c Cell) (date, code string) {
	if c.Text == "" {
		return "", ""
	}
	if at, err := time.Parse(time.DateOnly, c.Text); err == nil {
		return at.Format(time.DateOnly), ""
	}
	a, b, year, ok := threeNumbers(c.Text)
	if !ok {
		return "", "date-unread"
	}
	day, month := a, b
	switch {
	case a > 12: // 28/11
	case b > 12 || d.monthFirst && !d.dayFirst: // 11/28
		day, month = b, a
	case a > 0 && b > 0 && a != b && d.dayFirst == d.monthFirst:
		return "", "date-two-ways"
	}
	at := time.Date(year, time.Month(month), day, 0, 0, 0, 0, time.UTC)
	if at.Day() != day || int(at.Month()) != month { // the 31st of November
		return "", "date-unread"
	}
	return at.Format(time.DateOnly), ""
}

// Wrong adds the problem of a cell, if there is one.
func Wrong(ps *check.Problems, path, code string, c Cell) {
	if code != "" {
		ps.Wrong(path, code, check.Args{"text": c.Text})
	}
}
