// Package pgtest gives tests a PostgreSQL server of their own: made in a
// directory of its own, reached only by a socket in it, and gone, directory and
// all, when the test program ends in whatever way.
package pgtest

import (
	"cmp"
	"context"
	"database/sql"
	"errors"
	"flag"
	"fmt"
	"io"
	"net/url"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"slices"
	"strconv"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib" // the driver "pgx"
)

const install = "no PostgreSQL server in /usr/lib/postgresql; install it, on Debian with: apt-get install --no-install-recommends postgresql"

// role owns the tests' databases. It is no superuser, as a program's role in a
// real server should not be: a superuser is not bound by row level security.
const role = "urdir"

// Server is a PostgreSQL server for tests.
type Server struct {
	bin, dir string
	as       *syscall.SysProcAttr
	leash    io.WriteCloser // the server stops when it is closed
	ended    chan error
}

var shared = sync.OnceValues(func() (*Server, error) {
	s, err := prepare()
	if err != nil {
		return nil, err
	}
	return s, s.start()
})

var databases atomic.Int64

// Start gives the address of a new, empty database on a server that all tests of
// the program share.
func Start(tb testing.TB) (address string) {
	tb.Helper()
	s, err := shared()
	if err != nil {
		tb.Fatal(err)
	}
	return s.Database(tb)
}

// New starts a server for one test, that it may stop.
func New(tb testing.TB) *Server {
	tb.Helper()
	s, err := prepare()
	if err == nil {
		err = s.start()
	}
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if err := s.leash.Close(); err != nil {
			tb.Error(err)
		}
		if err := <-s.ended; err != nil {
			tb.Errorf("PostgreSQL: %v", err)
		}
	})
	return s
}

// Database makes a new, empty database and gives its address.
func (s *Server) Database(tb testing.TB) (address string) {
	tb.Helper()
	name := fmt.Sprintf("t%d", databases.Add(1))
	// The usual order of words is one of a language, and differs from SQLite's.
	err := s.run(`CREATE DATABASE ` + name + ` OWNER ` + role + ` TEMPLATE template0 ENCODING 'UTF8' LOCALE_PROVIDER icu ICU_LOCALE 'es' LOCALE 'C.UTF-8'`)
	if err != nil {
		tb.Fatal(err)
	}
	return s.address(role, name)
}

// Super gives the address of the same database for a superuser.
func Super(tb testing.TB, address string) string {
	tb.Helper()
	u, err := url.Parse(address)
	if err != nil {
		tb.Fatal(err)
	}
	u.User = url.User("postgres")
	return u.String()
}

// Dump gives a database as the statements that make it, as pg_dump writes them for
// a superuser: it refuses to leave out what row level security hides.
func Dump(tb testing.TB, address string) []byte {
	tb.Helper()
	s, err := shared()
	if err != nil {
		tb.Fatal(err)
	}
	out, err := exec.Command(filepath.Join(s.bin, "pg_dump"), "--inserts", "--no-owner", "--no-privileges", Super(tb, address)).Output()
	if err != nil {
		tb.Fatalf("pg_dump: %v", err)
	}
	return out
}

// Stop stops the server as a crash does: at once, in the middle of everything.
func (s *Server) Stop(tb testing.TB) {
	tb.Helper()
	if _, err := io.WriteString(s.leash, "keep\n"); err != nil {
		tb.Fatal(err)
	}
	if err := <-s.ended; err != nil {
		tb.Fatal(err)
	}
}

// Restart starts a stopped server again.
func (s *Server) Restart(tb testing.TB) {
	tb.Helper()
	if err := s.start(); err != nil {
		tb.Fatal(err)
	}
}

// prepare makes the server's directory. The server refuses to run as root, so then
// it belongs to the user postgres.
func prepare() (*Server, error) {
	found, err := filepath.Glob("/usr/lib/postgresql/*/bin/postgres")
	if err != nil || len(found) == 0 {
		return nil, errors.New(install)
	}
	newest := slices.MaxFunc(found, func(a, b string) int { return cmp.Compare(version(a), version(b)) })
	dir, err := os.MkdirTemp("", "pgtest")
	if err != nil {
		return nil, err
	}
	// A group of its own, so that Ctrl-C does not reach it before the clearing up.
	s := &Server{bin: filepath.Dir(newest), dir: dir, as: &syscall.SysProcAttr{Setpgid: true}}
	if os.Geteuid() == 0 {
		if err := s.yield(); err != nil {
			return nil, err
		}
	}
	return s, nil
}

// version is the 15 of /usr/lib/postgresql/15/bin/postgres.
func version(path string) float64 {
	n, _ := strconv.ParseFloat(filepath.Base(filepath.Dir(filepath.Dir(path))), 64) // what is no number is oldest
	return n
}

// yield has the server run as the user postgres.
func (s *Server) yield() error {
	u, err := user.Lookup("postgres")
	if err != nil {
		return fmt.Errorf("the server will not run as root, and there is no other user for it: %w", err)
	}
	uid, err := strconv.ParseUint(u.Uid, 10, 32)
	if err != nil {
		return err
	}
	gid, err := strconv.ParseUint(u.Gid, 10, 32)
	if err != nil {
		return err
	}
	s.as.Credential = &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}
	return os.Chown(s.dir, int(uid), int(gid))
}

func (s *Server) address(as, name string) string {
	return (&url.URL{Scheme: "postgres", User: url.User(as), Path: "/" + name, RawQuery: url.Values{"host": {s.dir}}.Encode()}).String()
}

// hold makes the server's files if they are not there and keeps the server running
// until its standard input says "keep" or ends, as it does when the test program
// is killed; in the latter case nothing is left.
const hold = `[ -d "$2"/data ] || "$1"/initdb -D "$2"/data -U postgres --no-sync --auth=trust --encoding=UTF8 --locale=C.UTF-8 </dev/null || exit
"$1"/postgres -D "$2"/data -k "$2" -c listen_addresses= -c max_connections=200 -c fsync="$3" &
read -r word
while kill -QUIT $! 2>/dev/null; do sleep 0.05; done # one that has just started does not hear it
wait
[ "$word" = keep ] || rm -rf "$2"`

// start starts the server and waits until it answers.
func (s *Server) start() error {
	log, err := os.Create(filepath.Join(s.dir, "log"))
	if err != nil {
		return err
	}
	defer func() { _ = log.Close() }() // the server has its own
	fsync := "off"                     // tests kill programs, not the machine
	if f := flag.Lookup("test.bench"); f != nil && f.Value.String() != "" {
		fsync = "on" // a benchmark is of what users have
	}
	cmd := exec.Command("/bin/sh", "-c", hold, "sh", s.bin, s.dir, fsync)
	cmd.Dir, cmd.SysProcAttr, cmd.Stdout, cmd.Stderr = "/", s.as, log, log
	if s.leash, err = cmd.StdinPipe(); err != nil {
		return err
	}
	if err := cmd.Start(); err != nil {
		return err
	}
	ended := make(chan error, 1)
	s.ended = ended
	go func() { ended <- cmd.Wait() }()
	for deadline := time.Now().Add(20 * time.Second); ; time.Sleep(10 * time.Millisecond) {
		err := s.run(`SELECT 1`)
		if err == nil {
			break
		}
		if time.Now().After(deadline) || len(ended) > 0 {
			said, _ := os.ReadFile(log.Name()) // better no log than no message
			return fmt.Errorf("PostgreSQL does not start: %w\n%s", err, said)
		}
	}
	return s.run(`DO $$ BEGIN IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = '` + role + `') THEN
		CREATE ROLE ` + role + ` LOGIN NOSUPERUSER NOBYPASSRLS; END IF; END $$`)
}

// run runs one statement as the superuser.
func (s *Server) run(statement string) error {
	db, err := sql.Open("pgx", s.address("postgres", "postgres"))
	if err != nil {
		return err
	}
	defer func() { _ = db.Close() }() // the statement has run or not
	_, err = db.ExecContext(context.Background(), statement)
	return err
}
