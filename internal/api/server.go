package api

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"mime"
	"net/http"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"golang.org/x/time/rate"

	"urdir/check"
	"urdir/internal/lang"
	"urdir/internal/workshop"
)

// prefix is where everything stands.
const prefix = "/api/v1"

// Limits of what is asked.
const (
	maxBody = 1 << 20
	maxKey  = 200
	maxText = 4000 // of an address
)

// Options say how a server behaves.
type Options struct {
	Log *slog.Logger
	// Rate is how many requests a second one token may make, and Burst how many at
	// once; zero: UsualRate and UsualBurst.
	Rate  float64
	Burst int
}

// UsualRate and UsualBurst are what Options are: our own choice; more than any shop's own program needs, and too
// few to keep others waiting.
const (
	UsualRate  = 50
	UsualBurst = 200
)

type server struct {
	house  *workshop.House
	log    *slog.Logger
	limits limiter
	docs   func() (documents, error) // written when first asked for: most servers never are
}

// New makes the handler of everything under /api/v1/.
func New(house *workshop.House, o Options) http.Handler {
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	if o.Rate == 0 {
		o.Rate, o.Burst = UsualRate, UsualBurst
	}
	s := &server{house: house, log: o.Log, limits: limiter{every: rate.Limit(o.Rate), burst: o.Burst},
		docs: sync.OnceValues(func() (documents, error) { return describe(ops()) })}
	mux := http.NewServeMux()
	methods := map[string][]string{}
	for _, o := range ops() {
		mux.Handle(o.method+" "+prefix+o.path, s.handle(&o))
		methods[o.path] = append(methods[o.path], o.method)
	}
	for path, allowed := range methods {
		if slices.Contains(allowed, http.MethodGet) {
			allowed = append(allowed, http.MethodHead)
		}
		slices.Sort(allowed)
		mux.Handle(prefix+path, s.wrong(http.StatusMethodNotAllowed, "method", strings.Join(allowed, ", ")))
	}
	mux.HandleFunc("GET "+prefix+"/openapi.json", s.document)
	mux.HandleFunc("GET "+prefix+"/openapi.yaml", s.document)
	mux.Handle("/", s.wrong(http.StatusNotFound, "not-found", ""))
	return s.outer(mux)
}

// wrong answers an address that is not there, or not with this method.
func (s *server) wrong(status int, name, allow string) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if allow != "" {
			w.Header().Set("Allow", allow)
		}
		s.fail(w, r, nil, &trouble{status: status, name: name})
	})
}

// outer is around everything: headers, bounds and faults of the program.
func (s *server) outer(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Cache-Control", "private, no-cache")
		h.Set("Vary", "Authorization, Accept-Language")
		r.Body = http.MaxBytesReader(w, r.Body, maxBody)
		defer func() {
			if v := recover(); v != nil {
				s.log.Error("panic", "path", r.URL.Path, "value", v, "stack", string(debug.Stack()))
				s.fail(w, r, nil, errors.New("panic"))
			}
		}()
		if len(r.RequestURI) > maxText {
			s.fail(w, r, nil, &trouble{status: http.StatusNotFound, name: "not-found"})
			return
		}
		next.ServeHTTP(w, r)
	})
}

// speak is the language someone reads.
func speak(r *http.Request) *lang.Words {
	base := "en"
	for part := range strings.SplitSeq(r.Header.Get("Accept-Language"), ",") {
		tag, _, _ := strings.Cut(strings.TrimSpace(part), ";")
		if l, _, _ := strings.Cut(strings.ToLower(tag), "-"); slices.Contains(lang.Languages, l) {
			base = l
			break
		}
	}
	w, err := lang.For(base)
	if err != nil {
		panic(err) // the languages are those of the program
	}
	return w
}

// handle runs an operation.
func (s *server) handle(o *op) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		reply, err := s.answer(o, r)
		if err != nil {
			if !errors.Is(err, context.Canceled) {
				s.fail(w, r, o, err)
			}
			return
		}
		s.write(w, r, o, reply)
	})
}

// answer finds out who asks and for what, and does it.
func (s *server) answer(o *op, r *http.Request) (reply workshop.Reply, _ error) {
	a, err := s.who(o, r)
	if err != nil {
		return reply, err
	}
	if ps := checkQuery(r.URL.Query(), o.query); ps.Failed() {
		return reply, &workshop.Error{Code: workshop.Invalid, Problems: ps}
	}
	if o.method == http.MethodGet {
		return o.reply(a)
	}
	raw, err := a.read(o)
	if err != nil {
		return reply, err
	}
	ask := workshop.Asker{Workshop: a.person.Workshop, Account: a.person.Account, Key: r.Header.Get("Idempotency-Key")}
	if len(ask.Key) > maxKey || strings.ContainsFunc(ask.Key, func(c rune) bool { return c < ' ' || c > '~' }) {
		return reply, &trouble{status: http.StatusBadRequest, name: "key", args: check.Args{"most": maxKey}}
	}
	sum := sha256.New()
	for _, part := range []string{r.Method, r.URL.RequestURI(), r.Header.Get("If-Match"), string(raw)} {
		fmt.Fprintf(sum, "%d %s", len(part), part)
	}
	ask.Digest = hex.EncodeToString(sum.Sum(nil))
	return s.house.Once(r.Context(), ask, func(ctx context.Context) (workshop.Reply, error) {
		in := *a
		in.Request = r.WithContext(ctx)
		return o.reply(&in)
	})
}

// who finds out who asks, and whether she may.
func (s *server) who(o *op, r *http.Request) (*asked, error) {
	key, ok := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer ")
	if !ok {
		return nil, &trouble{status: http.StatusUnauthorized, name: "token"}
	}
	p, t, err := s.house.WhoBy(r.Context(), strings.TrimSpace(key))
	if err != nil {
		return nil, err
	}
	if p.Workshop == "" {
		return nil, &trouble{status: http.StatusUnauthorized, name: "token"}
	}
	if wait := s.limits.wait(t.ID, time.Now()); wait > 0 {
		return nil, &trouble{status: http.StatusTooManyRequests, name: "often", wait: wait}
	}
	if !p.InScope(o.call) {
		return nil, &trouble{status: http.StatusForbidden, name: "scope", args: check.Args{"scope": workshop.ScopeFor(o.call)}}
	}
	if !p.May(o.call) {
		return nil, &workshop.Error{Code: workshop.Denied}
	}
	return &asked{Request: r, house: s.house, person: p, words: speak(r)}, nil
}

// read reads what was sent, and which version of the thing is meant.
func (a *asked) read(o *op) (raw []byte, _ error) {
	raw, err := io.ReadAll(a.Body)
	if err != nil {
		return nil, err
	}
	if match := a.Header.Get("If-Match"); match != "" && o.match != matchNone {
		a.revision, err = versionIn(match)
		if err != nil {
			return nil, err
		}
	}
	if o.match == matchMust && a.revision == 0 {
		return nil, &trouble{status: http.StatusPreconditionRequired, name: "unread"}
	}
	if o.in == nil {
		if len(bytes.TrimSpace(raw)) > 0 && string(bytes.TrimSpace(raw)) != "{}" {
			return nil, &trouble{status: http.StatusBadRequest, name: "no-body"}
		}
		return raw, nil
	}
	if kind, _, bad := mime.ParseMediaType(a.Header.Get("Content-Type")); bad != nil || kind != "application/json" {
		return nil, &trouble{status: http.StatusUnsupportedMediaType, name: "media"}
	}
	var ps check.Problems
	if a.body, ps = readBody(raw, o.in); ps.Failed() {
		if ps[0].Code == "api-not-json" {
			return nil, &trouble{status: http.StatusBadRequest, name: "json", args: ps[0].Args}
		}
		return nil, &workshop.Error{Code: workshop.Invalid, Problems: ps}
	}
	return raw, nil
}

// reply does what is asked, and gives what is answered to it.
func (o *op) reply(a *asked) (workshop.Reply, error) {
	v, err := o.do(a)
	if err != nil {
		return workshop.Reply{}, err
	}
	reply := workshop.Reply{Status: http.StatusOK}
	switch {
	case o.out == nil:
		return workshop.Reply{Status: http.StatusNoContent}, nil
	case o.text != "":
		reply.Body = fmt.Sprint(v)
	default:
		body, err := json.Marshal(v)
		if err != nil {
			return reply, fmt.Errorf("%s: %w", o.id, err)
		}
		reply.Body = string(body)
	}
	if o.method == http.MethodPost && o.match == matchNone {
		reply.Status = http.StatusCreated
	}
	sum := sha256.Sum256([]byte(reply.Body))
	reply.Tag = `"` + hex.EncodeToString(sum[:8]) + `"`
	if k, ok := v.(kept); ok && k.version() > 0 {
		reply.Tag = fmt.Sprintf(`"%d-%s"`, k.version(), hex.EncodeToString(sum[:4]))
	}
	return reply, nil
}

// kept is what has a version.
type kept interface{ version() int64 }

// versionIn is the version that If-Match names: the part before the dash of the ETag.
func versionIn(match string) (int64, error) {
	text, quoted := strings.CutPrefix(match, `"`)
	text, _, _ = strings.Cut(strings.TrimSuffix(text, `"`), "-")
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < 1 || !quoted {
		return 0, &trouble{status: http.StatusPreconditionFailed, name: "changed"}
	}
	return n, nil
}

// write writes an answer.
func (s *server) write(w http.ResponseWriter, r *http.Request, o *op, reply workshop.Reply) {
	h := w.Header()
	if reply.Again {
		h.Set("Idempotent-Replayed", "true")
	}
	if reply.Tag != "" {
		h.Set("ETag", reply.Tag)
	}
	if o.pages {
		var p Page[json.RawMessage]
		if json.Unmarshal([]byte(reply.Body), &p) == nil && p.Next != "" {
			q := r.URL.Query()
			q.Set("cursor", p.Next)
			h.Set("Link", fmt.Sprintf(`<%s?%s>; rel="next"`, r.URL.Path, q.Encode()))
		}
	}
	if o.method == http.MethodGet && slices.Contains(strings.Split(strings.ReplaceAll(r.Header.Get("If-None-Match"), " ", ""), ","), reply.Tag) {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	if reply.Status != http.StatusNoContent {
		h.Set("Content-Type", o.media())
	}
	w.WriteHeader(reply.Status)
	_, _ = io.WriteString(w, reply.Body) // whoever asked went away
}

// media is the type of an operation's answer.
func (o *op) media() string {
	if o.text != "" {
		return o.text
	}
	return "application/json"
}
