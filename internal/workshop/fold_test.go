package workshop

import (
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func TestFold(t *testing.T) {
	for in, want := range map[string]string{
		"":               "",
		"Añil":           "añil",
		"AÑIL":           "añil",
		"Pin\u0303a":     "piña", // n and a tilde of its own
		"PIN\u0303A":     "piña",
		"ano":            "ano", // not año
		"Índigo":         "indigo",
		"Cempasúchil":    "cempasuchil",
		"I\u0301ndigo":   "indigo",
		"güipil":         "guipil",
		"K’iche ʼ ꞌ Ꞌ ‘": "k'iche ' ' ' '",
		"k'iche":         "k'iche",
		"İstanbul":       "istanbul",
		"Ne 8/2 #3 50%":  "ne 8/2 #3 50%",
		"Straße":         "straße",
		"布":              "布",
		"\xf0Ű":          "\uFFFDu", // a byte that is no text does not shelter what follows
	} {
		if got := Fold(in); got != want {
			t.Errorf("Fold(%q): got %q, want %q", in, got, want)
		}
	}
}

func TestFold_twiceIsOnce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { foldTwice(t, rapid.String().Draw(t, "text")) })
}

func foldTwice(tb interface{ Errorf(string, ...any) }, s string) {
	once := Fold(s)
	if twice := Fold(once); twice != once {
		tb.Errorf("Fold(%q) = %q, and folded again %q", s, once, twice)
	}
	if utf8.ValidString(s) && !utf8.ValidString(once) {
		tb.Errorf("Fold(%q) = %q is not text", s, once)
	}
}

func FuzzFold(f *testing.F) {
	for _, s := range []string{"", "Añil", "n\u0303", "\uE000", "\xff\xfe", "İ", "K’iche", "ⓝ\u0303", "n\u0327\u0303", "\u1e9e", "가", "\xf0ű"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) { foldTwice(t, s) })
}
