package web

import (
	"crypto/subtle"
	"net/http"
	"strings"

	"urdir/internal/workshop"
)

func lookPage(v *visit) error { return v.page("look", "Look", nil) }

func nothingHere(*visit) error { return &workshop.Error{Code: workshop.NotFound} }

// startPage is the first page of a new server, behind the link from the
// terminal.
func startPage(v *visit) error {
	if err := v.startKey(); err != nil {
		return err
	}
	return v.page("start", v.T("start-title"), nil)
}

// startKey checks the one-time key; it is of no use once there is a workshop.
func (v *visit) startKey() error {
	empty, err := v.s.house.Empty(v.r.Context())
	if err != nil {
		return err
	}
	key := v.s.opt.StartKey
	if !empty || key == "" || subtle.ConstantTimeCompare([]byte(v.r.PathValue("key")), []byte(key)) != 1 {
		return &workshop.Error{Code: workshop.NotFound}
	}
	return nil
}

func start(v *visit) error {
	if err := v.startKey(); err != nil {
		return err
	}
	f, err := v.read()
	if err != nil {
		return err
	}
	_, err = v.s.house.SetUp(v.r.Context(), f.text("workshop"), f.text("name"), f.text("login"), f.text("passphrase"), v.Words.Base)
	if err != nil {
		return v.again(err, "start", v.T("start-title"), nil)
	}
	_, key, err := v.s.house.SignIn(v.r.Context(), f.text("login"), f.text("passphrase"))
	if err != nil {
		return err
	}
	v.remember(key)
	return v.to("/", "started")
}

func signInPage(v *visit) error {
	empty, err := v.s.house.Empty(v.r.Context())
	if err != nil {
		return err
	}
	return v.page("signin", v.T("sign-in"), signInView{v.r.URL.Query().Get("to"), empty, v.s.opt.Demo})
}

type signInView struct {
	To    string
	Empty bool
	Demo  string
}

func signIn(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	view := signInView{To: f.text("to"), Demo: v.s.opt.Demo}
	if err = v.mayTry(f, "passphrase", "from "+from(v.r), "login "+workshop.Fold(f.text("login"))); err != nil {
		return v.again(err, "signin", v.T("sign-in"), view)
	}
	_, key, err := v.s.house.SignIn(v.r.Context(), f.text("login"), f.text("passphrase"))
	if err != nil {
		return v.again(err, "signin", v.T("sign-in"), view)
	}
	v.remember(key)
	return v.to(safePath(view.To), "")
}

// safePath lets only addresses of this server through.
func safePath(p string) string {
	if !strings.HasPrefix(p, "/") || strings.HasPrefix(p, "//") || strings.ContainsFunc(p, misread) {
		return "/"
	}
	return p
}

// misread says whether browsers take a character for another or leave it out, and
// so may see an address of another server: "/\t/elsewhere".
func misread(r rune) bool { return r == '\\' || r < ' ' || r == 0x7f }

// remember gives the browser its session.
func (v *visit) remember(key string) {
	http.SetCookie(v.w, &http.Cookie{Name: "urdir", Value: key, Path: "/", HttpOnly: true, Secure: v.s.opt.Secure,
		SameSite: http.SameSiteLaxMode, MaxAge: 30 * 24 * 3600})
}

func signOut(v *visit) error {
	if c, err := v.r.Cookie("urdir"); err == nil {
		if err := v.s.house.SignOut(v.r.Context(), c.Value); err != nil {
			return err
		}
	}
	http.SetCookie(v.w, &http.Cookie{Name: "urdir", Path: "/", HttpOnly: true, Secure: v.s.opt.Secure, SameSite: http.SameSiteLaxMode, MaxAge: -1})
	return v.to("/signin", "signed-out")
}

// cardPage asks whoever shows a card to go in: a page, and not the link itself,
// opens the session, so that a preview of the link opens none.
func cardPage(v *visit) error { return v.page("card", v.T("card-title"), nil) }

func cardIn(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	if err = v.mayTry(f, "card", "from "+from(v.r)); err != nil {
		return v.again(err, "card", v.T("card-title"), nil)
	}
	_, key, err := v.s.house.SignInByCard(v.r.Context(), v.r.PathValue("key"))
	if err != nil {
		return v.again(err, "card", v.T("card-title"), nil)
	}
	v.remember(key)
	return v.to("/", "")
}

// language changes the language of the pages, for a stranger in a cookie.
func language(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	to := f.text("lang")
	if to != "es" && to != "en" {
		return &workshop.Error{Code: workshop.NotFound}
	}
	http.SetCookie(v.w, &http.Cookie{Name: "lang", Value: to, Path: "/", HttpOnly: true, Secure: v.s.opt.Secure,
		SameSite: http.SameSiteLaxMode, MaxAge: 365 * 24 * 3600})
	if v.Person.Workshop != "" {
		if err := v.s.house.SetLang(v.r.Context(), v.Person, to); err != nil {
			return err
		}
	}
	return v.to(safePath(f.text("to")), "")
}

func mePage(v *visit) error { return v.page("me", v.T("me"), nil) }

func changePassphrase(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	if err = v.mayTry(f, "old", "own "+v.Person.Account); err != nil {
		return v.again(err, "me", v.T("me"), nil)
	}
	session, err := v.s.house.ChangePassphrase(v.r.Context(), v.Person, f.text("old"), f.text("passphrase"))
	if err != nil {
		return v.again(err, "me", v.T("me"), nil)
	}
	v.remember(session)
	return v.to("/me", "passphrase")
}
