package yarn

import (
	"fmt"
	"strconv"
	"strings"

	"urdir/check"
	"urdir/measure"
)

// System is a way of numbering yarn.
type System string

const (
	Tex           System = "tex"
	Decitex       System = "dtex"
	Denier        System = "den"
	Grain         System = "gr" // US grains per 120 yards
	Cotton        System = "Ne"
	Metric        System = "Nm"
	Worsted       System = "worsted"
	Linen         System = "linen" // lea; the woollen cut is the same
	Run           System = "run"   // US woollen run
	Yorkshire     System = "woollen-skein"
	Silk          System = "silk" // spun silk: the number is already the resultant
	YardsPerPound System = "yd/lb"
)

// Yard and pound are exact (international agreement of 1959).
const (
	metresPerYard = 0.9144
	gramsPerPound = 453.59237
	gramsPerGrain = 0.06479891
)

// direct maps a direct system to the tex of one unit.
var direct = map[System]float64{
	Tex:     1,
	Decitex: 0.1,
	Denier:  1.0 / 9,
	Grain:   gramsPerGrain / (120 * metresPerYard) * 1000,
}

// yardsPerPound maps an indirect system to the yards in a pound of count 1.
// The hank lengths are those of ASTM D2260; 256 yards is the Yorkshire skein.
var yardsPerPound = map[System]float64{
	Cotton: 840, Silk: 840, Worsted: 560, Linen: 300, Run: 1600, Yorkshire: 256, YardsPerPound: 1,
}

// Systems lists every system, direct ones first.
func Systems() []System {
	return []System{Tex, Decitex, Denier, Grain, Metric, Cotton, Worsted, Linen, Run, Yorkshire, Silk, YardsPerPound}
}

// MaxPlies bounds the plies of a count.
const MaxPlies = 24

// Count is a yarn number as written: a number in a system, and how many plies
// of it are twisted together. With Resultant the number is that of the plied
// yarn ("R 60 tex/2"), else that of one ply.
type Count struct {
	System    System
	Number    float64
	Plies     int
	Resultant bool
}

// perUnit returns tex x number for an indirect system.
func (s System) perUnit() (float64, bool) {
	if s == Metric {
		return 1000, true
	}
	k, ok := yardsPerPound[s]
	return gramsPerPound * 1000 / (k * metresPerYard), ok
}

// Tex is the linear density of the plied yarn: that of one ply times the plies
// (twist contraction ignored; Spec carries it). Spun silk and resultant counts
// are taken as they are.
func (c Count) Tex() measure.Tex {
	t := 0.0
	if f, ok := direct[c.System]; ok {
		t = c.Number * f
	} else if k, ok := c.System.perUnit(); ok && c.Number != 0 {
		t = k / c.Number
	}
	if !c.IsResultant() {
		t *= float64(max(1, c.Plies))
	}
	return measure.Tex(t)
}

// IsResultant says whether the number is that of the plied yarn.
func (c Count) IsResultant() bool { return c.Resultant || c.System == Silk }

// In is the same yarn numbered in another system, with the same plies.
func (c Count) In(s System) Count {
	out := Count{System: s, Plies: max(1, c.Plies)}
	t := float64(c.Tex())
	if s != Silk {
		t /= float64(out.Plies)
	}
	if f, ok := direct[s]; ok {
		out.Number = t / f
	} else if k, ok := s.perUnit(); ok && t != 0 {
		out.Number = k / t
	}
	return out
}

// String writes the count so that ParseCount reads it back: "Ne 20/2",
// "30 tex x 2", "R 60 tex/2", "3360 yd/lb".
func (c Count) String() string {
	n := strconv.FormatFloat(c.Number, 'f', -1, 64)
	isDirect := c.System.Direct()
	s := string(c.System) + " " + n
	if isDirect || c.System == YardsPerPound {
		s = n + " " + string(c.System)
	}
	if c.Resultant && c.System != Silk {
		s = "R " + s
	}
	return s + c.plies()
}

// plies is "/2" or " x 2". A slash would swap a number smaller than its plies
// ("2/3" reads as single 3 in the mills' order), and does not belong after
// yd/lb or the tex of one ply.
func (c Count) plies() string {
	isDirect := c.System.Direct()
	switch {
	case c.Plies < 2:
		return ""
	case isDirect && !c.Resultant, c.System == YardsPerPound,
		!isDirect && c.System != Silk && c.Number < float64(c.Plies):
		return fmt.Sprintf(" x %d", c.Plies)
	}
	return "/" + strconv.Itoa(c.Plies)
}

// CountError says why a count could not be read. Code is one of "count-empty",
// "count-no-system", "count-system", "count-number", "count-range" and
// "count-plies".
type CountError struct{ Code, Text, System string }

func (e *CountError) Error() string { return e.Code + ": " + strconv.Quote(e.Text) }

// Args are the values the message needs.
func (e *CountError) Args() check.Args {
	return check.Args{"text": e.Text, "system": e.System}
}

// names maps what people write to a system. Keys are lower case.
var names = map[string]System{
	"ne": Cotton, "nec": Cotton, "cc": Cotton, "cotton": Cotton, "algodón": Cotton, "algodon": Cotton,
	"nm": Metric, "metric": Metric,
	"tex": Tex, "dtex": Decitex, "den": Denier, "denier": Denier, "td": Denier,
	"worsted": Worsted, "wc": Worsted, "nek": Worsted, "estambre": Worsted,
	"linen": Linen, "lea": Linen, "nel": Linen, "lino": Linen, "cut": Linen,
	"run": Run, "wr": Run, "woollen-skein": Yorkshire,
	"silk": Silk, "seda": Silk, "gr": Grain, "grain": Grain, "yd/lb": YardsPerPound,
}

// ParseCount reads a count. The system may come before or after the number,
// plies after a slash or a times sign, or before the number as the mills write
// them when the first number is the smaller ("2/28 Nm").
func ParseCount(s string) (Count, error) {
	fail := func(code, system string) (Count, error) {
		return Count{}, &CountError{Code: code, Text: clip(s), System: clip(system)}
	}
	t := strings.ToLower(strings.TrimSpace(s))
	if t == "" {
		return fail("count-empty", "")
	}
	c := Count{Plies: 1}
	if rest, ok := strings.CutPrefix(t, "r "); ok {
		c.Resultant, t = true, strings.TrimSpace(rest)
	}
	t = strings.ReplaceAll(t, "yd/lb", " yd|lb ")
	t, plies, code := cutPlies(t)
	if code != "" {
		return fail(code, "")
	}
	number, system, code := numberAndSystem(t)
	if code != "" {
		return fail(code, system)
	}
	c.System = names[system]
	if i := strings.IndexByte(number, '/'); i >= 0 {
		if plies != 1 {
			return fail("count-plies", "")
		}
		number, plies, code = millOrder(number[:i], number[i+1:], c.System)
		if code != "" {
			return fail(code, "")
		}
	}
	v, code := measure.ParseNumber(number)
	switch {
	case code != "":
		return fail("count-number", "")
	case v < 0.001 || v > 1e6:
		return fail("count-range", "")
	case plies < 1 || plies > MaxPlies:
		return fail("count-plies", "")
	}
	c.Number, c.Plies = v, plies
	if c.System == Silk {
		c.Resultant = false
	}
	return c, nil
}

// cutPlies takes "x 2" off the end, and "/2" where it follows the system.
func cutPlies(t string) (rest string, plies int, code string) {
	t = strings.ReplaceAll(t, "×", "x")
	if i := strings.LastIndex(t, "x"); i > 0 {
		if n, err := strconv.Atoi(strings.TrimSpace(t[i+1:])); err == nil && (t[i-1] == ' ' || isDigit(t[i-1])) {
			return strings.TrimSpace(t[:i]), n, ""
		}
	}
	if i := strings.LastIndexByte(t, '/'); i > 0 && !isDigit(lastByte(strings.TrimSpace(t[:i]))) {
		n, err := strconv.Atoi(strings.TrimSpace(t[i+1:]))
		if err != nil {
			return "", 0, "count-plies"
		}
		return strings.TrimSpace(t[:i]), n, ""
	}
	return t, 1, ""
}

// numberAndSystem tells the number from the name of the system.
func numberAndSystem(t string) (number, system, code string) {
	letters := func(r rune) bool { return !strings.ContainsRune("0123456789.,/ ", r) }
	i := strings.IndexFunc(t, letters)
	if i < 0 {
		return "", "", "count-no-system"
	}
	if i == 0 {
		i = strings.LastIndexFunc(t, letters)
		for i++; i < len(t) && t[i]&0xc0 == 0x80; i++ {
		}
		system, number = t[:i], t[i:]
	} else {
		number, system = t[:i], t[i:]
	}
	system = strings.TrimSpace(strings.ReplaceAll(system, "yd|lb", "yd/lb"))
	number = strings.ReplaceAll(number, " ", "")
	if _, ok := names[system]; !ok {
		return "", system, "count-system"
	}
	if number == "" {
		return "", system, "count-number"
	}
	return number, system, ""
}

// millOrder settles which side of the slash is the plies. Handweavers write
// 20/2 and mills 2/20; the plies are the smaller number, and a whole one.
func millOrder(a, b string, s System) (number string, plies int, code string) {
	first, errA := strconv.Atoi(a)
	second, errB := strconv.Atoi(b)
	switch {
	case errB == nil && (errA != nil || second <= first || s == Silk):
		return a, second, ""
	case errA == nil:
		return b, first, ""
	}
	return "", 0, "count-plies"
}

func isDigit(b byte) bool { return b >= '0' && b <= '9' }

func lastByte(s string) byte {
	if s == "" {
		return ' '
	}
	return s[len(s)-1]
}

func clip(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}

// Direct reports whether a system weighs a length: a thicker yarn has a higher
// number.
func (s System) Direct() bool { _, ok := direct[s]; return ok }
