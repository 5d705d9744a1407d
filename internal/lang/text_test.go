package lang_test

import (
	"encoding/json"
	"io/fs"
	"regexp"
	"strings"
	"testing"
	"text/template"

	"urdir/internal/lang"
)

// Every text of the word files is written as text/template writes it, with
// every value there and with every one empty.
func TestText_writesWhatTemplatesWrite(t *testing.T) {
	names, err := fs.Glob(lang.WordFiles, "words/*.json")
	if err != nil || len(names) < 2*len(lang.Languages) {
		t.Fatalf("%d word files: %v", len(names), err)
	}
	for _, name := range names {
		b, err := fs.ReadFile(lang.WordFiles, name)
		if err != nil {
			t.Fatal(err)
		}
		var all map[string]any
		if err := json.Unmarshal(b, &all); err != nil {
			t.Fatal(err)
		}
		for key, v := range all {
			switch v := v.(type) {
			case string:
				sameAsTemplate(t, name+" "+key, v)
			case map[string]any:
				for form, s := range v {
					sameAsTemplate(t, name+" "+key+" "+form, s.(string))
				}
			}
		}
	}
}

var fields = regexp.MustCompile(`\.(\w+)`)

func sameAsTemplate(t *testing.T, where, s string) {
	t.Helper()
	for _, filled := range []bool{true, false} {
		values := map[string]string{}
		for _, m := range fields.FindAllStringSubmatch(s, -1) {
			if values[m[1]] = ""; filled {
				values[m[1]] = "<" + m[1] + ">"
			}
		}
		got, left, err := lang.Write(s, func(name string) string { return values[name] })
		if err != nil || left != "" {
			t.Errorf("%s: %v, left over %q", where, err, left)
			return
		}
		var want strings.Builder
		if err := template.Must(template.New("").Parse(s)).Execute(&want, values); err != nil {
			t.Fatalf("%s: %v", where, err)
		}
		if got != want.String() {
			t.Errorf("%s: %q\nwritten %q\nwant    %q", where, s, got, want.String())
		}
	}
}

func TestText_refused(t *testing.T) {
	for _, s := range []string{"{{", "{{.n", "{{if .n}}", "{{if .n}}a{{else}}b", "{{range .n}}{{end}}", "{{n}}", "{{if n}}a{{end}}"} {
		if _, left, err := lang.Write(s, func(string) string { return "" }); err == nil && left == "" {
			t.Errorf("%q: read without complaint", s)
		}
	}
	for _, s := range []string{`{"other": "a {{end}}"}`, `{"others": "a"}`, `7`} {
		if err := lang.ReadEntry([]byte(s)); err == nil {
			t.Errorf("%s: read without complaint", s)
		}
	}
}
