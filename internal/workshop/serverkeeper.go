package workshop

import "context"

// ServerKeeper refuses whoever does not look after the server. The head of the
// first workshop on it does: she set the server up, and what she is let do here,
// as to take a backup with every workshop in it, she can do on the machine.
func (h *House) ServerKeeper(ctx context.Context, p Person) error {
	if err := allowed(p, "ServerKeeper"); err != nil {
		return err
	}
	all, err := h.db.Workshops(ctx)
	if err != nil {
		return fromStore(err)
	}
	if len(all) == 0 || all[0].ID != p.Workshop {
		return &Error{Code: Denied}
	}
	return nil
}
