package web

import (
	"net/url"
	"strconv"

	"urdir/internal/workshop"
)

func itoa(n int) string { return strconv.Itoa(n) }

// pageSize is how many lines a list shows at once.
const pageSize = 50

// listing is what the address says of a list: words, state, where to go on.
func (v *visit) listing() workshop.Page {
	q := v.r.URL.Query()
	return workshop.Page{Find: cut(q.Get("q")), State: cut(q.Get("state")), After: q.Get("after"), Limit: pageSize}
}

// cut bounds what a list is asked for: each word of it is looked for.
func cut(s string) string {
	if r := []rune(s); len(r) > 200 {
		return string(r[:200])
	}
	return s
}

// State is the state a list is narrowed to.
func (v *visit) State() string { return v.r.URL.Query().Get("state") }

// Query is what a list is searched for.
func (v *visit) Query() string { return v.r.URL.Query().Get("q") }

// More is the address of the next part of a list.
func (v *visit) More(next string) string {
	q := v.r.URL.Query()
	q.Set("after", next)
	q.Del("done")
	return v.r.URL.Path + "?" + q.Encode()
}

// With is the address of this list in another state.
func (v *visit) With(state string) string {
	q := url.Values{}
	if s := v.Query(); s != "" {
		q.Set("q", s)
	}
	if state != "" {
		q.Set("state", state)
	}
	if len(q) == 0 {
		return v.r.URL.Path
	}
	return v.r.URL.Path + "?" + q.Encode()
}
