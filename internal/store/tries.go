package store

import (
	"context"
	"time"
)

// Limit is how many tries may be made at once, and how long each takes to come
// back.
type Limit struct {
	AtOnce int
	Every  time.Duration
}

// clockFault is by how much more than all tries take a row may lie ahead: more was
// written while a clock was wrong, and would shut people out until then. Servers' own
// clocks differ by far less. Our choice.
const clockFault = time.Hour

// Try notes another try under a name, if one is left; all servers of a database
// count together. What is kept is one time a name, that at which all tries are back:
// each try puts it off by what one takes, and none may be made that puts it off
// further than all of them take (the "generic cell rate algorithm" of ITU-T I.371,
// from memory).
func (db *DB) Try(ctx context.Context, name string, now time.Time, l Limit) (bool, error) {
	at, every := now.UnixMilli(), l.Every.Milliseconds()
	most := at + every*int64(l.AtOnce) + clockFault.Milliseconds()
	r, err := db.write.ExecContext(ctx, `
		INSERT INTO tries (name, free) VALUES ($1, $2)
		ON CONFLICT (name) DO UPDATE SET free = CASE WHEN tries.free > $3 AND tries.free <= $6 THEN tries.free ELSE $3 END + $4
		WHERE tries.free <= $5 OR tries.free > $6`, name, at+every, at, every, at+every*int64(l.AtOnce-1), most)
	if err != nil {
		return false, wrap(err)
	}
	n, err := r.RowsAffected()
	return n > 0, wrap(err)
}

// Spent says whether no try is left; asking is none.
func (db *DB) Spent(ctx context.Context, name string, now time.Time, l Limit) (bool, error) {
	var n int
	err := db.read.QueryRowContext(ctx, `SELECT count(*) FROM tries WHERE name = $1 AND free > $2 AND free <= $3`, name,
		now.Add(time.Duration(l.AtOnce-1)*l.Every).UnixMilli(), now.Add(time.Duration(l.AtOnce)*l.Every+clockFault).UnixMilli()).Scan(&n)
	return n > 0, wrap(err)
}
