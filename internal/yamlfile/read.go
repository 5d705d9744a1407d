package yamlfile

import (
	"bytes"
	"errors"
	"strings"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"urdir/check"
)

// Kind is a kind of file: the field it begins with, which gives the version, and
// limits that keep a wrong file from being read for minutes.
type Kind struct {
	First   string
	Version int

	Bytes   int // of the whole text
	Depth   int // lists and mappings inside each other
	Entries int // fields and list entries on lines of their own
	List    int // entries of one list
}

// file is a text while it is read.
type file struct {
	kind Kind
	text []byte
	src  Source
	ps   check.Problems
}

// Read reads a text; top gets the mapping that the whole file is, and is not
// called when there is none. What top fills in is only good when the problems,
// which come in the order of the file, have not Failed; the Source is always
// good for locating problems.
func Read(text []byte, k Kind, top func(*Node)) (Source, check.Problems) {
	// The parser counts a line ended by two characters twice beside a remark.
	text = bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n"))
	text = bytes.ReplaceAll(text, []byte("\r"), []byte("\n"))
	text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
	f := &file{kind: k, text: text, src: Source{at: map[string]Position{}}}
	if body := f.parse(); body != nil {
		top(&Node{file: f, yaml: body})
		if !f.src.Has(k.First) {
			f.version(0)
		}
	}
	f.src.sort(f.ps)
	return f.src, f.ps
}

// CheckVersion reads the first field: another version than the kind's is a
// problem, and so is a file without one.
func (k Kind) CheckVersion(n *Node) {
	version := k.Version // one problem is enough if it cannot be read
	if ToCount(&version)(n); version != k.Version {
		n.file.version(version)
	}
}

func (f *file) version(got int) {
	f.ps.Wrong(f.kind.First, "file-version", check.Args{"field": f.kind.First, "version": got, "want": f.kind.Version})
}

// parse turns the text into a tree, or says why it is not one.
func (f *file) parse() ast.Node {
	if !f.bearable() {
		return nil
	}
	tree, err := parser.ParseBytes(f.text, 0, parser.AllowDuplicateMapKey())
	if err != nil {
		// The parser's own words are English and speak of tokens; the place helps.
		var at *token.Token
		if e, ok := errors.AsType[yaml.Error](err); ok {
			at = e.GetToken()
		}
		f.syntax(at)
		return nil
	}
	if len(tree.Docs) == 0 || tree.Docs[0].Body == nil {
		f.ps.Wrong("", "file-empty", nil)
		return nil
	}
	if len(tree.Docs) > 1 {
		if t := tree.Docs[1].Start; t != nil {
			f.src.at["file"] = place(t)
		}
		f.ps.Wrong("file", "file-two-documents", nil)
		return nil
	}
	body := tree.Docs[0].Body
	if _, ok := body.(ast.MapNode); !ok {
		f.syntax(body.GetToken())
		return nil
	}
	return body
}

// bearable looks at the text before the parser does, and says what it would
// choke on.
func (f *file) bearable() bool {
	k := f.kind
	switch {
	case len(f.text) > k.Bytes:
		f.ps.Wrong("", "file-too-big", check.Args{"kilobytes": len(f.text) / 1024, "most": k.Bytes / 1024})
		return false
	case !utf8.Valid(f.text) || bytes.IndexByte(f.text, 0) >= 0:
		f.ps.Wrong("", "file-not-text", nil)
		return false
	case len(bytes.TrimSpace(f.text)) == 0:
		f.ps.Wrong("", "file-empty", nil)
		return false
	}
	if n := countEntries(f.text); n > k.Entries {
		f.ps.Wrong("", "parts-too-many", check.Args{"count": n, "most": k.Entries})
		return false
	}
	if line := tooDeep(f.text, k.Depth); line > 0 {
		f.src.at["file"] = Position{line, 1}
		f.ps.Wrong("file", "file-too-deep", check.Args{"most": k.Depth})
		return false
	}
	return true
}

func (f *file) syntax(t *token.Token) {
	args := check.Args{"near": ""}
	if t != nil {
		f.src.at["file"] = place(t)
		args["near"] = Clip(strings.TrimSpace(t.Value))
	}
	f.ps.Wrong("file", "file-syntax", args)
}

func place(t *token.Token) Position { return Position{t.Position.Line, t.Position.Column} }

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

// tooDeep returns the line on which the text nests deeper than most, or 0. The
// parser recurses, so this is checked before it runs: brackets inside each
// other, lists begun inside lists on one line, and indentation.
func tooDeep(text []byte, most int) int {
	depth := 0
	for n, line := range bytes.Split(text, []byte("\n")) {
		trimmed := bytes.TrimLeft(line, " \t")
		rest, dashes := trimmed, 0
		for bytes.HasPrefix(rest, []byte("- ")) || bytes.HasPrefix(rest, []byte("? ")) {
			rest = bytes.TrimLeft(rest[2:], " ")
			dashes++
		}
		onLine := max(bytes.Count(rest, []byte(": ")), bytes.Count(rest, []byte("- ")))
		if dashes > most || onLine > 20*most || len(line)-len(trimmed) > 8*most {
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
			if depth > most {
				return n + 1
			}
		}
	}
	return 0
}

// Clip shortens what is quoted back in a message.
func Clip(s string) string {
	const most = 40
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most]) + "…"
}
