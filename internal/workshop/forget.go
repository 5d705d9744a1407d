package workshop

import (
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"urdir/internal/store"
)

// lawful are the kinds of records the law of most countries has a workshop keep as
// they were issued; a name on them stays. For how long, local law decides.
var lawful = map[string]bool{"paper": true, "payout": true}

// traces is what a person can be recognised by, and what stands in its place.
type traces struct {
	kind, id string
	names    []string // full names that cannot mean anything else
	words    []string // names of one word, which may: Rosa is a colour too
	contacts []string
	instead  string
	accounts []string // ids of hers
}

// onlyHers says whether a contact can be nobody else's, as a number or an address
// of mail; "in the morning" is a way to reach many.
func onlyHers(contact string) bool {
	digits := 0
	for _, r := range contact {
		if unicode.IsDigit(r) {
			digits++
		}
	}
	return digits >= 6 || strings.Contains(contact, "@")
}

// add notes a name and a way to reach her.
func (t *traces) add(name, contact string) {
	name, contact = strings.TrimSpace(name), strings.TrimSpace(contact)
	switch {
	case name == "" || name == t.instead:
	case strings.ContainsAny(name, " \u00a0"):
		t.names = append(t.names, name)
	default:
		t.words = append(t.words, name)
	}
	if onlyHers(contact) {
		t.contacts = append(t.contacts, contact)
	}
}

// rewrite is a text without her.
func (t *traces) rewrite(w store.Written) string {
	switch {
	case w.Text == "" || lawful[w.Kind]:
		return w.Text
	case w.Column == "sort" || w.Column == "words": // folded, of the body beside them
		return t.folded(w)
	case strings.HasPrefix(w.Text, "{"):
		return t.json(w.Text, t.mentioned(w.Text))
	}
	return t.plainText(w.Text, false)
}

// mentioned says whether a record is hers or about her: it names her id.
func (t *traces) mentioned(body string) bool {
	return slices.ContainsFunc(append(t.accounts, t.id), func(id string) bool { return strings.Contains(body, `"`+id+`"`) })
}

// folded rewrites what a record is found by.
func (t *traces) folded(w store.Written) string {
	f := traces{kind: t.kind, id: t.id, instead: Fold(t.instead)}
	for _, n := range append(t.names, t.words...) {
		f.add(Fold(n), "")
	}
	for _, c := range t.contacts {
		f.contacts = append(f.contacts, Fold(c))
	}
	return f.plainText(w.Text, w.Kind == t.kind && w.ID == t.id || t.mentioned(w.Body))
}

// plainText rewrites a text; hers has names of one word in it too.
func (t *traces) plainText(s string, hers bool) string {
	for _, c := range t.contacts {
		s = strings.ReplaceAll(s, c, t.instead)
	}
	for _, n := range t.names {
		s = replaceWord(s, n, t.instead)
	}
	if hers {
		for _, n := range t.words {
			s = replaceWord(s, n, t.instead)
		}
	}
	return s
}

// replaceWord replaces a name where it is not part of a longer word.
func replaceWord(s, word, by string) string {
	var out strings.Builder
	for {
		i := strings.Index(s, word)
		if i < 0 {
			out.WriteString(s)
			return out.String()
		}
		before, _ := utf8.DecodeLastRuneInString(s[:i])
		after, _ := utf8.DecodeRuneInString(s[i+len(word):])
		out.WriteString(s[:i])
		if letter(before) || letter(after) {
			out.WriteString(word)
		} else {
			out.WriteString(by)
		}
		s = s[i+len(word):]
	}
}

func letter(r rune) bool { return r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsDigit(r)) }

// jsonText is a text in JSON, and the colon after it if it is a name.
var jsonText = regexp.MustCompile(`"(?:[^"\\]|\\.)*"(\s*:)?`)

// namesSomeone are the fields that hold who somebody is, whatever the record.
var namesSomeone = map[string]bool{"Customer": true, "customer": true, "By": true, "Who": true}

// json rewrites the texts of a JSON text and leaves every other byte as it was. In
// records about her, and in fields that name someone, names of one word go too.
func (t *traces) json(body string, hers bool) string {
	field := ""
	return jsonText.ReplaceAllStringFunc(body, func(s string) string {
		if strings.HasSuffix(s, ":") {
			field = strings.Trim(s, "\": \t\n")
			return s
		}
		var text string
		if json.Unmarshal([]byte(s), &text) != nil {
			return s
		}
		var now string
		if strings.HasPrefix(text, "{") { // a plan as it was kept
			now = t.json(text, hers)
		} else {
			now = t.plainText(text, hers && field != "Label" && field != "Cloth" || namesSomeone[field])
		}
		if now == text {
			return s
		}
		out, err := json.Marshal(now)
		if err != nil {
			return s
		}
		return string(out)
	})
}

// left says whether a text still has a name of one word in it that may be hers.
func (t *traces) left(w store.Written) bool {
	if lawful[w.Kind] || w.Table == "history" || w.Column == "sort" || w.Column == "words" {
		return false
	}
	return t.plainText(w.Text, true) != w.Text
}
