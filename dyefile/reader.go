package dyefile

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"urdir/check"
	"urdir/measure"
)

// reader walks the tree, fills in values and gathers problems.
type reader struct {
	ps  check.Problems
	src Source
}

// read fills in one field; path is where the field stands.
type read func(n ast.Node, path string)

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

// each goes through the fields of a mapping in the order written; one written
// twice is a problem, and the first one stands.
func (r *reader) each(n ast.Node, path string, field func(key string, at, value ast.Node, path string)) {
	m, ok := n.(ast.MapNode)
	if !ok {
		r.wrongKind(n, path, "mapping")
		return
	}
	seen := map[string]bool{}
	for it := m.MapRange(); it.Next(); {
		key := it.Key().GetToken().Value
		at := join(path, key)
		if seen[key] {
			at = fmt.Sprintf("%s?%d", at, len(r.ps))
			r.note(at, it.Key())
			r.ps.Wrong(at, "field-twice", check.Args{"field": clip(key)})
			continue
		}
		seen[key] = true
		switch it.Value().Type() {
		case ast.NullType, ast.MappingType, ast.MappingValueType, ast.SequenceType:
			r.note(at, it.Key())
		default:
			r.note(at, it.Value())
		}
		field(key, it.Key(), it.Value(), at)
	}
}

// mapping reads a mapping of known fields.
func (r *reader) mapping(n ast.Node, path string, known map[string]read) {
	r.each(n, path, func(key string, at, value ast.Node, path string) {
		f, ok := known[key]
		if !ok {
			r.note(path, at)
			r.ps.Wrong(path, "field-unknown", check.Args{"field": clip(key), "known": strings.Join(slices.Sorted(maps.Keys(known)), ", ")})
			return
		}
		f(value, path)
	})
}

// list reads a list.
func (r *reader) list(n ast.Node, path string, item read) {
	seq, ok := n.(*ast.SequenceNode)
	switch {
	case !ok:
		r.wrongKind(n, path, "list")
		return
	case len(seq.Values) > maxItems:
		r.ps.Wrong(path, "parts-too-many", check.Args{"count": len(seq.Values), "most": maxItems})
		return
	}
	for i, v := range seq.Values {
		at := fmt.Sprintf("%s[%d]", path, i)
		r.note(at, v)
		item(v, at)
	}
}

// wrongKind says that a value is of another kind than wanted.
func (r *reader) wrongKind(n ast.Node, path, want string) {
	code := "value-not-" + want
	switch n.Type() {
	case ast.NullType:
		code = "value-missing"
	case ast.AliasType, ast.AnchorType, ast.TagType:
		code = "value-alias"
	}
	r.ps.Wrong(path, code, check.Args{"field": path[strings.LastIndexByte(path, '.')+1:]})
}

// scalar reads a single value as written.
func (r *reader) scalar(n ast.Node, path string) (string, bool) {
	switch v := n.(type) {
	case *ast.StringNode:
		return strings.TrimSpace(v.Value), true
	case *ast.LiteralNode:
		return strings.TrimSpace(v.Value.Value), true
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		return n.GetToken().Value, true
	}
	r.wrongKind(n, path, "value")
	return "", false
}

// text reads words.
func (r *reader) text(to *string) read {
	return func(n ast.Node, path string) {
		if s, ok := r.scalar(n, path); ok {
			*to = s
		}
	}
}

// count reads a whole number.
func (r *reader) count(to *int) read {
	return func(n ast.Node, path string) {
		s, ok := r.scalar(n, path)
		if !ok {
			return
		}
		v, err := strconv.Atoi(s)
		if err != nil {
			r.ps.Wrong(path, "number-not-whole", check.Args{"text": clip(s)})
			return
		}
		*to = v
	}
}

// number reads a number without a unit.
func (r *reader) number(to *measure.Count) read {
	return func(n ast.Node, path string) {
		s, ok := r.scalar(n, path)
		if !ok {
			return
		}
		v, code := measure.ParseNumber(s)
		if code != "" {
			r.quantity(path, &measure.ParseError{Code: code, Text: s})
			return
		}
		*to = measure.Count(v)
	}
}

// yes reads yes or no.
func (r *reader) yes(to *bool) read {
	return func(n ast.Node, path string) {
		s, ok := r.scalar(n, path)
		if !ok {
			return
		}
		switch strings.ToLower(s) {
		case "yes", "true", "sí", "si":
			*to = true
		case "no", "false":
			*to = false
		default:
			r.ps.Wrong(path, "value-choice", check.Args{"text": clip(s), "choices": "yes, no"})
		}
	}
}

// value reads a quantity with one of package measure's parsers.
func value[T any](r *reader, parse func(string) (T, error), to *T) read {
	return func(n ast.Node, path string) {
		s, ok := r.scalar(n, path)
		if !ok {
			return
		}
		v, err := parse(s)
		if err != nil {
			r.quantity(path, err)
			return
		}
		*to = v
	}
}

func (r *reader) quantity(path string, err error) {
	if pe, ok := errors.AsType[*measure.ParseError](err); ok {
		r.ps.Wrong(path, pe.Code, check.Args{"text": clip(pe.Text), "unit": clip(pe.Unit), "want": pe.Want})
		return
	}
	r.ps.Wrong(path, "value-unread", check.Args{"text": clip(err.Error())})
}

// choice reads one of a few words.
func choice[T ~string](r *reader, to *T, choices []T) read {
	return func(n ast.Node, path string) {
		s, ok := r.scalar(n, path)
		if !ok {
			return
		}
		if !slices.Contains(choices, T(s)) {
			r.ps.Wrong(path, "value-choice", check.Args{"text": clip(s), "choices": listed(choices)})
			return
		}
		*to = T(s)
	}
}

func listed[T ~string](words []T) string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = string(w)
	}
	return strings.Join(out, ", ")
}
