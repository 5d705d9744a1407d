package web

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
)

// FuzzForm: whatever is sent as a form is read or refused; what is read gives numbers
// that are finite and in bounds, or a problem.
func FuzzForm(f *testing.F) {
	for _, s := range []string{"grams=12.5+g&cm=3&n=7&cost=1.25", "grams=1e400", "n=99999999999999999999", "cost=%2D1", "%zz", "grams=%00&cm=%ff", "a;b", "cost=1.234.567,89"} {
		f.Add("application/x-www-form-urlencoded", s)
	}
	f.Add("multipart/form-data; boundary=x", "--x\r\nContent-Disposition: form-data; name=\"grams\"\r\n\r\n3\r\n--x--\r\n")
	f.Add("multipart/form-data", "--\r\n")
	f.Fuzz(func(t *testing.T, kind, body string) {
		r := httptest.NewRequest(http.MethodPost, "/", strings.NewReader(body))
		r.Header.Set("Content-Type", kind)
		v := &visit{r: r, w: httptest.NewRecorder()}
		form, err := v.read()
		if err != nil {
			return
		}
		g, l, m, n := form.grams("grams"), form.cm("cm"), form.money("cost", "USD"), form.whole("n")
		if g != g || l != l || g-g != 0 || l-l != 0 {
			t.Errorf("%q: %v, %v: no number, and no problem", body, g, l)
		}
		if form.text("cost") == "" && m.Minor != 0 || form.text("n") == "" && n != 0 {
			t.Errorf("%q: numbers of nothing: %v, %v", body, m, n)
		}
	})
}

// FuzzSafePath: an address that a visitor is sent on to is on this server, as browsers
// read it (URL standard: a backslash is a slash, tabs and line ends are left out).
func FuzzSafePath(f *testing.F) {
	for _, s := range []string{"/orders?state=open", "//elsewhere.example", "/\t/elsewhere.example", "\\\\elsewhere.example", "/.//elsewhere.example", "javascript:x", "/%2f/elsewhere.example", ""} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, to string) {
		read := strings.NewReplacer("\t", "", "\n", "", "\r", "", "\\", "/").Replace(strings.TrimSpace(safePath(to)))
		if !strings.HasPrefix(read, "/") || strings.HasPrefix(read, "//") {
			t.Errorf("%q: sent on to %q", to, read)
		}
	})
}
