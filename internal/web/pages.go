package web

import (
	"embed"
	"fmt"
	"html/template"
	"io/fs"
	"path"
	"strings"

	"urdir/measure"
	"urdir/surface"
)

//go:embed templates/*.html
var templates embed.FS

// readPages reads every template once. Each file but the frame and the parts is
// a page, and defines "main".
func readPages() (pages, error) {
	files, err := fs.Glob(templates, "templates/*.html")
	if err != nil {
		return nil, err
	}
	base := template.New("").Funcs(template.FuncMap{
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
	})
	if base, err = base.ParseFS(templates, "templates/frame.html", "templates/parts*.html"); err != nil {
		return nil, err
	}
	out := pages{}
	for _, f := range files {
		name := strings.TrimSuffix(path.Base(f), ".html")
		if name == "frame" || strings.HasPrefix(name, "parts") {
			continue
		}
		t, err := base.Clone()
		if err != nil {
			return nil, err
		}
		if out[name], err = t.ParseFS(templates, f); err != nil {
			return nil, err
		}
	}
	return out, nil
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
