package store

import (
	"context"
	"fmt"
	"time"
)

// Workshop is a workshop kept here.
type Workshop struct{ ID, Name string }

// Account is someone who may sign in.
type Account struct {
	ID, Workshop string
	Login        string // folded; unique on the server
	Name         string
	Role         string
	Member       string // the member's record, or empty
	Lang         string
	Secret       string // a passphrase's hash; empty: only by card
	Closed       bool
}

// Uses of a key.
const (
	SessionKey  = "session"
	CardKey     = "card"
	InviteKey   = "invite"
	FeedKey     = "feed"      // of one's own calendar
	ShopFeedKey = "shop-feed" // of the workshop's
)

// A key of one of these uses, followed by the name of a record, opens a page of that
// record to strangers.
const (
	LinkKey  = "link:"  // of a customer's page
	PieceKey = "piece:" // of a piece's card
)

// MakeWorkshop makes a workshop.
func (db *DB) MakeWorkshop(ctx context.Context, w Workshop, at time.Time) error {
	_, err := db.write.ExecContext(ctx, `INSERT INTO workshops (id, name, made) VALUES ($1, $2, $3)`, w.ID, w.Name, stamp(at))
	return wrap(err)
}

// RenameWorkshop gives a workshop another name.
func (db *DB) RenameWorkshop(ctx context.Context, w Workshop) error {
	return db.one(ctx, ErrNotFound, `UPDATE workshops SET name = $2 WHERE id = $1`, w.ID, w.Name)
}

// Workshops lists the workshops on this server.
func (db *DB) Workshops(ctx context.Context) (out []Workshop, err error) {
	rs, err := db.read.QueryContext(ctx, `SELECT id, name FROM workshops ORDER BY made, id`)
	if err != nil {
		return nil, wrap(err)
	}
	defer func() { _ = rs.Close() }() // rs.Err tells what matters
	for rs.Next() {
		var w Workshop
		if err := rs.Scan(&w.ID, &w.Name); err != nil {
			return nil, wrap(err)
		}
		out = append(out, w)
	}
	return out, wrap(rs.Err())
}

const accountColumns = `id, workshop, login, name, role, member, lang, secret, closed`

func scanAccount(r interface{ Scan(...any) error }) (Account, error) {
	var a Account
	var closed int64
	err := r.Scan(&a.ID, &a.Workshop, &a.Login, &a.Name, &a.Role, &a.Member, &a.Lang, &a.Secret, &closed)
	a.Closed = closed != 0
	return a, wrap(err)
}

// one runs a statement on one row, and gives the error none if there is no such
// row.
func (db *DB) one(ctx context.Context, none error, query string, args ...any) error {
	r, err := db.write.ExecContext(ctx, query, args...)
	if err != nil {
		return wrap(err)
	}
	if n, err := r.RowsAffected(); err != nil || n != 0 {
		return wrap(err)
	}
	return none
}

// PutAccount makes or changes an account. A login someone else has is ErrExists,
// and so is the id of another workshop's account.
func (db *DB) PutAccount(ctx context.Context, a Account) error {
	closed := 0
	if a.Closed {
		closed = 1
	}
	return db.one(ctx, ErrExists, `
		INSERT INTO accounts (`+accountColumns+`) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)
		ON CONFLICT (id) DO UPDATE SET login = $3, name = $4, role = $5, member = $6, lang = $7, secret = $8, closed = $9
		WHERE accounts.workshop = $2`,
		a.ID, a.Workshop, a.Login, a.Name, a.Role, a.Member, a.Lang, a.Secret, closed)
}

// AccountByLogin finds who signs in by a name.
func (db *DB) AccountByLogin(ctx context.Context, login string) (Account, error) {
	return scanAccount(db.read.QueryRowContext(ctx, `SELECT `+accountColumns+` FROM accounts WHERE login = $1`, login))
}

// Account finds an account of a workshop.
func (db *DB) Account(ctx context.Context, workshop, id string) (Account, error) {
	return scanAccount(db.read.QueryRowContext(ctx, `SELECT `+accountColumns+` FROM accounts WHERE workshop = $1 AND id = $2`, workshop, id))
}

// Accounts lists a workshop's accounts by name.
func (db *DB) Accounts(ctx context.Context, workshop string) (out []Account, err error) {
	rs, err := db.read.QueryContext(ctx, `SELECT `+accountColumns+` FROM accounts WHERE workshop = $1 ORDER BY name, id`, workshop)
	if err != nil {
		return nil, wrap(err)
	}
	defer func() { _ = rs.Close() }() // rs.Err tells what matters
	for rs.Next() {
		a, err := scanAccount(rs)
		if err != nil {
			return nil, err
		}
		out = append(out, a)
	}
	return out, wrap(rs.Err())
}

// PutKey keeps the hash of a key until it ends.
func (db *DB) PutKey(ctx context.Context, hash, account, use string, made, ends time.Time) error {
	_, err := db.write.ExecContext(ctx, `INSERT INTO keys (hash, account, use, made, ends) VALUES ($1, $2, $3, $4, $5)`,
		hash, account, use, stamp(made), stamp(ends))
	return wrap(err)
}

// Key finds the open account a key of some use belongs to, and when the key
// ends.
func (db *DB) Key(ctx context.Context, hash, use string, now time.Time) (Account, time.Time, error) {
	var ends string
	var a Account
	var closed int64
	err := db.read.QueryRowContext(ctx, `
		SELECT a.id, a.workshop, a.login, a.name, a.role, a.member, a.lang, a.secret, a.closed, k.ends
		FROM keys k JOIN accounts a ON a.id = k.account
		WHERE k.hash = $1 AND k.use = $2 AND k.ends > $3 AND a.closed = 0`, hash, use, stamp(now)).
		Scan(&a.ID, &a.Workshop, &a.Login, &a.Name, &a.Role, &a.Member, &a.Lang, &a.Secret, &closed, &ends)
	return a, unstamp(ends), wrap(err)
}

// HasKey says whether an account has a key of some use that has not ended.
func (db *DB) HasKey(ctx context.Context, account, use string, now time.Time) (bool, error) {
	var n int
	err := db.read.QueryRowContext(ctx, `SELECT COUNT(*) FROM keys WHERE account = $1 AND use = $2 AND ends > $3`, account, use, stamp(now)).Scan(&n)
	return n > 0, wrap(err)
}

// DropKey forgets one key, DropKeys all of an account's of some use, DropOld
// those that have ended, and tries that are back.
func (db *DB) DropKey(ctx context.Context, hash string) error {
	_, err := db.write.ExecContext(ctx, `DELETE FROM keys WHERE hash = $1`, hash)
	return wrap(err)
}

// PageKey finds the workshop and the use of a key that opens a page to strangers. A
// workshop nobody enters any more shows none.
func (db *DB) PageKey(ctx context.Context, hash string, now time.Time) (workshop, use string, err error) {
	err = db.read.QueryRowContext(ctx, `
		SELECT a.workshop, k.use FROM keys k JOIN accounts a ON a.id = k.account
		WHERE k.hash = $1 AND k.ends > $2 AND EXISTS (SELECT 1 FROM accounts o WHERE o.workshop = a.workshop AND o.closed = 0)`, hash, stamp(now)).
		Scan(&workshop, &use)
	return workshop, use, wrap(err)
}

// DropPages forgets every key of a workshop of some use, whoever made it.
func (db *DB) DropPages(ctx context.Context, workshop, use string) error {
	_, err := db.write.ExecContext(ctx, `DELETE FROM keys WHERE use = $2 AND account IN (SELECT id FROM accounts WHERE workshop = $1)`, workshop, use)
	return wrap(err)
}

// TakeKey forgets a key that must be there, so that it is used once: ErrNotFound
// if it is not.
func (db *DB) TakeKey(ctx context.Context, hash string) error {
	return db.one(ctx, ErrNotFound, `DELETE FROM keys WHERE hash = $1`, hash)
}

// DropKeys is described with DropKey.
func (db *DB) DropKeys(ctx context.Context, account, use string) error {
	_, err := db.write.ExecContext(ctx, `DELETE FROM keys WHERE account = $1 AND use = $2`, account, use)
	return wrap(err)
}

// DropOld is described with DropKey.
func (db *DB) DropOld(ctx context.Context, now time.Time) error {
	_, err := db.write.ExecContext(ctx, `DELETE FROM keys WHERE ends <= $1`, stamp(now))
	if err == nil {
		_, err = db.write.ExecContext(ctx, `DELETE FROM tries WHERE free <= $1`, now.UnixMilli())
	}
	return wrap(err)
}

// PutFile keeps a file under a name of its own.
func (t *Tx) PutFile(id, kind string, body []byte) error {
	if body == nil {
		body = []byte{} // an empty file, not NULL
	}
	n, err := t.exec(`INSERT INTO files (workshop, id, type, body) VALUES ($1, $2, $3, $4) ON CONFLICT DO NOTHING`, t.workshop, id, kind, body)
	if err == nil && n == 0 {
		err = fmt.Errorf("file %s: %w", id, ErrExists)
	}
	return err
}

// DropFile takes a file away; it may be gone already.
func (t *Tx) DropFile(id string) error {
	_, err := t.exec(`DELETE FROM files WHERE workshop = $1 AND id = $2`, t.workshop, id)
	return err
}

// File gives a file, or ErrNotFound.
func (t *Tx) File(id string) (kind string, body []byte, err error) {
	err = t.tx.QueryRowContext(t.ctx, `SELECT type, body FROM files WHERE workshop = $1 AND id = $2`, t.workshop, id).Scan(&kind, &body)
	if err != nil {
		return "", nil, fmt.Errorf("file %s: %w", id, wrap(err))
	}
	return kind, body, nil
}
