package plan_test

import (
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"

	"urdir/clothfile"
	"urdir/plan"
)

// example plans one of the example cloths.
func example(t testing.TB, file string) plan.Plan {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	c, _, ps := clothfile.Read(text)
	if ps.Failed() {
		t.Fatalf("%s: %v", file, ps)
	}
	p, ps := plan.Make(c)
	if ps.Failed() {
		t.Fatalf("%s: %v", file, ps)
	}
	return p
}

func examples(t testing.TB) map[string]plan.Plan {
	t.Helper()
	files, err := filepath.Glob("../examples/*.yaml")
	if err != nil || len(files) < 7 {
		t.Fatalf("%d examples: %v", len(files), err)
	}
	out := map[string]plan.Plan{}
	for _, f := range files {
		out[filepath.Base(f)] = example(t, f)
	}
	return out
}

// Every number of every example is explained, and the formula with the values
// put in gives the number.
func TestExplain_everyNumber(t *testing.T) {
	for name, p := range examples(t) {
		all := p.Explanations()
		for i, n := range p.Numbers() {
			e, err := p.Explain(n.Path)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if !reflect.DeepEqual(all[i], e) {
				t.Errorf("%s: %s among all is %+v, alone %+v", name, n.Path, all[i], e)
			}
			if e.Formula == "" {
				if e.How == "" {
					t.Errorf("%s: %s has neither a formula nor a sentence", name, n.Path)
				}
				continue
			}
			values := map[string]float64{"pi": math.Pi}
			for _, term := range e.Terms {
				if term.Value == nil {
					t.Errorf("%s: %s: term %s (%s) has no value", name, n.Path, term.Name, term.Path)
					continue
				}
				values[term.Name] = number(term.Value)
				if term.Formula != "" {
					near(t, name+": "+n.Path+": "+term.Name, term.Formula, values, number(term.Value))
				}
			}
			near(t, name+": "+n.Path, e.Formula, values, number(n.Value))
		}
	}
}

func near(t *testing.T, where, formula string, values map[string]float64, want float64) {
	t.Helper()
	got := evaluate(t, where, formula, values)
	if math.Abs(got-want) > 1e-6*math.Max(1, math.Abs(want)) {
		t.Errorf("%s: %s = %v; want %v\nwith %v", where, formula, got, want, values)
	}
}

func number(v any) float64 {
	if r := reflect.ValueOf(v); r.CanInt() {
		return float64(r.Int())
	}
	return reflect.ValueOf(v).Float()
}

// evaluate reckons an expression, with Go's own reading of it.
func evaluate(t *testing.T, where, formula string, values map[string]float64) float64 {
	t.Helper()
	tree, err := parser.ParseExpr(formula)
	if err != nil {
		t.Errorf("%s: formula %q: %v", where, formula, err)
		return math.NaN()
	}
	var of func(ast.Expr) float64
	of = func(e ast.Expr) float64 {
		switch e := e.(type) {
		case *ast.ParenExpr:
			return of(e.X)
		case *ast.BasicLit:
			v, _ := strconv.ParseFloat(e.Value, 64)
			return v
		case *ast.Ident:
			v, ok := values[e.Name]
			if !ok {
				t.Errorf("%s: formula %q: nothing is said of %s", where, formula, e.Name)
			}
			return v
		case *ast.BinaryExpr:
			return apply(e.Op, of(e.X), of(e.Y))
		case *ast.CallExpr:
			args := make([]float64, len(e.Args))
			for i, a := range e.Args {
				args[i] = of(a)
			}
			return call(e.Fun.(*ast.Ident).Name, args)
		}
		t.Errorf("%s: formula %q: cannot read %T", where, formula, e)
		return math.NaN()
	}
	return of(tree)
}

func apply(op token.Token, a, b float64) float64 {
	switch op {
	case token.ADD:
		return a + b
	case token.SUB:
		return a - b
	case token.MUL:
		return a * b
	}
	return a / b
}

func call(name string, a []float64) float64 {
	const forgive = 1e-6 // last bits do not make another pick or skein
	switch name {
	case "ceil":
		return math.Ceil(a[0] - forgive)
	case "floor":
		return math.Floor(a[0] + forgive)
	case "round":
		return math.Round(a[0])
	case "abs":
		return math.Abs(a[0])
	case "sqrt":
		return math.Sqrt(a[0])
	case "asin":
		return math.Asin(a[0])
	case "tan":
		return math.Tan(a[0])
	}
	best := a[0]
	for _, v := range a[1:] {
		if (name == "max") == (v > best) {
			best = v
		}
	}
	return best
}

// Every term that is another number of the plan is one that can be explained.
func TestExplain_termsLeadOn(t *testing.T) {
	p := example(t, "../examples/runner.yaml")
	for _, n := range p.Numbers() {
		e, _ := p.Explain(n.Path)
		for _, term := range e.Terms {
			if term.Path == "" || term.Given {
				continue
			}
			if on, err := p.Explain(term.Path); err != nil || on.Path != term.Path {
				t.Errorf("%s: term %s leads to %q: %v", n.Path, term.Name, term.Path, err)
			}
		}
	}
}

func TestExplain_shortPaths(t *testing.T) {
	p := example(t, "../examples/scarf.yaml")
	for short, want := range map[string]string{
		"warp.length":                "warps.body.length.lay_cm",
		"warp.length.take_up":        "warps.body.length.take_up_cm",
		"warps.body.length":          "warps.body.length.lay_cm",
		"warp.ends":                  "warps.body.ends",
		"piece.mass":                 "piece.mass_g",
		"panel.bands[2].take_up.low": "panels.scarf.bands[2].take_up.low_fraction",
		"yarn.diameter":              "yarns.mist.diameter_mm",
	} {
		e, err := p.Explain(short)
		if err != nil || e.Path != want {
			t.Errorf("Explain(%q) explains %q, %v; want %q", short, e.Path, err, want)
		}
	}
	var unknown *plan.UnknownNumber
	if _, err := p.Explain("warp.lenght"); !errors.As(err, &unknown) || len(unknown.Near) == 0 {
		t.Errorf("a number that is not there: %v", err)
	}
	_, err := p.Explain("piece.colour")
	if !errors.As(err, &unknown) || strings.Contains(strings.Join(unknown.Near, ""), "[") {
		t.Errorf("near: %v", err)
	}
}
