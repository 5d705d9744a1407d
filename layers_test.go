package urdir_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// layers is every package of the module and what it imports of the module, tests
// aside: no more and no less. A package imports only those above it.
var layers = map[string][]string{
	".":                     {},
	"check":                 {},
	"measure":               {},
	"internal/yamlfile":     {"check", "measure"},
	"examples":              {},
	"chance":                {},
	"cloth":                 {"measure"},
	"colour":                {"check", "measure"},
	"dye":                   {"check", "measure"},
	"dye/learned":           {"chance", "check", "colour", "dye", "measure"},
	"dye/lots":              {"chance", "check", "measure"},
	"dye/recipes":           {},
	"price":                 {"check"},
	"price/books":           {"check", "price"},
	"label":                 {"check"},
	"pricefile":             {"check", "internal/yamlfile", "measure", "price"},
	"dyefile":               {"check", "dye", "internal/yamlfile", "measure"},
	"schedule":              {"chance", "check", "measure"},
	"schedule/bench":        {"schedule"},
	"bench":                 {"clothfile", "internal/served", "measure", "plan", "schedule", "schedule/bench"},
	"schedule/rates":        {"check", "measure"},
	"schedule/promise":      {"chance", "check", "measure", "schedule", "schedule/rates"},
	"surface":               {"measure"},
	"figure":                {"check", "measure"},
	"warp":                  {"check", "measure"},
	"warp/frame":            {"check", "measure"},
	"yarn":                  {"check", "measure"},
	"internal/lang":         {"check", "measure"},
	"plan":                  {"check", "cloth", "figure", "measure", "warp", "warp/frame", "warp/tie", "yarn"},
	"clothfile":             {"check", "figure", "internal/yamlfile", "measure", "plan", "warp", "warp/frame", "warp/tie", "yarn"},
	"draw":                  {"chance", "figure", "internal/lang", "measure", "plan", "surface", "warp", "warp/frame", "warp/tie"},
	"sheet":                 {"draw", "dye", "figure", "internal/lang", "label", "measure", "plan", "price", "surface", "warp", "warp/tie"},
	"design":                {"chance", "check", "figure", "measure", "plan", "warp", "warp/tie"},
	"figure/photo":          {"chance", "check", "figure", "measure"},
	"warp/tie":              {"check", "measure"},
	"internal/screen":       {"check", "clothfile", "design", "draw", "figure", "figure/photo", "internal/lang", "measure", "plan", "surface", "warp", "warp/frame", "warp/tie", "yarn"},
	"cmd/urdir-screen":      {"design", "internal/screen"},
	"internal/store":        {},
	"internal/tables":       {"check"},
	"internal/archive":      {"check", "internal/lang", "internal/store", "internal/tables"},
	"internal/front":        {},
	"internal/care":         {"check", "internal/archive", "internal/store", "internal/workshop"},
	"internal/store/pgtest": {},
	"internal/torture":      {},
	"internal/served":       {},
	"internal/growth":       {},
	"internal/workshop": {"check", "clothfile", "colour", "dye", "dye/lots", "dye/recipes", "dyefile", "internal/store",
		"internal/tables", "label", "measure", "plan", "price", "price/books", "schedule", "schedule/promise", "schedule/rates", "warp/frame", "yarn"},
	"internal/api":     {"check", "colour", "internal/lang", "internal/workshop", "measure", "plan", "price"},
	"internal/courier": {"internal/workshop"},
	"internal/feed":    {"check", "internal/lang", "internal/workshop"},
	"internal/demo":    {"check", "colour", "dye", "examples", "internal/workshop", "label", "measure", "price", "price/books"},
	"internal/web": {"check", "clothfile", "colour", "design", "draw", "dye", "dye/learned", "dye/lots", "dyefile", "examples", "figure", "figure/photo", "internal/archive", "internal/care", "internal/feed", "internal/lang", "internal/screen",
		"internal/tables", "internal/workshop", "label", "measure", "plan", "price", "price/books", "sheet", "surface", "warp/frame", "yarn"},
	"internal/web/browser":       {},
	"packaging":                  {},
	"internal/yamlfile/filetest": {},
	"cmd/urdir": {"check", "cloth", "clothfile", "colour", "draw", "dye", "dye/recipes", "dyefile", "examples", "internal/api", "internal/archive", "internal/care", "internal/courier", "internal/demo", "internal/front",
		"internal/lang", "internal/store",
		"internal/web", "internal/workshop", "measure", "plan", "price", "pricefile", "schedule", "schedule/promise", "sheet", "surface", "warp", "yarn"},
}

// pure is the calculation packages: the same input gives the same output, so
// they reach no file, network, clock or dice, and nothing outside the
// standard library but what libraries lists.
var pure = []string{"measure", "check", "chance", "yarn", "cloth", "warp", "warp/frame", "warp/tie", "dye", "dye/learned", "dye/lots", "figure", "colour", "plan", "price", "price/books", "label", "schedule", "schedule/rates", "schedule/promise"}

// impure is what they may not import, nor any package below it.
var impure = []string{"crypto/rand", "database/sql", "io/fs", "log", "math/rand", "net", "os", "syscall"}

// libraries is what a calculation package may use beside the standard library: well
// kept, and themselves without files, network, clock or chance.
var libraries = map[string][]string{
	"price": {"github.com/bojanz/currency", "github.com/govalues/decimal"}, // ISO 4217 and CLDR tables; exact decimals
}

// times is all that they may use of package time.
var times = map[string][]string{"schedule": {"Date", "Duration", "Location", "Minute", "Month", "Time", "UTC", "Weekday"}, "price": {"DateOnly", "Parse"}, "price/books": {"DateOnly", "Parse"}, "plan": {"DateOnly", "Parse"}, "schedule/promise": {"Date", "Duration", "Minute", "Time"}}

func TestLayers(t *testing.T) {
	got := map[string][]string{}
	for dir, files := range readModule(t) {
		got[dir] = []string{}
		for _, f := range files {
			for _, s := range f.Imports {
				if p, ok := strings.CutPrefix(importPath(t, s), "urdir/"); ok && !slices.Contains(got[dir], p) {
					got[dir] = append(got[dir], p)
				}
			}
		}
		slices.Sort(got[dir])
	}
	if diff := cmp.Diff(layers, got); diff != "" {
		t.Errorf("packages and their imports (-table +found); mend the import, or argue for the table's change:\n%s", diff)
	}
}

func TestCalculationPackagesArePure(t *testing.T) {
	module := readModule(t)
	for _, dir := range pure {
		if len(module[dir]) == 0 {
			t.Errorf("%s: no code", dir)
		}
		for _, f := range module[dir] {
			for _, s := range f.Imports {
				p := importPath(t, s)
				if first, _, _ := strings.Cut(p, "/"); strings.Contains(first, ".") && !slices.Contains(libraries[dir], p) {
					t.Errorf("%s imports %s, which is neither in the standard library nor among its libraries", dir, p)
				}
				for _, bad := range impure {
					if p == bad || strings.HasPrefix(p, bad+"/") {
						t.Errorf("%s imports %s", dir, p)
					}
				}
				if p == "time" {
					checkTime(t, dir, f, s)
				}
			}
		}
	}
}

// checkTime reports what a file uses of package time beyond what its package may.
func checkTime(t *testing.T, dir string, f *ast.File, s *ast.ImportSpec) {
	t.Helper()
	name := "time"
	if s.Name != nil {
		name = s.Name.Name
	}
	if name == "." || len(times[dir]) == 0 {
		t.Errorf("%s imports time as %s; it may use %v of it", dir, name, times[dir])
	}
	ast.Inspect(f, func(n ast.Node) bool {
		if x, ok := n.(*ast.SelectorExpr); ok {
			if id, ok := x.X.(*ast.Ident); ok && id.Name == name && !slices.Contains(times[dir], x.Sel.Name) {
				t.Errorf("%s uses time.%s; it may use %v of package time", dir, x.Sel.Name, times[dir])
			}
		}
		return true
	})
}

func importPath(t *testing.T, s *ast.ImportSpec) string {
	t.Helper()
	p, err := strconv.Unquote(s.Path.Value)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// readModule reads the Go files of each folder that has any, tests left out but
// not the folders that have only tests.
func readModule(t *testing.T) map[string][]*ast.File {
	t.Helper()
	module := map[string][]*ast.File{}
	err := filepath.WalkDir(".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir():
			if name != "." && (d.Name() == "testdata" || strings.HasPrefix(d.Name(), ".") || strings.HasPrefix(d.Name(), "_")) {
				return filepath.SkipDir
			}
			return nil
		case filepath.Ext(name) != ".go":
			return nil
		}
		dir := filepath.ToSlash(filepath.Dir(name))
		files := module[dir]
		if !strings.HasSuffix(name, "_test.go") {
			f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			files = append(files, f)
		}
		module[dir] = files // a folder with only tests counts too
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return module
}
