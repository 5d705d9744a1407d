package courier

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"sync"
	"time"

	"urdir/internal/workshop"
)

// How often and how long; our own choice.
const (
	lookEvery  = 15 * time.Second // for what is to be tried again, or another server has left
	sweepEvery = 6 * time.Hour
	patience   = 10 * time.Second // for an answer
	atOnce     = 8                // messages under way
	most       = 4 << 10          // of an answer, which is not read further
	noteLength = 200
)

// Options say how messages are sent.
type Options struct {
	Log *slog.Logger
	// Private allows addresses of private networks and of this machine.
	Private bool
}

// Courier sends messages until its context ends.
type Courier struct {
	house  *workshop.House
	log    *slog.Logger
	client *http.Client
	slots  chan struct{}
	mu     sync.Mutex
	busy   map[string]bool // workshops whose messages are under way
	group  sync.WaitGroup
}

// New makes a Courier.
func New(house *workshop.House, o Options) *Courier {
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	dialer := &net.Dialer{Timeout: patience}
	if !o.Private {
		dialer.Control = guard
	}
	// No proxy: it would call for us, and past the guard.
	transport := &http.Transport{DialContext: dialer.DialContext, TLSHandshakeTimeout: patience, MaxIdleConns: atOnce, IdleConnTimeout: time.Minute}
	return &Courier{house: house, log: o.Log, slots: make(chan struct{}, atOnce), busy: map[string]bool{},
		client: &http.Client{Transport: transport, Timeout: patience,
			CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
}

// Run sends what there is to send until the context ends, and then waits for what is
// under way.
func (c *Courier) Run(ctx context.Context) {
	look, sweep := time.NewTicker(lookEvery), time.NewTicker(sweepEvery)
	defer look.Stop()
	defer sweep.Stop()
	defer c.group.Wait()
	c.all(ctx, c.begin)
	for {
		select {
		case <-ctx.Done():
			return
		case <-c.house.Rings():
			for _, id := range c.house.Rung() {
				c.begin(ctx, id)
			}
		case <-look.C:
			c.all(ctx, c.begin)
		case <-sweep.C:
			c.all(ctx, func(ctx context.Context, id string) { c.note(ctx, c.house.SweepPost(ctx, id)) })
		}
	}
}

// all does something for every workshop.
func (c *Courier) all(ctx context.Context, f func(context.Context, string)) {
	ids, err := c.house.PostOffices(ctx)
	c.note(ctx, err)
	for _, id := range ids {
		f(ctx, id)
	}
}

// note logs an error that nobody waits for.
func (c *Courier) note(ctx context.Context, err error) {
	if err != nil && ctx.Err() == nil {
		c.log.Error("messages", "error", err)
	}
}

// begin sends the messages of a workshop beside what else goes on, unless that is
// under way; whoever does it looks again when she is done.
func (c *Courier) begin(ctx context.Context, id string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.busy[id] {
		return
	}
	c.busy[id] = true
	c.group.Go(func() {
		c.note(ctx, c.Send(ctx, id))
		c.mu.Lock()
		defer c.mu.Unlock()
		delete(c.busy, id)
	})
}

// Send sends every message of a workshop whose time has come.
func (c *Courier) Send(ctx context.Context, id string) error {
	for {
		letters, err := c.house.Letters(ctx, id)
		if err != nil || len(letters) == 0 {
			return err
		}
		errs := make([]error, len(letters))
		var group sync.WaitGroup
		for i, l := range letters {
			c.slots <- struct{}{}
			group.Go(func() {
				defer func() { <-c.slots }()
				status, trouble := c.post(ctx, l)
				if ctx.Err() != nil {
					return // it is tried again when the server is back
				}
				errs[i] = c.house.Posted(ctx, l, status, trouble)
			})
		}
		group.Wait()
		if err = errors.Join(append(errs, ctx.Err())...); err != nil {
			return err
		}
	}
}

// post sends one message, and gives what was answered, or what went wrong.
func (c *Courier) post(ctx context.Context, l workshop.Letter) (status int, trouble string) {
	body := []byte(l.Message.Body)
	r, err := http.NewRequestWithContext(ctx, http.MethodPost, l.URL, strings.NewReader(l.Message.Body))
	if err != nil {
		return 0, short(err)
	}
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("User-Agent", "Urdir")
	sign(r, body, l.Secrets, l.Message.Hook, c.house.Now())
	answer, err := c.client.Do(r)
	if err != nil {
		return 0, short(err)
	}
	defer func() { _ = answer.Body.Close() }()     // only read
	_, _ = io.CopyN(io.Discard, answer.Body, most) // so that the connection can be used again
	return answer.StatusCode, ""
}

// short is an error for the log of messages.
func short(err error) string {
	s := []rune(strings.ToValidUTF8(err.Error(), "?"))
	return string(s[:min(len(s), noteLength)])
}
