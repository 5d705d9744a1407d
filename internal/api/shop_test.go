package api_test

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"net/http"
	"net/http/httptest"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"urdir/internal/api"
	"urdir/internal/store"
	"urdir/internal/store/pgtest"
	"urdir/internal/workshop"
)

// onBoth runs a test on an empty SQLite file and on an empty PostgreSQL database.
func onBoth(t *testing.T, test func(t *testing.T, address string)) {
	t.Helper()
	t.Run("SQLite", func(t *testing.T) { test(t, file(t)) })
	t.Run("PostgreSQL", func(t *testing.T) { test(t, pgtest.Start(t)) })
}

func file(tb testing.TB) string { return filepath.Join(tb.TempDir(), "urdir.db") }

// clock stands until it is told to go on.
type clock struct {
	mu sync.Mutex
	at time.Time
}

func (c *clock) now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.at
}

func (c *clock) pass(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at = c.at.Add(d)
}

// shop is a workshop behind a running server, with a token for everyone in it.
type shop struct {
	*testing.T
	house  *workshop.House
	clock  *clock
	url    string
	head   workshop.Person
	tokens map[workshop.Role]string
	member string // the weaver's record
	seen   func(method, path string, status int, header http.Header, sent, got []byte)
	done   func(as workshop.Role, method, path string, body any, headers []string) answer // in place of ask, for what must succeed
}

// opened gives a house on a database, with a clock of its own.
func opened(tb testing.TB, address string) (*workshop.House, *clock) {
	tb.Helper()
	db := must(store.Open(context.Background(), address))
	tb.Cleanup(func() {
		if err := db.Close(); err != nil {
			tb.Error(err)
		}
	})
	c := &clock{at: time.Date(2031, time.May, 6, 12, 0, 0, 0, time.UTC)}
	return workshop.New(db, c.now), c
}

// newShop makes a workshop with someone in every role, and serves it.
func newShop(t *testing.T, address string) *shop {
	t.Helper()
	house, c := opened(t, address)
	s := addShop(t, house, "amaranta")
	s.clock = c
	s.serve(house, api.Options{Rate: 1e6, Burst: 1e6})
	return s
}

// serve has the shop's requests go to a server of a house.
func (s *shop) serve(house *workshop.House, o api.Options) {
	s.Helper()
	server := httptest.NewServer(api.New(house, o))
	s.Cleanup(server.Close)
	s.url = server.URL
}

// addShop adds a workshop to a house.
func addShop(t *testing.T, house *workshop.House, login string) *shop {
	t.Helper()
	ctx := t.Context()
	s := &shop{T: t, house: house, tokens: map[workshop.Role]string{}}
	s.head = must(house.SetUp(ctx, "Taller del Estero", "Amaranta", login, "la marea sube despacio", "es"))
	set := must(house.Settings(ctx, s.head))
	set.Value.Pots = []workshop.Pot{{Name: "Olla grande", Litres: 60}}
	must(house.SaveSettings(ctx, s.head, set))
	s.member = must(house.SaveMember(ctx, s.head, workshop.Kept[workshop.Member]{Value: workshop.Member{Name: "Benita", Skills: []string{"weave", "lay"}, Hours: 20, Reach: "por la mañana"}})).ID
	for _, r := range workshop.Roles {
		p := s.head
		if r != workshop.Head {
			a := workshop.Account{Login: login + "." + string(r), Name: string(r), Role: r, Lang: "es"}
			if r == workshop.MemberRole {
				a.Member = s.member
			}
			id := must(house.SaveAccount(ctx, s.head, a, "la marea sube despacio"))
			p = workshop.Person{Account: id, Workshop: s.head.Workshop, Name: a.Name, Role: r, Member: a.Member, Lang: "es"}
		}
		s.tokens[r] = s.token(p, p.MayGive()...)
	}
	return s
}

// token makes a token.
func (s *shop) token(p workshop.Person, scopes ...string) string {
	s.Helper()
	_, key, err := s.house.MakeToken(s.Context(), p, "prueba", scopes, 90)
	if err != nil {
		s.Fatal(err)
	}
	return key
}

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// answer is what came back.
type answer struct {
	status int
	header http.Header
	raw    []byte
	v      any // of JSON
}

// at finds a value in the answer: "items.0.id".
func (a answer) at(path string) any {
	v := a.v
	for part := range strings.SplitSeq(path, ".") {
		switch x := v.(type) {
		case map[string]any:
			v = x[part]
		case []any:
			if i := int(part[0] - '0'); len(part) == 1 && i < len(x) {
				v = x[i]
			} else {
				return nil
			}
		default:
			return nil
		}
	}
	return v
}

func (a answer) text(path string) string {
	s, _ := a.at(path).(string)
	return s
}

func (a answer) number(path string) float64 {
	n, _ := a.at(path).(float64)
	return n
}

// ask makes a request as a role, or with a token; headers come in pairs.
func (s *shop) ask(as workshop.Role, method, path string, body any, headers ...string) answer {
	s.Helper()
	return s.askAt(s.url, as, method, path, body, headers...)
}

func (s *shop) askAt(url string, as workshop.Role, method, path string, body any, headers ...string) answer {
	s.Helper()
	var sent []byte
	switch b := body.(type) {
	case nil:
	case string:
		sent = []byte(b)
	default:
		sent = must(json.Marshal(b))
	}
	r := must(http.NewRequestWithContext(s.Context(), method, url+"/api/v1"+path, bytes.NewReader(sent)))
	key, ok := s.tokens[as]
	if !ok {
		key = string(as)
	}
	r.Header.Set("Authorization", "Bearer "+key)
	if sent != nil {
		r.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	w, err := http.DefaultClient.Do(r)
	if err != nil {
		s.Fatal(err)
	}
	defer func() { _ = w.Body.Close() }()
	a := answer{status: w.StatusCode, header: w.Header, raw: must(io.ReadAll(w.Body))}
	if strings.Contains(w.Header.Get("Content-Type"), "json") {
		if err := json.Unmarshal(a.raw, &a.v); err != nil {
			s.Fatalf("%s %s: %v in %s", method, path, err, a.raw)
		}
	}
	if s.seen != nil {
		s.seen(method, path, a.status, a.header, sent, a.raw)
	}
	return a
}

// good is ask for what must succeed.
func (s *shop) good(as workshop.Role, method, path string, body any, headers ...string) answer {
	s.Helper()
	do := func(as workshop.Role, method, path string, body any, headers []string) answer {
		return s.ask(as, method, path, body, headers...)
	}
	if s.done != nil {
		do = s.done
	}
	a := do(as, method, path, body, headers)
	if a.status/100 != 2 {
		s.Fatalf("%s %s as %s: %d %s", method, path, as, a.status, a.raw)
	}
	return a
}

// refused is ask for what must fail.
func (s *shop) refused(status int, as workshop.Role, method, path string, body any, headers ...string) answer {
	s.Helper()
	a := s.ask(as, method, path, body, headers...)
	if a.status != status {
		s.Errorf("%s %s as %s: %d, want %d: %s", method, path, as, a.status, status, a.raw)
	}
	return a
}

type object = map[string]any
