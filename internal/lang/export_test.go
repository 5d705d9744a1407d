package lang

import "strings"

// WordFiles are the word files as they are built in.
var WordFiles = files

// Write parses a text and writes it. Left is what follows an else or end of no
// if of its own.
func Write(s string, value func(name string) string) (written, left string, err error) {
	t, left, err := parse(s)
	var to strings.Builder
	t.write(&to, value)
	return to.String(), left, err
}

// ReadEntry reads an entry of a word file.
func ReadEntry(b []byte) error { return new(entry).UnmarshalJSON(b) }
