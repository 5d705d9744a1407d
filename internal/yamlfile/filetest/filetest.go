// Package filetest helps the tests of a kind of file: it holds its reader, its
// JSON schema and its description to each other.
package filetest

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"
)

// Object is a part of a schema, or of a file.
type Object = map[string]any

// Schema reads a schema with a library that knows JSON Schema, and nothing of
// our files.
func Schema(t testing.TB, name string) *jsonschema.Schema {
	t.Helper()
	s, err := jsonschema.NewCompiler().Compile(name)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Validate has a schema judge a text, by way of JSON.
func Validate(t testing.TB, s *jsonschema.Schema, text []byte) error {
	t.Helper()
	data, err := yaml.YAMLToJSON(text)
	if err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	v, err := jsonschema.UnmarshalJSON(strings.NewReader(string(data)))
	if err != nil {
		t.Fatal(err)
	}
	return s.Validate(v)
}

// Defs is the parts of a schema by their names.
func Defs(t testing.TB, name string) Object {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	var s struct {
		Defs Object `json:"$defs"`
	}
	if err := json.Unmarshal(text, &s); err != nil {
		t.Fatal(err)
	}
	return s.Defs
}

// Properties gathers the fields of a part of a schema, or of all that it may be.
func Properties(def any) []string {
	set := map[string]bool{}
	oneOf, _ := def.(Object)["oneOf"].([]any)
	for _, d := range append([]any{def}, oneOf...) {
		if p, ok := d.(Object)["properties"].(Object); ok {
			for name := range p {
				set[name] = true
			}
		}
	}
	return slices.Sorted(maps.Keys(set))
}

// SameFields checks that the fields of each part of the schema are those of one
// table of the reader, and the other way round.
func SameFields(t testing.TB, schema string) {
	t.Helper()
	var inSchema, inCode []string
	for _, def := range Defs(t, schema) {
		if p := Properties(def); len(p) > 0 {
			inSchema = append(inSchema, strings.Join(p, " "))
		}
	}
	for _, table := range Tables(t) {
		inCode = append(inCode, strings.Join(slices.Sorted(slices.Values(table)), " "))
	}
	slices.Sort(inSchema)
	slices.Sort(inCode)
	if diff := cmp.Diff(inSchema, inCode); diff != "" || len(inCode) == 0 {
		t.Errorf("%d tables (-schema +reader):\n%s", len(inCode), diff)
	}
}

// Tables is the keys of each literal of type fields in the package under test,
// which is how a reader says what fields it knows.
func Tables(t testing.TB) (tables [][]string) {
	t.Helper()
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(f, func(n ast.Node) bool {
			lit, ok := n.(*ast.CompositeLit)
			if !ok {
				return true
			}
			if name, ok := lit.Type.(*ast.Ident); !ok || name.Name != "fields" {
				return true
			}
			var keys []string
			for _, e := range lit.Elts {
				key, err := strconv.Unquote(e.(*ast.KeyValueExpr).Key.(*ast.BasicLit).Value)
				if err != nil {
					t.Fatal(err)
				}
				keys = append(keys, key)
			}
			tables = append(tables, keys)
			return true
		})
	}
	return tables
}
