package workshop

import "context"

// Owner is whoever holds a server's data in her hands: the head of its first
// workshop, without an account. It is for commands that read those data where they
// lie, and not for pages.
func (h *House) Owner(ctx context.Context) (Person, error) {
	all, err := h.db.Workshops(ctx)
	if err != nil {
		return Person{}, fromStore(err)
	}
	if len(all) == 0 {
		return Person{}, &Error{Code: NotFound}
	}
	return Person{Workshop: all[0].ID, Name: all[0].Name, Role: Head}, nil
}
