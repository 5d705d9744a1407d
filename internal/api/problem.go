package api

import (
	"encoding/json"
	"errors"
	"net/http"
	"reflect"
	"strconv"

	"urdir/check"
	"urdir/internal/lang"
	"urdir/internal/workshop"
)

// Problem is an error as RFC 9457 has it, with every problem of what was sent.
type Problem struct {
	Type     string  `json:"type" example:"/api/v1/problems/invalid"`
	Title    string  `json:"title" example:"Something in it is wrong"`
	Status   int     `json:"status" example:"422"`
	Detail   string  `json:"detail,omitempty" example:"Nothing was changed."`
	Problems []Wrong `json:"problems,omitempty"`
}

// Wrong is one thing that is wrong.
type Wrong struct {
	Where    string `json:"where,omitempty" example:"lines[0].quantity"`
	Code     string `json:"code" example:"out-of-range"`
	Severity string `json:"severity" enum:"error,caution" example:"error"`
	What     string `json:"what" example:"0 is out of range."`
	Mend     string `json:"mend" example:"Take a value from 1 to 1000."`
}

// trouble is an error of this package itself. Its name is the end of the problem's
// type, and its words are api-error-NAME.
type trouble struct {
	status int
	name   string
	args   check.Args
	wait   int // seconds; Retry-After
}

func (t *trouble) Error() string { return t.name }

// kinds gives errors of the workshop their status.
var kinds = map[workshop.Code]trouble{
	workshop.Invalid:  {status: http.StatusUnprocessableEntity, name: "invalid"},
	workshop.NotFound: {status: http.StatusNotFound, name: "not-found"},
	workshop.Conflict: {status: http.StatusConflict, name: "conflict"},
	workshop.Denied:   {status: http.StatusForbidden, name: "denied"},
	workshop.Away:     {status: http.StatusServiceUnavailable, name: "away", wait: 5},
}

// statuses is every status of an error, for the description.
var statuses = []int{400, 401, 403, 404, 405, 409, 412, 413, 415, 422, 428, 429, 500, 503}

// troubleOf is what is answered to an error; ok is false for a fault of the program.
func troubleOf(err error, matched bool) (t trouble, ps check.Problems, ok bool) {
	if own, is := errors.AsType[*trouble](err); is {
		return *own, nil, true
	}
	if _, big := errors.AsType[*http.MaxBytesError](err); big {
		return trouble{status: http.StatusRequestEntityTooLarge, name: "too-big"}, nil, true
	}
	e, is := errors.AsType[*workshop.Error](err)
	if !is {
		return trouble{status: http.StatusInternalServerError, name: "fault"}, nil, false
	}
	t, ok = kinds[e.Code]
	if e.Code == workshop.Conflict && matched {
		t = trouble{status: http.StatusPreconditionFailed, name: "changed"}
	}
	return t, e.Problems, ok
}

// fail answers an error.
func (s *server) fail(w http.ResponseWriter, r *http.Request, o *op, err error) {
	words := speak(r)
	t, ps, known := troubleOf(err, r.Header.Get("If-Match") != "")
	if !known {
		s.log.Error("fault", "path", r.URL.Path, "error", err)
	}
	p := Problem{Type: prefix + "/problems/" + t.name, Title: words.T("api-error-"+t.name, t.args), Status: t.status}
	if o != nil {
		ps = named(ps, o.in)
	}
	p.Problems = inWords(words, ps)
	h := w.Header()
	if t.wait > 0 {
		h.Set("Retry-After", strconv.Itoa(t.wait))
	}
	if t.status == http.StatusUnauthorized {
		h.Set("WWW-Authenticate", `Bearer realm="urdir"`)
	}
	h.Set("Content-Type", "application/problem+json")
	h.Set("Content-Language", words.Base)
	h.Del("ETag")
	body, err := json.Marshal(p)
	if err != nil {
		s.log.Error("fault", "path", r.URL.Path, "error", err)
	}
	w.WriteHeader(t.status)
	_, _ = w.Write(body) // whoever asked went away
}

// inWords is problems for whoever reads them.
func inWords(words *lang.Words, ps check.Problems) (out []Wrong) {
	for _, p := range ps {
		what, mend := words.Problem(p)
		severity := "error"
		if p.Severity == check.Caution {
			severity = "caution"
		}
		out = append(out, Wrong{p.Path, p.Code, severity, what, mend})
	}
	return out
}

var problemType = reflect.TypeFor[Problem]()

// refused is an error of one field.
func refused(path, code string, args check.Args) error {
	var ps check.Problems
	ps.Wrong(path, code, args)
	return &workshop.Error{Code: workshop.Invalid, Problems: ps}
}
