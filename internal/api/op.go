package api

import (
	"net/http"
	"reflect"
	"strings"

	"urdir/internal/lang"
	"urdir/internal/workshop"
)

// op is one operation.
type op struct {
	id     string // of the description; its words are api-op-ID
	method string
	path   string // below /api/v1
	call   string // of the workshop, whose right and scope it asks for
	query  []param
	in     reflect.Type // what is sent; nil: nothing
	out    reflect.Type // what is answered; nil: nothing
	pages  bool         // the answer is a part of a list
	match  matching
	text   string // media type of an answer that is no JSON
	do     func(*asked) (any, error)
}

// matching is what an operation does with the version of a thing (If-Match).
type matching int

const (
	matchNone matching = iota
	matchMay           // it may be named; then it must be so still
	matchMust          // whoever changes a whole thing must have read it
)

// param is a value in the address.
type param struct {
	name    string
	typ     reflect.Type
	example any
	choices []string
}

func word(name, example string, choices ...string) param {
	return param{name, reflect.TypeFor[string](), example, choices}
}

func whole(name string, example int) param { return param{name, reflect.TypeFor[int](), example, nil} }

// asked is one request.
type asked struct {
	*http.Request
	house    *workshop.House
	person   workshop.Person
	words    *lang.Words
	revision int64 // named by the one who asks; 0: none
	body     any   // of the operation's type
}

// id is the thing the address names.
func (a *asked) id() string { return a.PathValue("id") }

// thing is how the things of an address are read, and what is answered of one.
type thing[K, O any] struct {
	path string
	now  func(*asked) (workshop.Kept[K], error)
	show func(workshop.Kept[K]) O
}

// version is the version to change: the one that was named, or else the one there is
// now, which cannot change before the transaction ends.
func (t thing[K, O]) version(a *asked) (int64, error) {
	if a.revision != 0 {
		return a.revision, nil
	}
	k, err := t.now(a)
	return k.Revision, err
}

// on is an operation on one thing, at a version; the method stands before what
// follows its address.
func on[I, K, O any](t thing[K, O], id, verb, call string, do func(*asked, int64, I) (workshop.Kept[K], error)) op {
	method, rest, _ := strings.Cut(verb, " ")
	return change(id, method+" "+t.path+rest, call, matchMay, func(a *asked, in I) (out O, _ error) {
		n, err := t.version(a)
		if err != nil {
			return out, err
		}
		k, err := do(a, n, in)
		return t.show(k), err
	})
}

// get is an operation that gives one thing.
func get[O any](id, path, call string, do func(*asked) (O, error), query ...param) op {
	return op{id: id, method: http.MethodGet, path: path, call: call, query: query, out: reflect.TypeFor[O](),
		do: func(a *asked) (any, error) { return do(a) }}
}

// list is an operation that gives a part of a list.
func list[O any](id, path, call string, do func(*asked, workshop.Page) ([]O, string, error), query ...param) op {
	query = append(query, word("cursor", "bGVqb3M"), whole("limit", defaultLimit))
	return op{id: id, method: http.MethodGet, path: path, call: call, query: query, out: reflect.TypeFor[Page[O]](), pages: true,
		do: func(a *asked) (any, error) {
			page, err := a.page()
			if err != nil {
				return nil, err
			}
			items, next, err := do(a, page)
			if items == nil {
				items = []O{}
			}
			return Page[O]{Items: items, Next: asCursor(next)}, err
		}}
}

// change is an operation that changes something; the method stands before its path.
func change[I, O any](id, path, call string, match matching, do func(*asked, I) (O, error)) op {
	method, path, _ := strings.Cut(path, " ")
	o := op{id: id, method: method, path: path, call: call, match: match, in: reflect.TypeFor[I](), out: reflect.TypeFor[O](),
		do: func(a *asked) (any, error) {
			in, _ := a.body.(I)
			return do(a, in)
		}}
	if o.in == reflect.TypeFor[nothing]() {
		o.in = nil
	}
	if o.out == reflect.TypeFor[nothing]() {
		o.out = nil
	}
	return o
}

// nothing is sent or answered.
type nothing struct{}

// Page is a part of a list.
type Page[T any] struct {
	Items []T    `json:"items"`
	Next  string `json:"next,omitempty" example:"bGVqb3M"`
}

// ops is every operation.
func ops() (all []op) {
	for _, part := range [][]op{shopOps(), customerOps(), orderOps(), classOps(), clothOps(), yarnOps(), dyeOps(), memberOps(), warpOps(), pieceOps(),
		saleOps(), priceOps(), payOps(), timeOps()} {
		all = append(all, part...)
	}
	return all
}
