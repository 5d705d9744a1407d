package main

import (
	"errors"
	"fmt"
	"regexp"
	"strings"

	"urdir/check"
	"urdir/plan"
)

// shownTerm is a term of an explanation as other programs read it.
type shownTerm struct {
	Name    string `json:"name"`
	Value   any    `json:"value"`
	Origin  string `json:"origin"` // given, default, reckoned, step or constant
	Path    string `json:"path,omitempty"`
	Line    int    `json:"line,omitempty"`
	Formula string `json:"formula,omitempty"`
	Source  string `json:"source,omitempty"`
}

// explain prints the formula of a number, the formula with the values put in,
// and where each value is from.
func (a *app) explain(p planned, path string) error {
	e, err := p.plan.Explain(path)
	if unknown, ok := errors.AsType[*plan.UnknownNumber](err); ok {
		return mistake("--explain", "number-unknown", check.Args{"text": path, "near": unknown.Near})
	}
	terms := make([]shownTerm, len(e.Terms))
	for i, t := range e.Terms {
		terms[i] = a.origin(p, t)
	}
	how := ""
	if e.How != "" {
		how = a.words.T(e.How, nil)
	}
	if a.json {
		return a.printJSON(map[string]any{"path": e.Path, "value": e.Value, "formula": e.Formula, "terms": terms, "how": how})
	}
	fmt.Fprintf(a.out, "%s = %s\n", a.strong(e.Path), a.words.S(e.Value))
	if e.Formula != "" && e.Formula != "given" {
		fmt.Fprintf(a.out, "  = %s\n  = %s\n", a.named(e.Formula), a.filled(e.Formula, e.Terms))
	}
	if how != "" {
		fmt.Fprintln(a.out, fold(how, helpWidth))
	}
	a.printTerms(e.Terms, terms)
	return nil
}

func (a *app) printTerms(values []plan.Term, terms []shownTerm) {
	t := table{indent: 2}
	for i, v := range values {
		t.add(a.named(v.Name), a.words.S(v.Value), terms[i].where(a))
	}
	if len(values) > 0 {
		fmt.Fprintln(a.out)
		t.print(a.out)
	}
}

// where says in words where a term is from.
func (t shownTerm) where(a *app) string {
	w := a.words
	switch t.Origin {
	case "given":
		return w.T("from-file", check.Args{"path": t.Path, "line": fmt.Sprint(t.Line)})
	case "default":
		return w.T("from-default", check.Args{"path": t.Path, "source": t.Source})
	case "reckoned":
		return w.T("from-plan", check.Args{"path": t.Path})
	case "step":
		return "= " + a.named(t.Formula)
	}
	return t.Source
}

// origin finds where a term's value is from: a line of the file, a default,
// another number, a step on the way, or a constant.
func (a *app) origin(p planned, t plan.Term) shownTerm {
	out := shownTerm{Name: t.Name, Value: t.Value, Path: t.Path, Formula: t.Formula}
	switch {
	case t.Formula != "":
		out.Origin = "step"
	case t.Source != "":
		out.Origin, out.Source = "constant", a.words.T(t.Source, nil)
	case !t.Given:
		out.Origin = "reckoned"
	case p.source.Has(t.Path):
		at, _ := p.source.Locate(t.Path)
		out.Origin, out.Line = "given", at.Line
	default:
		out.Origin, out.Source = "default", a.words.T(plan.DefaultSource(t.Path), nil)
	}
	return out
}

// name is a term in a formula, with its number where there are several.
var name = regexp.MustCompile(`[a-z][a-z_]*(_\d+)?`)

// named writes a formula in the reader's words.
func (a *app) named(formula string) string {
	return name.ReplaceAllStringFunc(pretty(formula), func(id string) string {
		if functions[id] {
			return id
		}
		base, number := id, ""
		if i := strings.LastIndexByte(id, '_'); i >= 0 && strings.Trim(id[i+1:], "0123456789") == "" {
			base, number = id[:i], " "+id[i+1:]
		}
		return a.words.T("term-"+strings.ReplaceAll(base, "_", "-"), nil) + number
	})
}

// filled writes a formula with the values put in.
func (a *app) filled(formula string, terms []plan.Term) string {
	values := map[string]string{}
	for _, t := range terms {
		values[t.Name] = a.words.S(t.Value)
	}
	return name.ReplaceAllStringFunc(pretty(formula), func(id string) string {
		if v, ok := values[id]; ok {
			return v
		}
		return id
	})
}

// functions are the names in formulas that are not terms.
var functions = map[string]bool{
	"ceil": true, "floor": true, "round": true, "max": true, "min": true, "abs": true,
	"sqrt": true, "asin": true, "tan": true, "pi": true,
}

// pretty uses the signs people write by hand.
func pretty(formula string) string {
	return strings.NewReplacer("*", " × ", " - ", " − ", " / ", " ÷ ").Replace(formula)
}
