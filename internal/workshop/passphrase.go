package workshop

import (
	"slices"
	"strings"
	"unicode"

	"urdir/check"
)

// fewSigns is how many different signs a passphrase must have more than.
const fewSigns = 4

// rows are signs in an order that everybody knows: no passphrase is a part of one,
// there and back, or over and over.
var rows = []string{"01234567890", "abcdefghijklmnopqrstuvwxyz", "qwertyuiop", "qwertzuiop", "asdfghjkl", "zxcvbnm", "1q2w3e4r5t6y7u8i9o0p", "1qaz2wsx3edc4rfv5tgb6yhn"}

// commonWords are what guessers try first in either language, with figures and
// signs beside it or without (common practice, no source).
var commonWords = []string{"password", "passphrase", "letmein", "welcome", "iloveyou", "administrator", "superman", "princess", "sunshine", "football", "baseball", "computer", "internet",
	"contrasena", "contraseña", "frasedepaso", "bienvenida", "bienvenido", "tequiero", "teamo", "tequieromucho",
	"administrador", "administradora", "princesa", "futbol", "secreto", "guadalupe", "urdir", "tejedora", "telar"}

// goodPassphrase asks for length, and that it is not what guessers try first: the
// commonest ones, rows of signs, and her own names. It asks for no figures and
// signs, which make phrases hard to remember and easy to guess.
func goodPassphrase(ps *check.Problems, s string, own ...string) {
	n := len([]rune(s))
	switch {
	case n < 10:
		ps.Wrong("passphrase", "passphrase-short", check.Args{"least": 10})
	case n > 200:
		ps.Wrong("passphrase", "text-long", check.Args{"length": n, "most": 200})
	case common(s, own):
		ps.Wrong("passphrase", "passphrase-common", nil)
	}
}

// common says whether a passphrase is one that is tried first.
func common(s string, own []string) bool {
	s = strings.ReplaceAll(Fold(s), " ", "")
	signs := []rune(s)
	slices.Sort(signs)
	if len(slices.Compact(signs)) <= fewSigns || inRow(s) {
		return true
	}
	letters := strings.TrimFunc(s, func(r rune) bool { return !unicode.IsLetter(r) })
	if slices.Contains(commonWords, letters) {
		return true
	}
	for _, name := range own {
		if name = strings.ReplaceAll(Fold(name), " ", ""); name != "" && (s == name || letters == name) {
			return true
		}
	}
	return false
}

// inRow says whether it is signs as they follow each other in a row, in either
// direction, over and over.
func inRow(s string) bool {
	for _, row := range rows {
		back := []rune(row)
		slices.Reverse(back)
		for _, r := range []string{row, string(back)} {
			for part := len(s); part >= 4; part-- {
				if part <= len(r) && strings.Contains(r, s[:part]) && strings.HasPrefix(strings.Repeat(s[:part], len(s)/part+1), s) {
					return true
				}
			}
		}
	}
	return false
}
