package workshop

import (
	"errors"
	"fmt"

	"urdir/check"
	"urdir/internal/store"
)

// Code says what kind of trouble an Error is.
type Code string

const (
	Invalid  Code = "invalid"   // what was asked is wrong; Problems say how
	NotFound Code = "not-found" // there is no such thing, or none this person may see
	Conflict Code = "conflict"  // someone else changed it in the meantime
	Denied   Code = "denied"    // this person may not
	Away     Code = "away"      // the database does not answer; trying later may help
)

// Error is every error of this package that is not a fault of the program.
type Error struct {
	Code     Code
	Problems check.Problems
	Now      any // for Conflict: the thing as it is now, a Kept of its type; nil if it is another thing
	Err      error
}

func (e *Error) Error() string {
	switch {
	case e.Err != nil:
		return fmt.Sprintf("%s: %v", e.Code, e.Err)
	case len(e.Problems) > 0:
		return fmt.Sprintf("%s: %v", e.Code, e.Problems)
	}
	return string(e.Code)
}

func (e *Error) Unwrap() error { return e.Err }

// CodeOf is the code of an error, or empty for a fault of the program.
func CodeOf(err error) Code {
	if e, ok := errors.AsType[*Error](err); ok {
		return e.Code
	}
	return ""
}

// invalid makes an Error of problems, or nil if none of them is an error.
func invalid(ps check.Problems) error {
	if !ps.Failed() {
		return nil
	}
	return &Error{Code: Invalid, Problems: ps}
}

// wrong is an Error of one problem.
func wrong(path, code string, args check.Args) error {
	var ps check.Problems
	ps.Wrong(path, code, args)
	return invalid(ps)
}

// fromStore gives errors of the store their code.
func fromStore(err error) error {
	var e *Error
	var short *store.Short
	var changed *store.Conflict
	switch {
	case err == nil || errors.As(err, &e):
		return err
	case errors.Is(err, store.ErrNotFound):
		return &Error{Code: NotFound, Err: err}
	case errors.Is(err, store.ErrAway):
		return &Error{Code: Away, Err: err}
	case errors.As(err, &changed):
		return &Error{Code: Conflict, Err: err}
	case errors.As(err, &short):
		return wrong("grams", "stock-short", check.Args{"have": grams(short.Have), "wanted": grams(short.Wanted)})
	}
	return err
}
