package store_test

import (
	"context"
	"database/sql"
	"database/sql/driver"
	"strings"
	"sync"
	"testing"

	"urdir/internal/store"
)

// asked is a statement and its arguments.
type asked struct {
	query string
	args  []any
}

// spy is a driver that notes what is asked of another.
type spy struct {
	of      driver.Driver
	address string
	mu      sync.Mutex
	noted   []asked
}

// spied opens a database so that what is asked of it is noted.
func spied(tb testing.TB, address string) (*store.DB, *spy) {
	tb.Helper()
	plain := open(tb, address)
	s := &spy{of: plain.Pools()[0].Driver(), address: address}
	if !store.IsPostgres(address) {
		s.address = "file:" + address
	}
	pool := sql.OpenDB(s)
	tb.Cleanup(func() { must(tb, pool.Close()) })
	return store.Over(pool, store.IsPostgres(address)), s
}

func (s *spy) Connect(context.Context) (driver.Conn, error) {
	c, err := s.of.Open(s.address)
	return &spyConn{c, s}, err
}

func (s *spy) Driver() driver.Driver { return s.of }

// take gives what was asked since, but settings.
func (s *spy) take() (out []asked) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, a := range s.noted {
		if !strings.Contains(a.query, "set_config") {
			out = append(out, a)
		}
	}
	s.noted = nil
	return out
}

func (s *spy) note(query string, args []driver.NamedValue) {
	a := asked{query: query}
	for _, v := range args {
		a.args = append(a.args, v.Value)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.noted = append(s.noted, a)
}

// spyConn notes and hands on; both drivers' connections can do all of it.
type spyConn struct {
	driver.Conn
	spy *spy
}

func (c *spyConn) QueryContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Rows, error) {
	c.spy.note(query, args)
	return c.Conn.(driver.QueryerContext).QueryContext(ctx, query, args)
}

func (c *spyConn) ExecContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Result, error) {
	c.spy.note(query, args)
	return c.Conn.(driver.ExecerContext).ExecContext(ctx, query, args)
}

func (c *spyConn) BeginTx(ctx context.Context, o driver.TxOptions) (driver.Tx, error) {
	return c.Conn.(driver.ConnBeginTx).BeginTx(ctx, o)
}
