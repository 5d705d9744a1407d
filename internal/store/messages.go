package store

import (
	"database/sql"
	"fmt"
	"time"
)

// MessageState is how far a message to another program is.
type MessageState string

// The states of messages.
const (
	MessageWaiting MessageState = "waiting"
	MessageSent    MessageState = "sent"
	MessageDead    MessageState = "dead" // tried for the last time, until someone says again
)

// Message is something to be told to another program.
type Message struct {
	Seq    int64
	Hook   string // record of the address
	Event  string
	Made   time.Time
	State  MessageState
	Tries  int
	Next   time.Time // not to be tried before
	Tried  time.Time // last; zero: not yet
	Status int       // what the other answered last; 0: nothing
	Note   string    // what went wrong last
	Body   string    // JSON
}

// Tell keeps a message to be sent once the transaction is on disk, and gives its
// number.
func (t *Tx) Tell(m Message) (int64, error) {
	seq, err := t.next("messages")
	if err != nil {
		return 0, err
	}
	t.told = true
	_, err = t.exec(`INSERT INTO messages (workshop, seq, hook, event, made, state, tries, next, tried, status, note, body)
		VALUES ($1, $2, $3, $4, $5, $6, 0, $7, '', 0, '', $8)`,
		t.workshop, seq, m.Hook, m.Event, stamp(m.Made), string(MessageWaiting), stamp(m.Made), m.Body)
	return seq, err
}

// Told says whether the transaction has kept a message.
func (t *Tx) Told() bool { return t.told }

const messageColumns = `seq, hook, event, made, state, tries, next, tried, status, note, body`

func scanMessage(r *sql.Rows) (m Message, _ error) {
	var made, next, tried, state string
	err := r.Scan(&m.Seq, &m.Hook, &m.Event, &made, &state, &m.Tries, &next, &tried, &m.Status, &m.Note, &m.Body)
	m.Made, m.Next, m.Tried, m.State = unstamp(made), unstamp(next), unstamp(tried), MessageState(state)
	return m, err
}

// FirstMessages gives the first message of each address that is not sent: none of
// those behind it is sent before. The orders are none of an index, for which SQLite
// would read all that were ever sent.
func (t *Tx) FirstMessages() ([]Message, error) {
	return rows(t, scanMessage, `SELECT `+messageColumns+` FROM messages WHERE workshop = $1 AND seq IN
		(SELECT min(seq) FROM messages WHERE workshop = $1 AND state IN ('waiting', 'dead') GROUP BY hook || '') ORDER BY seq + 0`, t.workshop)
}

// Messages gives the messages to an address, the last first, those before a number
// if it is not 0.
func (t *Tx) Messages(hook string, before int64, limit int) ([]Message, error) {
	q, args := `SELECT `+messageColumns+` FROM messages WHERE workshop = $1 AND hook = $2`, []any{t.workshop, hook}
	if before > 0 {
		q, args = q+` AND seq < $3`, append(args, before)
	}
	return rows(t, scanMessage, q+fmt.Sprintf(` ORDER BY seq DESC LIMIT %d`, limit), args...)
}

// SetMessage keeps how far a message is, if it is still as was: another server may
// have tried it.
func (t *Tx) SetMessage(was, now Message) (ok bool, _ error) {
	n, err := t.exec(`UPDATE messages SET state = $5, tries = $6, next = $7, tried = $8, status = $9, note = $10
		WHERE workshop = $1 AND seq = $2 AND next = $3 AND state = $4`,
		t.workshop, was.Seq, stamp(was.Next), string(was.State), string(now.State), now.Tries, stamp(now.Next), timeOr(now.Tried), now.Status, now.Note)
	return n == 1, err
}

// timeOr is a time, or nothing for none.
func timeOr(at time.Time) string {
	if at.IsZero() {
		return ""
	}
	return stamp(at)
}

// DropMessages forgets the messages to an address, or with none those that were
// sent before a time.
func (t *Tx) DropMessages(hook string, sentBefore time.Time) error {
	if hook != "" {
		_, err := t.exec(`DELETE FROM messages WHERE workshop = $1 AND hook = $2`, t.workshop, hook)
		return err
	}
	_, err := t.exec(`DELETE FROM messages WHERE workshop = $1 AND state = 'sent' AND made < $2`, t.workshop, stamp(sentBefore))
	return err
}

// Secret is with what messages to an address are signed.
type Secret struct {
	Secret, Former string
	Ends           time.Time // of the former
}

// PutSecret keeps the secret of an address; nothing takes it away.
func (t *Tx) PutSecret(id string, s Secret) error {
	if s.Secret == "" {
		_, err := t.exec(`DELETE FROM secrets WHERE workshop = $1 AND id = $2`, t.workshop, id)
		return err
	}
	_, err := t.exec(`INSERT INTO secrets (workshop, id, secret, former, ends) VALUES ($1, $2, $3, $4, $5)
		ON CONFLICT (workshop, id) DO UPDATE SET secret = $3, former = $4, ends = $5`, t.workshop, id, s.Secret, s.Former, timeOr(s.Ends))
	return err
}

// Secret gives the secret of an address, or ErrNotFound.
func (t *Tx) Secret(id string) (s Secret, _ error) {
	var ends string
	err := t.tx.QueryRowContext(t.ctx, `SELECT secret, former, ends FROM secrets WHERE workshop = $1 AND id = $2`, t.workshop, id).Scan(&s.Secret, &s.Former, &ends)
	s.Ends = unstamp(ends)
	return s, wrap(err)
}
