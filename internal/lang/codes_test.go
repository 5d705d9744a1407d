package lang_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"urdir/internal/lang"
)

// source is what the program's own code says of words: which problem codes and
// texts it asks for, and every string it holds.
type source struct {
	set      *token.FileSet
	codes    []use
	texts    []use
	literals map[string]bool
	prefixes map[string]bool // of keys put together, as in "month-" + name
	suffixes map[string]bool
	takers   map[string]int // package folder and function: which parameter is a code
}

// use is one place that names a key. Args are the values it gives, where they
// are written out in the same call.
type use struct {
	key   string
	args  []string
	known bool // args are known
	at    token.Position
}

// readSource parses every Go file of the module that is not a test, from the
// module's root, found upward from here.
func readSource(t *testing.T) *source {
	t.Helper()
	root, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, missing := os.Stat(filepath.Join(root, "go.mod")); missing == nil {
			break
		}
		if root == filepath.Dir(root) {
			t.Fatal("no go.mod above this folder")
		}
		root = filepath.Dir(root)
	}
	s := &source{token.NewFileSet(), nil, nil, map[string]bool{}, map[string]bool{}, map[string]bool{}, map[string]int{}}
	files := map[string]*ast.File{}
	err = filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		name := d.Name()
		if d.IsDir() && path != root && (name[0] == '.' || name[0] == '_' || name == "testdata" || name == "out") {
			return filepath.SkipDir
		}
		if strings.HasSuffix(name, ".html") {
			return s.findInTemplate(path)
		}
		if d.IsDir() || !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go") {
			return nil
		}
		files[path], err = parser.ParseFile(s.set, path, nil, parser.SkipObjectResolution)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	paths := slices.Sorted(maps.Keys(files))
	for _, p := range paths {
		s.findTakers(filepath.Dir(p), files[p])
	}
	for _, p := range paths {
		s.findUses(filepath.Dir(p), files[p])
	}
	return s
}

// Keys in the templates of pages: asked for by T and N, given to a part as
// Label or Hint, put together by printf or with a Prefix.
var (
	templateText   = regexp.MustCompile(`(?:[.$][TN]|"Label"|"Hint") "([a-z0-9-]+)"`)
	templatePrefix = regexp.MustCompile(`printf "([a-z]+-)%|"Prefix" "([a-z]+-)"`)
)

// findInTemplate gathers the keys of one template.
func (s *source) findInTemplate(path string) error {
	text, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	for _, m := range templateText.FindAllStringSubmatch(string(text), -1) {
		s.literals[m[1]] = true
		s.texts = append(s.texts, use{key: m[1], at: token.Position{Filename: path}})
	}
	for _, m := range templatePrefix.FindAllStringSubmatch(string(text), -1) {
		s.prefixes[m[1]+m[2]] = true
	}
	return nil
}

// findTakers notes functions with a parameter named code.
func (s *source) findTakers(pkg string, f *ast.File) {
	note := func(name string, t *ast.FuncType) {
		if i := place(t.Params, "code"); i >= 0 {
			s.takers[pkg+"."+name] = i
			if ast.IsExported(name) {
				s.takers[name] = i
			}
		}
	}
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.FuncDecl:
			note(n.Name.Name, n.Type)
		case *ast.AssignStmt:
			name, ok := n.Lhs[0].(*ast.Ident)
			if lit, isFunc := n.Rhs[0].(*ast.FuncLit); ok && isFunc {
				note(name.Name, lit.Type)
			}
		}
		return true
	})
}

// place is the position of a named parameter or result, or -1.
func place(list *ast.FieldList, name string) int {
	if list == nil {
		return -1
	}
	i := 0
	for _, f := range list.List {
		for _, n := range f.Names {
			if n.Name == name {
				return i
			}
			i++
		}
	}
	return -1
}

// findUses gathers codes where they are given to a taker, returned as a result
// named code, or stored in a variable or field of that name; and texts asked
// for by T and N.
func (s *source) findUses(pkg string, f *ast.File) {
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			s.call(pkg, n)
		case *ast.FuncDecl:
			s.returns(n.Type, n.Body)
		case *ast.FuncLit:
			s.returns(n.Type, n.Body)
		case *ast.KeyValueExpr:
			if nameOf(n.Key) == "Code" {
				s.code(n.Value, nil, false)
			}
		case *ast.AssignStmt:
			for i, l := range n.Lhs {
				if name := nameOf(l); i < len(n.Rhs) && (name == "code" || name == "Code") {
					s.code(n.Rhs[i], nil, false)
				}
			}
		case *ast.BinaryExpr:
			if text, ok := literal(n.X); ok && n.Op == token.ADD {
				s.prefixes[text] = true
			}
			if text, ok := literal(n.Y); ok && n.Op == token.ADD {
				s.suffixes[text] = true
			}
		case *ast.BasicLit:
			if text, ok := literal(n); ok {
				s.literals[text] = true
				if before, _, found := strings.Cut(text, "%"); found {
					s.prefixes[before] = true
				}
			}
		}
		return true
	})
}

func (s *source) call(pkg string, n *ast.CallExpr) {
	name := nameOf(n.Fun)
	if i, ok := s.takers[pkg+"."+name]; ok && i < len(n.Args) {
		args, known := argNames(n.Args)
		s.code(n.Args[i], args, known)
	} else if i, ok := s.takers[name]; ok && i < len(n.Args) {
		args, known := argNames(n.Args)
		s.code(n.Args[i], args, known)
	}
	if _, method := n.Fun.(*ast.SelectorExpr); method && (name == "T" || name == "N") && len(n.Args) > 1 {
		if key, ok := literal(n.Args[0]); ok {
			args, known := argNames(n.Args)
			if name == "N" {
				args = append(args, "n")
			}
			s.texts = append(s.texts, use{key, args, known, s.set.Position(n.Pos())})
		}
	}
}

func (s *source) returns(t *ast.FuncType, body *ast.BlockStmt) {
	i := place(t.Results, "code")
	if i < 0 || body == nil {
		return
	}
	ast.Inspect(body, func(n ast.Node) bool {
		if r, ok := n.(*ast.ReturnStmt); ok && i < len(r.Results) {
			s.code(r.Results[i], nil, false)
		}
		return true
	})
}

func (s *source) code(e ast.Expr, args []string, known bool) {
	if text, ok := literal(e); ok && text != "" {
		s.codes = append(s.codes, use{text, args, known, s.set.Position(e.Pos())})
	}
}

// argNames lists the names in the check.Args, or map, written out in a call;
// known is false if they come from elsewhere.
func argNames(args []ast.Expr) (names []string, known bool) {
	last := args[len(args)-1]
	if nameOf(last) == "nil" {
		return nil, true
	}
	lit, ok := last.(*ast.CompositeLit)
	if !ok {
		return nil, false
	}
	for _, e := range lit.Elts {
		if kv, ok := e.(*ast.KeyValueExpr); ok {
			if name, ok := literal(kv.Key); ok {
				names = append(names, name)
			}
		}
	}
	return names, true
}

func nameOf(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.SelectorExpr:
		return e.Sel.Name
	}
	return ""
}

func literal(e ast.Expr) (string, bool) {
	lit, ok := e.(*ast.BasicLit)
	if !ok || lit.Kind != token.STRING {
		return "", false
	}
	text, err := strconv.Unquote(lit.Value)
	return text, err == nil
}

// Every problem the program can find has words, and the words ask for nothing
// the problem does not carry.
func TestCodes_haveWords(t *testing.T) {
	src := readSource(t)
	if len(src.codes) < 100 {
		t.Fatalf("found only %d codes: the search is broken", len(src.codes))
	}
	for _, l := range lang.Languages {
		words := readWords(t, l)
		for _, u := range src.codes {
			for _, key := range []string{u.key, u.key + ".mend"} {
				checkUse(t, l, words, u, key)
			}
		}
		for _, u := range src.texts {
			checkUse(t, l, words, u, u.key)
		}
	}
}

// optional is what a text only says when it is given the value.
var optional = regexp.MustCompile(`{{if .*?{{end}}`)

func checkUse(t *testing.T, l string, words map[string]entry, u use, key string) {
	t.Helper()
	e, ok := words[key]
	if !ok {
		t.Errorf("%s: no words for %q, which %s needs", l, key, u.at)
		return
	}
	for _, a := range arguments(optional.ReplaceAllString(e["other"], "")) {
		if u.known && !slices.Contains(u.args, a) {
			t.Errorf("%s: %q asks for {{.%s}}, which %s does not give", l, key, a, u.at)
		}
	}
}

// No words are left over: each key stands in the source, or begins or ends as
// one that is put together there.
func TestWords_areUsed(t *testing.T) {
	src := readSource(t)
	for key := range readWords(t, lang.Languages[0]) {
		code := strings.TrimSuffix(key, ".mend")
		if !src.literals[code] && !putTogether(code, src.prefixes, strings.HasPrefix) && !putTogether(code, src.suffixes, strings.HasSuffix) {
			t.Errorf("nothing uses %q", key)
		}
	}
}

// putTogether reports whether a part with a hyphen, as in "month-", fits.
func putTogether(key string, parts map[string]bool, fits func(string, string) bool) bool {
	for part := range parts {
		if len(part) > 2 && strings.Contains(part, "-") && len(part) < len(key) && fits(key, part) {
			return true
		}
	}
	return false
}
