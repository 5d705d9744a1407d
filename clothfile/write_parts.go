package clothfile

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

// parts is the fields of a mapping, in the order of the file.
type parts []part

func (p *parts) add(name, value string) { *p = append(*p, part{name: name, value: value}) }

// put adds a field, unless it says what is usual.
func put[T comparable](p *parts, name string, v, usual T, write func(T) string) {
	if v != usual {
		p.add(name, write(v))
	}
}

// text adds a text for one line. Read drops the space around it.
func (p *parts) text(name, v, usual string) {
	put(p, name, strings.TrimSpace(v), usual, text)
}

// prose adds a text that has the line to itself, or several.
func (p *parts) prose(name, v string) {
	put(p, name, strings.TrimSpace(v), "", prose)
}

// addParts adds a mapping, if there is anything in it.
func (p *parts) addParts(name string, inner parts, write func(parts) string) {
	if len(inner) > 0 {
		p.add(name, write(inner))
	}
}

// addLines adds a value of lines, if there are any.
func (p *parts) addLines(name, lines string) {
	if lines != "" {
		p.add(name, lines)
	}
}

// flow is the fields on one line, in brackets.
func (p parts) flow() string {
	var out strings.Builder
	out.WriteByte('{')
	for i, f := range p {
		if i > 0 {
			out.WriteString(", " + spaces(p[i-1].after))
		}
		out.WriteString(text(f.name) + ": " + f.value)
	}
	out.WriteByte('}')
	return out.String()
}

// block is the fields on lines of their own; an empty mapping has none.
func (p parts) block() string {
	if len(p) == 0 {
		return "{}"
	}
	var out strings.Builder
	for _, f := range p {
		out.WriteString("\n" + text(f.name) + ":")
		if !strings.HasPrefix(f.value, "\n") {
			out.WriteByte(' ')
		}
		out.WriteString(indented(f.value))
	}
	return out.String()
}

// lines is block without the line break before it.
func (p parts) lines() string { return strings.TrimPrefix(p.block(), "\n") }

// column is block with the values of one line below each other.
func (p parts) column() string {
	widest := 0
	for _, f := range p {
		widest = max(widest, utf8.RuneCountInString(text(f.name)))
	}
	var out strings.Builder
	for _, f := range p {
		name := text(f.name)
		out.WriteString("\n" + name + ":" + spaces(widest+1-utf8.RuneCountInString(name)) + f.value)
	}
	return out.String()
}

// align pads the values of rows that all have the same fields, so that in
// brackets they stand below each other.
func align(rows []parts) {
	differs := func(row parts) bool {
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

// list is a list with a line for each entry, or for its first field.
func list[T any](entries []T, write func(T) string) string {
	var out strings.Builder
	for _, e := range entries {
		out.WriteString("\n- " + indented(write(e)))
	}
	return out.String()
}

// each is a mapping of named things on lines of their own, or nothing.
func each[T any](things []T, key func(*T) string, write func(*T) parts) string {
	var p parts
	for i := range things {
		p.add(key(&things[i]), write(&things[i]).block())
	}
	if len(p) == 0 {
		return ""
	}
	return p.block()
}

// inBrackets is a list on one line.
func inBrackets(entries []string) string { return "[" + strings.Join(entries, ", ") + "]" }

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
