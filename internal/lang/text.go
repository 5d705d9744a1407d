package lang

import (
	"encoding/json"
	"fmt"
	"strings"

	"golang.org/x/text/feature/plural"
)

// entry is one text of a word file, in each of its plural forms. A text that
// does not depend on a number has the form "other" alone.
type entry map[plural.Form]text

// forms are the plural forms of CLDR, as word files name them.
var forms = map[string]plural.Form{
	"zero": plural.Zero, "one": plural.One, "two": plural.Two, "few": plural.Few, "many": plural.Many, "other": plural.Other,
}

func (e *entry) UnmarshalJSON(b []byte) error {
	all := map[string]string{}
	var one string
	if json.Unmarshal(b, &one) == nil {
		all["other"] = one
	} else if err := json.Unmarshal(b, &all); err != nil {
		return err
	}
	*e = entry{}
	for name, s := range all {
		form, ok := forms[name]
		if !ok {
			return fmt.Errorf("%q: no plural form", name)
		}
		t, rest, err := parse(s)
		switch {
		case err != nil:
			return err
		case rest != "":
			return fmt.Errorf("%q: %q before any if", s, rest)
		}
		(*e)[form] = t
	}
	return nil
}

// text is words with places for values: {{.name}}, and parts that are only
// written with a value or without it: {{if .name}}so{{else}}or so{{end}}. It is
// a text/template with nothing else of its language: a few hundred texts are
// written at every step of the designer, and the package would keep the linker
// from leaving out what the browser does not need.
type text []part

type part struct {
	plain    string // written as it stands
	name     string // of the value to write; or, with with or without, to ask for
	chooses  bool
	with, no text
}

// parse reads a text up to its end, or to an else or end that stands in none of
// its own ifs, which it gives back with what follows.
func parse(s string) (t text, rest string, err error) {
	for s != "" {
		plain, after, found := strings.Cut(s, "{{")
		if plain != "" {
			t = append(t, part{plain: plain})
		}
		if !found {
			return t, "", nil
		}
		action, next, found := strings.Cut(after, "}}")
		if !found {
			return nil, "", fmt.Errorf("%q: no }}", s)
		}
		asked, isIf := strings.CutPrefix(action, "if ")
		switch {
		case action == "else" || action == "end":
			return t, "{{" + after, nil
		case isIf && strings.HasPrefix(asked, "."):
			p := part{name: asked[1:], chooses: true}
			if p.with, p.no, next, err = parseIf(next); err != nil {
				return nil, "", err
			}
			t = append(t, p)
		case strings.HasPrefix(action, "."):
			t = append(t, part{name: action[1:]})
		default:
			return nil, "", fmt.Errorf("{{%s}}: neither a value nor if, else or end", action)
		}
		s = next
	}
	return t, "", nil
}

// parseIf reads what follows an if, with its end.
func parseIf(s string) (with, no text, rest string, err error) {
	if with, s, err = parse(s); err != nil {
		return nil, nil, "", err
	}
	if after, ok := strings.CutPrefix(s, "{{else}}"); ok {
		if no, s, err = parse(after); err != nil {
			return nil, nil, "", err
		}
	}
	rest, ok := strings.CutPrefix(s, "{{end}}")
	if !ok {
		return nil, nil, "", fmt.Errorf("%q: an if without its end", s)
	}
	return with, no, rest, nil
}

// write writes a text with its values; empty if there is none of a name.
func (t text) write(to *strings.Builder, value func(name string) string) {
	for i := range t {
		p := &t[i]
		switch {
		case p.chooses && value(p.name) != "":
			p.with.write(to, value)
		case p.chooses:
			p.no.write(to, value)
		case p.name != "":
			to.WriteString(value(p.name))
		default:
			to.WriteString(p.plain)
		}
	}
}
