package web

import (
	"bytes"
	"errors"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"path"
	"slices"
	"strings"
	"time"

	"urdir/check"
	"urdir/internal/lang"
	"urdir/internal/workshop"
)

// visit is one request: who asks, in which language, and what the page shows.
// Templates see it as their dot.
type visit struct {
	s *server
	w http.ResponseWriter
	r *http.Request

	Words    *lang.Words
	Person   workshop.Person
	Title    string
	Data     any
	Problems check.Problems // of a form that was refused
	Form     url.Values     // what was typed, to be kept
	Done     string         // key of the words for what was just done
	Theirs   []theirField   // what someone else made of it in the meantime
	Newer    int64          // the revision of that: keeping again then replaces it knowingly
	Guest    string         // the workshop whose page someone sees who does not sign in
	Open     bool           // a page that may be found: a piece's card
	all      []stuff        // what a supply can be, once it was asked for
}

// visit finds out who asks.
func (s *server) visit(w http.ResponseWriter, r *http.Request) (*visit, error) {
	v := s.stranger(r)
	v.w = w
	v.Done = doneKey(r.URL.Query().Get("done"))
	c, err := r.Cookie("urdir")
	if err != nil {
		return v, nil //nolint:nilerr // no cookie: a stranger
	}
	v.Person, err = s.house.Who(r.Context(), c.Value)
	if err != nil {
		return v, err
	}
	v.speak(v.Person)
	return v, nil
}

// speak turns to the language someone has chosen, if she has.
func (v *visit) speak(p workshop.Person) {
	if words, err := lang.For(p.Lang); p.Lang != "" && err == nil {
		v.Words = words
	}
}

// doneKey lets only words through that say what was done.
func doneKey(s string) string {
	for _, r := range s {
		if (r < 'a' || r > 'z') && r != '-' {
			return ""
		}
	}
	if s == "" {
		return ""
	}
	return "done-" + s
}

// T is a text of the page's language. Values come in pairs: name, value.
func (v *visit) T(key string, pairs ...any) string { return v.Words.T(key, args(pairs)) }

// N is T for a text that depends on a number.
func (v *visit) N(key string, n int, pairs ...any) string { return v.Words.N(key, n, args(pairs)) }

func args(pairs []any) check.Args {
	a := check.Args{}
	for i := 0; i+1 < len(pairs); i += 2 {
		a[fmt.Sprint(pairs[i])] = pairs[i+1]
	}
	return a
}

// S writes a quantity.
func (v *visit) S(q any) string { return v.Words.S(q) }

// Date writes a date kept as YYYY-MM-DD.
func (v *visit) Date(day string) string {
	d, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return day
	}
	return v.Words.Date(d)
}

// May says whether the visitor may make a call of the workshop.
func (v *visit) May(call string) bool { return v.Person.May(call) }

// Path is the page the visitor is on; of an action's address, which is no page,
// the page it is on.
func (v *visit) Path() string {
	p := v.r.URL.Path
	for p != "/" && p != "." {
		get := &http.Request{Method: http.MethodGet, URL: &url.URL{Path: p}}
		if _, pattern := v.s.mux.Handler(get); pattern != "/" {
			return p
		}
		p = path.Dir(p)
	}
	return "/"
}

// In says whether a room of the menu is open.
func (v *visit) In(room string) bool {
	p := v.r.URL.Path
	return p == room || room != "/" && strings.HasPrefix(p, room+"/")
}

// Asset is the address of a file of the browser's.
func (v *visit) Asset(name string) string { return "/static/" + name + "?v=" + v.s.assets[name].tag }

// Val is what a field holds: what was typed if the form came back, else the
// value kept.
func (v *visit) Val(field string, kept any) string {
	if typed, ok := v.Form[field]; ok {
		return typed[0]
	}
	return fmt.Sprint(kept)
}

// Has says whether a box is ticked.
func (v *visit) Has(field, value string, kept []string) bool {
	if v.Form != nil {
		kept = v.Form[field]
	}
	return slices.Contains(kept, value)
}

// Wrong is what is wrong with a field, in words; empty if nothing is.
func (v *visit) Wrong(field string) string {
	var out []string
	for _, p := range v.Problems {
		if p.Path == field {
			what, mend := v.Words.Problem(p)
			out = append(out, what+" "+mend)
		}
	}
	return strings.Join(out, " ")
}

// Say is a problem in words.
func (v *visit) Say(p check.Problem) string {
	what, mend := v.Words.Problem(p)
	return what + " " + mend
}

// titleOf is the title of a form: of something new, or of a change to what has a
// name.
func (v *visit) titleOf(fresh, id, name string) string {
	if id == "" {
		return v.T(fresh)
	}
	return v.T("edit") + ": " + name
}

// page renders a page.
func (v *visit) page(name, title string, data any) error {
	v.Title, v.Data = title, data
	return v.s.render(v, http.StatusOK, name)
}

// again renders a form that was refused, with what was typed. Errors that are
// not about what was typed go on.
func (v *visit) again(err error, name, title string, data any) error {
	var e *workshop.Error
	if !errors.As(err, &e) || e.Code != workshop.Invalid && e.Code != workshop.Conflict {
		return err
	}
	v.typed(err)
	v.Title, v.Data = title, data
	status := http.StatusUnprocessableEntity
	if e.Code == workshop.Conflict {
		v.Problems.Wrong("", "changed-meanwhile", nil)
		v.Theirs, v.Newer = theirs(e.Now)
		status = http.StatusConflict
	}
	return v.s.render(v, status, name)
}

// typed keeps what was typed into a form that was refused, and what is wrong
// with it.
func (v *visit) typed(err error) {
	if e, ok := errors.AsType[*workshop.Error](err); ok {
		v.Problems, v.Form = e.Problems, v.r.PostForm
	}
}

// to sends the visitor on after something was done.
func (v *visit) to(address, done string) error {
	if done != "" {
		address += "?done=" + done
	}
	http.Redirect(v.w, v.r, address, http.StatusSeeOther)
	return nil
}

// render writes a page whole or not at all.
func (s *server) render(v *visit, status int, name string) error {
	t, ok := s.pages[name]
	if !ok {
		return fmt.Errorf("no page %q", name)
	}
	var b bytes.Buffer
	if err := t.ExecuteTemplate(&b, "page", v); err != nil {
		return fmt.Errorf("page %s: %w", name, err)
	}
	v.w.Header().Set("Content-Type", "text/html; charset=utf-8")
	v.w.Header().Set("Content-Language", v.Words.Base)
	v.w.WriteHeader(status)
	_, _ = b.WriteTo(v.w) // the browser went away
	return nil
}

func escape(s string) string { return url.QueryEscape(s) }

// pages is every page's template, each with the frame around it.
type pages map[string]*template.Template
