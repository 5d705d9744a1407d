package store

import (
	"context"
	"errors"
	"fmt"
	"time"
)

// Token is what another program shows to work for an account.
type Token struct {
	ID, Account string
	Name        string // what its owner calls it
	Scopes      string
	Made, Ends  time.Time
	Used        time.Time // about when it was last shown; zero: never
}

// PutToken keeps a token by the hash of its key.
func (db *DB) PutToken(ctx context.Context, hash string, t Token) error {
	_, err := db.write.ExecContext(ctx, `INSERT INTO tokens (hash, id, account, name, scopes, made, ends, used) VALUES ($1, $2, $3, $4, $5, $6, $7, '')`,
		hash, t.ID, t.Account, t.Name, t.Scopes, stamp(t.Made), stamp(t.Ends))
	return wrap(err)
}

const tokenColumns = `id, account, name, scopes, made, ends, used`

func scanToken(r interface{ Scan(...any) error }) (t Token, _ error) {
	var made, ends, used string
	err := r.Scan(&t.ID, &t.Account, &t.Name, &t.Scopes, &made, &ends, &used)
	t.Made, t.Ends, t.Used = unstamp(made), unstamp(ends), unstamp(used)
	return t, wrap(err)
}

// Token finds the open account a token works for, and the token.
func (db *DB) Token(ctx context.Context, hash string, now time.Time) (a Account, t Token, err error) {
	t, err = scanToken(db.read.QueryRowContext(ctx, `SELECT `+tokenColumns+` FROM tokens WHERE hash = $1 AND ends > $2`, hash, stamp(now)))
	if err != nil {
		return a, t, err
	}
	a, err = scanAccount(db.read.QueryRowContext(ctx, `SELECT `+accountColumns+` FROM accounts WHERE id = $1 AND closed = 0`, t.Account))
	return a, t, err
}

// Tokens lists an account's tokens, the last made first.
func (db *DB) Tokens(ctx context.Context, account string) (out []Token, _ error) {
	rs, err := db.read.QueryContext(ctx, `SELECT `+tokenColumns+` FROM tokens WHERE account = $1 ORDER BY made DESC, id`, account)
	if err != nil {
		return nil, wrap(err)
	}
	defer func() { _ = rs.Close() }() // rs.Err tells what matters
	for rs.Next() {
		t, err := scanToken(rs)
		if err != nil {
			return nil, err
		}
		out = append(out, t)
	}
	return out, wrap(rs.Err())
}

// UseToken notes when a token was shown.
func (db *DB) UseToken(ctx context.Context, id string, at time.Time) error {
	return db.one(ctx, ErrNotFound, `UPDATE tokens SET used = $2 WHERE id = $1`, id, stamp(at))
}

// DropToken ends one token of an account, DropTokens all of them.
func (db *DB) DropToken(ctx context.Context, account, id string) error {
	return db.one(ctx, ErrNotFound, `DELETE FROM tokens WHERE account = $1 AND id = $2`, account, id)
}

// DropTokens is described with DropToken.
func (db *DB) DropTokens(ctx context.Context, account string) error {
	_, err := db.write.ExecContext(ctx, `DELETE FROM tokens WHERE account = $1`, account)
	return wrap(err)
}

// Given is what was answered to a change, under the key of whoever asked for it.
type Given struct {
	Account, Key string
	Digest       string // of what was asked
	At           time.Time
	Status       int
	Tag, Body    string
}

// Given finds an answer, or ErrNotFound.
func (t *Tx) Given(account, key string) (g Given, _ error) {
	var at string
	g.Account, g.Key = account, key
	err := t.tx.QueryRowContext(t.ctx, `SELECT digest, at, status, tag, body FROM answers WHERE workshop = $1 AND account = $2 AND key = $3`,
		t.workshop, account, key).Scan(&g.Digest, &at, &g.Status, &g.Tag, &g.Body)
	g.At = unstamp(at)
	return g, wrap(err)
}

// Give keeps an answer with what else the transaction writes.
func (t *Tx) Give(g Given) error {
	if t.act.What == "" {
		return errors.New("store: an answer outside Update")
	}
	_, err := t.exec(`INSERT INTO answers (workshop, account, key, digest, at, status, tag, body) VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
		t.workshop, g.Account, g.Key, g.Digest, stamp(g.At), g.Status, g.Tag, g.Body)
	if errors.Is(err, ErrExists) {
		return fmt.Errorf("answer %s: %w", g.Key, ErrExists)
	}
	return err
}

// DropGiven forgets answers from before a time.
func (t *Tx) DropGiven(before time.Time) error {
	_, err := t.exec(`DELETE FROM answers WHERE workshop = $1 AND at < $2`, t.workshop, stamp(before))
	return err
}
