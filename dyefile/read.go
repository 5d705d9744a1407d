package dyefile

import (
	"bytes"
	"cmp"
	"errors"
	"slices"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"urdir/check"
	"urdir/dye"
)

// Limits of a recipe file; the longest shipped one has 4 kB.
const (
	MaxBytes = 1 << 16
	maxDepth = 20
	maxLines = 1500
	maxItems = 200 // of one list
)

// Version is the number a file gives in its first field, recipe.
const Version = 1

// Position is a place in the file, counted from 1.
type Position struct{ Line, Column int }

// Source knows where each field of a file stands.
type Source struct{ at map[string]Position }

// Locate gives the position of a field, or of the nearest field around it that
// is in the file.
func (s Source) Locate(path string) (Position, bool) {
	for path != "" {
		if p, ok := s.at[path]; ok {
			return p, true
		}
		path = path[:max(strings.LastIndexAny(path, ".["), 0)]
	}
	return Position{1, 1}, false
}

// Read reads a recipe file. The Recipe is only good when the problems have not
// Failed; what it means is for dye.Check to judge.
func Read(text []byte) (dye.Recipe, Source, check.Problems) {
	text = bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n"))
	text = bytes.ReplaceAll(text, []byte("\r"), []byte("\n"))
	r := &reader{src: Source{at: map[string]Position{}}}
	var out dye.Recipe
	if body := r.parse(bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))); body != nil {
		r.recipe(body, &out)
	}
	slices.SortStableFunc(r.ps, func(a, b check.Problem) int {
		p, _ := r.src.Locate(a.Path)
		q, _ := r.src.Locate(b.Path)
		return cmp.Or(p.Line-q.Line, p.Column-q.Column)
	})
	return out, r.src, r.ps
}

// parse turns the text into a tree, or says why it is not one.
func (r *reader) parse(text []byte) ast.Node {
	switch {
	case len(text) > MaxBytes:
		r.ps.Wrong("", "recipe-too-big", check.Args{"kilobytes": len(text) / 1024, "most": MaxBytes / 1024})
		return nil
	case !utf8.Valid(text) || bytes.IndexByte(text, 0) >= 0:
		r.ps.Wrong("", "file-not-text", nil)
		return nil
	case len(bytes.TrimSpace(text)) == 0:
		r.ps.Wrong("", "recipe-empty", nil)
		return nil
	case bytes.Count(text, []byte("\n")) > maxLines || tooDeep(text):
		r.ps.Wrong("", "recipe-too-deep", check.Args{"lines": maxLines, "most": maxDepth})
		return nil
	}
	file, err := parser.ParseBytes(text, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		var at *token.Token
		if e, ok := errors.AsType[yaml.Error](err); ok {
			at = e.GetToken() // its own words are English and speak of tokens
		}
		r.syntaxAt(at)
		return nil
	}
	if len(file.Docs) != 1 || file.Docs[0].Body == nil {
		r.ps.Wrong("", "recipe-not-one", check.Args{"count": len(file.Docs)})
		return nil
	}
	body := file.Docs[0].Body
	if _, ok := body.(ast.MapNode); !ok {
		r.syntaxAt(body.GetToken())
		return nil
	}
	return body
}

func (r *reader) syntaxAt(t *token.Token) {
	args := check.Args{"near": ""}
	if t != nil {
		r.src.at["file"] = Position{t.Position.Line, t.Position.Column}
		args["near"] = clip(strings.TrimSpace(t.Value))
	}
	r.ps.Wrong("file", "file-syntax", args)
}

// tooDeep keeps the parser, which recurses, from texts that nest without end.
func tooDeep(text []byte) bool {
	depth := 0
	for line := range bytes.Lines(text) {
		trimmed := bytes.TrimLeft(line, " \t")
		signs := bytes.Count(trimmed, []byte("- ")) + bytes.Count(trimmed, []byte("? "))
		if len(line)-len(trimmed) > 8*maxDepth || signs > 4*maxDepth || bytes.Count(trimmed, []byte(": ")) > 4*maxDepth {
			return true
		}
		for _, b := range line {
			switch b {
			case '[', '{':
				depth++
			case ']', '}':
				depth = max(0, depth-1)
			}
			if depth > maxDepth {
				return true
			}
		}
	}
	return false
}

// clip shortens what is quoted back in a message.
func clip(s string) string {
	const most = 40
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most]) + "…"
}
