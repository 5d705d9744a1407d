package yamlfile

import (
	"cmp"
	"slices"
	"strings"

	"urdir/check"
)

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

// sort puts problems in the order of the file. Some are only found after what
// follows them has been read.
func (s Source) sort(ps check.Problems) {
	slices.SortStableFunc(ps, func(a, b check.Problem) int {
		p, _ := s.Locate(a.Path)
		q, _ := s.Locate(b.Path)
		return cmp.Or(p.Line-q.Line, p.Column-q.Column)
	})
}
