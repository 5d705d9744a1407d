package yamlfile

import (
	"slices"
	"strconv"
	"strings"

	"urdir/check"
	"urdir/measure"
)

// None of these, nor Fields.Read, is inlined: tables of fields call them in more
// than a hundred places, each of which would have a copy of the closure. That
// made the program for the browser more than one per cent larger.

// FromText hands on the text of a single value; what is none is a problem.
//
//go:noinline
func FromText(read func(n *Node, s string)) func(*Node) {
	return func(n *Node) {
		if s, ok := n.Text(); ok {
			read(n, s)
		}
	}
}

// ToText reads words, without the space around them.
//
//go:noinline
func ToText(to *string) func(*Node) {
	return FromText(func(_ *Node, s string) { *to = strings.TrimSpace(s) })
}

// ToCount reads a whole number.
//
//go:noinline
func ToCount(to *int) func(*Node) {
	return FromText(func(n *Node, s string) {
		v, err := strconv.Atoi(strings.TrimSpace(s))
		if err != nil {
			n.Refuse("number-not-whole", check.Args{"text": Clip(s)})
			return
		}
		*to = v
	})
}

// ToNumber reads a number without a unit.
//
//go:noinline
func ToNumber[T ~float64](to *T) func(*Node) {
	return To(func(s string) (T, error) {
		v, code := measure.ParseNumber(s)
		if code != "" {
			return 0, &measure.ParseError{Code: code, Text: s}
		}
		return T(v), nil
	}, to)
}

// To reads a quantity with one of package measure's parsers.
//
//go:noinline
func To[T any](parse func(string) (T, error), to *T) func(*Node) {
	return FromText(func(n *Node, s string) {
		v, err := parse(s)
		if err != nil {
			n.Unread(err)
			return
		}
		*to = v
	})
}

// ToChoice reads one of a few words.
//
//go:noinline
func ToChoice[T ~string](to *T, choices ...T) func(*Node) {
	return FromText(func(n *Node, s string) {
		if !slices.Contains(choices, T(s)) {
			words := make([]string, len(choices))
			for i, c := range choices {
				words[i] = string(c)
			}
			n.Refuse("value-choice", check.Args{"text": Clip(s), "choices": strings.Join(words, ", ")})
			return
		}
		*to = T(s)
	})
}

// ToYesNo reads yes or no, in the words people write.
//
//go:noinline
func ToYesNo(to *bool) func(*Node) {
	return FromText(func(n *Node, s string) {
		switch strings.ToLower(s) {
		case "yes", "true", "sí", "si":
			*to = true
		case "no", "false":
			*to = false
		default:
			n.Refuse("value-choice", check.Args{"text": Clip(s), "choices": "yes, no"})
		}
	})
}

// ToList reads a list; item is how one of its entries is read.
//
//go:noinline
func ToList[T any](to *[]T, item func(*T) func(*Node)) func(*Node) {
	return func(n *Node) {
		n.List(func(n *Node) {
			var v T
			item(&v)(n)
			*to = append(*to, v)
		})
	}
}
