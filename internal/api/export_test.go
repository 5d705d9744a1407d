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

// Paged is every operation whose answer is a part of a list.
func Paged() (out []string) {
	for _, o := range ops() {
		if o.pages {
			out = append(out, strings.ToLower(o.method)+" "+prefix+o.path)
		}
	}
	return out
}

// Calls is which call of the workshop each operation makes, by its method and path.
func Calls() map[string]string {
	out := map[string]string{}
	for _, o := range ops() {
		out[o.method+" "+prefix+o.path] = o.call
	}
	return out
}
