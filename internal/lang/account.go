package lang

import "strings"

// Account is the name of an account of the books: "cash" for "assets:cash". One that
// a workshop added is called by its key.
func (w *Words) Account(key string) string {
	if word := "account-" + strings.ReplaceAll(key, ":", "-"); w.Has(word) {
		return w.T(word, nil)
	}
	return key
}
