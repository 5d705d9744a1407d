package workshop

import (
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"urdir/check"
	"urdir/measure"
	"urdir/price"
)

// Limits of what a person can mean.
const (
	maxName                = 120
	maxGrams  measure.Gram = 1e6
	maxSize   measure.CM   = 2000
	maxMinor               = 1e12
	maxLines               = 40
	maxPieces              = 1000
)

// named asks for a name.
func named(ps *check.Problems, path, v string) {
	if v == "" {
		ps.Wrong(path, "field-empty", nil)
		return
	}
	short(ps, path, v, maxName)
}

// short bounds a text.
func short(ps *check.Problems, path, v string, most int) {
	if n := utf8.RuneCountInString(v); n > most {
		ps.Wrong(path, "text-long", check.Args{"length": n, "most": most})
	}
	if !plain(v) {
		ps.Wrong(path, "file-not-text", nil)
	}
}

// The most of a postal address: lines, and signs in each. Our own choice: what stands at
// the head of a paper beside its number.
const (
	addressLines = 6
	addressSigns = 60
)

// tidyAddress is an address without spaces around its lines, and without empty ones.
func tidyAddress(text string) string {
	var lines []string
	for line := range strings.Lines(text) {
		if line = strings.TrimSpace(line); line != "" {
			lines = append(lines, line)
		}
	}
	return strings.Join(lines, "\n")
}

// address bounds an address.
func address(ps *check.Problems, text string) {
	n := 0
	for line := range strings.Lines(text) {
		n++
		short(ps, "address", strings.TrimSuffix(line, "\n"), addressSigns)
	}
	if n > addressLines {
		ps.Wrong("address", "address-long", check.Args{"lines": n, "most": addressLines})
	}
}

// day reads a date, which may be left out.
func day(ps *check.Problems, path, v string) {
	if v == "" {
		return
	}
	d, err := time.Parse(time.DateOnly, v)
	if err != nil || d.Year() < 1990 || d.Year() > 2200 {
		ps.Wrong(path, "date-unread", check.Args{"text": v})
	}
}

func weight(ps *check.Problems, path string, g measure.Gram) {
	if !(g >= 0 && g <= maxGrams) {
		ps.Wrong(path, "mass-out-of-range", check.Args{"value": g})
	}
}

// size bounds what was measured; 0 if it was not.
func size(ps *check.Problems, path string, l measure.CM) {
	if !(l >= 0 && l <= maxSize) {
		ps.Wrong(path, "size-out-of-range", check.Args{"value": l, "low": measure.CM(0), "high": maxSize})
	}
}

// money bounds an amount, which may be left out.
func money(ps *check.Problems, path string, m Money) {
	if m.Minor < 0 || m.Minor > maxMinor {
		ps.Wrong(path, "amount-out-of-range", nil)
	}
	if m != (Money{}) && !price.Known(m.Currency) {
		ps.Wrong(path, "currency-unknown", check.Args{"text": m.Currency})
	}
}

func choice(ps *check.Problems, path, v string, choices ...string) {
	if slices.Contains(choices, v) {
		return
	}
	ps.Wrong(path, "value-choice", check.Args{"text": v, "choices": strings.Join(choices, ", ")})
}

// isColour reads "#rrggbb".
func isColour(s string) bool {
	if len(s) != 7 || s[0] != '#' {
		return false
	}
	return strings.Trim(s[1:], "0123456789abcdefABCDEF") == ""
}
