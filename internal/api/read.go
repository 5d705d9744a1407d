package api

import (
	"bytes"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"net/url"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"urdir/check"
	"urdir/internal/workshop"
)

// Limits of lists.
const (
	defaultLimit = 50
	mostLimit    = 200
	// mostTries bounds how long a program has the server look for a timetable or a
	// dye plan: ten times as long as pages do at first.
	mostTries = 10 * workshop.TimetableSchedules
)

// field is one field of what is sent or answered.
type field struct {
	name     string
	typ      reflect.Type
	optional bool
	tag      reflect.StructTag
	index    []int
}

// fields is the fields of a struct, those of embedded structs among them.
func fields(t reflect.Type) (out []field) {
	for f := range t.Fields() {
		name, option, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case f.Anonymous && name == "":
			out = append(out, fields(f.Type)...)
		case f.IsExported() && name != "-":
			if name == "" {
				name = f.Name
			}
			out = append(out, field{name, f.Type, strings.HasPrefix(option, "omit"), f.Tag, f.Index})
		}
	}
	return out
}

// readBody reads what was sent, and finds everything that is wrong with its form.
func readBody(raw []byte, t reflect.Type) (any, check.Problems) {
	var ps check.Problems
	d := json.NewDecoder(bytes.NewReader(raw))
	d.UseNumber()
	var v any
	if err := d.Decode(&v); err != nil {
		ps.Wrong("", "api-not-json", check.Args{"reason": err.Error()})
		return nil, ps
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		ps.Wrong("", "api-not-json", check.Args{"reason": "more than one value"})
		return nil, ps
	}
	if fits(&ps, "", v, t); ps.Failed() {
		return nil, ps
	}
	into := reflect.New(t)
	if err := json.Unmarshal(raw, into.Interface()); err != nil {
		ps.Wrong("", "api-not-json", check.Args{"reason": err.Error()})
	}
	return into.Elem().Interface(), ps
}

// fits compares a value with the type it is to be of.
func fits(ps *check.Problems, path string, v any, t reflect.Type) {
	var want string
	switch t.Kind() {
	case reflect.Pointer:
		if v != nil {
			fits(ps, path, v, t.Elem())
		}
		return
	case reflect.Struct:
		if m, ok := v.(map[string]any); ok {
			fitsStruct(ps, path, m, t)
			return
		}
		want = "object"
	case reflect.Map:
		if m, ok := v.(map[string]any); ok {
			for _, k := range slices.Sorted(maps.Keys(m)) {
				fits(ps, join(path, k), m[k], t.Elem())
			}
			return
		}
		want = "object"
	case reflect.Slice:
		if l, ok := v.([]any); ok {
			for i, e := range l {
				fits(ps, fmt.Sprintf("%s[%d]", path, i), e, t.Elem())
			}
			return
		}
		want = "array"
	default:
		if want = wantOf(v, t); want == "" {
			return
		}
	}
	ps.Wrong(path, "api-type", check.Args{"want": want})
}

// wantOf is what a plain value should be; empty if it is that.
func wantOf(v any, t reflect.Type) string {
	switch t.Kind() {
	case reflect.String:
		if _, ok := v.(string); !ok {
			return "string"
		}
	case reflect.Bool:
		if _, ok := v.(bool); !ok {
			return "boolean"
		}
	case reflect.Int, reflect.Int64:
		n, _ := v.(json.Number)
		if _, err := strconv.ParseInt(n.String(), 10, 64); err != nil {
			return "integer"
		}
	default:
		n, _ := v.(json.Number)
		if _, err := n.Float64(); err != nil {
			return "number"
		}
	}
	return ""
}

func fitsStruct(ps *check.Problems, path string, m map[string]any, t reflect.Type) {
	known := map[string]bool{}
	for _, f := range fields(t) {
		known[f.name] = true
		v, there := m[f.name]
		switch {
		case there:
			fits(ps, join(path, f.name), v, f.typ)
			s, _ := v.(string)
			if choices := f.tag.Get("enum"); choices != "" && s != "" && !slices.Contains(strings.Split(choices, ","), s) {
				ps.Wrong(join(path, f.name), "value-choice", check.Args{"text": s, "choices": strings.ReplaceAll(choices, ",", ", ")})
			}
		case !f.optional:
			ps.Wrong(join(path, f.name), "api-missing", nil)
		}
	}
	for _, k := range slices.Sorted(maps.Keys(m)) {
		if !known[k] {
			ps.Wrong(join(path, k), "api-unknown", check.Args{"name": k})
		}
	}
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// named puts the names of this API's fields in the place of those the workshop has.
func named(ps check.Problems, in reflect.Type) check.Problems {
	if in == nil || in.Kind() != reflect.Struct {
		return ps
	}
	out := slices.Clone(ps)
	for _, f := range fields(in) {
		was := f.tag.Get("at")
		if was == "" {
			continue
		}
		for i, p := range out {
			if rest, ok := strings.CutPrefix(p.Path, was); ok && (rest == "" || rest[0] == '.' || rest[0] == '[') {
				out[i].Path = f.name + rest
			}
		}
	}
	return out
}

// checkQuery finds what is wrong with the values in an address.
func checkQuery(q url.Values, known []param) (ps check.Problems) {
	for _, name := range slices.Sorted(maps.Keys(q)) {
		i := slices.IndexFunc(known, func(p param) bool { return p.name == name })
		at := "query." + name
		switch {
		case i < 0:
			ps.Wrong(at, "api-unknown", check.Args{"name": name})
		case known[i].typ.Kind() == reflect.Int:
			if n, err := strconv.Atoi(q.Get(name)); err != nil || n < 1 || n > 1_000_000 {
				ps.Wrong(at, "api-type", check.Args{"want": "integer"})
			}
		case len(known[i].choices) > 0 && !slices.Contains(known[i].choices, q.Get(name)):
			ps.Wrong(at, "value-choice", check.Args{"text": q.Get(name), "choices": strings.Join(known[i].choices, ", ")})
		}
	}
	return ps
}

// number is a number of the address, which was checked; or other.
func (a *asked) number(name string, other int) int {
	if n, err := strconv.Atoi(a.URL.Query().Get(name)); err == nil {
		return n
	}
	return other
}

// page is which part of a list is asked for.
func (a *asked) page() (workshop.Page, error) {
	q := a.URL.Query()
	p := workshop.Page{Find: q.Get("find"), State: q.Get("state"), Limit: min(a.number("limit", defaultLimit), mostLimit)}
	after, err := base64.RawURLEncoding.DecodeString(q.Get("cursor"))
	if err != nil {
		return p, refused("query.cursor", "api-cursor", nil)
	}
	p.After = string(after)
	return p, nil
}

func asCursor(next string) string { return base64.RawURLEncoding.EncodeToString([]byte(next)) }
