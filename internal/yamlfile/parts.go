package yamlfile

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// part is a field: its name, and its value as it will stand in the file. A
// value with parts of its own begins with a line break; its lines are not yet
// indented.
type part struct {
	name, value string
	after       int // spaces before the next part on the line, for a table
}

// Parts is the fields of a mapping to be written, in the order of the file.
type Parts []part

// Add adds a field with its value as it will stand.
func (p *Parts) Add(name, value string) { *p = append(*p, part{name: name, value: value}) }

// Put adds a field, unless it says what is usual.
func Put[T comparable](p *Parts, name string, v, usual T, write func(T) string) {
	if v != usual {
		p.Add(name, write(v))
	}
}

// Text adds a text for one line. The space around it is dropped, as
// ToText does.
func (p *Parts) Text(name, v, usual string) {
	Put(p, name, strings.TrimSpace(v), usual, Text)
}

// Prose adds a text that has the line to itself, or several.
func (p *Parts) Prose(name, v string) {
	Put(p, name, strings.TrimSpace(v), "", Prose)
}

// AddParts adds a mapping, if there is anything in it.
func (p *Parts) AddParts(name string, inner Parts, write func(Parts) string) {
	if len(inner) > 0 {
		p.Add(name, write(inner))
	}
}

// AddLines adds a value of lines, if there are any.
func (p *Parts) AddLines(name, lines string) {
	if lines != "" {
		p.Add(name, lines)
	}
}

// Flow is the fields on one line, in brackets.
func (p Parts) Flow() string {
	var out strings.Builder
	out.WriteByte('{')
	for i, f := range p {
		if i > 0 {
			out.WriteString(", " + spaces(p[i-1].after))
		}
		out.WriteString(Text(f.name) + ": " + f.value)
	}
	out.WriteByte('}')
	return out.String()
}

// Block is the fields on lines of their own; an empty mapping has none.
func (p Parts) Block() string {
	if len(p) == 0 {
		return "{}"
	}
	var out strings.Builder
	for _, f := range p {
		out.WriteString("\n" + Text(f.name) + ":")
		if !strings.HasPrefix(f.value, "\n") {
			out.WriteByte(' ')
		}
		out.WriteString(indented(f.value))
	}
	return out.String()
}

// Lines is Block without the line break before it.
func (p Parts) Lines() string { return strings.TrimPrefix(p.Block(), "\n") }

// Column is Block with the values of one line below each other.
func (p Parts) Column() string {
	widest := 0
	for _, f := range p {
		widest = max(widest, utf8.RuneCountInString(Text(f.name)))
	}
	var out strings.Builder
	for _, f := range p {
		name := Text(f.name)
		out.WriteString("\n" + name + ":" + spaces(widest+1-utf8.RuneCountInString(name)) + f.value)
	}
	return out.String()
}

// Align pads the values of rows that all have the same fields, so that in
// brackets they stand below each other.
func Align(rows []Parts) {
	differs := func(row Parts) bool {
		return !slices.EqualFunc(row, rows[0], func(a, b part) bool { return a.name == b.name })
	}
	if len(rows) == 0 || slices.ContainsFunc(rows, differs) {
		return
	}
	for k := range len(rows[0]) {
		widest := 0
		for _, row := range rows {
			widest = max(widest, utf8.RuneCountInString(row[k].value))
		}
		for _, row := range rows {
			row[k].after = widest - utf8.RuneCountInString(row[k].value)
		}
	}
}

// List is a list with a line for each entry, or for its first field.
func List[T any](entries []T, write func(T) string) string {
	var out strings.Builder
	for _, e := range entries {
		out.WriteString("\n- " + indented(write(e)))
	}
	return out.String()
}

// Each is a mapping of named things on lines of their own, or nothing.
func Each[T any](things []T, key func(*T) string, write func(*T) Parts) string {
	var p Parts
	for i := range things {
		p.Add(key(&things[i]), write(&things[i]).Block())
	}
	if len(p) == 0 {
		return ""
	}
	return p.Block()
}

// InBrackets is a list on one line.
func InBrackets(entries []string) string { return "[" + strings.Join(entries, ", ") + "]" }

// indented moves the lines after the first two spaces in; empty ones stay
// empty.
func indented(s string) string {
	lines := strings.Split(s, "\n")
	for i, line := range lines {
		if i > 0 && line != "" {
			lines[i] = "  " + line
		}
	}
	return strings.Join(lines, "\n")
}

func spaces(n int) string { return strings.Repeat(" ", n) }
