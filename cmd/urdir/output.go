package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"

	"golang.org/x/text/width"

	"urdir/check"
	"urdir/colour"
	"urdir/measure"
	"urdir/yarn"
)

// located is a problem and where it stands: a file and place, or the option it
// came with. Line and Column count from 1; zero is not known.
type located struct {
	File         string
	Line, Column int
	check.Problem
}

// stopped is the problems that stop a command.
type stopped []located

func (s stopped) Error() string {
	lines := make([]string, len(s))
	for i, l := range s {
		lines[i] = l.place() + l.String()
	}
	return strings.Join(lines, "\n")
}

// mistake stops a command for one problem in what was typed.
func mistake(where, code string, args check.Args) error {
	return stopped{{File: where, Problem: check.Problem{Severity: check.Error, Code: code, Args: args}}}
}

// unread turns the error of a parser, or nil, into problems of the option or
// argument that was read.
func unread(where string, err error) stopped {
	p := check.Problem{Severity: check.Error}
	var count *yarn.CountError
	var quantity *measure.ParseError
	var shade *colour.ParseError
	switch {
	case err == nil:
		return nil
	case errors.As(err, &count):
		p.Code, p.Args = count.Code, count.Args()
	case errors.As(err, &shade):
		p.Code, p.Args = shade.Code, check.Args{"text": shade.Text}
	case errors.As(err, &quantity):
		p.Code, p.Args = quantity.Code, check.Args{"text": quantity.Text, "unit": quantity.Unit, "want": quantity.Want}
	default:
		p.Code, p.Args = "unexpected", check.Args{"reason": err.Error()}
	}
	return stopped{{File: where, Problem: p}}
}

// place is "file:line:column: ", as far as it is known.
func (l located) place() string {
	var b strings.Builder
	if l.File != "" {
		b.WriteString(l.File + ":")
		for _, n := range []int{l.Line, l.Column} {
			if n > 0 {
				fmt.Fprintf(&b, "%d:", n)
			}
		}
		b.WriteByte(' ')
	}
	return b.String()
}

// tell prints problems, one a line: where, how bad, what, and how to mend it.
func (a *app) tell(found []located) {
	for _, l := range found {
		what, mend := a.words.Problem(l.Problem)
		fmt.Fprintf(a.errOut, "%s%s: %s %s\n", l.place(), a.words.T("severity-"+severity(l.Severity), nil), what, mend)
	}
}

func severity(s check.Severity) string {
	if s == check.Caution {
		return "caution"
	}
	return "error"
}

// problem is a problem as other programs read it.
type problem struct {
	Severity string `json:"severity"`         // "error" or "caution"
	File     string `json:"file,omitempty"`   // or the option it came with
	Line     int    `json:"line,omitempty"`   // from 1
	Column   int    `json:"column,omitempty"` // from 1
	Path     string `json:"path,omitempty"`   // the field
	Code     string `json:"code"`             // the same in every language
	What     string `json:"what"`
	Mend     string `json:"mend"`
}

func (a *app) problems(found []located) []problem {
	out := make([]problem, len(found))
	for i, l := range found {
		what, mend := a.words.Problem(l.Problem)
		out[i] = problem{severity(l.Severity), l.File, l.Line, l.Column, l.Path, l.Code, what, mend}
	}
	return out
}

// marshal keeps signs like < as they are: nobody puts this in a page.
func marshal(v any) ([]byte, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err := e.Encode(v)
	return b.Bytes(), err
}

// strong sets text in bold where that can be seen.
func (a *app) strong(s string) string {
	if a.bold() {
		return "\x1b[1m" + s + "\x1b[0m"
	}
	return s
}

// table is text in columns: the first to the left, and numbers to the right.
type table struct {
	indent  int
	numbers bool // columns after the first stand to the right
	rows    [][]string
}

func (t *table) add(cells ...string) { t.rows = append(t.rows, cells) }

// print pads by what a cell takes up on the screen. Lines end without spaces.
func (t *table) print(w io.Writer) {
	var wide []int
	for _, row := range t.rows {
		for i, cell := range row {
			if i == len(wide) {
				wide = append(wide, 0)
			}
			wide[i] = max(wide[i], displayWidth(cell))
		}
	}
	for _, row := range t.rows {
		var line strings.Builder
		line.WriteString(strings.Repeat(" ", t.indent))
		for i, cell := range row {
			pad := strings.Repeat(" ", wide[i]-displayWidth(cell))
			if i > 0 {
				line.WriteString("  ")
			}
			if i > 0 && t.numbers {
				line.WriteString(pad + cell)
			} else {
				line.WriteString(cell + pad)
			}
		}
		fmt.Fprintln(w, strings.TrimRight(line.String(), " "))
	}
}

// displayWidth is the cells a text takes up on a terminal: none for marks that
// stand on the letter before, two for wide letters (Unicode TR 11).
func displayWidth(s string) int {
	n := 0
	for _, r := range s {
		switch {
		case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		case wide(r):
			n += 2
		default:
			n++
		}
	}
	return n
}

func wide(r rune) bool {
	k := width.LookupRune(r).Kind()
	return k == width.EastAsianWide || k == width.EastAsianFullwidth
}
