package books_test

import (
	"testing"

	"urdir/price/books"
)

// FuzzParseNumber: a document's number is read only as it is printed, so that two
// texts are never one number.
func FuzzParseNumber(f *testing.F) {
	for _, s := range []string{"F-2026-0012", "F-2026-12", "F-2026-99999", "-2026-0001", "F-0-1", "F-2026-+001", "F--2026-0001"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if n, ok := books.ParseNumber(text); ok && n.String() != text {
			t.Errorf("%q is read as %s", text, n)
		}
	})
}
