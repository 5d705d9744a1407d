package dyefile_test

import (
	"encoding/json"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"urdir/dye"
	"urdir/dyefile"
)

const schemaFile = "../docs/recipe-file.schema.json"

// validate has a library that knows JSON Schema, and nothing of dye, judge a text.
func validate(t *testing.T, text []byte) error {
	t.Helper()
	s, err := jsonschema.NewCompiler().Compile(schemaFile)
	if err != nil {
		t.Fatal(err)
	}
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

func TestSchema_takesShipped(t *testing.T) {
	for name, text := range shipped(t) {
		if err := validate(t, text); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		again, err := dyefile.Write(recipeOf(t, text))
		if err != nil {
			t.Fatal(err)
		}
		if err := validate(t, again); err != nil {
			t.Errorf("%s written: %v", name, err)
		}
	}
	if err := validate(t, []byte(good)); err != nil {
		t.Error(err)
	}
}

// What the schema refuses the reader or the check refuses too, and so the other
// way round.
func TestSchema_refuses(t *testing.T) {
	for _, change := range [][2]string{
		{"recipe: 1", "recipe: 2"}, {"fibre: cellulose", "fibre: silk"}, {"liquor: 30 L/kg\n", "liquor: 30\n"}, {"left: 40 %", "left: 40"},
		{"kind: mordant", "kind: boil"}, {"amount: 15 %", "amount: 15 g"}, {"to: 131 °F", "to: 131 K"}, {"hold: 1.5 h", "hold: 1.5"},
		{"waters: 2", "waters: 0.5"}, {"dips: 4", "dips: 0"}, {"what: alum,", "whit: alum,"}, {"waste: collect", "waste: river"},
		{"[poison]", "[wolf]"}, {"name: Rubia de la casa\n", ""}, {"strength: 3 g/L", "strength: 3 %"}, {"{en: Slowly, ", "{english: Slowly, "},
	} {
		text := []byte(strings.Replace(good, change[0], change[1], 1))
		if string(text) == good {
			t.Fatalf("%q is not in the file", change[0])
		}
		if validate(t, text) == nil {
			t.Errorf("the schema takes %q", change[1])
		}
		r, _, ps := dyefile.Read(text)
		if !ps.Failed() && !dye.Check(r, 0).Failed() {
			t.Errorf("the reader takes %q", change[1])
		}
	}
}

// The schema has just the fields the reader has, which the reader tells when it
// meets one that it does not know.
func TestSchema_fields(t *testing.T) {
	b, err := os.ReadFile(schemaFile)
	if err != nil {
		t.Fatal(err)
	}
	var schema struct {
		Defs map[string]struct{ Properties map[string]any } `json:"$defs"`
	}
	if err := json.Unmarshal(b, &schema); err != nil {
		t.Fatal(err)
	}
	for part, text := range map[string]string{
		"recipe": "zz: 1", "material": "materials: {a: {zz: 1}}", "step": "steps: [{zz: 1}]", "part": "steps: [{amounts: [{zz: 1}]}]",
		"segment": "steps: [{heat: [{zz: 1}]}]", "vat": "steps: [{vat: {zz: 1}}]", "stock": "steps: [{vat: {stock: [{zz: 1}]}}]",
	} {
		_, _, ps := dyefile.Read([]byte(text))
		known := ""
		for _, p := range ps {
			if p.Code == "field-unknown" {
				known = p.Args["known"].(string)
			}
		}
		want := strings.Join(slices.Sorted(maps.Keys(schema.Defs[part].Properties)), ", ")
		if diff := cmp.Diff(want, known); diff != "" {
			t.Errorf("%s (-schema +reader)\n%s", part, diff)
		}
	}
	enum := func(name string) (out []string) {
		var s struct {
			Defs struct {
				Step struct {
					Properties map[string]struct {
						Enum  []string
						Items struct{ Enum []string }
					}
				}
			} `json:"$defs"`
		}
		if err := json.Unmarshal(b, &s); err != nil {
			t.Fatal(err)
		}
		p := s.Defs.Step.Properties[name]
		return append(p.Enum, p.Items.Enum...)
	}
	if diff := cmp.Diff([][]string{enum("kind"), enum("hazards"), enum("waste")}, [][]string{asText(dye.Kinds), asText(dye.Hazards), asText(dye.Wastes)},
		cmp.Transformer("sorted", func(s []string) map[string]bool {
			out := map[string]bool{}
			for _, x := range s {
				out[x] = true
			}
			return out
		})); diff != "" {
		t.Errorf("(-schema +reader)\n%s", diff)
	}
}

func asText[T ~string](words []T) (out []string) {
	for _, w := range words {
		out = append(out, string(w))
	}
	return out
}

// Every field, kind, way and substance stands in docs/recipe-file.md, and its
// example is a recipe.
func TestDocs(t *testing.T) {
	b, err := os.ReadFile("../docs/recipe-file.md")
	if err != nil {
		t.Fatal(err)
	}
	text := string(b)
	var schema struct {
		Defs map[string]struct{ Properties map[string]any } `json:"$defs"`
	}
	s, err := os.ReadFile(schemaFile)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(s, &schema); err != nil {
		t.Fatal(err)
	}
	words := append(asText(dye.Kinds), asText(dye.Wastes)...)
	for _, x := range dye.Substances {
		words = append(words, x.Key)
	}
	for _, part := range schema.Defs {
		words = slices.AppendSeq(words, maps.Keys(part.Properties))
	}
	for _, w := range words {
		if !strings.Contains(text, "`"+w+"`") {
			t.Errorf("docs/recipe-file.md does not tell of %q", w)
		}
	}
	_, after, _ := strings.Cut(text, "```yaml\n")
	example, _, _ := strings.Cut(after, "```")
	if ps := dye.Check(recipeOf(t, []byte(example)), 0); len(ps) > 0 || validate(t, []byte(example)) != nil {
		t.Errorf("the example: %v", ps)
	}
}
