package workshop

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"urdir/internal/store"
)

// House is the workshops of one server.
type House struct {
	db    *store.DB
	now   func() time.Time
	plans memo
	days  recent[Day]

	tables recent[Timetable]
	asking recent[[]Asked]
	bell   *bell
}

// New makes a House on a database. The clock is given so that demos and tests
// have their own.
func New(db *store.DB, now func() time.Time) *House { return &House{db: db, now: now, bell: newBell()} }

// Now is the time by the house's clock.
func (h *House) Now() time.Time { return h.now() }

// Today is the date, as YYYY-MM-DD.
func (h *House) today() string { return h.now().Format(time.DateOnly) }

// Kept is something with its name and the revision it was read at.
type Kept[T any] struct {
	ID       string
	Revision int64
	Value    T
}

// kind is one kind of record: its name, and what lists need of it.
type kind[T any] struct {
	name  string
	index func(id string, v T) index
}

// index is what lists and searches find a record by.
type index struct {
	parent, state, sort string
	words               []string
}

// newID is a name nobody can guess from another.
func newID() string { return strings.ToLower(rand.Text()[:12]) }

func (k kind[T]) get(tx *store.Tx, id string) (Kept[T], error) {
	if !plain(id) {
		return Kept[T]{}, store.ErrNotFound
	}
	r, err := tx.Get(k.name, id)
	if err != nil {
		return Kept[T]{}, err
	}
	return k.read(r)
}

func (k kind[T]) read(r store.Record) (Kept[T], error) {
	out := Kept[T]{ID: r.ID, Revision: r.Revision}
	if err := json.Unmarshal([]byte(r.Body), &out.Value); err != nil {
		return out, fmt.Errorf("%s %s: %w", k.name, r.ID, err)
	}
	return out, nil
}

// jot writes a record that is there anew, without a line in the history.
func (k kind[T]) jot(tx *store.Tx, v Kept[T]) (Kept[T], error) {
	r, err := k.record(v)
	if err == nil {
		v.Revision, err = tx.Jot(r)
	}
	return v, err
}

// record is a value as the store keeps it.
func (k kind[T]) record(v Kept[T]) (store.Record, error) {
	body, err := json.Marshal(v.Value)
	if err != nil {
		return store.Record{}, fmt.Errorf("%s %s: %w", k.name, v.ID, err)
	}
	x := k.index(v.ID, v.Value)
	return store.Record{Kind: k.name, ID: v.ID, Revision: v.Revision, Parent: x.parent, State: x.state,
		Sort: Fold(x.sort), Words: Fold(strings.Join(x.words, " ")), Body: string(body)}, nil
}

// put keeps a value; without an ID it is new and gets one. What is there already
// is a Conflict for someone who has not read it.
func (k kind[T]) put(tx *store.Tx, v Kept[T]) (Kept[T], error) {
	if v.ID == "" {
		v.ID = newID()
	} else if v.Revision == 0 {
		now, err := k.get(tx, v.ID)
		if err == nil {
			return v, &Error{Code: Conflict, Now: now, Err: store.ErrExists}
		}
		if !errors.Is(err, store.ErrNotFound) {
			return v, err
		}
	}
	r, err := k.record(v)
	if err != nil {
		return v, err
	}
	v.Revision, err = tx.Put(r)
	if c, ok := errors.AsType[*store.Conflict](err); ok {
		now, readErr := k.read(c.Now)
		return v, errors.Join(readErr, &Error{Code: Conflict, Now: now, Err: err})
	}
	return v, err
}

// Page says which part of a list is wanted.
type Page struct {
	Find   string // words to be found
	State  string
	Parent string
	After  string // cursor of the page before
	Limit  int    // 0: all
}

// Listed is a part of a list, and the cursor of the next.
type Listed[T any] struct {
	Items []Kept[T]
	Next  string
	Count int // of all that match
}

func (k kind[T]) list(tx *store.Tx, p Page, down bool) (out Listed[T], err error) {
	if !plain(p.State, p.Parent, p.After) {
		return out, nil
	}
	q := store.Query{Kind: k.name, Parent: p.Parent, Words: strings.Fields(Fold(p.Find)), After: p.After, Limit: p.Limit, Down: down}
	if p.State != "" {
		q.States = strings.Split(p.State, ",")
	}
	found, next, err := tx.List(q)
	if err != nil {
		return out, err
	}
	out.Next = next
	for _, r := range found {
		var v Kept[T]
		if v, err = k.read(r); err != nil {
			return out, err
		}
		out.Items = append(out.Items, v)
	}
	out.Count = len(out.Items)
	if p.Limit > 0 && (next != "" || p.After != "") {
		out.Count, err = tx.Count(q)
	}
	return out, err
}

// view runs a reading call for a person.
func (h *House) view(ctx context.Context, p Person, call string, f func(*store.Tx) error) error {
	if err := allowed(p, call); err != nil {
		return err
	}
	return fromStore(h.db.View(ctx, p.Workshop, f))
}

// update runs a changing call for a person.
func (h *House) update(ctx context.Context, p Person, call string, f func(*store.Tx) error) error {
	if err := allowed(p, call); err != nil {
		return err
	}
	told := false
	err := h.db.Update(ctx, p.Workshop, store.Act{At: h.now(), Who: p.Account, What: call}, func(tx *store.Tx) error {
		if err := f(tx); err != nil {
			return err
		}
		err := h.announce(tx)
		told = tx.Told()
		return err
	})
	if told && err == nil {
		h.bell.ring(p.Workshop)
	}
	return fromStore(err)
}

// one reads a single record for a person.
func one[T any](ctx context.Context, h *House, p Person, call string, k kind[T], id string) (out Kept[T], err error) {
	err = h.view(ctx, p, call, func(tx *store.Tx) error {
		out, err = k.get(tx, id)
		return err
	})
	return out, err
}

// save keeps a single record for a person; one with an ID must be there.
func save[T any](ctx context.Context, h *House, p Person, call string, k kind[T], v Kept[T]) (out Kept[T], err error) {
	err = h.update(ctx, p, call, func(tx *store.Tx) error {
		if v.ID != "" {
			if _, err = k.get(tx, v.ID); err != nil {
				return err
			}
		}
		out, err = k.put(tx, v)
		return err
	})
	if err != nil {
		return v, err
	}
	return out, nil
}

// many reads a list for a person.
func many[T any](ctx context.Context, h *House, p Person, call string, k kind[T], page Page, down bool) (out Listed[T], err error) {
	err = h.view(ctx, p, call, func(tx *store.Tx) error {
		out, err = k.list(tx, page, down)
		return err
	})
	return out, err
}

// plain says whether names are text a database can hold; nothing has another.
func plain(ss ...string) bool {
	return !slices.ContainsFunc(ss, func(s string) bool { return strings.ContainsRune(s, 0) || !utf8.ValidString(s) })
}

// Fold makes words comparable: no capitals, no accents, one kind of apostrophe,
// nothing but text. The ñ stays a letter of its own.
func Fold(s string) string {
	plain := true
	for i := range len(s) {
		plain = plain && s[i] < utf8.RuneSelf && s[i] > 0
	}
	if plain { // most text, and the rest takes a hundred times as long
		return strings.ToLower(s)
	}
	s = apostrophes.Replace(norm.NFC.String(strings.ToLower(strings.ToValidUTF8(s, "\uFFFD"))))
	bare := strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Mn, r) {
			return -1
		}
		return r
	}, norm.NFD.String(s))
	return strings.ReplaceAll(norm.NFC.String(bare), keptEnye, "ñ")
}

// keptEnye stands for ñ while accents go; it is of the private use area.
const keptEnye = "\uE000"

var apostrophes = strings.NewReplacer("ñ", keptEnye, "’", "'", "ʼ", "'", "ꞌ", "'", "‘", "'", "\x00", "")

// SortByName sorts a list by names as they are compared, each folded once.
func SortByName[T any](list []T, name func(T) string) {
	type named struct {
		name  string
		value T
	}
	all := make([]named, len(list))
	for i, v := range list {
		all[i] = named{Fold(name(v)), v}
	}
	slices.SortStableFunc(all, func(a, b named) int { return strings.Compare(a.name, b.name) })
	for i := range all {
		list[i] = all[i].value
	}
}
