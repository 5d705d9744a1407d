package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"reflect"
	"strings"

	"github.com/xuri/excelize/v2"

	"urdir/plan"
)

// workbook writes every number of some plans that has a formula: a row each, the
// formula first and the values of its terms after it. It gives what the formulas
// should come to.
func workbook(file string, plans []plan.Plan) (want []float64, err error) {
	book := excelize.NewFile()
	sheet, err := book.NewStreamWriter("Sheet1")
	if err != nil {
		return nil, err
	}
	for i := range plans {
		for _, e := range plans[i].Explanations() {
			if e.Formula == "" {
				continue
			}
			row, err := cells(e, len(want)+1)
			if err != nil {
				return nil, fmt.Errorf("%s: %w", e.Path, err)
			}
			if err := sheet.SetRow(fmt.Sprintf("A%d", len(want)+1), row); err != nil {
				return nil, err
			}
			want = append(want, number(e.Value))
		}
	}
	if err := sheet.Flush(); err != nil {
		return nil, err
	}
	return want, book.SaveAs(file)
}

// cells is the row of one number.
func cells(e plan.Explanation, row int) ([]any, error) {
	names := map[string]string{"pi": "PI()"}
	out := make([]any, 1, len(e.Terms)+1)
	for _, t := range e.Terms {
		column, err := excelize.ColumnNumberToName(len(out) + 1)
		if err != nil {
			return nil, err
		}
		cell := any(number(t.Value))
		if t.Formula != "" {
			f, err := formula(t.Formula, names)
			if err != nil {
				return nil, err
			}
			cell = excelize.Cell{Formula: f}
		}
		out = append(out, cell)
		names[t.Name] = fmt.Sprintf("%s%d", column, row)
	}
	f, err := formula(e.Formula, names)
	out[0] = excelize.Cell{Formula: f}
	return out, err
}

func number(v any) float64 {
	r := reflect.ValueOf(v)
	switch {
	case r.CanInt():
		return float64(r.Int())
	case r.CanFloat():
		return r.Float()
	}
	return math.NaN()
}

// formula is an explanation's formula as spreadsheets write it (OpenFormula 1.2).
func formula(text string, names map[string]string) (string, error) {
	tree, err := parser.ParseExpr(text)
	if err != nil {
		return "", err
	}
	var s strings.Builder
	if err := spell(&s, tree, names); err != nil {
		return "", fmt.Errorf("%s: %w", text, err)
	}
	return s.String(), nil
}

// functions is what a spreadsheet has before the arguments of each and after them.
// Whole numbers forgive the last bits, as plans do: they make no further pick.
var functions = map[string][2]string{
	"sqrt": {"SQRT(", ")"}, "sin": {"SIN(", ")"}, "cos": {"COS(", ")"}, "tan": {"TAN(", ")"}, "asin": {"ASIN(", ")"}, "abs": {"ABS(", ")"},
	"ceil": {"-INT(-(", "-0.000001))"}, "floor": {"INT(", "+0.000001)"}, "round": {"ROUND(", ",0)"}, "min": {"MIN(", ")"}, "max": {"MAX(", ")"},
}

func spell(s *strings.Builder, e ast.Expr, names map[string]string) error {
	switch e := e.(type) {
	case *ast.ParenExpr:
		s.WriteByte('(')
		defer s.WriteByte(')')
		return spell(s, e.X, names)
	case *ast.BasicLit:
		s.WriteString(e.Value)
		return nil
	case *ast.Ident:
		if names[e.Name] == "" {
			return fmt.Errorf("nothing is said of %s", e.Name)
		}
		s.WriteString(names[e.Name])
		return nil
	case *ast.BinaryExpr:
		if err := spell(s, e.X, names); err != nil {
			return err
		}
		if e.Op == token.XOR {
			s.WriteByte('^')
		} else {
			s.WriteString(e.Op.String())
		}
		return spell(s, e.Y, names)
	case *ast.CallExpr:
		f, ok := functions[e.Fun.(*ast.Ident).Name]
		if !ok {
			return fmt.Errorf("no function %s", e.Fun.(*ast.Ident).Name)
		}
		s.WriteString(f[0])
		defer s.WriteString(f[1])
		for k, a := range e.Args {
			if k > 0 {
				s.WriteByte(',')
			}
			if err := spell(s, a, names); err != nil {
				return err
			}
		}
		return nil
	}
	return fmt.Errorf("cannot write %T", e)
}
