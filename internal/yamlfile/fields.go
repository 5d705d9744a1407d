package yamlfile

import (
	"slices"
	"strings"

	"urdir/check"
)

// Fields says into what each field of a mapping is read.
type Fields map[string]func(*Node)

// Read reads a mapping, and says of a field that is not among the known which
// ones may have been meant.
//
//go:noinline
func (f Fields) Read(n *Node) {
	n.Each(func(n *Node) {
		if read, ok := f[n.Key()]; ok {
			read(n)
			return
		}
		n.RefuseKey("field-unknown", check.Args{"field": Clip(n.Key()), "known": f.nearest(n.Key())})
	})
}

// nearest names the known fields, the likeliest first, at most six.
func (f Fields) nearest(key string) string {
	names := make([]string, 0, len(f))
	for k := range f {
		names = append(names, k)
	}
	slices.SortFunc(names, func(a, b string) int {
		if d := distance(key, a) - distance(key, b); d != 0 {
			return d
		}
		return strings.Compare(a, b)
	})
	return strings.Join(names[:min(6, len(names))], ", ")
}

// distance is the edit distance between two short words (Levenshtein 1966).
func distance(a, b string) int {
	a, b = Clip(a), Clip(b)
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := 1
			if a[i] == b[j] {
				cost = 0
			}
			diagonal, row[j+1] = row[j+1], min(row[j+1]+1, row[j]+1, diagonal+cost)
		}
	}
	return row[len(b)]
}
