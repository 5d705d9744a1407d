package urdir_test

import (
	"cmp"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	gocmp "github.com/google/go-cmp/cmp"
)

// layers is every package of the module with the packages of the module that it
// imports, its tests left out. Dependencies point upwards in this table.
var layers = map[string][]string{
	".":              {},
	"check":          {},
	"measure":        {},
	"examples":       {},
	"cloth":          {"measure"},
	"surface":        {"measure"},
	"figure":         {"check", "measure"},
	"warp":           {"check", "measure"},
	"warp/frame":     {"check", "measure"},
	"yarn":           {"check", "measure"},
	"internal/lang":  {"check", "measure"},
	"plan":           {"check", "cloth", "figure", "measure", "warp", "warp/frame", "yarn"},
	"clothfile":      {"check", "figure", "measure", "plan", "warp", "warp/frame", "yarn"},
	"draw":           {"figure", "internal/lang", "measure", "plan", "surface", "warp", "warp/frame"},
	"sheet":          {"draw", "figure", "internal/lang", "measure", "plan", "surface", "warp"},
	"cmd/urdir":      {"check", "cloth", "clothfile", "draw", "examples", "internal/lang", "measure", "plan", "sheet", "surface", "warp", "yarn"},
}

// pure is the calculation packages: the same input gives the same output, so
// they reach no file, network, clock or chance, and nothing outside the
// standard library.
var pure = []string{"measure", "check", "yarn", "cloth", "warp", "warp/frame", "figure", "plan"}

// impure is what they may not import, nor any package below it.
var impure = []string{"crypto/rand", "database/sql", "io/fs", "log", "math/rand", "net", "os", "syscall"}

// times is all that they may use of package time.
var times = map[string][]string{"plan": {"DateOnly", "Parse"}}

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
	if diff := gocmp.Diff(layers, got); diff != "" {
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
				if first, _, _ := strings.Cut(p, "/"); strings.Contains(first, ".") {
					t.Errorf("%s imports %s, which is not in the standard library", dir, p)
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
