package workshop

import (
	"context"
	"encoding/json"
	"time"

	"urdir/check"
	"urdir/internal/store"
)

// Examined is what a look at everything a workshop keeps found.
type Examined struct {
	store.Faults                // in English, for whoever looks after the server
	Agreement    check.Problems // of the journal, and of it with the books of material
	Plans        check.Problems // of plans that orders were confirmed with
	Frozen       int            // how many of those there are
	Last         time.Time      // when the last thing was done
}

// Examine looks at everything a workshop keeps, for whoever looks after the
// server.
func (h *House) Examine(ctx context.Context, workshop string) (out Examined, _ error) {
	err := h.db.View(ctx, workshop, func(tx *store.Tx) (err error) {
		if out.Faults, err = tx.Examine(); err != nil {
			return err
		}
		gaps, err := tx.Gaps()
		if err != nil {
			return err
		}
		out.History = append(out.History, gaps...)
		if out.Last, err = tx.LastAct(); err != nil {
			return err
		}
		if out.Agreement, err = auditBooks(tx); err != nil {
			return err
		}
		return h.examinePlans(tx, &out)
	})
	return out, fromStore(err)
}

// examinePlans plans every order that was confirmed once more, of the sheet it
// was confirmed with, and compares what comes out with the plan that was kept.
func (h *House) examinePlans(tx *store.Tx, out *Examined) error {
	all, err := frozens.list(tx, Page{}, false)
	out.Frozen = len(all.Items)
	for _, f := range all.Items {
		o, failed := orders.get(tx, f.Value.Order)
		switch {
		case missing(failed):
			out.Plans.Wrong("", "plan-of-nothing", check.Args{"id": f.ID})
			continue
		case failed != nil:
			return failed
		case !json.Valid([]byte(f.Value.Plan)):
			out.Plans.Wrong("", "plan-unreadable", check.Args{"order": o.Value.Number})
			continue
		}
		made := h.plans.plan(f.Value.Sheet)
		body, failed := json.Marshal(made.Plan)
		if failed != nil {
			return failed
		}
		if made.Failed() || string(body) != f.Value.Plan {
			out.Plans.Wrong("", "plan-differs", check.Args{"order": o.Value.Number})
		}
	}
	return err
}
