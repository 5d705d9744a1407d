package workshop

import (
	"encoding/base64"
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"golang.org/x/crypto/argon2"
)

const phrase = "nueve garzas blancas"

// setUp makes a workshop as the first start does.
func setUp(tb testing.TB, address string) (*House, *clock, Person) {
	tb.Helper()
	h, c := opened(tb, address)
	return h, c, must(h.SetUp(ctx, "Taller del Estero", "Amaranta Quiroz", " Ámaranta ", phrase, "es"))
}

// The written form of argon2 hashes: algorithm, version, memory in KiB, passes
// and lanes, salt and hash in base64 without padding (the reference
// implementation's encoding, from memory); at least 19 MiB, 2 passes, 1 lane
// (OWASP password storage cheat sheet, from memory).
func TestHash_form(t *testing.T) {
	hash := hashPassphrase(phrase)
	m := regexp.MustCompile(`^\$argon2id\$v=19\$m=19456,t=2,p=1\$([A-Za-z0-9+/]{22})\$([A-Za-z0-9+/]{43})$`).FindStringSubmatch(hash)
	if m == nil {
		t.Fatalf("hash: %s", hash)
	}
	salt, key := must(base64.RawStdEncoding.DecodeString(m[1])), must(base64.RawStdEncoding.DecodeString(m[2]))
	if want := argon2.IDKey([]byte(phrase), salt, 2, 19456, 1, 32); !cmp.Equal(key, want) {
		t.Error("the hash is not argon2id of the passphrase and its salt")
	}
	if hashPassphrase(phrase) == hash {
		t.Error("two hashes of one passphrase have the same salt")
	}
	if !rightPassphrase(phrase, hash) || rightPassphrase(phrase+" ", hash) {
		t.Error("the right passphrase is wrong, or a wrong one right")
	}
}

func TestHash_notOurs(t *testing.T) {
	good := hashPassphrase(phrase)
	parts := strings.Split(good, "$")
	join := func(salt, key string) string { return strings.Join(append(parts[:4:4], salt, key), "$") }
	zero := base64.RawStdEncoding.EncodeToString(argon(phrase, make([]byte, 16)))
	for name, hash := range map[string]string{
		"none":           "",
		"the phrase":     phrase,
		"other setting":  strings.Replace(good, "t=2", "t=1", 1),
		"other variant":  strings.Replace(good, "argon2id", "argon2i", 1),
		"no key":         join(parts[4], ""),
		"part of a key":  join(parts[4], parts[5][:20]),
		"no base64":      join("*", parts[5]),
		"key not base64": join(base64.RawStdEncoding.EncodeToString(make([]byte, 16)), zero+"*"),
		"six empty":      "$$$$$",
	} {
		if rightPassphrase(phrase, hash) {
			t.Errorf("%s: %q is taken for a hash of the phrase", name, hash)
		}
	}
}

func TestSignIn(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		h, _, head := setUp(t, address)
		for _, login := range []string{"amaranta", "ÁMARANTA", "Amaranta  ", "a\u0301maranta"} {
			p, key, err := h.SignIn(ctx, login, phrase)
			if err != nil || key == "" || p.Account != head.Account || p.Role != Head || p.Workshop != head.Workshop {
				t.Errorf("sign in as %q: %+v, %v", login, p, err)
			}
			if w := must(h.Who(ctx, key)); w != p {
				t.Errorf("who: got %+v, want %+v", w, p)
			}
		}
		_, _, unknown := h.SignIn(ctx, "nadie", phrase)
		_, key, wrong := h.SignIn(ctx, "amaranta", "otra frase larga")
		wantProblem(t, "wrong passphrase", wrong, "passphrase", "sign-in-wrong")
		if !cmp.Equal(problems(unknown), problems(wrong)) || key != "" {
			t.Errorf("unknown login: %v; wrong passphrase: %v; key %q: want the same, and none", unknown, wrong, key)
		}
		for _, login := range []string{"", "\x00", "nadie\x00", "\xff", strings.Repeat("x", 1e5)} {
			_, _, err := h.SignIn(ctx, login, phrase)
			wantProblem(t, "sign in as "+login[:min(len(login), 8)], err, "passphrase", "sign-in-wrong")
		}
		for _, key := range []string{"", "x", "\x00", "\xff"} {
			if p, err := h.Who(ctx, key); err != nil || p != (Person{}) {
				t.Errorf("who has key %q: %+v, %v, want a stranger", key, p, err)
			}
			_, _, err := h.SignInByCard(ctx, key)
			wantProblem(t, "card "+key, err, "card", "card-unknown")
		}
	})
}

func problems(err error) any {
	var e *Error
	if !errors.As(err, &e) {
		return err
	}
	return e.Problems
}

// Names cannot be told by the clock: SignIn reckons a hash before it looks at
// anything else, and rightPassphrase reckons one whatever the hash is.
func TestSignIn_reckonsAlways(t *testing.T) {
	f, err := parser.ParseFile(token.NewFileSet(), "people.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	// calls says whether a function calls another outside any if, switch or
	// loop but for the condition of an if.
	calls := func(in, of string) (found bool) {
		for _, d := range f.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok || fn.Name.Name != in {
				continue
			}
			for _, st := range fn.Body.List {
				var part ast.Node = st
				if branch, ok := st.(*ast.IfStmt); ok {
					if b, ok := branch.Cond.(*ast.BinaryExpr); ok { // a || b: b may not be reckoned
						part = b.X
					}
				}
				ast.Inspect(part, func(n ast.Node) bool {
					if c, ok := n.(*ast.CallExpr); ok {
						if name, ok := c.Fun.(*ast.Ident); ok && name.Name == of {
							found = true
						}
					}
					return true
				})
			}
		}
		return found
	}
	if !calls("SignIn", "rightPassphrase") {
		t.Error("SignIn does not compare the passphrase first, whoever signs in")
	}
	if !calls("rightPassphrase", "argon") {
		t.Error("rightPassphrase does not reckon a hash in any case")
	}
}

func TestSessions_end(t *testing.T) {
	h, clock, head := setUp(t, file(t))
	_, first, _ := h.SignIn(ctx, "amaranta", phrase)
	clock.pass(10 * 24 * time.Hour)
	_, second, _ := h.SignIn(ctx, "amaranta", phrase)
	is := func(key string) bool { return must(h.Who(ctx, key)) == head }
	clock.pass(20*24*time.Hour - time.Second)
	if !is(first) || !is(second) {
		t.Error("a session ended before its thirty days")
	}
	clock.pass(time.Second)
	if is(first) || !is(second) {
		t.Error("the first session did not end after thirty days, or the second did")
	}
	must(0, h.Sweep(ctx))
	if !is(second) {
		t.Error("sweeping ended a session that goes on")
	}
	must(0, h.SignOut(ctx, second))
	if is(second) {
		t.Error("signed out and still in")
	}
}

func TestAccounts_save(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		h, _, head := setUp(t, address)
		m := must(h.SaveMember(ctx, head, Kept[Member]{Value: Member{Name: "Benita"}}))
		seller := Account{Login: "Saturnina", Name: "Saturnina", Role: Seller, Lang: "es"}
		seller.ID = must(h.SaveAccount(ctx, head, seller, phrase))
		_, key, err := h.SignIn(ctx, "saturnina", phrase)
		if err != nil {
			t.Fatal(err)
		}
		for _, a := range must(h.Accounts(ctx, head)) {
			if a.ID == seller.ID && (a.Login != "saturnina" || a.Role != Seller || a.Card || a.Closed) {
				t.Errorf("kept: %+v", a)
			}
		}
		good := Account{Login: "nueva", Name: "Nueva", Role: Dyer, Lang: "es"}
		for name, c := range map[string]struct {
			change     func(a *Account)
			phrase     string
			path, code string
		}{
			"taken":                   {func(a *Account) { a.Login = "SATURNÍNA" }, phrase, "login", "login-taken"},
			"no login":                {func(a *Account) { a.Login = " " }, phrase, "login", "field-empty"},
			"a login of accents only": {func(a *Account) { a.Login = "\u0301\u0301" }, phrase, "login", "field-empty"},
			"long login":              {func(a *Account) { a.Login = strings.Repeat("x", 61) }, phrase, "login", "text-long"},
			"login with a NUL":        {func(a *Account) { a.Login = "a\x00b" }, phrase, "login", "file-not-text"},
			"no name":                 {func(a *Account) { a.Name = "" }, phrase, "name", "field-empty"},
			"no role":                 {func(a *Account) { a.Role = "" }, phrase, "role", "value-choice"},
			"another role":            {func(a *Account) { a.Role = "owner" }, phrase, "role", "value-choice"},
			"a member of nobody":      {func(a *Account) { a.Role = MemberRole }, phrase, "member", "field-empty"},
			"a member there is not":   {func(a *Account) { a.Role, a.Member = MemberRole, "nadie" }, phrase, "member", "field-empty"},
			"another language":        {func(a *Account) { a.Lang = "\x00" }, phrase, "language", "value-choice"},
			"short":                   {func(*Account) {}, "nueve gar", "passphrase", "passphrase-short"},
			"long":                    {func(*Account) {}, strings.Repeat("x", 201), "passphrase", "text-long"},
		} {
			a := good
			c.change(&a)
			_, err = h.SaveAccount(ctx, head, a, c.phrase)
			wantProblem(t, name, err, c.path, c.code)
		}
		if n := len(must(h.Accounts(ctx, head))); n != 2 {
			t.Errorf("accounts: got %d, want 2: what was refused was kept", n)
		}
		lost := good
		lost.ID = "nadie"
		_, err = h.SaveAccount(ctx, head, lost, "")
		wantCode(t, "an account that is not", err, NotFound)

		// A head cannot shut herself out.
		own := Account{ID: head.Account, Login: "amaranta", Name: "Amaranta", Role: Head, Lang: "es"}
		for _, change := range []func(a *Account){func(a *Account) { a.Closed = true }, func(a *Account) { a.Role = Dyer }} {
			a := own
			change(&a)
			_, err = h.SaveAccount(ctx, head, a, "")
			wantProblem(t, "shutting herself out", err, "role", "account-own")
		}
		if _, err = h.SaveAccount(ctx, head, own, ""); err != nil {
			t.Errorf("her own account: %v", err)
		}

		// Without a passphrase the old one stays; a new one ends the sessions.
		seller.Name = "Saturnina Ledo"
		must(h.SaveAccount(ctx, head, seller, ""))
		if p := must(h.Who(ctx, key)); p.Name != "Saturnina Ledo" {
			t.Errorf("who after a new name: %+v", p)
		}
		must(h.SaveAccount(ctx, head, seller, "otra frase larga"))
		if p := must(h.Who(ctx, key)); p != (Person{}) {
			t.Errorf("a new passphrase leaves the session of the old: %+v", p)
		}
		if _, key, err = h.SignIn(ctx, "saturnina", "otra frase larga"); err != nil {
			t.Fatal(err)
		}
		seller.Closed = true
		must(h.SaveAccount(ctx, head, seller, ""))
		if p := must(h.Who(ctx, key)); p != (Person{}) {
			t.Errorf("closed, and still in: %+v", p)
		}
		_, _, err = h.SignIn(ctx, "saturnina", "otra frase larga")
		wantProblem(t, "a closed account", err, "passphrase", "sign-in-wrong")

		member := Account{Login: "benita", Name: "Benita", Role: MemberRole, Member: m.ID, Lang: "es"}
		member.ID = must(h.SaveAccount(ctx, head, member, ""))
		_, _, err = h.SignIn(ctx, "benita", "")
		wantProblem(t, "no passphrase, by an account with a card only", err, "passphrase", "sign-in-wrong")
	})
}

func TestCards(t *testing.T) {
	h, clock, head := setUp(t, file(t))
	m := must(h.SaveMember(ctx, head, Kept[Member]{Value: Member{Name: "Benita"}}))
	a := Account{Login: "benita", Name: "Benita", Role: MemberRole, Member: m.ID, Lang: "es"}
	a.ID = must(h.SaveAccount(ctx, head, a, ""))
	opens := func(card string) (session string) {
		p, session, err := h.SignInByCard(ctx, card)
		if err != nil {
			wantProblem(t, "card", err, "card", "card-unknown")
			return ""
		}
		if p.Member != m.ID || must(h.Who(ctx, session)) != p {
			t.Errorf("the card opens for %+v", p)
		}
		return session
	}
	first := must(h.MakeCard(ctx, head, a.ID))
	session := opens(first)
	if session == "" || opens(first) == "" {
		t.Fatal("a card does not open, or opens only once")
	}
	if must(h.Who(ctx, first)) != (Person{}) || opens(session) != "" {
		t.Error("a card is taken for a session, or a session for a card")
	}
	second := must(h.MakeCard(ctx, head, a.ID))
	if opens(first) != "" || opens(second) == "" {
		t.Error("a new card: the one before opens, or it does not")
	}
	must(0, h.DropCards(ctx, head, a.ID))
	if opens(second) != "" {
		t.Error("a dropped card opens")
	}
	if must(h.Who(ctx, session)) != (Person{}) {
		t.Error("a dropped card's session goes on")
	}
	third := must(h.MakeCard(ctx, head, a.ID))
	clock.pass(366*24*time.Hour - time.Second)
	if opens(third) == "" {
		t.Error("a card ended before its year")
	}
	clock.pass(time.Second)
	if opens(third) != "" {
		t.Error("a card opens after its year")
	}
	fourth := must(h.MakeCard(ctx, head, a.ID))
	a.Closed = true
	must(h.SaveAccount(ctx, head, a, ""))
	if opens(fourth) != "" {
		t.Error("a closed account's card opens")
	}
	_, err := h.MakeCard(ctx, head, "nadie")
	wantCode(t, "a card for nobody", err, NotFound)
	wantCode(t, "cards of nobody", h.DropCards(ctx, head, "nadie"), NotFound)
}

func TestOwnAccount(t *testing.T) {
	h, _, head := setUp(t, file(t))
	_, elsewhere, err := h.SignIn(ctx, "amaranta", phrase)
	if err != nil {
		t.Fatal(err)
	}
	_, err = h.ChangePassphrase(ctx, head, "otra frase larga", "tercera frase larga")
	wantProblem(t, "wrong old one", err, "old", "sign-in-wrong")
	_, err = h.ChangePassphrase(ctx, head, phrase, "corta")
	wantProblem(t, "short new one", err, "passphrase", "passphrase-short")
	if must(h.Who(ctx, elsewhere)).Account != head.Account {
		t.Error("nothing was changed, and a session ended")
	}
	here := must(h.ChangePassphrase(ctx, head, phrase, "tercera frase larga"))
	if must(h.Who(ctx, elsewhere)).Account != "" || must(h.Who(ctx, here)).Account != head.Account {
		t.Error("a session elsewhere goes on, or the new one does not")
	}
	if _, _, err = h.SignIn(ctx, "amaranta", phrase); err == nil {
		t.Error("the old passphrase opens")
	}
	_, key, err := h.SignIn(ctx, "amaranta", "tercera frase larga")
	if err != nil {
		t.Fatal(err)
	}
	must(0, h.SetLang(ctx, head, "en"))
	if p := must(h.Who(ctx, key)); p.Lang != "en" {
		t.Errorf("language: got %q, want en", p.Lang)
	}
	wantProblem(t, "another language", h.SetLang(ctx, head, "xx\x00"), "language", "value-choice")
}

func TestSetUp(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		h, _ := opened(t, address)
		if !must(h.Empty(ctx)) {
			t.Error("an empty database is not empty")
		}
		for name, c := range map[string]struct{ workshop, person, login, phrase, lang, path, code string }{
			"no workshop": {"", "A", "a", phrase, "es", "workshop", "field-empty"},
			"no name":     {"T", " ", "a", phrase, "es", "name", "field-empty"},
			"no login":    {"T", "A", "", phrase, "es", "login", "field-empty"},
			"NUL":         {"T\x00", "A", "a", phrase, "es", "workshop", "file-not-text"},
			"short":       {"T", "A", "a", "corta", "es", "passphrase", "passphrase-short"},
			"language":    {"T", "A", "a", phrase, "xx", "language", "value-choice"},
		} {
			_, err := h.SetUp(ctx, c.workshop, c.person, c.login, c.phrase, c.lang)
			wantProblem(t, name, err, c.path, c.code)
		}
		if !must(h.Empty(ctx)) {
			t.Error("what was refused made a workshop")
		}
		p := must(h.SetUp(ctx, "Taller", "Amaranta", "amaranta", phrase, "es"))
		if must(h.Empty(ctx)) || must(h.Settings(ctx, p)).Value.Name != "Taller" {
			t.Error("set up, and still empty or without its name")
		}
		_, err := h.SetUp(ctx, "Otro", "Otra", "AMARANTA", phrase, "es")
		wantProblem(t, "a login that is taken", err, "login", "login-taken")
		if all := must(h.db.Workshops(ctx)); len(all) != 1 {
			t.Errorf("a workshop nobody can enter was made: %v", all)
		}
		w := must(h.db.Workshops(ctx))[0]
		if w.Name != "Taller" {
			t.Errorf("workshop: %+v", w)
		}
	})
}
