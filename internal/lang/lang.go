package lang

import (
	"embed"
	"fmt"
	"io/fs"
	"strings"
	"sync"

	"github.com/nicksnyder/go-i18n/v2/i18n"
	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"urdir/check"
)

//go:embed words/*.json
var files embed.FS

// Languages are those with words, the fallback first.
var Languages = []string{"en", "es"}

// Words speaks one language.
type Words struct {
	Tag     string // as asked for, like "es" or "es-MX"
	Base    string // the language whose words are used
	local   *i18n.Localizer
	printer *message.Printer
}

var (
	mu     sync.Mutex
	loaded = map[string]*i18n.Bundle{}
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
			b, err := bundle(l)
			if err != nil {
				return nil, err
			}
			return &Words{Tag: t.String(), Base: l, local: i18n.NewLocalizer(b, l), printer: message.NewPrinter(t)}, nil
		}
	}
	return nil, fmt.Errorf("language %q: not one of %s", tag, strings.Join(Languages, ", "))
}

// bundle reads the word files of one language, once.
func bundle(l string) (*i18n.Bundle, error) {
	mu.Lock()
	defer mu.Unlock()
	if b, ok := loaded[l]; ok {
		return b, nil
	}
	b := i18n.NewBundle(language.Make(l))
	names, err := fs.Glob(files, "words/*."+l+".json")
	if err != nil {
		return nil, err
	}
	for _, name := range names {
		if _, err := b.LoadMessageFileFS(files, name); err != nil {
			return nil, err
		}
	}
	loaded[l] = b
	return b, nil
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
	return w.text(&i18n.LocalizeConfig{MessageID: key, TemplateData: w.values(args)}, key)
}

// N is T for a text that depends on a number; the text has it as .n.
func (w *Words) N(key string, n int, args check.Args) string {
	data := w.values(args)
	data["n"] = w.Int(n)
	return w.text(&i18n.LocalizeConfig{MessageID: key, TemplateData: data, PluralCount: n}, key)
}

func (w *Words) text(c *i18n.LocalizeConfig, key string) string {
	s, err := w.local.Localize(c)
	if err != nil {
		return "[" + key + "]"
	}
	return s
}

// Has reports whether there are words for a key.
func (w *Words) Has(key string) bool {
	_, err := w.local.Localize(&i18n.LocalizeConfig{MessageID: key, TemplateData: map[string]any{}})
	return err == nil
}

// Problem gives what is wrong and how to mend it.
func (w *Words) Problem(p check.Problem) (what, mend string) {
	return w.T(p.Code, p.Args), w.T(p.Code+".mend", p.Args)
}

func (w *Words) values(args check.Args) map[string]any {
	out := make(map[string]any, len(args)+1)
	for k, v := range args {
		out[k] = w.Value(v)
	}
	return out
}
