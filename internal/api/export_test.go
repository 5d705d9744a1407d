package api

import (
	"slices"
	"strings"
)

// Served is every operation of the server, as descriptions name it.
func Served() (out []string) {
	for _, o := range ops() {
		out = append(out, strings.ToLower(o.method)+" "+prefix+o.path)
	}
	slices.Sort(out)
	return out
}
