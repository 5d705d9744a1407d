package archive

import (
	"fmt"
	"iter"
	"strings"

	"urdir/check"
	"urdir/internal/lang"
	"urdir/internal/store"
)

// dictionaries is what each table and column means, one page for each language.
func dictionaries() iter.Seq2[string, string] {
	return func(yield func(string, string) bool) {
		for _, l := range lang.Languages {
			w, err := lang.For(l)
			if err == nil && !yield("README."+l+".md", dictionary(w)) {
				return
			}
		}
	}
}

// dictionary is the page of one language.
func dictionary(w *lang.Words) string {
	var b strings.Builder
	fmt.Fprintf(&b, "# %s\n\n%s\n", w.T("export-title", nil), w.T("export-intro", nil))
	for _, t := range store.Tables {
		fmt.Fprintf(&b, "\n## %s\n\n%s\n\n", t.Name, w.T("table-"+t.Name, nil))
		if t.Secret {
			fmt.Fprintf(&b, "%s\n\n", w.T("export-secret", nil))
		}
		fmt.Fprintf(&b, "| %s | %s | %s |\n|---|---|---|\n", w.T("export-column", nil), w.T("export-type", nil), w.T("export-meaning", nil))
		for _, c := range outColumns(t, true) {
			secret := ""
			if c.Secret {
				secret = " " + w.T("export-secret", nil)
			}
			fmt.Fprintf(&b, "| %s | %s | %s%s |\n", c.Name, w.T("type-"+string(c.Type), nil), w.T(columnKey(t, c), nil), secret)
		}
		fmt.Fprintf(&b, "\n%s\n", w.T("export-key", check.Args{"columns": strings.Join(t.Key, ", ")}))
	}
	return b.String()
}

// columnKey names the words of a column: those of its table, or for what means
// the same everywhere those of the name.
func columnKey(t store.Table, c store.Column) string {
	switch c.Name {
	case "workshop", "seq", "at", "who", "act":
		return "column-" + c.Name
	}
	return "column-" + t.Name + "-" + c.Name
}

// schema describes the lines of every table as a JSON Schema.
func schema(accounts bool) map[string]any {
	defs := map[string]any{}
	for _, t := range store.Tables {
		if t.Secret && !accounts {
			continue
		}
		properties, names := map[string]any{}, []string{}
		for _, c := range outColumns(t, accounts) {
			properties[c.Name] = map[string]any{"type": map[bool]string{true: "integer", false: "string"}[c.Type == store.WholeColumn]}
			names = append(names, c.Name)
		}
		defs[t.Name] = map[string]any{"type": "object", "properties": properties, "required": names, "additionalProperties": false, "x-key": t.Key}
	}
	return map[string]any{"$schema": "https://json-schema.org/draft/2020-12/schema", "title": exportFormat, "$defs": defs}
}
