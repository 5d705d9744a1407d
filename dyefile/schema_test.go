package dyefile_test

import (
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"urdir/dye"
	"urdir/dyefile"
	"urdir/internal/yamlfile/filetest"
)

const schemaFile = "../docs/recipe-file.schema.json"

// validate has the schema judge a text.
func validate(t *testing.T, text []byte) error {
	t.Helper()
	return filetest.Validate(t, filetest.Schema(t, schemaFile), text)
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

func TestSchema_namesTheFieldsOfTheReader(t *testing.T) { filetest.SameFields(t, schemaFile) }

// The schema takes just the words that a recipe may use.
func TestSchema_words(t *testing.T) {
	fields := filetest.Defs(t, schemaFile)["step"].(filetest.Object)["properties"].(filetest.Object)
	for field, want := range map[string][]string{"kind": asText(dye.Kinds), "hazards": asText(dye.Hazards), "waste": asText(dye.Wastes)} {
		of := fields[field].(filetest.Object)
		if items, ok := of["items"].(filetest.Object); ok {
			of = items
		}
		var got []string
		for _, word := range of["enum"].([]any) {
			got = append(got, word.(string))
		}
		slices.Sort(got)
		slices.Sort(want)
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s (-reader +schema)\n%s", field, diff)
		}
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
	words := append(asText(dye.Kinds), asText(dye.Wastes)...)
	for _, x := range dye.Substances {
		words = append(words, x.Key)
	}
	for _, table := range filetest.Tables(t) {
		words = append(words, table...)
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
