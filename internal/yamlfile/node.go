package yamlfile

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
	"unicode"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/token"

	"urdir/check"
	"urdir/measure"
)

// Node is a value in the file, and the path of the field it stands for.
type Node struct {
	file *file
	path string
	key  ast.Node // its name; none in a list
	yaml ast.Node
}

// Key is the name of the field, or "" in a list.
func (n *Node) Key() string {
	if n.key == nil {
		return ""
	}
	return n.key.GetToken().Value
}

// Part stands for a field of n that need not be there, for what is to be said
// of it.
func (n *Node) Part(key string) *Node { return &Node{file: n.file, path: join(n.path, key)} }

func join(path, key string) string {
	if path == "" {
		return key
	}
	return path + "." + key
}

// IsMapping reports whether n has fields.
func (n *Node) IsMapping() bool { _, ok := n.yaml.(ast.MapNode); return ok }

// IsList reports whether n is a list.
func (n *Node) IsList() bool { _, ok := n.yaml.(*ast.SequenceNode); return ok }

// Each goes through the fields of a mapping in the order written. A field
// written twice is a problem; the first one stands.
func (n *Node) Each(read func(*Node)) {
	m, ok := n.yaml.(ast.MapNode)
	if !ok {
		n.wrongKind("mapping")
		return
	}
	seen := map[string]bool{}
	for it := m.MapRange(); it.Next(); {
		field := &Node{n.file, "", it.Key(), it.Value()}
		key := field.Key()
		field.path = join(n.path, key)
		if seen[key] {
			field.path = fmt.Sprintf("%s?%d", field.path, n.Found())
			field.RefuseKey("field-twice", check.Args{"field": Clip(key)})
			continue
		}
		seen[key] = true
		// A field stands where its value does; at its key if that is nothing or has
		// parts of its own.
		switch field.yaml.Type() {
		case ast.NullType, ast.MappingType, ast.MappingValueType, ast.SequenceType:
			field.note(field.key)
		default:
			field.note(field.yaml)
		}
		read(field)
	}
}

// Named goes through a mapping of things by the names that other parts of the
// file call them by: letters, digits and hyphens, beginning with a letter.
func (n *Node) Named(read func(*Node)) {
	n.Each(func(n *Node) {
		if !goodKey(n.Key()) {
			n.RefuseKey("key-bad", check.Args{"key": Clip(n.Key())})
			return
		}
		read(n)
	})
}

func goodKey(s string) bool {
	for i, c := range s {
		if !unicode.IsLetter(c) && (i == 0 || !unicode.IsDigit(c) && c != '-') {
			return false
		}
	}
	return s != "" && len(s) <= 40 && !strings.HasSuffix(s, "-")
}

// List goes through a list.
func (n *Node) List(read func(*Node)) {
	seq, ok := n.yaml.(*ast.SequenceNode)
	if !ok {
		n.wrongKind("list")
		return
	}
	if count, most := len(seq.Values), n.file.kind.List; count > most {
		n.Refuse("parts-too-many", check.Args{"count": count, "most": most})
		return
	}
	for i, v := range seq.Values {
		item := &Node{n.file, fmt.Sprintf("%s[%d]", n.path, i), nil, v}
		item.note(v)
		read(item)
	}
}

// Text is a single value as written; ok is false, and a problem said, if it is
// none. A block of text keeps its lines.
func (n *Node) Text() (s string, ok bool) {
	switch v := n.yaml.(type) {
	case *ast.StringNode:
		return v.Value, true
	case *ast.LiteralNode:
		return v.Value.Value, true
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		return n.yaml.GetToken().Value, true
	}
	n.wrongKind("value")
	return "", false
}

// Block is where the first line of a block of text begins. ok is false for a
// text that is not marked with |: it need not keep its lines.
func (n *Node) Block() (at Position, ok bool) {
	literal, ok := n.yaml.(*ast.LiteralNode)
	if !ok || literal.Start.Type != token.LiteralType {
		return Position{}, false
	}
	start := literal.GetToken().Position.Line
	at = Position{start + 1, 1}
	line := 0
	for text := range bytes.Lines(n.file.text) {
		line++
		if rest := bytes.TrimLeft(text, " "); line > start && len(bytes.TrimSpace(rest)) > 0 {
			at.Column += len(text) - len(rest)
			break
		}
	}
	return at, true
}

// wrongKind says that a value is of another kind than wanted: "mapping", "list"
// or "value".
func (n *Node) wrongKind(want string) {
	code := "value-not-" + want
	switch n.yaml.Type() {
	case ast.NullType:
		code = "value-missing"
	case ast.AliasType, ast.AnchorType, ast.TagType:
		code = "value-alias"
	}
	n.Refuse(code, check.Args{"field": n.path[strings.LastIndexByte(n.path, '.')+1:]})
}

// note remembers that the field stands where a part of the tree begins.
func (n *Node) note(at ast.Node) {
	t := at.GetToken()
	if m, ok := at.(ast.MapNode); ok && t.Type != token.MappingStartType {
		if it := m.MapRange(); it.Next() {
			t = it.Key().GetToken() // not the colon after it
		}
	}
	n.file.src.at[n.path] = place(t)
}

// Place remembers where a part of n stands that is no node of its own.
func (n *Node) Place(part string, at Position) { n.file.src.at[join(n.path, part)] = at }

// Refuse adds a problem of this field.
func (n *Node) Refuse(code string, args check.Args) { n.file.ps.Wrong(n.path, code, args) }

// RefuseKey adds a problem of the field's name.
func (n *Node) RefuseKey(code string, args check.Args) {
	n.note(n.key)
	n.Refuse(code, args)
}

// Unread adds what a parser of package measure says.
func (n *Node) Unread(err error) {
	if e, ok := errors.AsType[*measure.ParseError](err); ok {
		n.Refuse(e.Code, check.Args{"text": Clip(e.Text), "unit": Clip(e.Unit), "want": e.Want})
		return
	}
	n.Refuse("value-unread", check.Args{"text": Clip(err.Error())})
}

// Under adds problems that another package found in this field.
func (n *Node) Under(ps check.Problems) { n.file.ps.Under(n.path, ps) }

// Found is how many problems the file has up to now.
func (n *Node) Found() int { return len(n.file.ps) }
