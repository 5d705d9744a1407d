package workshop

import (
	"context"
	"time"

	"urdir/internal/store"
)

// TriesAtOnce is how many tries may be made at once.
const TriesAtOnce = 10

// tries is how often anything that could be guessed may be tried.
var tries = store.Limit{AtOnce: TriesAtOnce, Every: 6 * time.Second}

// Try says whether another try may be made now, by each of those named, and counts
// it; a name says what is counted, such as "from 192.0.2.1" or "login rosa". Only
// its hash is kept, and all servers of one database count together.
func (h *House) Try(ctx context.Context, whose ...string) (bool, error) {
	all := true
	for _, w := range whose {
		ok, err := h.db.Try(ctx, hashKey("try "+w), h.now(), tries)
		if err != nil {
			return false, fromStore(err)
		}
		all = all && ok
	}
	return all, nil
}

// Tried says whether no more tries may be made now; asking is none.
func (h *House) Tried(ctx context.Context, whose string) (bool, error) {
	spent, err := h.db.Spent(ctx, hashKey("try "+whose), h.now(), tries)
	return spent, fromStore(err)
}
