package clothfile

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"urdir/check"
	"urdir/measure"
	"urdir/warp"
)

// reader walks the tree, fills in values and gathers problems. Every method
// takes a node and the path of the field it stands for.
type reader struct {
	ps   check.Problems
	src  Source
	file []byte // as given
}

// fields says what to do with each field of a mapping.
type fields map[string]func(n ast.Node, path string)

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

// note remembers where a field stands.
func (r *reader) note(path string, n ast.Node) {
	t := n.GetToken()
	if m, ok := n.(ast.MapNode); ok && t.Type != token.MappingStartType {
		if it := m.MapRange(); it.Next() {
			t = it.Key().GetToken() // not the colon after it
		}
	}
	r.src.at[path] = Position{t.Position.Line, t.Position.Column}
}

// noteField remembers a field by its value, or by its key where the value is
// nothing or has parts of its own.
func (r *reader) noteField(path string, key, value ast.Node) {
	switch value.Type() {
	case ast.NullType, ast.MappingType, ast.MappingValueType, ast.SequenceType:
		r.note(path, key)
	default:
		r.note(path, value)
	}
}

// entry is one field of a mapping.
type entry struct {
	key   string
	at    ast.Node // the key
	value ast.Node
}

// entries lists a mapping's fields in the order written. A field written twice
// is a problem; the first one stands.
func (r *reader) entries(n ast.Node, path string) []entry {
	m, ok := n.(ast.MapNode)
	if !ok {
		r.wrongKind(n, path, "mapping")
		return nil
	}
	var out []entry
	seen := map[string]bool{}
	for it := m.MapRange(); it.Next(); {
		key := it.Key().GetToken().Value
		at := join(path, key)
		if seen[key] {
			again := fmt.Sprintf("%s?%d", at, len(r.ps))
			r.note(again, it.Key())
			r.ps.Wrong(again, "field-twice", check.Args{"field": clip(key)})
			continue
		}
		seen[key] = true
		r.noteField(at, it.Key(), it.Value())
		out = append(out, entry{key, it.Key(), it.Value()})
	}
	return out
}

// mapping reads a mapping with known fields and says which of the others may
// have been meant.
func (r *reader) mapping(n ast.Node, path string, known fields) {
	for _, e := range r.entries(n, path) {
		at := join(path, e.key)
		read, ok := known[e.key]
		if !ok {
			r.note(at, e.at)
			r.ps.Wrong(at, "field-unknown", check.Args{"field": clip(e.key), "known": nearest(e.key, known)})
			continue
		}
		read(e.value, at)
	}
}

// items reads a list.
func (r *reader) items(n ast.Node, path string, read func(n ast.Node, path string)) {
	seq, ok := n.(*ast.SequenceNode)
	if !ok {
		r.wrongKind(n, path, "list")
		return
	}
	if n := len(seq.Values); n > warp.MaxStripes {
		r.ps.Wrong(path, "parts-too-many", check.Args{"count": n, "most": warp.MaxStripes})
		return
	}
	for i, v := range seq.Values {
		at := fmt.Sprintf("%s[%d]", path, i)
		r.note(at, v)
		read(v, at)
	}
}

// wrongKind says that a value is of another kind than wanted: "mapping",
// "list" or "value".
func (r *reader) wrongKind(n ast.Node, path, want string) {
	code := "value-not-" + want
	switch n.Type() {
	case ast.NullType:
		code = "value-missing"
	case ast.AliasType, ast.AnchorType, ast.TagType:
		code = "value-alias"
	}
	r.ps.Wrong(path, code, check.Args{"field": lastOf(path)})
}

func lastOf(path string) string { return path[strings.LastIndexByte(path, '.')+1:] }

// text reads a single value as written. A block of text keeps its lines.
func (r *reader) text(n ast.Node, path string) (string, bool) {
	switch v := n.(type) {
	case *ast.StringNode:
		return v.Value, true
	case *ast.LiteralNode:
		return v.Value.Value, true
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		return n.GetToken().Value, true
	}
	r.wrongKind(n, path, "value")
	return "", false
}

func (r *reader) toText(to *string) func(ast.Node, string) {
	return func(n ast.Node, path string) {
		if s, ok := r.text(n, path); ok {
			*to = strings.TrimSpace(s)
		}
	}
}

// toCount reads a whole number.
func (r *reader) toCount(to *int) func(ast.Node, string) {
	return func(n ast.Node, path string) {
		s, ok := r.text(n, path)
		if !ok {
			return
		}
		v, err := strconv.Atoi(strings.TrimSpace(s))
		if err != nil {
			r.ps.Wrong(path, "number-not-whole", check.Args{"text": clip(s)})
			return
		}
		*to = v
	}
}

// toRepeat reads how often a group comes. More than could ever be written out
// is refused here, so that nobody multiplies it.
func (r *reader) toRepeat(to *int) func(ast.Node, string) {
	return func(n ast.Node, path string) {
		r.toCount(to)(n, path)
		if *to > warp.MaxStripes {
			r.ps.Wrong(path, "out-of-range", check.Args{"value": *to, "low": 1, "high": warp.MaxStripes})
			*to = warp.MaxStripes
		}
	}
}

// to reads a quantity with one of package measure's parsers.
func to[T any](r *reader, parse func(string) (T, error), dst *T) func(ast.Node, string) {
	return func(n ast.Node, path string) {
		s, ok := r.text(n, path)
		if !ok {
			return
		}
		v, err := parse(s)
		if err != nil {
			r.quantity(path, err)
			return
		}
		*dst = v
	}
}

func (r *reader) quantity(path string, err error) {
	if pe, ok := errors.AsType[*measure.ParseError](err); ok {
		r.ps.Wrong(path, pe.Code, check.Args{"text": clip(pe.Text), "unit": clip(pe.Unit), "want": pe.Want})
		return
	}
	r.ps.Wrong(path, "value-unread", check.Args{"text": clip(err.Error())})
}

// toChoice reads one of a few words.
func toChoice[T ~string](r *reader, dst *T, choices ...T) func(ast.Node, string) {
	return func(n ast.Node, path string) {
		s, ok := r.text(n, path)
		if !ok {
			return
		}
		if !slices.Contains(choices, T(s)) {
			words := make([]string, len(choices))
			for i, c := range choices {
				words[i] = string(c)
			}
			r.ps.Wrong(path, "value-choice", check.Args{"text": clip(s), "choices": strings.Join(words, ", ")})
			return
		}
		*dst = T(s)
	}
}

// toYesNo reads yes or no, in the words people write.
func (r *reader) toYesNo(dst *bool) func(ast.Node, string) {
	return func(n ast.Node, path string) {
		s, ok := r.text(n, path)
		if !ok {
			return
		}
		switch strings.ToLower(s) {
		case "yes", "true", "sí", "si":
			*dst = true
		case "no", "false":
			*dst = false
		default:
			r.ps.Wrong(path, "value-choice", check.Args{"text": clip(s), "choices": "yes, no"})
		}
	}
}

// toTexts reads a list of words, or a single one.
func (r *reader) toTexts(dst *[]string) func(ast.Node, string) {
	return func(n ast.Node, path string) {
		if _, ok := n.(*ast.SequenceNode); !ok {
			if s, ok := r.text(n, path); ok {
				*dst = []string{s}
			}
			return
		}
		r.items(n, path, func(n ast.Node, path string) {
			if s, ok := r.text(n, path); ok {
				*dst = append(*dst, s)
			}
		})
	}
}

// nearest names the known fields, the likeliest first, at most six.
func nearest(key string, known fields) string {
	names := make([]string, 0, len(known))
	for k := range known {
		names = append(names, k)
	}
	slices.SortFunc(names, func(a, b string) int {
		if d := distance(key, a) - distance(key, b); d != 0 {
			return d
		}
		return strings.Compare(a, b)
	})
	return strings.Join(names[:min(6, len(names))], ", ")
}

// distance is the edit distance between two short words (Levenshtein 1966).
func distance(a, b string) int {
	a, b = clip(a), clip(b)
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := 1
			if a[i] == b[j] {
				cost = 0
			}
			diagonal, row[j+1] = row[j+1], min(row[j+1]+1, row[j]+1, diagonal+cost)
		}
	}
	return row[len(b)]
}
