package store

// Jot keeps a record that is there already, at the revision it was read at, and
// gives its new revision, as Put does; but it writes no line in the history, and
// what it replaces is gone. It is for what is written anew every few seconds
// while someone works; that she began and that she ended are Put and Remove.
func (t *Tx) Jot(r Record) (int64, error) {
	if _, err := t.at(r.Kind, r.ID, r.Revision); err != nil {
		return 0, err
	}
	_, err := t.exec(`UPDATE records SET revision = revision + 1, parent = $4, state = $5, sort = $6, words = $7, body = $8
		WHERE workshop = $1 AND kind = $2 AND id = $3`,
		t.workshop, r.Kind, r.ID, r.Parent, r.State, r.Sort, r.Words, r.Body)
	return r.Revision + 1, err
}
