package lang

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"maps"
	"strings"
	"sync"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"urdir/check"
)

// Languages are those with words, the fallback first.
var Languages = []string{"en", "es"}

// Words speaks one language.
type Words struct {
	Tag     string // as asked for, like "es" or "es-MX"
	Base    string // the language whose words are used
	texts   map[string]entry
	tag     language.Tag
	digits  bool // of numbers are the usual ones
	printer *message.Printer
}

var (
	mu     sync.Mutex
	loaded = map[string]map[string]entry{}
)

// For gives the words of a language: "es", "en", or either with a country,
// which decides how numbers are written.
func For(tag string) (*Words, error) {
	t, err := language.Parse(strings.ReplaceAll(tag, "_", "-"))
	if err != nil {
		return nil, fmt.Errorf("language %q: %w", tag, err)
	}
	base, _ := t.Base()
	for _, l := range Languages {
		if base.String() == l {
			texts, err := textsOf(l)
			if err != nil {
				return nil, err
			}
			return &Words{Tag: t.String(), Base: l, texts: texts, tag: t, digits: len(t.Extensions()) == 0, printer: message.NewPrinter(t)}, nil
		}
	}
	return nil, fmt.Errorf("language %q: not one of %s", tag, strings.Join(Languages, ", "))
}

// textsOf reads the word files of one language, once.
func textsOf(l string) (map[string]entry, error) {
	mu.Lock()
	defer mu.Unlock()
	if all, ok := loaded[l]; ok {
		return all, nil
	}
	names, err := fs.Glob(files, "words/*."+l+".json")
	if err != nil {
		return nil, err
	}
	all := map[string]entry{}
	for _, name := range names {
		b, err := fs.ReadFile(files, name)
		if err != nil {
			return nil, err
		}
		var some map[string]entry
		if err := json.Unmarshal(b, &some); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		maps.Copy(all, some)
	}
	loaded[l] = all
	return all, nil
}

// Detect chooses a language from the environment's words for it, the first one
// that says anything: Spanish for Spanish, English otherwise.
func Detect(settings ...string) string {
	for _, s := range settings {
		if s == "" {
			continue
		}
		if i := strings.IndexAny(s, ".@"); i >= 0 {
			s = s[:i] // "es_MX.UTF-8", "es_ES@euro"
		}
		s = strings.ReplaceAll(s, "_", "-")
		if t, err := language.Parse(s); err == nil {
			if base, _ := t.Base(); base.String() == "es" {
				return s
			}
		}
		return "en"
	}
	return "en"
}

// T is a text with values put in. Quantities among them are written the way the
// language writes them. A key without words comes back in brackets.
func (w *Words) T(key string, args check.Args) string {
	return w.text(key, plural.Other, func(name string) string { return w.value(args, name) })
}

// N is T for a text that depends on a number; the text has it as .n.
func (w *Words) N(key string, n int, args check.Args) string {
	return w.text(key, w.form(n), func(name string) string {
		if name == "n" {
			return w.Int(n)
		}
		return w.value(args, name)
	})
}

// form is the plural form for a whole number. CLDR has a form of its own for
// whole millions in Spanish ("un millón de hilos"), which package plural does
// not know.
func (w *Words) form(n int) plural.Form {
	if w.Base == "es" && n != 0 && n%1_000_000 == 0 {
		return plural.Many
	}
	return plural.Cardinal.MatchPlural(w.tag, n, 0, 0, 0, 0)
}

// text writes the form of a text, or its form "other" if it has none such.
func (w *Words) text(key string, form plural.Form, value func(name string) string) string {
	e, ok := w.texts[key]
	if !ok {
		return "[" + key + "]"
	}
	t, ok := e[form]
	if !ok {
		t = e[plural.Other]
	}
	if len(t) == 1 && t[0].name == "" {
		return t[0].plain
	}
	var to strings.Builder
	t.write(&to, value)
	return to.String()
}

func (w *Words) value(args check.Args, name string) string {
	v, ok := args[name]
	if !ok {
		return ""
	}
	return w.S(v)
}

// Has reports whether there are words for a key.
func (w *Words) Has(key string) bool { _, ok := w.texts[key]; return ok }

// Problem gives what is wrong and how to mend it.
func (w *Words) Problem(p check.Problem) (what, mend string) {
	return w.T(p.Code, p.Args), w.T(p.Code+".mend", p.Args)
}
