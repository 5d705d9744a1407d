package workshop

import (
	"cmp"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"strings"

	"golang.org/x/crypto/argon2"

	"urdir/check"
	"urdir/internal/store"
)

// How passphrases are hashed: argon2id with 19 MiB, two passes, one lane (the
// OWASP password storage cheat sheet's setting, from memory). Few at a time, so
// that many sign-ins cannot take all memory.
const (
	argonKiB    = 19 * 1024
	argonPasses = 2
	argonLanes  = 1
	argonLength = 32
)

var hashing = make(chan struct{}, 4)

func argon(passphrase string, salt []byte) []byte {
	hashing <- struct{}{}
	defer func() { <-hashing }()
	return argon2.IDKey([]byte(passphrase), salt, argonPasses, argonKiB, argonLanes, argonLength)
}

// hashPassphrase gives a hash in the usual written form of argon2.
func hashPassphrase(passphrase string) string {
	salt := make([]byte, 16)
	_, _ = rand.Read(salt) // never fails: see crypto/rand
	b := base64.RawStdEncoding
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, argonKiB, argonPasses, argonLanes,
		b.EncodeToString(salt), b.EncodeToString(argon(passphrase, salt)))
}

// rightPassphrase compares in constant time. A hash that is not one of ours is
// never right, but takes as long, so that names cannot be told by the clock.
func rightPassphrase(passphrase, hash string) bool {
	parts := strings.Split(hash, "$")
	salt, want := make([]byte, 16), make([]byte, argonLength)
	known := len(parts) == 6 && parts[1] == "argon2id" && parts[3] == fmt.Sprintf("m=%d,t=%d,p=%d", argonKiB, argonPasses, argonLanes)
	if known {
		s, err1 := base64.RawStdEncoding.DecodeString(parts[4])
		w, err2 := base64.RawStdEncoding.DecodeString(parts[5])
		if known = err1 == nil && err2 == nil; known {
			salt, want = s, w
		}
	}
	same := subtle.ConstantTimeCompare(argon(passphrase, salt), want) == 1
	return same && known
}

// How long things hold.
const (
	sessionDays = 30
	cardDays    = 366
)

// hashKey is what is kept of a key.
func hashKey(key string) string {
	sum := sha256.Sum256([]byte(key))
	return hex.EncodeToString(sum[:])
}

func personOf(a store.Account) Person {
	return Person{Account: a.ID, Workshop: a.Workshop, Name: a.Name, Role: Role(a.Role), Member: a.Member, Lang: a.Lang}
}

// Empty says whether there is no workshop yet: the first start.
func (h *House) Empty(ctx context.Context) (bool, error) {
	all, err := h.db.Workshops(ctx)
	return len(all) == 0, fromStore(err)
}

// SetUp makes a workshop and its head's account. Whoever calls it has shown the
// one-time link of the first start.
func (h *House) SetUp(ctx context.Context, workshop, name, login, passphrase, lang string) (Person, error) {
	var ps check.Problems
	goodPassphrase(&ps, passphrase, name, login, workshop)
	return h.found(ctx, workshop, store.Account{Name: name, Login: login, Lang: lang}, func() string { return hashPassphrase(passphrase) }, ps)
}

// found makes a workshop with the account of its head, if nothing is wrong with
// them nor was before.
func (h *House) found(ctx context.Context, workshop string, head store.Account, secret func() string, ps check.Problems) (Person, error) {
	trim(&workshop, &head.Name, &head.Login)
	named(&ps, "workshop", workshop)
	named(&ps, "name", head.Name)
	goodLogin(&ps, head.Login)
	choice(&ps, "language", head.Lang, "es", "en")
	if err := invalid(ps); err != nil {
		return Person{}, err
	}
	head.Login = Fold(head.Login)
	// Looked up before: a workshop without its head would be one nobody can enter.
	if _, err := h.db.AccountByLogin(ctx, head.Login); !errors.Is(err, store.ErrNotFound) {
		return Person{}, taken(cmp.Or(err, store.ErrExists))
	}
	head.ID, head.Workshop, head.Role, head.Secret = newID(), newID(), string(Head), secret()
	if err := h.db.MakeWorkshop(ctx, store.Workshop{ID: head.Workshop, Name: workshop}, h.now()); err != nil {
		return Person{}, fromStore(err)
	}
	if err := h.db.PutAccount(ctx, head); err != nil {
		return Person{}, taken(err)
	}
	p := personOf(head)
	set := defaultSettings(workshop, head.Lang)
	err := h.update(ctx, p, "SaveSettings", func(tx *store.Tx) error {
		_, err := settings.put(tx, Kept[Settings]{ID: settingsID, Value: set})
		return err
	})
	return p, err
}

func goodLogin(ps *check.Problems, login string) {
	if Fold(login) == "" {
		ps.Wrong("login", "field-empty", nil)
	}
	short(ps, "login", login, 60)
}

func taken(err error) error {
	if errors.Is(err, store.ErrExists) {
		return wrong("login", "login-taken", nil)
	}
	return fromStore(err)
}

// SignIn checks a name and passphrase and opens a session; key is what the
// browser is to show from then on.
func (h *House) SignIn(ctx context.Context, login, passphrase string) (p Person, key string, err error) {
	a, err := h.db.AccountByLogin(ctx, Fold(strings.TrimSpace(login)))
	if err != nil && !errors.Is(err, store.ErrNotFound) {
		return p, "", fromStore(err)
	}
	if !rightPassphrase(passphrase, a.Secret) || a.Closed {
		return p, "", wrong("passphrase", "sign-in-wrong", nil)
	}
	key, err = h.open(ctx, a.ID)
	return personOf(a), key, err
}

// open makes a session.
func (h *House) open(ctx context.Context, account string) (string, error) {
	key := rand.Text()
	now := h.now()
	err := h.db.PutKey(ctx, hashKey(key), account, store.SessionKey, now, now.AddDate(0, 0, sessionDays))
	return key, fromStore(err)
}

// Who finds the person a session belongs to; a stranger if it has ended.
func (h *House) Who(ctx context.Context, key string) (Person, error) {
	if key == "" {
		return Person{}, nil
	}
	a, _, err := h.db.Key(ctx, hashKey(key), store.SessionKey, h.now())
	if errors.Is(err, store.ErrNotFound) {
		return Person{}, nil
	}
	return personOf(a), fromStore(err)
}

// SignOut ends a session.
func (h *House) SignOut(ctx context.Context, key string) error {
	return fromStore(h.db.DropKey(ctx, hashKey(key)))
}

// SignInByCard opens a session for whoever shows a card's key.
func (h *House) SignInByCard(ctx context.Context, card string) (Person, string, error) {
	a, _, err := h.db.Key(ctx, hashKey(card), store.CardKey, h.now())
	if errors.Is(err, store.ErrNotFound) {
		return Person{}, "", wrong("card", "card-unknown", nil)
	}
	if err != nil {
		return Person{}, "", fromStore(err)
	}
	key, err := h.open(ctx, a.ID)
	return personOf(a), key, err
}

// MakeCard makes a card for an account and ends the ones before it. The key is
// shown once; only its hash is kept.
func (h *House) MakeCard(ctx context.Context, p Person, account string) (string, error) {
	if _, err := h.account(ctx, p, "MakeCard", account); err != nil {
		return "", err
	}
	key := rand.Text()
	now := h.now()
	err := errors.Join(h.db.DropKeys(ctx, account, store.CardKey),
		h.db.PutKey(ctx, hashKey(key), account, store.CardKey, now, now.AddDate(0, 0, cardDays)))
	return key, fromStore(err)
}

// DropCards ends an account's cards, and the sessions opened with them.
func (h *House) DropCards(ctx context.Context, p Person, account string) error {
	if _, err := h.account(ctx, p, "DropCards", account); err != nil {
		return err
	}
	return fromStore(errors.Join(h.db.DropKeys(ctx, account, store.CardKey), h.db.DropKeys(ctx, account, store.SessionKey)))
}

func (h *House) account(ctx context.Context, p Person, call, id string) (store.Account, error) {
	if err := allowed(p, call); err != nil {
		return store.Account{}, err
	}
	if !plain(id) {
		return store.Account{}, &Error{Code: NotFound}
	}
	a, err := h.db.Account(ctx, p.Workshop, id)
	return a, fromStore(err)
}

// Account is who may sign in, without the secret.
type Account struct {
	ID, Login, Name string
	Role            Role
	Member          string
	Lang            string
	Closed          bool
	Card            bool // signs in by card only
}

// Accounts lists the workshop's accounts.
func (h *House) Accounts(ctx context.Context, p Person) (out []Account, err error) {
	if err = allowed(p, "Accounts"); err != nil {
		return nil, err
	}
	all, err := h.db.Accounts(ctx, p.Workshop)
	for _, a := range all {
		out = append(out, Account{a.ID, a.Login, a.Name, Role(a.Role), a.Member, a.Lang, a.Closed, a.Secret == ""})
	}
	return out, fromStore(err)
}

// SaveAccount makes or changes an account; an empty passphrase leaves it as it
// is, or makes an account that signs in by card only. A head cannot shut
// herself out.
func (h *House) SaveAccount(ctx context.Context, p Person, a Account, passphrase string) (string, error) {
	if err := allowed(p, "SaveAccount"); err != nil {
		return "", err
	}
	trim(&a.Login, &a.Name)
	kept := store.Account{ID: newID(), Workshop: p.Workshop}
	if a.ID != "" {
		var err error
		if kept, err = h.account(ctx, p, "SaveAccount", a.ID); err != nil {
			return "", err
		}
	}
	var ps check.Problems
	named(&ps, "name", a.Name)
	goodLogin(&ps, a.Login)
	if passphrase != "" {
		goodPassphrase(&ps, passphrase, a.Name, a.Login)
		kept.Secret = hashPassphrase(passphrase)
	}
	if !slices.Contains(Roles, a.Role) {
		ps.Wrong("role", "value-choice", check.Args{"text": string(a.Role), "choices": "head, dyer, seller, bookkeeper, member"})
	}
	choice(&ps, "language", a.Lang, "es", "en", "")
	if a.Role == MemberRole || a.Member != "" {
		err := h.view(ctx, p, "SaveAccount", func(tx *store.Tx) error { _, err := members.get(tx, a.Member); return err })
		if CodeOf(err) == NotFound {
			ps.Wrong("member", "field-empty", nil)
		} else if err != nil {
			return "", err
		}
	}
	if a.ID == p.Account && (a.Closed || a.Role != p.Role) {
		ps.Wrong("role", "account-own", nil)
	}
	if err := invalid(ps); err != nil {
		return "", err
	}
	kept.Login, kept.Name, kept.Role, kept.Member, kept.Lang, kept.Closed = Fold(a.Login), a.Name, string(a.Role), a.Member, a.Lang, a.Closed
	if err := h.db.PutAccount(ctx, kept); err != nil {
		return "", taken(err)
	}
	if kept.Closed || passphrase != "" && a.ID != "" {
		return kept.ID, fromStore(errors.Join(h.db.DropKeys(ctx, kept.ID, store.SessionKey), h.db.DropTokens(ctx, kept.ID)))
	}
	return kept.ID, nil
}

// ChangePassphrase changes one's own passphrase. Whatever was opened with the one
// before ends, here and elsewhere; key is of a new session.
func (h *House) ChangePassphrase(ctx context.Context, p Person, old, passphrase string) (key string, _ error) {
	a, err := h.account(ctx, p, "ChangePassphrase", p.Account)
	if err != nil {
		return "", err
	}
	var ps check.Problems
	if a.Secret != "" && !rightPassphrase(old, a.Secret) {
		ps.Wrong("old", "sign-in-wrong", nil)
	}
	goodPassphrase(&ps, passphrase, a.Name, a.Login)
	if err = invalid(ps); err != nil {
		return "", err
	}
	a.Secret = hashPassphrase(passphrase)
	if err = errors.Join(h.db.PutAccount(ctx, a), h.db.DropKeys(ctx, a.ID, store.SessionKey)); err != nil {
		return "", fromStore(err)
	}
	return h.open(ctx, a.ID)
}

// SetLang keeps the language a person reads.
func (h *House) SetLang(ctx context.Context, p Person, lang string) error {
	a, err := h.account(ctx, p, "SetLang", p.Account)
	if err != nil {
		return err
	}
	var ps check.Problems
	choice(&ps, "language", lang, "es", "en")
	if err := invalid(ps); err != nil {
		return err
	}
	a.Lang = lang
	return fromStore(h.db.PutAccount(ctx, a))
}

// Sweep forgets keys that have ended, and tries that are back.
func (h *House) Sweep(ctx context.Context) error { return fromStore(h.db.DropOld(ctx, h.now())) }

// Ready says whether the database answers.
func (h *House) Ready(ctx context.Context) error { return h.db.Ping(ctx) }
