package lang_test

import (
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"

	"urdir/internal/lang"
)

// entry is one text of a word file, by plural form; a text that does not depend
// on a number has the form "other" alone.
type entry map[string]string

func (e *entry) UnmarshalJSON(b []byte) error {
	var s string
	if json.Unmarshal(b, &s) == nil {
		*e = entry{"other": s}
		return nil
	}
	return json.Unmarshal(b, (*map[string]string)(e))
}

// readWords reads every word file of a language, straight from the folder.
func readWords(t *testing.T, l string) map[string]entry {
	t.Helper()
	names, err := filepath.Glob("words/*." + l + ".json")
	if err != nil || len(names) == 0 {
		t.Fatalf("no word files for %s: %v", l, err)
	}
	all := map[string]entry{}
	from := map[string]string{}
	for _, name := range names {
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		var words map[string]entry
		if err := json.Unmarshal(b, &words); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		for key, e := range words {
			if from[key] != "" {
				t.Errorf("%q stands in %s and in %s", key, from[key], name)
			}
			all[key], from[key] = e, name
		}
	}
	return all
}

var (
	action = regexp.MustCompile(`{{[^}]*}}`)
	field  = regexp.MustCompile(`\.([a-zA-Z]+)`)
)

// arguments lists the values a text asks for.
func arguments(text string) []string {
	names := map[string]bool{}
	for _, a := range action.FindAllString(text, -1) {
		for _, m := range field.FindAllStringSubmatch(a, -1) {
			names[m[1]] = true
		}
	}
	return slices.Sorted(maps.Keys(names))
}

func TestWords_everyLanguageHasTheSame(t *testing.T) {
	first := readWords(t, lang.Languages[0])
	for _, l := range lang.Languages[1:] {
		words := readWords(t, l)
		if d := cmp.Diff(slices.Sorted(maps.Keys(first)), slices.Sorted(maps.Keys(words))); d != "" {
			t.Errorf("keys of %s (-) and %s (+) differ:\n%s", lang.Languages[0], l, d)
		}
		for key, e := range words {
			if got, want := arguments(e["other"]), arguments(first[key]["other"]); !slices.Equal(got, want) {
				t.Errorf("%s %q asks for %v; %s asks for %v", l, key, got, lang.Languages[0], want)
			}
		}
	}
}

// Which forms a language has is asked of golang.org/x/text, which carries the
// CLDR rules on its own; Spanish "many" (a million) is newer than its tables.
func TestWords_pluralForms(t *testing.T) {
	names := map[plural.Form]string{plural.Zero: "zero", plural.One: "one", plural.Two: "two", plural.Few: "few", plural.Many: "many", plural.Other: "other"}
	for _, l := range lang.Languages {
		need := map[string]bool{"other": true, "many": l == "es"}
		for i := range 200 {
			need[names[plural.Cardinal.MatchPlural(language.Make(l), i, 0, 0, 0, 0)]] = true
		}
		maps.DeleteFunc(need, func(_ string, yes bool) bool { return !yes })
		want := slices.Sorted(maps.Keys(need))
		for key, e := range readWords(t, l) {
			for form, text := range e {
				if strings.TrimSpace(text) == "" || text != strings.TrimSpace(text) {
					t.Errorf("%s %q %s is %q: empty, or spaces around it", l, key, form, text)
				}
			}
			if got := slices.Sorted(maps.Keys(e)); len(e) > 1 && !slices.Equal(got, want) {
				t.Errorf("%s %q has the forms %v; want %v", l, key, got, want)
			}
		}
	}
}

// A problem says what is wrong and how to mend it, each as a whole sentence.
func TestWords_whatAndMend(t *testing.T) {
	for _, l := range lang.Languages {
		words := readWords(t, l)
		for key := range words {
			what, ok := strings.CutSuffix(key, ".mend")
			if !ok {
				continue
			}
			for _, k := range []string{what, key} {
				if text := words[k]["other"]; !strings.HasSuffix(text, ".") && !strings.HasSuffix(text, "{{end}}") {
					t.Errorf("%s %q is not a sentence: %q", l, k, text)
				}
			}
		}
	}
}

func TestDetect(t *testing.T) {
	for _, test := range []struct {
		settings []string
		want     string
	}{
		{nil, "en"},
		{[]string{"", "", ""}, "en"},
		{[]string{"", "", "es_MX.UTF-8"}, "es-MX"},
		{[]string{"", "", "es_ES@euro"}, "es-ES"},
		{[]string{"", "", "es"}, "es"},
		{[]string{"C", "", "es_MX.UTF-8"}, "en"}, // POSIX: LC_ALL goes before LANG
		{[]string{"", "es_PE.UTF-8", "en_US.UTF-8"}, "es-PE"},
		{[]string{"", "", "fr_FR.UTF-8"}, "en"},
		{[]string{"", "", "POSIX"}, "en"},
		{[]string{"", "", "!!"}, "en"},
	} {
		if got := lang.Detect(test.settings...); got != test.want {
			t.Errorf("Detect(%q) = %q; want %q", test.settings, got, test.want)
		}
	}
}

func TestFor(t *testing.T) {
	for tag, want := range map[string]string{"es": "es", "es-MX": "es", "es_PE": "es", "es-419": "es", "en": "en", "en-US": "en"} {
		w, err := lang.For(tag)
		if err != nil || w.Base != want {
			t.Errorf("For(%q) = %v, %v; want words of %s", tag, w, err, want)
		}
	}
	for _, tag := range []string{"fr", "", "123456789", "es-"} {
		if w, err := lang.For(tag); err == nil {
			t.Errorf("For(%q) = %+v; want an error", tag, w)
		}
	}
}

func TestT(t *testing.T) {
	w := words(t, "es")
	if got := w.T("no-such-key", nil); got != "[no-such-key]" {
		t.Errorf("a key without words gives %q", got)
	}
	if w.Has("no-such-key") || !w.Has("quantity-empty") {
		t.Error("Has does not tell keys with words from those without")
	}
}

// The categories are those of CLDR: English one, other; Spanish one, many (a
// whole million), other.
func TestN_plurals(t *testing.T) {
	for _, test := range []struct {
		lang string
		n    int
		want string
	}{
		{"en", 0, "X, 0 strands in an end"},
		{"en", 1, "X, 1 strand in an end"},
		{"en", 2, "X, 2 strands in an end"},
		{"es", 0, "X, 0 hebras por hilo de urdimbre"},
		{"es", 1, "X, 1 hebra por hilo de urdimbre"},
		{"es", 2, "X, 2 hebras por hilo de urdimbre"},
		{"es-MX", 1_000_000, "X, 1,000,000 de hebras por hilo de urdimbre"},
		{"es", 1_000_001, "X, 1.000.001 hebras por hilo de urdimbre"},
	} {
		if got := words(t, test.lang).N("yarn-title", test.n, map[string]any{"yarn": "X"}); got != test.want {
			t.Errorf("%s %d: %q; want %q", test.lang, test.n, got, test.want)
		}
	}
}

func words(t testing.TB, tag string) *lang.Words {
	t.Helper()
	w, err := lang.For(tag)
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func BenchmarkText(b *testing.B) {
	w := words(b, "es")
	for b.Loop() {
		w.T("yarn-tex", map[string]any{"tex": 30.5})
	}
}
