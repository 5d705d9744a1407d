package api //nolint:testpackage // readBody is within

import (
	"encoding/json"
	"testing"
)

// FuzzBody: whatever is sent as the body of any operation is read or refused; what is
// read can be written again.
func FuzzBody(f *testing.F) {
	var all []op
	for _, o := range ops() {
		if o.in != nil {
			all = append(all, o)
		}
	}
	for i, s := range []string{`{"name": "Posada"}`, `{"customer": "x", "lines": [{"cloth": "y", "quantity": 2}]}`, `{"mass_g": 1e400}`, `{"mass_g": -0}`, `{"lots": {"": null}}`,
		`{"price": {"minor": 9223372036854775808, "currency": "USD"}}`, `[[[[`, `null`, `{} {}`, `{"name": "\ud800"}`, `{"name": "a", "NAME": "b", "name": 3}`} {
		for n := range 3 {
			f.Add(byte(i*3+n), s)
		}
	}
	f.Fuzz(func(t *testing.T, which byte, raw string) {
		o := all[int(which)%len(all)]
		v, ps := readBody([]byte(raw), o.in)
		if ps.Failed() {
			return
		}
		if _, err := json.Marshal(v); err != nil {
			t.Errorf("%s %s: %q was read as %+v, which cannot be written: %v", o.method, o.path, raw, v, err)
		}
	})
}

// FuzzVersion: whatever is sent as If-Match is a version, from 1, or refused.
func FuzzVersion(f *testing.F) {
	for _, s := range []string{`"1"`, `"3-ab12"`, `W/"1"`, `*`, `""`, `"-1"`, `"99999999999999999999"`, `"1", "2"`} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if n, err := versionIn(s); err == nil && n < 1 {
			t.Errorf("%q: version %d", s, n)
		}
	})
}
