package clothfile

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
	"urdir/plan"
)

// Limits of a cloth file. The largest cloth anyone has drawn is a few dozen
// kilobytes; the limits keep a wrong file from being read for minutes.
const (
	MaxBytes   = 1 << 20
	maxDepth   = 40
	maxEntries = 10_000 // fields and list entries on lines of their own
	maxOnLine  = 20 * maxDepth
)

// Version is the number a file gives in its first field, urdir.
const Version = 1

// Position is a place in the file, counted from 1.
type Position struct{ Line, Column int }

// Source knows where each field of a file stands.
type Source struct{ at map[string]Position }

// Locate gives the position of a field, or of the nearest field around it that
// is in the file. ok is false if not even its outermost part is.
func (s Source) Locate(path string) (Position, bool) {
	for path != "" {
		if p, ok := s.at[path]; ok {
			return p, true
		}
		path = path[:max(strings.LastIndexAny(path, ".["), 0)]
	}
	return Position{1, 1}, false
}

// Has reports whether the field itself stands in the file.
func (s Source) Has(path string) bool { _, ok := s.at[path]; return ok }

// Read reads a cloth file. The Cloth is only good when the problems have not
// Failed; the Source is always good for locating problems.
func Read(text []byte) (plan.Cloth, Source, check.Problems) {
	// The parser counts a line ended by two characters twice beside a remark.
	text = bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n"))
	text = bytes.ReplaceAll(text, []byte("\r"), []byte("\n"))
	r := &reader{src: Source{at: map[string]Position{}}, file: text}
	body := r.parse(text)
	c := plan.NewCloth()
	if body != nil {
		r.cloth(body, &c)
	}
	r.inFileOrder()
	return c, r.src, r.ps
}

// inFileOrder sorts the problems by where they stand. Some are only found after
// what follows them has been read.
func (r *reader) inFileOrder() {
	slices.SortStableFunc(r.ps, func(a, b check.Problem) int {
		p, _ := r.src.Locate(a.Path)
		q, _ := r.src.Locate(b.Path)
		return cmp.Or(p.Line-q.Line, p.Column-q.Column)
	})
}

// parse turns the text into a tree, or says why it is not one.
func (r *reader) parse(text []byte) ast.Node {
	text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
	switch {
	case len(text) > MaxBytes:
		r.ps.Wrong("", "file-too-big", check.Args{"kilobytes": len(text) / 1024, "most": MaxBytes / 1024})
		return nil
	case !utf8.Valid(text) || bytes.IndexByte(text, 0) >= 0:
		r.ps.Wrong("", "file-not-text", nil)
		return nil
	case len(bytes.TrimSpace(text)) == 0:
		r.ps.Wrong("", "file-empty", nil)
		return nil
	}
	if n := countEntries(text); n > maxEntries {
		r.ps.Wrong("", "parts-too-many", check.Args{"count": n, "most": maxEntries})
		return nil
	}
	if line := tooDeep(text); line > 0 {
		r.src.at["file"] = Position{line, 1}
		r.ps.Wrong("file", "file-too-deep", check.Args{"most": maxDepth})
		return nil
	}
	file, err := parser.ParseBytes(text, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		r.syntax(err)
		return nil
	}
	if len(file.Docs) == 0 || file.Docs[0].Body == nil {
		r.ps.Wrong("", "file-empty", nil)
		return nil
	}
	if len(file.Docs) > 1 {
		if t := file.Docs[1].Start; t != nil {
			r.src.at["file"] = Position{t.Position.Line, t.Position.Column}
		}
		r.ps.Wrong("file", "file-two-documents", nil)
		return nil
	}
	body := file.Docs[0].Body
	if _, ok := body.(ast.MapNode); !ok {
		r.syntaxAt(body.GetToken())
		return nil
	}
	return body
}

// syntax keeps the parser's own words out of the message: they are English and
// speak of tokens. The place is what helps.
func (r *reader) syntax(err error) {
	if at, ok := errors.AsType[yaml.Error](err); ok {
		r.syntaxAt(at.GetToken())
		return
	}
	r.syntaxAt(nil)
}

func (r *reader) syntaxAt(t *token.Token) {
	args := check.Args{"near": ""}
	if t != nil {
		r.src.at["file"] = Position{t.Position.Line, t.Position.Column}
		args["near"] = clip(strings.TrimSpace(t.Value))
	}
	r.ps.Wrong("file", "file-syntax", args)
}

// clip shortens what is quoted back in a message.
func clip(s string) string {
	const most = 40
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most]) + "…"
}

// countEntries counts lines that hold a field or begin a list entry. The parser
// takes time by the square of the fields of a block, so this is checked before
// it runs. The rows of a chart do not count, unless they look like fields.
func countEntries(text []byte) int {
	n := 0
	for line := range bytes.Lines(text) {
		line = bytes.TrimSpace(line)
		if bytes.IndexByte(line, ':') >= 0 || len(line) > 0 && (line[0] == '-' || line[0] == '?') {
			n++
		}
	}
	return n
}

// tooDeep returns the line on which the text nests deeper than maxDepth, or 0.
// The parser recurses, so this is checked before it runs: brackets inside each
// other, lists begun inside lists on one line, and indentation.
func tooDeep(text []byte) int {
	depth := 0
	for n, line := range bytes.Split(text, []byte("\n")) {
		trimmed := bytes.TrimLeft(line, " \t")
		rest, dashes := trimmed, 0
		for bytes.HasPrefix(rest, []byte("- ")) || bytes.HasPrefix(rest, []byte("? ")) {
			rest = bytes.TrimLeft(rest[2:], " ")
			dashes++
		}
		onLine := max(bytes.Count(rest, []byte(": ")), bytes.Count(rest, []byte("- ")))
		if dashes > maxDepth || onLine > maxOnLine || len(line)-len(trimmed) > 8*maxDepth {
			return n + 1
		}
		if bytes.HasPrefix(trimmed, []byte("#")) {
			continue
		}
		for _, b := range line {
			switch b {
			case '[', '{':
				depth++
			case ']', '}':
				depth = max(0, depth-1)
			}
			if depth > maxDepth {
				return n + 1
			}
		}
	}
	return 0
}
