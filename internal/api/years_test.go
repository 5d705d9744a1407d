package api_test

import (
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"net/http"
	"os"
	"slices"
	"strings"
	"testing"
	"time"

	"urdir/internal/api"
	"urdir/internal/workshop"
)

var (
	days = flag.Int("days", 35, "of a workshop's clock; three years are 1095")
	seed = flag.Uint64("seed", 1, "of what happens in them")
)

// years is a workshop that is kept for years by people who know it by the API alone,
// and what they remember of it.
type years struct {
	*shop
	*memory
	r       *rand.Rand
	day     int
	now     time.Time // of the workshop's clock
	file    string
	mux     *http.ServeMux // finds which operation a request is for
	calls   map[string]string
	people  []workshop.Person // whose tokens are renewed
	members []string
	live    []*live // orders in work
	lots    map[string]string
	cloths  []string
	clients []string
	times   seconds
	counts  map[string]int
	acks    []ack // of today
	last    int   // acts in the history at the end of yesterday
}

// A workshop is kept for three years by scripted roles, through the API. At the end
// of each day books, stock, numbers, history and pay are what they must be, and what
// the people of the workshop remember; once a week everything is examined. Without the
// flag -days there are a few weeks.
func TestYears(t *testing.T) {
	y := openYears(t)
	began := time.Now()
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("on day %d, %s, of seed %d", y.day, y.now.Format(time.DateOnly), *seed)
		}
	})
	for y.day = range *days {
		y.dawn()
		if y.now.Weekday() != time.Sunday {
			y.work()
		}
		y.dusk()
	}
	y.examined()
	y.told(*days, time.Since(began))
}

func openYears(t *testing.T) *years {
	t.Helper()
	at := file(t)
	y := &years{shop: newShop(t, at), memory: newMemory(), r: rand.New(rand.NewPCG(*seed, 0)), file: at, mux: http.NewServeMux(),
		calls: api.Calls(), lots: map[string]string{}, counts: map[string]int{}}
	for pattern := range y.calls {
		y.mux.Handle(pattern, http.NotFoundHandler())
	}
	y.now = y.clock.now()
	y.people = append(y.people, y.head)
	for _, a := range must(y.house.Accounts(t.Context(), y.head)) {
		if a.ID != y.head.Account {
			y.people = append(y.people, workshop.Person{Account: a.ID, Workshop: y.head.Workshop, Name: a.Name, Role: a.Role, Member: a.Member, Lang: a.Lang})
		}
	}
	y.renew()
	y.members = append(y.members, y.member)
	y.tokens[workshop.Role(y.member)] = y.tokens[weaver]
	for i, name := range []string{"Casilda", "Delfina", "Eufemia", "Fidela", "Gumersinda"} {
		y.joined(name, fmt.Sprintf("telar%d", i))
	}
	y.last = len(must(y.house.History(t.Context(), y.head, "", "", 0)))
	return y
}

// joined has a member join. An account is made by people alone, so by the house.
func (y *years) joined(name, login string) {
	y.Helper()
	m := y.do(head, "POST", "/members", object{"name": name, "skills": []any{"weave", "lay"}, "hours": 20}).text("id")
	a := workshop.Account{Login: login, Name: name, Role: workshop.MemberRole, Lang: "es", Member: m}
	id := must(y.house.SaveAccount(y.Context(), y.head, a, "la marea sube despacio"))
	y.people = append(y.people, workshop.Person{Account: id, Workshop: y.head.Workshop, Name: name, Role: a.Role, Member: m, Lang: "es"})
	y.members = append(y.members, m)
	y.ownToken(y.people[len(y.people)-1])
}

// renew gives everybody a new token, for the year that one holds.
func (y *years) renew() {
	y.Helper()
	for _, p := range y.people {
		y.ownToken(p)
	}
}

// ownToken gives someone a token, and drops the one she had.
func (y *years) ownToken(p workshop.Person) {
	y.Helper()
	_, key, err := y.house.MakeToken(y.Context(), p, "guion", p.MayGive(), workshop.TokenDays)
	if err != nil {
		y.Fatal(err)
	}
	if p.Member != "" {
		y.tokens[workshop.Role(p.Member)] = key
	}
	if p.Member == "" || p.Member == y.member {
		y.tokens[p.Role] = key
	}
}

// dawn begins a day at eight in the morning, by the clock of the valley.
func (y *years) dawn() {
	if y.day > 0 {
		next := time.Date(y.now.Year(), y.now.Month(), y.now.Day()+1, 13, 0, 0, 0, time.UTC)
		y.clock.pass(next.Sub(y.clock.now()))
	}
	if y.now = y.clock.now(); y.day > 0 && y.day%360 == 0 {
		y.renew()
	}
}

// ack is a change that was acknowledged, as the history must have it.
type ack struct {
	act, id  string
	revision int64
}

// do asks for what must succeed, and remembers how long it took and that it was
// done. A change in twenty is asked for again, as after a line that broke: it must not be
// made again.
func (y *years) do(as workshop.Role, method, path string, body any, headers ...string) answer {
	y.Helper()
	if method == http.MethodGet {
		return y.timed(as, method, path, nil, headers...)
	}
	y.clock.pass(time.Second)
	y.counts["changes"]++
	headers = append(headers, "Idempotency-Key", fmt.Sprint("n", y.counts["changes"]))
	a := y.timed(as, method, path, body, headers...)
	if y.chance(0.05) {
		y.counts["changes asked for again"]++
		b := y.ask(as, method, path, body, headers...)
		if b.status != a.status || string(b.raw) != string(a.raw) || b.header.Get("Idempotent-Replayed") == "" {
			y.Errorf("%s %s again: %d %s, first %d %s", method, path, b.status, b.raw, a.status, a.raw)
		}
	}
	y.acknowledged(method, path, a)
	return a
}

// timed asks for what must succeed; a fault of the server or anything unforeseen ends
// the test.
func (y *years) timed(as workshop.Role, method, path string, body any, headers ...string) answer {
	y.Helper()
	began := time.Now()
	a := y.good(as, method, path, body, headers...)
	y.times.add(y.day, y.pattern(method, path), time.Since(began))
	return a
}

// pattern is the operation a request is for.
func (y *years) pattern(method, path string) string {
	r := must(http.NewRequestWithContext(y.Context(), method, "/api/v1"+path, nil))
	_, pattern := y.mux.Handler(r)
	return pattern
}

// acknowledged notes what a change answered that it had made. Moves of yarn change no
// record: they are in what is remembered of the shelf.
func (y *years) acknowledged(method, path string, a answer) {
	call := y.calls[y.pattern(method, path)]
	if slices.Contains([]string{"Receive", "Discard"}, call) {
		return
	}
	all := []any{a.v}
	if items, ok := a.at("items").([]any); ok {
		all = items
	}
	for _, v := range all {
		if o, ok := v.(object); ok && o["id"] != nil && o["revision"] != nil {
			y.acks = append(y.acks, ack{call, o["id"].(string), int64(o["revision"].(float64))})
		}
	}
}

// no asks for what must be refused, with no fault of the server.
func (y *years) no(status int, as workshop.Role, method, path string, body any, headers ...string) {
	y.Helper()
	y.counts["refused as they should be"]++
	y.refused(status, as, method, path, body, headers...)
}

func (y *years) chance(p float64) bool { return y.r.Float64() < p }

func one[T any](y *years, of []T) T { return of[y.r.IntN(len(of))] }

// ahead is a date that many days from now.
func (y *years) ahead(days int) string { return y.now.AddDate(0, 0, days).Format(time.DateOnly) }

// told says what there was of everything in those years.
func (y *years) told(days int, took time.Duration) {
	y.Helper()
	y.counts["requests"] = len(y.times)
	y.counts["acts in the history"] = y.last
	size := int64(0)
	for _, end := range []string{"", "-wal"} {
		if f, err := os.Stat(y.file + end); err == nil {
			size += f.Size()
		}
	}
	out := []string{fmt.Sprintf("%d days of seed %d: %.0f s, %.0f s of them for requests; %.1f MB", days, *seed, took.Seconds(), y.times.sum().Seconds(), float64(size)/1e6)}
	for _, n := range slices.Sorted(maps.Keys(y.counts)) {
		out = append(out, fmt.Sprintf("%8d  %s", y.counts[n], n))
	}
	y.Log(strings.Join(append(out, y.times.slowest(days)...), "\n"))
}
