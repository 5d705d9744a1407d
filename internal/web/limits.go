package web

import (
	"net"
	"net/http"
)

// mayTry counts another try of something that could be guessed, by those named; one
// too many is a problem of a field.
func (v *visit) mayTry(f *form, field string, whose ...string) error {
	ok, err := v.s.house.Try(v.r.Context(), whose...)
	if err != nil || ok {
		return err
	}
	f.ps.Wrong(field, "sign-in-slow", nil)
	return f.err()
}

// from is the address a request comes from.
func from(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}
