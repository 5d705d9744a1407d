package web

import (
	"embed"
	"fmt"
	"html/template"
	"io/fs"
	"path"
	"strings"
	tree "text/template/parse"

	"urdir/measure"
	"urdir/surface"
)

//go:embed templates/*.html
var templates embed.FS

// functions are what templates may call.
var functions = template.FuncMap{
	"list":  func(v ...any) []any { return v },
	"texts": func(v ...string) []string { return v },
	"join":  strings.Join,
	"part":  part,
	"share": func(f float64) int { return int(f*100 + 0.5) },
	"ink":   func(c string) string { return hexColour(surface.InkOn(surface.ParseColour(c))) },
	"names": func(v ...string) []string { return v },
	"minus": func(n int64) int64 { return -n },
	"plus":  func(a, b int) int { return a + b },
	"grams": func(g measure.Gram) string { return trimZeros(fmt.Sprintf("%.1f", float64(g))) },
}

// readPages reads every template once. Each file but the frame and the parts is
// a page, and defines "main".
func readPages() (pages, error) {
	files, err := fs.Glob(templates, "templates/*.html")
	if err != nil {
		return nil, err
	}
	parts, err := template.New("").Funcs(functions).ParseFS(templates, "templates/frame.html", "templates/parts*.html")
	if err != nil {
		return nil, err
	}
	out := pages{}
	for _, f := range files {
		name := strings.TrimSuffix(path.Base(f), ".html")
		if name == "frame" || strings.HasPrefix(name, "parts") {
			continue
		}
		if out[name], err = readPage(f, parts); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// readPage reads a page and gives it those parts only that it comes to: all parts in
// every page took most of the memory of a server.
func readPage(file string, parts *template.Template) (*template.Template, error) {
	page, err := template.New("").Funcs(functions).ParseFS(templates, file)
	if err != nil {
		return nil, err
	}
	wanted := []string{"page"}
	if page.Lookup("alone-title") != nil { // also a file of its own, outside the workshop
		wanted = append(wanted, "alone")
	}
	for _, t := range page.Templates() {
		if t.Tree != nil { // the file itself has none
			wanted = calls(wanted, t.Tree.Root)
		}
	}
	for len(wanted) > 0 {
		name := wanted[0]
		wanted = wanted[1:]
		if page.Lookup(name) != nil {
			continue
		}
		part := parts.Lookup(name)
		if part == nil {
			return nil, fmt.Errorf("%s: no template %q", file, name)
		}
		if _, err = page.AddParseTree(name, part.Tree.Copy()); err != nil {
			return nil, err
		}
		wanted = calls(wanted, part.Tree.Root)
	}
	return page, nil
}

// calls adds the names of the templates that a part of a template calls.
func calls(names []string, n tree.Node) []string {
	branch := func(b *tree.BranchNode) []string {
		if b.ElseList == nil {
			return calls(names, b.List)
		}
		return calls(calls(names, b.List), b.ElseList)
	}
	switch n := n.(type) {
	case *tree.ListNode:
		for _, of := range n.Nodes {
			names = calls(names, of)
		}
	case *tree.TemplateNode:
		return append(names, n.Name)
	case *tree.IfNode:
		return branch(&n.BranchNode)
	case *tree.RangeNode:
		return branch(&n.BranchNode)
	case *tree.WithNode:
		return branch(&n.BranchNode)
	}
	return names
}

// part gathers what a template of a part needs: the visit, and named values.
func part(v *visit, pairs ...any) map[string]any {
	out := map[string]any{"V": v}
	for i := 0; i+1 < len(pairs); i += 2 {
		out[fmt.Sprint(pairs[i])] = pairs[i+1]
	}
	return out
}

func hexColour(c surface.Colour) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

func trimZeros(s string) string { return strings.TrimSuffix(s, ".0") }
