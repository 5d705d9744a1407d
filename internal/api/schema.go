package api

import (
	"path"
	"reflect"
	"strconv"
	"strings"
	"time"

	"urdir/internal/lang"
)

// here is this package.
var here = reflect.TypeFor[op]().PkgPath()

// object is a part of a JSON document.
type object = map[string]any

// schemas makes JSON Schemas (2020-12, as OpenAPI 3.1 has them) of Go types.
type schemas struct {
	words *lang.Words
	named object // by the name of the type
}

// of is the schema of a type; a struct stands among the named ones, once.
func (s *schemas) of(t reflect.Type) object {
	if t == timeType {
		return object{"type": "string", "format": "date-time"}
	}
	switch t.Kind() {
	case reflect.Pointer:
		return s.of(t.Elem())
	case reflect.Slice:
		return object{"type": "array", "items": s.of(t.Elem())}
	case reflect.Map:
		return object{"type": "object", "additionalProperties": s.of(t.Elem())}
	case reflect.Struct:
		name := typeName(t)
		if _, there := s.named[name]; !there {
			s.named[name] = nil // it may hold itself
			s.named[name] = s.object(t)
		}
		return object{"$ref": "#/components/schemas/" + name}
	case reflect.Bool:
		return object{"type": "boolean"}
	case reflect.String:
		return object{"type": "string"}
	case reflect.Int, reflect.Int64:
		return object{"type": "integer"}
	}
	return object{"type": "number"}
}

var timeType = reflect.TypeFor[time.Time]()

// typeName is what a type is called: Page[Order] is OrderPage. Those of other packages
// have the package's name before theirs.
func typeName(t reflect.Type) string {
	name := t.Name()
	if t.PkgPath() != here {
		return path.Base(t.PkgPath()) + "." + name
	}
	if of, rest, generic := strings.Cut(name, "["); generic {
		rest = strings.TrimSuffix(rest, "]")
		return rest[strings.LastIndexAny(rest, "./")+1:] + of
	}
	return name
}

func (s *schemas) object(t reflect.Type) object {
	all, needed := object{}, []string{}
	for _, f := range fields(t) {
		all[f.name] = s.field(f)
		if !f.optional {
			needed = append(needed, f.name)
		}
	}
	return object{"type": "object", "properties": all, "required": needed, "additionalProperties": false}
}

// field is the schema of a field, with what its tags say of it.
func (s *schemas) field(f field) object {
	out := s.of(f.typ)
	if f.typ.Kind() == reflect.Pointer && !f.optional {
		out = object{"anyOf": []any{out, object{"type": "null"}}}
	}
	if choices := f.tag.Get("enum"); choices != "" {
		out["enum"] = texts(choices)
	}
	if format := f.tag.Get("format"); format != "" {
		out["format"] = format
	}
	if example := f.tag.Get("example"); example != "" {
		out["examples"] = []any{typed(example, f.typ)}
	}
	if say := s.say("api-field-" + strings.ReplaceAll(f.name, "_", "-")); say != "" {
		out["description"] = say
	}
	return out
}

// say is words, or nothing where there are none.
func (s *schemas) say(key string) string {
	if !s.words.Has(key) {
		return ""
	}
	return s.words.T(key, nil)
}

func texts(list string) (out []any) {
	for part := range strings.SplitSeq(list, ",") {
		out = append(out, part)
	}
	return out
}

// typed is an example as a value of its type.
func typed(text string, t reflect.Type) any {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	switch t.Kind() {
	case reflect.Bool:
		return text == "true"
	case reflect.Int, reflect.Int64, reflect.Float64:
		n, err := strconv.ParseFloat(text, 64)
		if err != nil {
			panic("an example that is no number: " + text) // found by every test
		}
		return n
	case reflect.Slice:
		return []any{typed(text, t.Elem())}
	}
	return text
}

// example is an example of a type, out of those of its fields.
func example(t reflect.Type) any {
	if t == timeType {
		return "2031-05-06T12:00:00Z"
	}
	switch t.Kind() {
	case reflect.Pointer:
		return example(t.Elem())
	case reflect.Slice:
		return []any{example(t.Elem())}
	case reflect.Map:
		if t.Elem().Kind() == reflect.String {
			return object{"red": "wjpp4c2vkq3a"}
		}
		return object{"wjpp4c2vkq3a": example(t.Elem())}
	case reflect.Struct:
		if t.PkgPath() != here {
			return nil
		}
		out := object{}
		for _, f := range fields(t) {
			if text := f.tag.Get("example"); text != "" {
				out[f.name] = typed(text, f.typ)
			} else if v := example(f.typ); v != nil && !f.optional {
				out[f.name] = v
			} else if under(f.typ).Kind() == reflect.Struct || f.typ.Kind() == reflect.Map {
				out[f.name] = v
			}
		}
		return out
	case reflect.Bool:
		return true
	case reflect.Int, reflect.Int64, reflect.Float64:
		return 1
	}
	return nil
}

func under(t reflect.Type) reflect.Type {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
		t = t.Elem()
	}
	return t
}
