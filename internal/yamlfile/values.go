package yamlfile

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
)

// Significant digits of a number that is short, and of any float64.
const (
	fewDigits = 6
	allDigits = 17
)

// Quantity writes a quantity so that parse reads it back to the last bit, or
// else the nearest that can be. It has the first of the units if in it its
// number is short; else another, since 50 /in is no short number of ends per
// centimetre, and a file has a limit for numbers.
func Quantity[T ~float64](v T, parse func(string) (T, error), units ...string) string {
	v += 0 // no minus before zero
	for _, digits := range []int{fewDigits, allDigits} {
		for _, unit := range units {
			if s, ok := exactly(v, parse, unit, digits); ok {
				return s
			}
		}
	}
	one, _ := parse("1 " + units[0])
	s := Decimal(float64(v)/float64(one)) + " " + units[0]
	if near, err := parse(s); err == nil {
		if short, ok := exactly(near, parse, units[0], allDigits); ok {
			return short
		}
	}
	return s
}

// exactly is the shortest number of a unit that reads as v, if there is one of
// so many digits. Reading multiplies by the unit and rounds, and so does the
// division here, so the numbers beside the quotient are tried as well.
func exactly[T ~float64](v T, parse func(string) (T, error), unit string, digits int) (string, bool) {
	one, _ := parse("1 " + unit)
	x := float64(v) / float64(one)
	var numbers []float64
	for n := range digits {
		short, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'e', n, 64), 64)
		numbers = append(numbers, short)
	}
	if digits == allDigits {
		below, above := x, x
		for range 4 {
			below, above = math.Nextafter(below, math.Inf(-1)), math.Nextafter(above, math.Inf(1))
			numbers = append(numbers, below, above)
		}
	}
	for _, n := range numbers {
		s := Decimal(n) + " " + unit
		if got, err := parse(s); err == nil && got == v {
			return s, true
		}
	}
	return "", false
}

// Decimal is a number without an exponent.
func Decimal(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Word is one of a few words that stand for themselves, yes and no among them.
func Word[T ~string](v T) string {
	if goodKey(string(v)) {
		return string(v)
	}
	return Text(string(v))
}

// YesNo is as ToYesNo reads it.
func YesNo(v bool) string {
	if v {
		return "yes"
	}
	return "no"
}

// Pair is a size or a number and a name: "12 indigo".
func Pair(size, name string) string {
	if bare(name) {
		return size + " " + name
	}
	return quoted(size+" "+name, 0)
}

// Name is a name, of which there may be many on a line.
func Name(name string) string {
	if bare(name) {
		return name
	}
	return quoted(name, 0)
}

// bare reports whether a name, of which there may be many on a line, needs no
// quotation marks.
func bare(name string) bool { return goodKey(name) && plain(name, "") }

// Text is a text as it may stand on a line with others.
func Text(s string) string {
	if _, err := time.Parse(time.DateOnly, s); err == nil || plain(s, "") {
		return s
	}
	return quoted(s, fewPairs)
}

// Prose is a text with the line for itself. One of several lines that is
// nothing but print stands as a block.
func Prose(s string) string {
	if plain(s, ",") {
		return s
	}
	if strings.Contains(s, "\n") && !slices.ContainsFunc(strings.Split(s, "\n"), func(line string) bool { return !ofABlock(line) }) {
		return "|\n" + s
	}
	return quoted(s, fewPairs)
}

// ofABlock reports whether a line can stand in a block of text and be the same
// when it is read.
func ofABlock(line string) bool {
	for _, ch := range line {
		if !unicode.IsPrint(ch) || strings.ContainsRune("[]{}", ch) {
			return false
		}
	}
	return strings.TrimSpace(line) == line && strings.Count(line, ": ")+strings.Count(line, "- ") <= fewPairs
}

// notPlain is words that some programs take for something else than text.
var notPlain = []string{"yes", "no", "on", "off", "true", "false", "null", "nan", "inf", "infinity"}

// plain reports whether a text needs no quotation marks, wherever it stands. It
// is told by a short list of what is safe. Commas are safe outside of brackets.
func plain(s, also string) bool {
	if s == "" || strings.HasSuffix(s, " ") || strings.Contains(s, "  ") || strings.Count(s, "- ") > fewPairs ||
		slices.Contains(notPlain, strings.ToLower(s)) {
		return false
	}
	for i, ch := range s {
		safe := unicode.IsLetter(ch) || ch == '¿' || ch == '¡' ||
			i > 0 && (unicode.IsDigit(ch) || unicode.Is(unicode.Mn, ch) || strings.ContainsRune(" -_./()+;%'?!"+also, ch))
		if !safe {
			return false
		}
	}
	return true
}

// fewPairs is how often a text may hold what looks like a field or a list entry
// before it is written in another way: Read counts them on every line.
const fewPairs = 8

// quoted puts a text in quotation marks. Before the file is parsed Read counts
// brackets and what looks like fields and entries, see tooDeep; it counts them
// in texts as well, so a bracket that is not closed, or more than so many of the
// others, are written as numbers.
func quoted(s string, most int) string {
	s = strings.ToValidUTF8(s, "\uFFFD")
	brackets := !balanced(s)
	spaces := strings.Count(s, ": ")+strings.Count(s, "- ") > most
	var out strings.Builder
	out.WriteByte('"')
	last := ' '
	for _, ch := range s {
		switch {
		case ch == '"' || ch == '\\':
			out.WriteByte('\\')
			out.WriteRune(ch)
		case ch == '\n':
			out.WriteString(`\n`)
		case ch == '\t':
			out.WriteString(`\t`)
		case ch < 0x100 && (!unicode.IsPrint(ch) || brackets && strings.ContainsRune("[]{}", ch) ||
			spaces && ch == ' ' && (last == ':' || last == '-')):
			fmt.Fprintf(&out, `\x%02x`, ch)
		case unicode.IsPrint(ch):
			out.WriteRune(ch)
		case ch < 0x10000:
			fmt.Fprintf(&out, `\u%04x`, ch)
		default:
			fmt.Fprintf(&out, `\U%08x`, ch)
		}
		last = ch
	}
	out.WriteByte('"')
	return out.String()
}

// balanced reports whether every bracket of a text is closed, and few are open
// at a time.
func balanced(s string) bool {
	depth := 0
	for _, ch := range s {
		switch ch {
		case '[', '{':
			depth++
		case ']', '}':
			depth--
		}
		if depth < 0 || depth > 4 {
			return false
		}
	}
	return depth == 0
}
