package web

import (
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"urdir/internal/workshop"
)

// shown is the value of a field that a page shows.
func shown(body, field string) string {
	m := regexp.MustCompile(`id="` + field + `" value="([^"]+)"`).FindStringSubmatch(body)
	if m == nil {
		return ""
	}
	return m[1]
}

// A token is made, shown once, works, and is ended by its owner alone.
func TestTokens_madeAndEnded(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	bad := s.post("/me/tokens", "seller", pairs("name", "caja", "days", "month"))
	s.want("for nothing", bad, http.StatusUnprocessableEntity)
	if !strings.Contains(bad.body, `value="caja"`) {
		t.Error("what was typed is gone")
	}
	s.want("more than she may", s.post("/me/tokens", "seller", pairs("name", "caja", "days", "month", "area-yarn", "write")), http.StatusUnprocessableEntity)
	page := s.post("/me/tokens", "seller", pairs("name", "caja", "days", "month", "area-orders", "read"))
	key := shown(page.body, "f-key")
	s.want("made", page, http.StatusOK)
	p, token, err := s.house.WhoBy(ctx, key)
	if err != nil || p.Account != s.people["seller"].Account || p.Scopes != "orders:read" {
		t.Fatalf("%+v %v", p, err)
	}
	if again := s.get("/me/tokens", "seller"); strings.Contains(again.body, key) || !strings.Contains(again.body, "caja") {
		t.Error("the key is shown again, or the token is not in the list")
	}
	s.want("another's", s.post("/me/tokens/drop", "head", pairs("token", token.ID)), http.StatusSeeOther)
	if p, _, _ = s.house.WhoBy(ctx, key); p.Workshop == "" {
		t.Fatal("someone else has ended it")
	}
	s.want("ended", s.post("/me/tokens/drop", "seller", pairs("token", token.ID)), http.StatusSeeOther)
	if p, _, _ = s.house.WhoBy(ctx, key); p.Workshop != "" {
		t.Error("it still opens")
	}
	s.noFaults()
}

// An address is written down, its secret shown once and changed, a trial sent, and
// one that rests is woken from the errand on the first page.
func TestHooks_page(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.want("no address", s.post("/settings/hooks/new", "head", pairs("url", "ftp://x")), http.StatusUnprocessableEntity)
	page := s.post("/settings/hooks/new", "head", pairs("name", "Caja", "url", "https://caja.example/", "events", "order.done"))
	first := shown(page.body, "f-secret")
	all, err := s.house.Hooks(ctx, s.people["head"])
	i := slices.IndexFunc(all.Items, func(k workshop.Kept[workshop.Hook]) bool { return k.Value.Name == "Caja" })
	if err != nil || first == "" || i < 0 {
		t.Fatalf("%v: secret %q, %+v", err, first, all.Items)
	}
	at := "/settings/hooks/" + all.Items[i].ID
	if strings.Contains(s.get(at, "head").body, first) {
		t.Error("the secret is shown again")
	}
	turned := s.post(at+"/secret", "head", pairs("revision", "1"))
	if second := shown(turned.body, "f-secret"); second == "" || second == first {
		t.Errorf("new secret %q", second)
	}
	s.want("a trial", s.post(at+"/try", "head", nil), http.StatusSeeOther)
	letters, err := s.house.Letters(ctx, s.people["head"].Workshop)
	if err != nil || len(letters) != 1 {
		t.Fatalf("%d letters, %v", len(letters), err)
	}
	if !strings.Contains(s.get(at, "head").body, "una prueba") {
		t.Error("the trial is not in the log")
	}
	k, _, err := s.house.Hook(ctx, s.people["head"], all.Items[i].ID)
	if err != nil {
		t.Fatal(err)
	}
	k.Value.State = workshop.HookRests
	if _, _, err = s.house.SaveHook(ctx, s.people["head"], k); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(s.get("/", "head").body, at) || strings.Contains(s.get("/", "seller").body, at) {
		t.Error("the first page does not lead the head to it, or others")
	}
	for _, do := range []string{"/wake", "/drop"} {
		k, _, err = s.house.Hook(ctx, s.people["head"], k.ID)
		if err != nil {
			t.Fatal(err)
		}
		s.want(do, s.post(at+do, "head", pairs("revision", strconv.FormatInt(k.Revision, 10))), http.StatusSeeOther)
	}
	s.want("not there", s.get(at, "head"), http.StatusNotFound)
	s.noFaults()
}
