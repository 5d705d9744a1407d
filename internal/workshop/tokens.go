package workshop

import (
	"context"
	"crypto/rand"
	"errors"
	"slices"
	"strings"
	"time"

	"urdir/check"
	"urdir/internal/store"
)

// Token is what another program shows to work for someone.
type Token = store.Token

const (
	// TokenDays is how long a token holds at most.
	TokenDays = 366
	// mostTokens is how many tokens one person has at most.
	mostTokens = 50
	// usedEvery is how often it is noted that a token was used: not at every call.
	usedEvery = time.Minute
	// tokenPrefix begins every token, so that one that got into a text is found there.
	tokenPrefix = "urdir_"
)

// Tokens lists a person's own tokens, the last made first.
func (h *House) Tokens(ctx context.Context, p Person) ([]Token, error) {
	a, err := h.account(ctx, p, "Tokens", p.Account)
	if err != nil {
		return nil, err
	}
	out, err := h.db.Tokens(ctx, a.ID)
	return out, fromStore(err)
}

// MakeToken makes a token for so many days, for some of what its owner may do. The
// key is shown once; only its hash is kept.
func (h *House) MakeToken(ctx context.Context, p Person, name string, scopes []string, days int) (t Token, key string, _ error) {
	a, err := h.account(ctx, p, "MakeToken", p.Account)
	if err != nil {
		return t, "", err
	}
	trim(&name)
	var ps check.Problems
	named(&ps, "name", name)
	if days < 1 || days > TokenDays {
		ps.Wrong("days", "out-of-range", check.Args{"value": days, "low": 1, "high": TokenDays})
	}
	mine := p.MayGive()
	for _, s := range scopes {
		choice(&ps, "scopes", s, mine...)
	}
	if len(scopes) == 0 {
		ps.Wrong("scopes", "field-empty", nil)
	}
	have, err := h.db.Tokens(ctx, a.ID)
	if len(have) >= mostTokens {
		ps.Wrong("", "parts-too-many", check.Args{"count": len(have) + 1, "most": mostTokens})
	}
	if err = errors.Join(fromStore(err), invalid(ps)); err != nil {
		return t, "", err
	}
	scopes = slices.Compact(slices.Sorted(slices.Values(scopes)))
	now := h.now()
	t = Token{ID: newID(), Account: a.ID, Name: name, Scopes: strings.Join(scopes, " "), Made: now, Ends: now.AddDate(0, 0, days)}
	key = tokenPrefix + strings.ToLower(rand.Text())
	return t, key, fromStore(h.db.PutToken(ctx, hashKey(key), t))
}

// DropToken ends one of a person's own tokens.
func (h *House) DropToken(ctx context.Context, p Person, id string) error {
	a, err := h.account(ctx, p, "DropToken", p.Account)
	if err != nil {
		return err
	}
	if !plain(id) {
		return &Error{Code: NotFound}
	}
	return fromStore(h.db.DropToken(ctx, a.ID, id))
}

// WhoBy finds the person a token works for, with what it may do, and the token; a
// stranger if it has ended.
func (h *House) WhoBy(ctx context.Context, key string) (p Person, t Token, _ error) {
	if !strings.HasPrefix(key, tokenPrefix) {
		return p, t, nil
	}
	a, t, err := h.db.Token(ctx, hashKey(key), h.now())
	if errors.Is(err, store.ErrNotFound) {
		return p, t, nil
	}
	if err != nil {
		return p, t, fromStore(err)
	}
	p = personOf(a)
	p.Scopes = t.Scopes
	if h.now().Sub(t.Used) >= usedEvery {
		t.Used = h.now()
		err = h.db.UseToken(ctx, t.ID, t.Used)
		if errors.Is(err, store.ErrNotFound) { // dropped in this moment
			return Person{}, t, nil
		}
	}
	return p, t, fromStore(err)
}
