package store

import (
	"errors"
	"fmt"
	"time"
)

// Telling is something a telephone told under a key of its own, and what came of
// it.
type Telling struct {
	Account, Key string
	Device       string // empty: a form, which counts nothing
	N            int64  // which of the device's tellings
	Digest       string // of what was told
	At           time.Time
	Taken        bool
	Said         string // why it was refused
}

// Telling finds what was told under a key, or ErrNotFound.
func (t *Tx) Telling(account, key string) (g Telling, _ error) {
	var at string
	g.Account, g.Key = account, key
	err := t.tx.QueryRowContext(t.ctx, `SELECT device, n, digest, at, taken <> 0, said FROM tellings WHERE workshop = $1 AND account = $2 AND key = $3`,
		t.workshop, account, key).Scan(&g.Device, &g.N, &g.Digest, &at, &g.Taken, &g.Said)
	g.At = unstamp(at)
	return g, wrap(err)
}

// LastTelling is the highest number of a device's tellings; 0 before the first.
func (t *Tx) LastTelling(account, device string) (n int64, err error) {
	err = t.tx.QueryRowContext(t.ctx, `SELECT coalesce(max(n), 0) FROM tellings WHERE workshop = $1 AND account = $2 AND device = $3`,
		t.workshop, account, device).Scan(&n)
	return n, wrap(err)
}

// TakeTelling keeps what came of a telling, with what else the transaction writes;
// ErrExists if its key is there.
func (t *Tx) TakeTelling(g Telling) error {
	if t.act.What == "" {
		return errors.New("store: a telling outside Update")
	}
	taken := 0
	if g.Taken {
		taken = 1
	}
	_, err := t.exec(`INSERT INTO tellings (workshop, account, key, device, n, digest, at, taken, said) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)`,
		t.workshop, g.Account, g.Key, g.Device, g.N, g.Digest, stamp(g.At), taken, g.Said)
	if errors.Is(err, ErrExists) {
		return fmt.Errorf("telling %s: %w", g.Key, ErrExists)
	}
	return err
}

// DropTellings forgets what came before a time; DropTellingsOf all of an account's.
func (t *Tx) DropTellings(before time.Time) error {
	_, err := t.exec(`DELETE FROM tellings WHERE workshop = $1 AND at < $2`, t.workshop, stamp(before))
	return err
}

// DropTellingsOf is described with DropTellings.
func (t *Tx) DropTellingsOf(account string) error {
	_, err := t.exec(`DELETE FROM tellings WHERE workshop = $1 AND account = $2`, t.workshop, account)
	return err
}
