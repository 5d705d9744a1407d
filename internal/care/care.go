package care

import (
	"context"
	"sync"
	"time"

	"urdir/check"
	"urdir/internal/archive"
	"urdir/internal/store"
	"urdir/internal/workshop"
)

// Server is what is looked at. Open fills it for a command.
type Server struct {
	DB      *store.DB
	House   *workshop.House
	Address string         // of the database
	Backups archive.Keeper // its Dir is empty if no backups are made at intervals
	Version string         // of the program
	Now     func() time.Time
	// Room gives the bytes that are free in a folder; tests have their own.
	Room func(dir string) (free int64, err error)

	mu   sync.Mutex
	last map[string]Report // by workshop
}

// Report is what a look found.
type Report struct {
	At       time.Time
	Findings []Finding
}

// Finding is what one check found. Its name is that of the words "doctor-NAME"
// (what is looked at) and "doctor-well-NAME" (that it is well, with Args).
type Finding struct {
	Check    string
	Args     check.Args
	Problems check.Problems
}

// State is how bad something is.
type State string

// The states, the best first.
const (
	Well  State = "well"
	Look  State = "look" // nothing is lost; someone should do something
	Wrong State = "wrong"
)

// State is how bad a finding is.
func (f Finding) State() State {
	switch {
	case f.Problems.Failed():
		return Wrong
	case len(f.Problems) > 0:
		return Look
	}
	return Well
}

// State is that of the worst finding.
func (r Report) State() State {
	out := Well
	for _, f := range r.Findings {
		if s := f.State(); s == Wrong || s == Look && out == Well {
			out = s
		}
	}
	return out
}

// recent is for how long a page shows what was found without looking again.
const recent = time.Hour

// Recent is what Examine found in the last hour, or finds now. Those who ask at
// once wait for one look.
func (s *Server) Recent(ctx context.Context, of string) (Report, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if r, ok := s.last[of]; ok && s.Now().Sub(r.At).Abs() < recent {
		return r, nil
	}
	r, err := s.Examine(ctx, of)
	if err == nil {
		if s.last == nil {
			s.last = map[string]Report{}
		}
		s.last[of] = r
	}
	return r, err
}

// Forget has Recent look again.
func (s *Server) Forget() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.last = nil
}

// Examine looks at the server, and at what one workshop keeps, or all ("").
func (s *Server) Examine(ctx context.Context, of string) (Report, error) {
	r := Report{At: s.Now()}
	e := examination{s, ctx, &r, time.Time{}}
	tables, err := e.tables()
	if err != nil {
		return r, err
	}
	if tables {
		whole, err := e.file()
		if err == nil {
			err = e.workshops(of)
		}
		if err != nil && (whole || ctx.Err() != nil) { // else it is said of the file
			return r, err
		}
	}
	e.backups()
	e.clock()
	e.room()
	return r, ctx.Err()
}
