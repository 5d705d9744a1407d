// Package check carries problems found in what a person wrote: every problem
// at once, each with where it is and what is wrong. It holds no sentences; the
// code and its arguments become words, in the reader's language and with the
// way to mend it, in internal/lang.
package check

import (
	"fmt"
	"sort"
	"strings"
)

// Severity says whether a plan can be made in spite of the problem.
type Severity int

const (
	Error   Severity = iota // no plan
	Caution                 // a plan, but look
)

// Args are the values a message needs, by name. Values are plain numbers,
// strings, or quantities of package measure.
type Args map[string]any

// Problem is one thing that is wrong. Path names the field from the top of the
// cloth, as in "warps.body.stripes[2].ends". Code is stable, in kebab case.
type Problem struct {
	Severity Severity
	Path     string
	Code     string
	Args     Args
}

// Problems is a list of problems; it is an error when it holds an Error.
type Problems []Problem

// Wrong adds a problem that stops the plan.
func (ps *Problems) Wrong(path, code string, args Args) {
	*ps = append(*ps, Problem{Error, path, code, args})
}

// Look adds a problem that does not stop the plan.
func (ps *Problems) Look(path, code string, args Args) {
	*ps = append(*ps, Problem{Caution, path, code, args})
}

// Under adds all problems of a part, with the part's own path in front.
func (ps *Problems) Under(path string, part Problems) {
	for _, p := range part {
		switch {
		case p.Path == "":
			p.Path = path
		case p.Path[0] == '[':
			p.Path = path + p.Path
		default:
			p.Path = path + "." + p.Path
		}
		*ps = append(*ps, p)
	}
}

// Failed reports whether any problem is an Error.
func (ps Problems) Failed() bool {
	for _, p := range ps {
		if p.Severity == Error {
			return true
		}
	}
	return false
}

// Err returns the problems as an error, or nil when none is an Error.
func (ps Problems) Err() error {
	if ps.Failed() {
		return ps
	}
	return nil
}

// Error lists the problems for a log: "path: code {args}", one a line.
func (ps Problems) Error() string {
	lines := make([]string, len(ps))
	for i, p := range ps {
		lines[i] = p.String()
	}
	return strings.Join(lines, "\n")
}

// String is the problem for a log, not for a person.
func (p Problem) String() string {
	keys := make([]string, 0, len(p.Args))
	for k := range p.Args {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s", p.Path, p.Code)
	for _, k := range keys {
		fmt.Fprintf(&b, " %s=%v", k, p.Args[k])
	}
	return b.String()
}
