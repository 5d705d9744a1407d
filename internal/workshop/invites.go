package workshop

import (
	"context"
	"crypto/rand"
	"errors"

	"urdir/check"
	"urdir/internal/store"
)

// inviteDays is how long an invitation holds.
const inviteDays = 14

// Tenant is a workshop of the server as whoever looks after the server sees it.
type Tenant struct {
	ID, Name string
	Heads    []string // the names they sign in by
	Closed   bool     // nobody may sign in
}

// Workshops lists the workshops of the server, for whoever looks after it.
func (h *House) Workshops(ctx context.Context) (out []Tenant, _ error) {
	all, err := h.db.Workshops(ctx)
	if err != nil {
		return nil, fromStore(err)
	}
	for _, w := range all {
		e := Tenant{ID: w.ID, Name: w.Name, Closed: true}
		people, err := h.db.Accounts(ctx, w.ID)
		if err != nil {
			return nil, fromStore(err)
		}
		for _, a := range people {
			e.Closed = e.Closed && a.Closed
			if a.Role == string(Head) {
				e.Heads = append(e.Heads, a.Login)
			}
		}
		out = append(out, e)
	}
	return out, nil
}

// NewWorkshop makes a workshop beside the others, for whoever looks after the
// server, and gives the key of the invitation by which its head enters.
func (h *House) NewWorkshop(ctx context.Context, workshop, name, login, lang string) (Person, string, error) {
	p, err := h.found(ctx, workshop, store.Account{Name: name, Login: login, Lang: lang}, func() string { return "" }, nil)
	if err != nil {
		return p, "", err
	}
	key, err := h.invite(ctx, p.Account)
	return p, key, err
}

// InviteLogin makes an invitation for whoever signs in by a name, for whoever
// looks after the server: the head's passphrase is lost, or stayed in the house
// when the workshop moved.
func (h *House) InviteLogin(ctx context.Context, login string) (string, error) {
	a, err := h.db.AccountByLogin(ctx, Fold(login))
	if errors.Is(err, store.ErrNotFound) {
		return "", wrong("login", "login-unknown", check.Args{"text": login})
	}
	if err != nil {
		return "", fromStore(err)
	}
	return h.invite(ctx, a.ID)
}

// Invite makes an invitation for an account of the workshop: whoever shows its key
// chooses a passphrase and enters. It holds for a fortnight, once, and ends those
// before it.
func (h *House) Invite(ctx context.Context, p Person, account string) (string, error) {
	a, err := h.account(ctx, p, "Invite", account)
	if err != nil {
		return "", err
	}
	return h.invite(ctx, a.ID)
}

func (h *House) invite(ctx context.Context, account string) (string, error) {
	key := rand.Text()
	now := h.now()
	err := errors.Join(h.db.DropKeys(ctx, account, store.InviteKey),
		h.db.PutKey(ctx, hashKey(key), account, store.InviteKey, now, now.AddDate(0, 0, inviteDays)))
	return key, fromStore(err)
}

// Invited gives whom an invitation is for.
func (h *House) Invited(ctx context.Context, key string) (Person, error) {
	a, _, err := h.db.Key(ctx, hashKey(key), store.InviteKey, h.now())
	if errors.Is(err, store.ErrNotFound) {
		return Person{}, wrong("invitation", "invitation-ended", nil)
	}
	return personOf(a), fromStore(err)
}

// AcceptInvite gives the account of an invitation the passphrase its owner chose,
// and opens a session. The invitation has ended then, and so have sessions opened
// before it.
func (h *House) AcceptInvite(ctx context.Context, key, passphrase string) (Person, string, error) {
	p, err := h.Invited(ctx, key)
	if err != nil {
		return p, "", err
	}
	var ps check.Problems
	goodPassphrase(&ps, passphrase, p.Name)
	if err = invalid(ps); err != nil {
		return Person{}, "", err
	}
	a, err := h.db.Account(ctx, p.Workshop, p.Account)
	if err != nil {
		return Person{}, "", fromStore(err)
	}
	a.Secret = hashPassphrase(passphrase)
	if err = h.db.TakeKey(ctx, hashKey(key)); errors.Is(err, store.ErrNotFound) { // someone was quicker
		return Person{}, "", wrong("invitation", "invitation-ended", nil)
	}
	if err == nil {
		err = errors.Join(h.db.PutAccount(ctx, a), h.db.DropKeys(ctx, a.ID, store.SessionKey))
	}
	if err != nil {
		return Person{}, "", fromStore(err)
	}
	session, err := h.open(ctx, a.ID)
	return p, session, err
}

// CloseWorkshop closes every account of a workshop, for whoever looks after the
// server, when it has moved to another: everything stays, and nobody enters.
func (h *House) CloseWorkshop(ctx context.Context, id string) error {
	people, err := h.db.Accounts(ctx, id)
	if err == nil && len(people) == 0 {
		return wrong("", "workshop-unknown", check.Args{"text": id})
	}
	for _, a := range people {
		a.Closed = true
		err = errors.Join(err, h.db.PutAccount(ctx, a))
		for _, use := range []string{store.SessionKey, store.CardKey, store.InviteKey, store.FeedKey, store.ShopFeedKey} {
			err = errors.Join(err, h.db.DropKeys(ctx, a.ID, use))
		}
		err = errors.Join(err, h.db.DropTokens(ctx, a.ID))
	}
	return fromStore(err)
}
