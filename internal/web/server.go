package web

import (
	"context"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"mime"
	"net/http"
	"net/url"
	"path"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"time"

	"urdir/internal/care"
	"urdir/internal/lang"
	"urdir/internal/workshop"
)

//go:embed static
var static embed.FS

// Options say how a server behaves.
type Options struct {
	Log      *slog.Logger
	StartKey string       // shown once in the terminal; makes the head's account on the first start
	Secure   bool         // cookies only over TLS
	Address  string       // under which telephones on the same network reach it, for the QR
	Demo     string       // in a demo: the login and passphrase to show at sign-in
	Care     *care.Server // what looks after the server; without it the pages on keeping are not there
}

// server is everything handlers need.
type server struct {
	house  *workshop.House
	opt    Options
	pages  pages
	assets map[string]asset
	// pictures is held by whoever takes a picture apart.
	pictures sync.Mutex
	looks    looks
	mux      *http.ServeMux
}

// New makes the handler of all pages.
func New(house *workshop.House, o Options) (http.Handler, error) {
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	s := &server{house: house, opt: o}
	var err error
	if s.pages, err = readPages(); err != nil {
		return nil, err
	}
	if s.assets, err = readAssets(); err != nil {
		return nil, err
	}
	mux := http.NewServeMux()
	s.mux = mux
	for _, r := range s.routes() {
		mux.Handle(r.pattern, s.handle(r))
	}
	mux.HandleFunc("GET /static/{name...}", s.static)
	mux.HandleFunc("GET /worker.js", s.worker)
	mux.HandleFunc("GET /healthz", alive)
	mux.HandleFunc("GET /readyz", s.ready)
	guard := http.NewCrossOriginProtection()
	guard.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.fail(w, r, s.stranger(r), http.StatusForbidden, "error-cross-origin")
	}))
	return s.outer(guard.Handler(mux)), nil
}

// asset is a file of the browser's, with a name that changes with its content.
type asset struct {
	body   []byte
	kind   string
	tag    string
	packed bool   // gzip
	small  []byte // gzip of body, if that is shorter
}

func readAssets() (map[string]asset, error) {
	out := map[string]asset{}
	err := fs.WalkDir(static, "static", func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		body, err := static.ReadFile(p)
		if err != nil {
			return err
		}
		kind := mime.TypeByExtension(path.Ext(p))
		if strings.HasSuffix(p, ".woff2") {
			kind = "font/woff2"
		}
		name, packed := strings.CutSuffix(strings.TrimPrefix(p, "static/"), ".gz")
		if strings.HasSuffix(name, ".wasm") {
			kind = "application/wasm"
		}
		out[name] = asset{body, kind, tagOf(body), packed, smaller(name, body, packed)}
		return nil
	})
	tagStyles(out)
	return out, err
}

func tagOf(body []byte) string {
	sum := sha256.Sum256(body)
	return hex.EncodeToString(sum[:6])
}

// named is a file as the styles name it.
var named = regexp.MustCompile(`url\("([^"]+)"\)`)

// tagStyles has the styles name their files with their tags, so that browsers ask
// for each once.
func tagStyles(all map[string]asset) {
	for name, a := range all {
		if path.Ext(name) != ".css" {
			continue
		}
		a.body = named.ReplaceAllFunc(a.body, func(m []byte) []byte {
			file := string(named.FindSubmatch(m)[1])
			return []byte(`url("` + file + `?v=` + all[file].tag + `")`)
		})
		a.tag, a.small = tagOf(a.body), pack(a.body)
		all[name] = a
	}
}

// smaller packs what is text.
func smaller(name string, body []byte, packed bool) []byte {
	if packed || !slices.Contains([]string{".css", ".js", ".svg"}, path.Ext(name)) {
		return nil
	}
	return pack(body)
}

func (s *server) static(w http.ResponseWriter, r *http.Request) {
	a, ok := s.assets[r.PathValue("name")]
	if !ok {
		s.fail(w, r, s.stranger(r), http.StatusNotFound, "error-not-found")
		return
	}
	if r.URL.Query().Get("v") == a.tag {
		w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
		a.send(w, r)
		return
	}
	a.ifOther(w, r)
}

// ifOther sends a file whose name stays the same: it is asked for again each time,
// and not sent again if it is the same.
func (a asset) ifOther(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Cache-Control", "no-cache")
	w.Header().Set("ETag", `"`+a.tag+`"`)
	if r.Header.Get("If-None-Match") == `"`+a.tag+`"` {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	a.send(w, r)
}

func (a asset) send(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", a.kind)
	if a.small != nil {
		w.Header().Set("Vary", "Accept-Encoding")
		if strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
			w.Header().Set("Content-Encoding", "gzip")
			_, _ = w.Write(a.small) // the browser went away
			return
		}
	}
	if a.packed { // every browser that runs it unpacks it
		w.Header().Set("Content-Encoding", "gzip")
	}
	_, _ = w.Write(a.body) // the browser went away
}

// alive answers whoever asks whether the program runs.
func alive(w http.ResponseWriter, _ *http.Request) {
	_, _ = fmt.Fprintln(w, "ok") // whoever asked went away
}

// ready answers whoever asks whether requests may be sent here.
func (s *server) ready(w http.ResponseWriter, r *http.Request) {
	ctx, cancel := context.WithTimeout(r.Context(), 2*time.Second)
	defer cancel()
	if err := s.house.Ready(ctx); err != nil {
		http.Error(w, "the database does not answer", http.StatusServiceUnavailable)
		return
	}
	_, _ = fmt.Fprintln(w, "ok") // whoever asked went away
}

// policy is what a page may load, and which scripts it may run.
func policy(scripts string) string {
	return "default-src 'none'; style-src 'self'; img-src 'self'; font-src 'self'; " + scripts + "; " +
		"connect-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
}

// Bodies are bounded: no page sends more than a cloth file and some fields.
const maxBody = 2 << 20

// maxAddress bounds an address; no page links to one half as long.
const maxAddress = 4000

// outer is around everything: headers, bounds, and faults of the program, which the visitor sees as a number only.
func (s *server) outer(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy("script-src 'self'"))
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		if s.opt.Secure {
			h.Set("Strict-Transport-Security", "max-age=31536000")
		}
		r.Body = http.MaxBytesReader(w, r.Body, bodyLimit(r.URL.Path))
		defer func() {
			if v := recover(); v != nil {
				s.opt.Log.ErrorContext(r.Context(), "panic", "path", cleanPath(r.URL.Path), "value", v, "stack", string(debug.Stack()))
				s.fail(w, r, s.stranger(r), http.StatusInternalServerError, "error-fault")
			}
		}()
		next.ServeHTTP(w, r)
	})
}

// cleanPath leaves keys out of the log.
func cleanPath(p string) string {
	for _, secret := range []string{"/card/", "/start/", "/invite/", "/feed/", "/c/"} {
		if strings.HasPrefix(p, secret) {
			return secret + "..."
		}
	}
	return p
}

// handle runs a route: who is it, may she, then the handler; its error becomes
// a page.
func (s *server) handle(r route) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, req *http.Request) {
		v, err := s.visit(w, req)
		if query, bad := url.QueryUnescape(req.URL.RawQuery); err == nil && (bad != nil || len(req.RequestURI) > maxAddress || !plain(req.URL.Path+query)) {
			err = &workshop.Error{Code: workshop.NotFound}
		}
		if err == nil && r.call != "" {
			switch {
			case v.Person.Workshop == "":
				s.toSignIn(w, req)
				return
			case !v.Person.May(r.call):
				err = &workshop.Error{Code: workshop.Denied}
			}
		}
		if err == nil {
			err = r.do(v)
		}
		if err != nil {
			s.trouble(w, req, v, err)
		}
	})
}

// toSignIn sends a stranger to sign in, and back where she wanted to be.
func (s *server) toSignIn(w http.ResponseWriter, r *http.Request) {
	to := "/signin"
	if r.Method == http.MethodGet && r.URL.Path != "/" {
		to += "?to=" + escape(r.URL.RequestURI())
	}
	http.Redirect(w, r, to, http.StatusSeeOther)
}

// statuses gives an error of the workshop its status and words.
var statuses = map[workshop.Code]struct {
	status int
	words  string
}{
	workshop.Invalid:  {http.StatusUnprocessableEntity, "error-invalid"},
	workshop.NotFound: {http.StatusNotFound, "error-not-found"},
	workshop.Conflict: {http.StatusConflict, "error-conflict"},
	workshop.Denied:   {http.StatusForbidden, "error-denied"},
	workshop.Away:     {http.StatusServiceUnavailable, "error-away"},
}

// trouble turns an error into a page.
func (s *server) trouble(w http.ResponseWriter, r *http.Request, v *visit, err error) {
	if _, ok := errors.AsType[*http.MaxBytesError](err); ok {
		s.fail(w, r, v, http.StatusRequestEntityTooLarge, "error-too-big")
		return
	}
	if errors.Is(err, context.Canceled) {
		return // nobody is there to read it
	}
	if st, ok := statuses[workshop.CodeOf(err)]; ok {
		if e, ok := errors.AsType[*workshop.Error](err); ok {
			v.Problems = e.Problems
		}
		s.fail(w, r, v, st.status, st.words)
		return
	}
	s.opt.Log.ErrorContext(r.Context(), "fault", "path", cleanPath(r.URL.Path), "error", err)
	s.fail(w, r, v, http.StatusInternalServerError, "error-fault")
}

// fail shows an error page.
func (s *server) fail(w http.ResponseWriter, _ *http.Request, v *visit, status int, words string) {
	v.Title = v.T("error-title")
	v.Data = words
	v.w = w
	w.Header().Del("Content-Disposition")
	if err := s.render(v, status, "error"); err != nil {
		http.Error(w, v.T(words), status)
	}
}

// stranger is a visit before anything is known of the visitor.
func (s *server) stranger(r *http.Request) *visit {
	w, err := lang.For(browserLanguage(r))
	if err != nil {
		w, _ = lang.For("en") // which is always there
	}
	return &visit{s: s, r: r, Words: w}
}

// browserLanguage is Spanish for those who read it, English for all others.
func browserLanguage(r *http.Request) string {
	if c, err := r.Cookie("lang"); err == nil && (c.Value == "es" || c.Value == "en") {
		return c.Value
	}
	for part := range strings.SplitSeq(r.Header.Get("Accept-Language"), ",") {
		tag, _, _ := strings.Cut(strings.TrimSpace(part), ";")
		switch base, _, _ := strings.Cut(strings.ToLower(tag), "-"); base {
		case "es", "ca", "gl", "eu", "qu", "nah", "arn", "gn", "ay":
			return "es"
		case "en":
			return "en"
		}
	}
	return "en"
}
