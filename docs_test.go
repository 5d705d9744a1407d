package urdir_test

import (
	"encoding/json"
	"fmt"
	"go/ast"
	"go/constant"
	"go/parser"
	"go/token"
	"go/types"
	"io/fs"
	"maps"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"urdir/cloth"
	"urdir/clothfile"
	"urdir/measure"
	"urdir/plan"
	"urdir/yarn"
)

func read(t *testing.T, name string) string {
	t.Helper()
	b, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// cells are the cells of a row of a table; nil for any other line.
func cells(line string) []string {
	if !strings.HasPrefix(line, "| `") {
		return nil
	}
	out := strings.Split(strings.Trim(strings.TrimSpace(line), "|"), "|")
	for i := range out {
		out[i] = strings.TrimSpace(out[i])
	}
	out[0] = strings.Trim(out[0], "`")
	return out
}

// described is what docs/json-plan.md says of a field.
type described struct{ typ, unit string }

// jsonSections reads the tables of docs/json-plan.md, by the way to the part
// from the top: "plan.warps[].length".
func jsonSections(t *testing.T) map[string]map[string]described {
	heading := regexp.MustCompile("^## `(plan[^`]*)`$")
	out := map[string]map[string]described{}
	section := ""
	for line := range strings.Lines(read(t, "docs/json-plan.md")) {
		line = strings.TrimSpace(line)
		if strings.HasPrefix(line, "#") {
			section = ""
			if m := heading.FindStringSubmatch(line); m != nil {
				section = m[1]
				out[section] = map[string]described{}
			}
		}
		if c := cells(line); c != nil && section != "" {
			if _, twice := out[section][c[0]]; twice || len(c) != 4 || c[3] == "" {
				t.Errorf("json-plan.md: %s: row %q is there twice or says nothing", section, c[0])
			}
			out[section][c[0]] = described{c[1], c[2]}
		}
	}
	return out
}

// jsonType is how a Go type appears in JSON.
func jsonType(typ reflect.Type) string {
	switch typ.Kind() {
	case reflect.Pointer:
		return jsonType(typ.Elem())
	case reflect.Struct:
		return "object"
	case reflect.Slice, reflect.Array:
		if of := jsonType(typ.Elem()); of != "object" {
			return "list of " + of
		}
		return "list"
	case reflect.Bool:
		return "yes/no"
	case reflect.String:
		return "text"
	}
	return "number"
}

var unitNames = map[reflect.Type]string{
	reflect.TypeFor[measure.CM]():     "cm",
	reflect.TypeFor[measure.MM]():     "mm",
	reflect.TypeFor[measure.M]():      "m",
	reflect.TypeFor[measure.Gram]():   "g",
	reflect.TypeFor[measure.Tex]():    "tex",
	reflect.TypeFor[measure.PerCM]():  "/cm",
	reflect.TypeFor[measure.PerM2]():  "g/m2",
	reflect.TypeFor[measure.CM3G]():   "cm3/g",
	reflect.TypeFor[measure.Ratio]():  "fraction",
	reflect.TypeFor[measure.Degree](): "deg",
}

// Every field of the plan's JSON stands in docs/json-plan.md under the part it
// belongs to, with its type and unit, and nothing stands there that is not a
// field.
func TestJSONPlan_everyField(t *testing.T) {
	sections := jsonSections(t)
	seen := map[string]bool{}
	var look func(typ reflect.Type, at string)
	look = func(typ reflect.Type, at string) {
		fields := map[string]described{}
		for f := range typ.Fields() {
			name, option, _ := strings.Cut(f.Tag.Get("json"), ",")
			if !f.IsExported() || name == "-" {
				continue
			}
			d := described{jsonType(f.Type), unitNames[f.Type]}
			if name == "area_m2" { // a plain number: no quantity of the trade is an area
				d.unit = "m2"
			}
			if option == "omitempty" {
				d.typ += "?"
			}
			fields[name] = d
			part, below := f.Type, at+"."+name
			for part.Kind() == reflect.Pointer || part.Kind() == reflect.Slice {
				if part.Kind() == reflect.Slice {
					below += "[]"
				}
				part = part.Elem()
			}
			if part.Kind() == reflect.Struct {
				look(part, below)
			}
		}
		seen[at] = true
		for name, want := range fields {
			if got, ok := sections[at][name]; !ok {
				t.Errorf("json-plan.md: %s does not describe %q", at, name)
			} else if got != want {
				t.Errorf("json-plan.md: %s.%s is described as %v, want %v", at, name, got, want)
			}
		}
		for name := range sections[at] {
			if _, ok := fields[name]; !ok {
				t.Errorf("json-plan.md: %s has no field %q", at, name)
			}
		}
	}
	look(reflect.TypeFor[plan.Plan](), "plan")
	for at := range sections {
		if !seen[at] {
			t.Errorf("json-plan.md: the plan has no part %s", at)
		}
	}
	if len(seen) < 20 {
		t.Errorf("only %d parts of the plan were looked at", len(seen))
	}
}

// scarf plans the cloth of the example.
func scarf(t *testing.T) plan.Plan {
	t.Helper()
	c, _, ps := clothfile.Read([]byte(read(t, "examples/scarf.yaml")))
	if ps.Failed() {
		t.Fatal(ps)
	}
	p, ps := plan.Make(c)
	if ps.Failed() {
		t.Fatal(ps)
	}
	return p
}

// The example in docs/json-plan.md is part of the real plan.
func TestJSONPlan_example(t *testing.T) {
	_, after, _ := strings.Cut(read(t, "docs/json-plan.md"), "```json\n")
	text, _, found := strings.Cut(after, "```")
	var shown struct{ Plan any }
	if err := json.Unmarshal([]byte(text), &shown); err != nil || !found || shown.Plan == nil {
		t.Fatalf("the example cannot be read: %v", err)
	}
	b, err := json.Marshal(scarf(t))
	if err != nil {
		t.Fatal(err)
	}
	var real any
	if err := json.Unmarshal(b, &real); err != nil {
		t.Fatal(err)
	}
	within(t, "plan", shown.Plan, real)
}

// within checks that everything shown is so in the real value.
func within(t *testing.T, at string, shown, real any) {
	t.Helper()
	switch s := shown.(type) {
	case map[string]any:
		r, _ := real.(map[string]any)
		for k, v := range s {
			within(t, at+"."+k, v, r[k])
		}
	case []any:
		r, _ := real.([]any)
		for i, v := range s {
			if i >= len(r) {
				t.Errorf("json-plan.md: example: no %s[%d]", at, i)
				return
			}
			within(t, fmt.Sprintf("%s[%d]", at, i), v, r[i])
		}
	default:
		if shown != real {
			t.Errorf("json-plan.md: example: %s is %v, want %v", at, shown, real)
		}
	}
}

// Every path of --explain in docs/json-plan.md is a number of that plan.
func TestJSONPlan_explainPaths(t *testing.T) {
	p := scarf(t)
	_, after, _ := strings.Cut(read(t, "docs/json-plan.md"), "## `--explain`")
	n := 0
	for _, m := range regexp.MustCompile("`((?:warps?|panels?|yarns?)\\.[^`]+)`").FindAllStringSubmatch(after, -1) {
		n++
		if _, err := p.Explain(m[1]); err != nil {
			t.Errorf("json-plan.md: %v", err)
		}
	}
	if n < 6 {
		t.Errorf("only %d paths found", n)
	}
}

// Every file and folder named in docs/architecture.md exists, and every
// package is in its drawing.
func TestArchitecture_files(t *testing.T) {
	text := read(t, "docs/architecture.md")
	file := regexp.MustCompile(`[\w.-]+(?:/[\w.-]+)+\.(?:go|json|md|yaml|txt)`)
	n := 0
	for _, name := range file.FindAllString(text, -1) {
		n++
		if _, err := os.Stat(name); err != nil {
			t.Errorf("architecture.md: %v", err)
		}
	}
	for _, m := range regexp.MustCompile(`\]\(([^)]+)\)`).FindAllStringSubmatch(text, -1) {
		n++
		if _, err := os.Stat(filepath.Join("docs", m[1])); err != nil {
			t.Errorf("architecture.md: link: %v", err)
		}
	}
	if n < 50 {
		t.Errorf("only %d files are named", n)
	}
	_, after, _ := strings.Cut(text, "```\n")
	drawing, _, _ := strings.Cut(after, "```")
	for dir := range packages(t) {
		if dir == "." { // tests and the module's own page
			continue
		}
		if !regexp.MustCompile(`(^|[^\w/])` + regexp.QuoteMeta(dir) + `([^\w/]|$)`).MatchString(drawing) {
			t.Errorf("architecture.md: package %s is not in the drawing", dir)
		}
	}
}

// packages is the Go files of every folder that has any, tests left out.
func packages(t *testing.T) map[string][]string {
	t.Helper()
	out := map[string][]string{}
	err := filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && path != "." && strings.HasPrefix(d.Name(), "."):
			return fs.SkipDir
		case !d.IsDir() && strings.HasSuffix(path, ".go") && !strings.HasSuffix(path, "_test.go"):
			dir := filepath.ToSlash(filepath.Dir(path))
			out[dir] = append(out[dir], path)
		}
		return nil
	})
	if err != nil || len(out) < 10 {
		t.Fatalf("%d packages: %v", len(out), err)
	}
	return out
}

// fixed is a constant of the program and the name of its type, if it has one.
type fixed struct {
	value float64
	typ   string
}

// constants reads every constant of the calculation packages that is a plain
// number, by package and name.
func constants(t *testing.T) map[string]fixed {
	out := map[string]fixed{}
	set := token.NewFileSet()
	for _, files := range packages(t) {
		for _, name := range files {
			f, err := parser.ParseFile(set, name, nil, 0)
			if err != nil {
				t.Fatal(err)
			}
			ast.Inspect(f, func(n ast.Node) bool {
				spec, ok := n.(*ast.ValueSpec)
				if !ok || len(spec.Values) != len(spec.Names) {
					return true
				}
				for i, id := range spec.Names {
					v, err := types.Eval(token.NewFileSet(), nil, token.NoPos, types.ExprString(spec.Values[i]))
					if err != nil || v.Value == nil {
						continue
					}
					if x, _ := constant.Float64Val(constant.ToFloat(v.Value)); id.Obj != nil && id.Obj.Kind == ast.Con && v.Value.Kind() != constant.String {
						c := fixed{value: x}
						if spec.Type != nil {
							c.typ = types.ExprString(spec.Type)
						}
						out[f.Name.Name+"."+id.Name] = c
					}
				}
				return true
			})
		}
	}
	return out
}

// behaviour is defaults that are no constants: found by using the program.
func behaviour(t *testing.T) map[string]fixed {
	c, _, _ := clothfile.Read([]byte("urdir: 1\nfigures:\n  dot:\n    colours: {x: red}\n    chart: |\n      .x.\n"))
	if len(c.Figures) != 1 {
		t.Fatalf("%d figures read", len(c.Figures))
	}
	cell := c.Figures[0].Chart.Cell
	hand := func(want string) (w measure.PerM2) {
		for w < 1000 && cloth.HandOf(1.3, w) != want {
			w++
		}
		return w
	}
	return map[string]fixed{
		"plan.NewYarn.Strands": {float64(plan.NewYarn("").Spec.Strands), ""},
		"plan.NewCloth.Pieces": {float64(plan.NewCloth().Pieces), ""},
		"plan.NewWarp.Balls":   {float64(plan.NewWarp("").Balls), ""},
		"plan.NewPanel.Count":  {float64(plan.NewPanel("").Count), ""},
		"plan.NewBand.Upright": {float64(plan.NewBand().Place.Upright), ""},
		"cloth.HandOf.Firm":    {float64(hand(cloth.Firm)), ""},
		"cloth.HandOf.Stiff":   {float64(hand(cloth.Stiff)), ""},
		"clothfile.cell.ends":  {float64(cell.Ends), ""},
		"clothfile.cell.picks": {float64(cell.Picks), ""},
	}
}

// unitOf is the unit a value of a type must be written with.
var unitOf = map[string][]string{
	"measure.CM": {"cm"}, "measure.MM": {"mm"}, "measure.CM3G": {"cm3/g"}, "measure.Ratio": {"%", ""},
}

// Every default in the table of docs/trade.md is the one of the program, in its
// unit, and no constant called a default is left out.
func TestTrade_defaults(t *testing.T) {
	known := constants(t)
	maps.Copy(known, behaviour(t))
	_, after, _ := strings.Cut(read(t, "docs/trade.md"), "\n## Defaults\n")
	table, _, _ := strings.Cut(after, "\n## ")
	told := map[string]bool{}
	for line := range strings.Lines(table) {
		c := cells(line)
		if c == nil {
			continue
		}
		name, want := c[0], known[c[0]]
		told[name] = true
		number, unit, _ := strings.Cut(c[1], " ")
		v, err := strconv.ParseFloat(number, 64)
		if _, ok := known[name]; !ok || err != nil || len(c) != 4 || c[3] == "" {
			t.Errorf("trade.md: default %s: %q is no constant with a value and a source", name, line)
			continue
		}
		if unit == "%" {
			v /= 100
		}
		if math.Abs(v-want.value) > 1e-12 {
			t.Errorf("trade.md: default %s is %v, want %v", name, v, want.value)
		}
		if units, typed := unitOf[want.typ]; typed && !strings.Contains("|"+strings.Join(units, "|")+"|", "|"+unit+"|") {
			t.Errorf("trade.md: default %s is in %q, want %v", name, unit, units)
		}
	}
	if len(told) < 30 {
		t.Errorf("only %d defaults in the table", len(told))
	}
	for name := range known {
		if strings.Contains(name, ".Default") && !told[name] {
			t.Errorf("trade.md: the table of defaults lacks %s", name)
		}
	}
}

// The numbers of yarn numbering in docs/trade.md are those the program reckons
// with, to the figures shown.
func TestTrade_numbering(t *testing.T) {
	system := map[string]yarn.System{
		"tex": yarn.Tex, "decitex": yarn.Decitex, "denier": yarn.Denier, "grain (US)": yarn.Grain, "metric": yarn.Metric,
		"cotton": yarn.Cotton, "spun silk": yarn.Silk, "worsted": yarn.Worsted, "lea": yarn.Linen, "run (US)": yarn.Run,
		"woollen skein": yarn.Yorkshire, "yards in a pound": yarn.YardsPerPound,
	}
	row := regexp.MustCompile("(?m)^\\| ([^|`]+) \\| `([^`]+)` \\| [^|]+ \\| (factor|constant) ([0-9.]+) \\|")
	found := row.FindAllStringSubmatch(read(t, "docs/trade.md"), -1)
	if len(found) != len(system) || len(found) != len(yarn.Systems()) {
		t.Errorf("%d systems in trade.md, want %d", len(found), len(yarn.Systems()))
	}
	for _, m := range found {
		s := system[m[1]]
		told, _ := strconv.ParseFloat(m[4], 64)
		got := float64(yarn.Count{System: s, Number: 1, Plies: 1}.Tex())
		if math.Abs(told-got) > 1e-5*got {
			t.Errorf("trade.md: %s of %s is %v, want %v", m[3], m[1], told, got)
		}
		if c, err := yarn.ParseCount(m[2]); err != nil || c.System != s || s.Direct() != (m[3] == "factor") {
			t.Errorf("trade.md: %q of %s reads as %v, %v", m[2], m[1], c, err)
		}
	}
}

// The table of take-up in docs/trade.md is what the closed form gives.
func TestTrade_takeUp(t *testing.T) {
	row := regexp.MustCompile(`(?m)^\| (\d\.\d\d) \| ([0-9.]+) % \|`)
	found := row.FindAllStringSubmatch(read(t, "docs/trade.md"), -1)
	if len(found) < 10 {
		t.Errorf("only %d rows of take-up", len(found))
	}
	for _, m := range found {
		x, _ := strconv.ParseFloat(m[1], 64)
		told, _ := strconv.ParseFloat(m[2], 64)
		// One pick a centimetre lies 10 mm from the next. At the jam itself there
		// is no cloth; the limit is meant.
		d := measure.MM(10 * math.Min(x, 1-1e-9))
		g, err := cloth.StraightWeft(cloth.Crossing{Warp: d / 2, Weft: d / 2, Picks: 1, Flatness: 1})
		if err != nil || math.Abs(100*float64(g.TakeUp)-told) > 0.051 {
			t.Errorf("trade.md: take-up at %v is %v %%, want %.2f: %v", x, told, 100*float64(g.TakeUp), err)
		}
	}
}
