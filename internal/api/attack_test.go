package api_test

import (
	"net/http"
	"strings"
	"testing"

	"urdir/internal/api"
	"urdir/internal/workshop"
)

// On every operation that names a thing: with the name of another workshop's it is not
// found, whatever is sent, and the answer has nothing of that workshop in it.
func TestEvery_anotherWorkshop(t *testing.T) {
	s := newShop(t, file(t))
	c := readContract(s)
	theirs := addShop(t, s.house, "zoila")
	theirs.url, theirs.clock = s.url, s.clock
	type request struct {
		method, path string
		body         any
	}
	asked := map[string]request{} // the last of each operation
	theirs.done = func(as workshop.Role, method, path string, body any, headers []string) answer {
		if at := c.find(path); strings.Contains(at, "{id}") || strings.Contains(at, "{member}") {
			asked[strings.ToLower(method)+" "+at] = request{method, path, body}
		}
		return theirs.ask(as, method, path, body, headers...)
	}
	season(theirs)
	for _, op := range api.Served() {
		r, named := asked[op]
		if !named {
			if strings.Contains(op, "{id}") || strings.Contains(op, "{member}") {
				t.Errorf("%s was not tried", op)
			}
			continue
		}
		a := s.refused(http.StatusNotFound, head, r.method, r.path, r.body, "If-Match", `"1"`)
		if strings.Contains(string(a.raw), "Juncos") || a.text("type") != "/api/v1/problems/not-found" {
			t.Errorf("%s of another workshop: %s", op, a.raw)
		}
	}
}
