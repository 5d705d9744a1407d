package clothfile_test

import (
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"urdir/check"
	"urdir/clothfile"
	"urdir/internal/yamlfile/filetest"
	"urdir/measure"
	"urdir/plan"
)

const schemaFile = "../docs/cloth-file.schema.json"

// validator is the schema, as a library reads it.
func validator(t *testing.T) *jsonschema.Schema {
	t.Helper()
	return filetest.Schema(t, schemaFile)
}

// valid reports whether the schema takes a text.
func valid(t *testing.T, s *jsonschema.Schema, text string) bool {
	t.Helper()
	err := filetest.Validate(t, s, []byte(text))
	if err != nil {
		t.Logf("%v", err)
	}
	return err == nil
}

func TestSchema_takesExamples(t *testing.T) {
	s := validator(t)
	for _, file := range append(examples(t), "testdata/mat.yaml") {
		if !valid(t, s, readFile(t, file)) {
			t.Errorf("the schema refuses %s", file)
		}
	}
}

// What the schema refuses the program refuses as well, and what the program
// takes the schema takes.
func TestSchema_agreesWithRead(t *testing.T) {
	s := validator(t)
	tests := []struct {
		name, old, new string
		good           bool
	}{
		{"as it is", "weft: sand", "weft: sand", true},
		{"field unknown at the top", "weft: sand", "weft: sand\nwarp: sand", false},
		{"field unknown in a warp", "sett: 22 /cm", "sett: 22 /cm\n    reed: 22 /cm", false},
		{"field unknown in a band", "{hem: 2 cm}\n      - {figure", "{hem: 2 cm, deep: 1 cm}\n      - {figure", false},
		{"unit missing", "width: 20 cm", "width: 20", false},
		{"unit missing in a sett", "22 /cm", "22", false},
		{"unit of another quantity", "width: 20 cm", "width: 20 g", false},
		{"per in words", "22 /cm", "22 per cm", true},
		{"inches", "width: 20 cm", "width: 7.874 in", true},
		{"comma", "picks: 5 /cm", "picks: 5,0 /cm", true},
		{"length negative", "length: 30 cm", "length: -30 cm", false},
		{"sett missing", "    sett: 22 /cm\n", "", false},
		{"version missing", "urdir: 1\n", "", false},
		{"version of another program", "urdir: 1", "urdir: 2", false},
		{"colour not a colour", "\"#a2502a\"", "red", false},
		{"count and skein", "    strands: 2\n    colour: \"#a2502a\"", "    skein: {length: 100 m, mass: 150 g}\n    colour: \"#a2502a\"", false},
		{"skein for a count", "  rust:\n    count: Ne 8/2", "  rust:\n    skein: {length: 100 m, mass: 15 g}", true},
		{"repeat of nothing", "repeat: 3", "repeat: 0", false},
		{"repeat beyond all cloth", "repeat: 3", "repeat: 3001", false},
		{"stripe without a yarn", "      - 8 rust", "      - 8", false},
		{"stripe negative", "      - 8 rust", "      - -8 rust", false},
		{"stripe of a part", "      - 8 rust", "      - 0.5 parts rust", true},
		{"stripe of a width", "      - 8 rust", "      - 4 mm rust", true},
		{"alternation", "      - 8 rust", "      - {alternate: [1 rust, 1 sand], over: 8}", true},
		{"alternation without a width", "      - 8 rust", "      - {alternate: [1 rust, 1 sand]}", false},
		{"group of two kinds", "repeat: 3", "mirror: [1 rust]", false},
		{"band of two kinds", "{woven: rest}", "{woven: rest, open: 3 cm}", false},
		{"band of no kind", "{woven: rest}", "{weft: rust}", false},
		{"bands mirrored", "{woven: rest}", "{mirror: [{woven: 3 cm}, {woven: rest, weft: rust}]}", true},
		{"bands mirrored without a list", "{woven: rest}", "{mirror: []}", false},
		{"fringe of the rest", "{woven: rest}", "{fringe: rest}", false},
		{"figure as long as its chart", "figure: 3 cm", "figure: fit", true},
		{"woven to fit", "woven: rest", "woven: fit", false},
		{"figure without a chart", "{figure: 3 cm, chart: leaf,", "{figure: 3 cm,", false},
		{"yes", "count: 2,", "alternate: yes,", true},
		{"true", "count: 2,", "alternate: true,", true},
		{"perhaps", "count: 2,", "alternate: perhaps,", false},
		{"figure without a drawing", "    chart: |\n      .x.\n      xxx\n      .x.\n", "", false},
		{"colour key a bracket", "{x: rust}", "{\"[\": rust}", false},
		{"colour key of two signs", "{x: rust}", "{xx: rust}", false},
		{"owner without a word on sale", "{x: rust}", "{x: rust}\n    owner: the upper valley", false},
		{"owner who agreed", "{x: rust}", "{x: rust}\n    owner: the upper valley\n    sale: yes", true},
		{"fibre unknown", "  rust:\n", "  rust:\n    fibre: stone\n", false},
		{"pieces not whole", "pieces: 2", "pieces: 2.5", false},
		{"pieces too many", "pieces: 2", "pieces: 1001", false},
		{"date not a date", "2027-05-02", "2/5/27", false},
		{"choice unknown", "weft: sand", "weft: sand\njoin: diagonal", false},
		{"three pegs in a cross", "[B, C]", "[B, C, D]", false},
		{"one place to start, not in a list", "start: [A]", "start: A", true},
		{"peg on the other side", "A: [0 cm, 0 cm]", "A: [-1 cm, 0 cm]", true},
		{"peg without a place", "A: [0 cm, 0 cm]", "A: [0 cm]", false},
		{"key not a name", "  mat:\n", "  2mat:\n", false},
		{"key with a hyphen at its end", "  mat:\n", "  mat-:\n", false},
		{"key of other letters", "  mat:\n", "  petate-pequeño:\n", true},
		{"kit", "weft: sand", "weft: sand\nkit: [{item: Batten, each: 1}]", true},
		{"kit item without a name", "weft: sand", "weft: sand\nkit: [{each: 1}]", false},
		{"measured", "sett: 22 /cm", "sett: 22 /cm\n    measured: {take-up: 7 %, pieces: 4}", true},
		{"tied", "length: 30 cm", "length: 30 cm\n    tied: {marks: [{ends: 2-4, to: 3 cm}, {ends: 7, from: 1 cm, to: 3 cm, every: 9 cm, mirror: yes}]}", true},
		{"nothing tied", "length: 30 cm", "length: 30 cm\n    tied: {marks: []}", false},
		{"tied without marks", "length: 30 cm", "length: 30 cm\n    tied: {bundle: 9}", false},
		{"tied ends in words", "length: 30 cm", "length: 30 cm\n    tied: {marks: [{ends: 2 to 4, to: 3 cm}]}", false},
		{"tied without ends", "length: 30 cm", "length: 30 cm\n    tied: {marks: [{to: 3 cm}]}", false},
		{"tied without an end", "length: 30 cm", "length: 30 cm\n    tied: {marks: [{ends: 2-4, from: 3 cm}]}", false},
		{"tied with a bundle of none", "length: 30 cm", "length: 30 cm\n    tied: {bundle: 0, marks: [{ends: 2-4, to: 3 cm}]}", false},
		{"tied from another peg", "length: 30 cm", "length: 30 cm\n    tied: {begins: B, marks: [{ends: 2-4, to: 3 cm}]}", false},
		{"tied in a colour without a name for it", "length: 30 cm", "length: 30 cm\n    tied: {undyed: white, marks: [{ends: 2-4, to: 3 cm}]}", false},
		{"measured without a unit", "sett: 22 /cm", "sett: 22 /cm\n    measured: {take-up: 7, pieces: 4}", false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			text := change(t, mat(t), tt.old, tt.new)
			if got := valid(t, s, text); got != tt.good {
				t.Errorf("schema takes it: %v, want %v", got, tt.good)
			}
			if got := problems(t, text); (len(got) == 0) != tt.good {
				t.Errorf("problems: %v; good should be %v", got, tt.good)
			}
		})
	}
}

type object = filetest.Object

func anyList(v any) []any { l, _ := v.([]any); return l }

func TestSchema_namesTheFieldsOfTheReader(t *testing.T) { filetest.SameFields(t, schemaFile) }

// A band takes exactly the fields that the schema gives to its kind.
func TestSchema_bandFields(t *testing.T) {
	band := filetest.Defs(t, schemaFile)["band"].(object)
	for _, b := range anyList(band["oneOf"]) {
		kind := anyList(b.(object)["required"])[0].(string)
		own := filetest.Properties(b)
		for _, field := range filetest.Properties(band) {
			if field == kind {
				continue
			}
			_, _, ps := clothfile.Read([]byte("panels: {a: {bands: [{" + kind + ": 1 cm, " + field + ": 1}]}}"))
			got := !slices.ContainsFunc(ps, func(p check.Problem) bool {
				return p.Code == "field-unknown" || p.Code == "band-kind"
			})
			if want := slices.Contains(own, field); got != want {
				t.Errorf("%s in a band %s: the reader takes it %v, the schema %v", field, kind, got, want)
			}
		}
	}
}

// Writing a default out changes nothing.
func TestSchema_defaultsAreTheReaders(t *testing.T) {
	defs := filetest.Defs(t, schemaFile)
	var file object
	if err := yaml.Unmarshal([]byte(mat(t)), &file); err != nil {
		t.Fatal(err)
	}
	leaf := file["figures"].(object)["leaf"].(object)
	panel := file["panels"].(object)["mat"].(object)
	file["class"], file["shrinkage"], file["kit"] = object{}, object{}, []any{object{"item": "Batten"}}
	panel["seam"] = object{}
	panel["tied"] = object{"marks": []any{object{"ends": "2-4", "to": "3 cm"}}}
	bands := append([]any{object{"fringe": "5 cm"}}, panel["bands"].([]any)...)
	panel["bands"] = bands
	parts := []struct {
		def object
		in  any
	}{
		{defs["cloth"].(object), file},
		{defs["order"].(object), file["order"]},
		{defs["class"].(object), file["class"]},
		{defs["shrinkage"].(object), file["shrinkage"]},
		{defs["kit-item"].(object), file["kit"].([]any)[0]},
		{defs["yarn"].(object), file["yarns"].(object)["rust"]},
		{defs["figure"].(object), leaf},
		{defs["cell"].(object), leaf["cell"]},
		{defs["warp"].(object), file["warps"].(object)["body"]},
		{defs["panel"].(object), panel},
		{defs["seam"].(object), panel["seam"]},
		{defs["tied"].(object), panel["tied"]},
		{defs["mark"].(object), panel["tied"].(object)["marks"].([]any)[0]},
		{bandOf(defs, "fringe"), bands[0]},
		{bandOf(defs, "hem"), bands[1]},
		{bandOf(defs, "figure"), bands[2]},
	}
	defaults := func(do func(in object, name string, value any)) {
		for _, part := range parts {
			for name, p := range part.def["properties"].(object) {
				if value, ok := p.(object)["default"]; ok {
					do(part.in.(object), name, value)
				}
			}
		}
	}
	defaults(func(in object, name string, _ any) { delete(in, name) })
	bare := readBack(t, file)
	near := cmp.Comparer(func(a, b measure.Ratio) bool { return math.Abs(float64(a-b)) < 1e-12 })
	unexported := cmp.Exporter(func(reflect.Type) bool { return true })
	count := 0
	defaults(func(in object, name string, value any) {
		count++
		if n, ok := value.(float64); ok {
			value = int(n) // JSON has one kind of number
		}
		in[name] = value
		if diff := cmp.Diff(bare, readBack(t, file), near, unexported); diff != "" {
			t.Errorf("%s: %v is not what the reader takes by itself:\n%s", name, value, diff)
		}
		delete(in, name)
	})
	if count != strings.Count(readFile(t, schemaFile), `"default":`) {
		t.Errorf("looked at %d defaults; the schema has more", count)
	}
}

// bandOf is the schema of one kind of band.
func bandOf(defs object, kind string) object {
	for _, b := range anyList(defs["band"].(object)["oneOf"]) {
		if _, ok := b.(object)["properties"].(object)[kind]; ok {
			return b.(object)
		}
	}
	return nil
}

// readBack writes a file and reads it as a cloth.
func readBack(t *testing.T, file object) plan.Cloth {
	t.Helper()
	text, err := yaml.MarshalWithOptions(file, yaml.UseLiteralStyleIfMultiline(true))
	if err != nil {
		t.Fatal(err)
	}
	c, _, ps := clothfile.Read(text)
	if ps.Failed() {
		t.Fatalf("%v in\n%s", ps, text)
	}
	return c
}

// The reference for people names every field as well.
func TestReference_namesEveryField(t *testing.T) {
	text := readFile(t, "../docs/cloth-file.md")
	for _, table := range filetest.Tables(t) {
		for _, key := range table {
			if !strings.Contains(text, "`"+key+"`") && !strings.Contains(text, "`"+key+":") {
				t.Errorf("docs/cloth-file.md does not explain %q", key)
			}
		}
	}
}

// What the reference shows in blocks can be read as it stands.
func TestReference_examplesRead(t *testing.T) {
	blocks := strings.Split(readFile(t, "../docs/cloth-file.md"), "```yaml\n")[1:]
	if len(blocks) < 6 {
		t.Fatalf("found %d examples", len(blocks))
	}
	for _, b := range blocks {
		text, _, _ := strings.Cut(b, "```")
		if !strings.Contains(text, "urdir: 1") {
			text += "urdir: 1\n"
		}
		if _, _, ps := clothfile.Read([]byte(text)); len(ps) > 0 {
			t.Errorf("%v in\n%s", ps, text)
		}
	}
}
