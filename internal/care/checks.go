package care

import (
	"context"
	"errors"
	"path/filepath"
	"time"

	"urdir/check"
	"urdir/internal/archive"
	"urdir/internal/store"
)

// examination is one look.
type examination struct {
	s    *Server
	ctx  context.Context
	r    *Report
	last time.Time // when the last thing was done
}

func (e *examination) found(name string, args check.Args, ps check.Problems) {
	e.r.Findings = append(e.r.Findings, Finding{name, args, ps})
}

// faults are lines of the store as problems.
func faults(lines []string) (ps check.Problems) {
	for _, l := range lines {
		ps.Wrong("", "doctor-fault", check.Args{"fault": l})
	}
	return ps
}

// tables says whether the tables are of this program's version; a file that is
// none is wrong, and not an error.
func (e *examination) tables() (ok bool, err error) {
	var ps check.Problems
	is, err := e.s.DB.Version(e.ctx)
	if err != nil {
		ps.Wrong("", "doctor-unread", check.Args{"reason": err.Error()})
		e.found("file", nil, ps)
		return false, nil //nolint:nilerr // it is told
	}
	newest, err := store.Newest()
	switch {
	case is > newest:
		ps.Wrong("", "doctor-newer", check.Args{"version": is, "known": newest})
	case is < newest:
		ps.Look("", "doctor-older", check.Args{"version": is, "known": newest})
	}
	e.found("tables", check.Args{"version": is, "program": e.s.Version}, ps)
	return len(ps) == 0, err
}

// file says whether the file is whole.
func (e *examination) file() (whole bool, err error) {
	lines, err := e.s.DB.VerifyFile(e.ctx)
	if err != nil && e.ctx.Err() == nil {
		lines, err = []string{err.Error()}, nil // it cannot be read through
	}
	e.found("file", nil, faults(lines))
	return len(lines) == 0, err
}

// workshops looks at what one workshop keeps, or each.
func (e *examination) workshops(only string) error {
	all, err := e.s.DB.Workshops(e.ctx)
	if err != nil {
		return err
	}
	of := map[string]check.Problems{}
	frozen := 0
	for _, w := range all {
		if only != "" && w.ID != only {
			continue
		}
		x, err := e.s.House.Examine(e.ctx, w.ID)
		if err != nil {
			return err
		}
		for name, ps := range map[string]check.Problems{"history": faults(x.History), "stock": faults(x.Stock), "books": faults(x.Books),
			"agreement": x.Agreement, "numbers": faults(x.Numbers), "plans": x.Plans} {
			if len(all) > 1 {
				var named check.Problems
				named.Under(w.Name, ps)
				ps = named
			}
			of[name] = append(of[name], ps...)
		}
		frozen += x.Frozen
		if x.Last.After(e.last) {
			e.last = x.Last
		}
	}
	for _, name := range []string{"history", "stock", "books", "agreement", "numbers", "plans"} {
		e.found(name, check.Args{"number": frozen}, of[name])
	}
	return nil
}

// late is how much older than the interval a backup may be before it is missed.
const late = time.Hour

// backups looks whether there is one, how old it is, and whether it could be
// restored.
func (e *examination) backups() {
	var ps check.Problems
	k := e.s.Backups
	if k.Dir == "" {
		ps.Look("", "doctor-no-backups", nil)
		e.found("backups", nil, ps)
		return
	}
	all, err := archive.Copies(k.Dir)
	switch {
	case err != nil:
		ps.Wrong("", "doctor-backup-folder", check.Args{"folder": k.Dir, "reason": reason(err)})
	case len(all) == 0:
		ps.Wrong("", "doctor-backup-none", check.Args{"folder": k.Dir})
	}
	if len(ps) > 0 {
		e.found("backups", nil, ps)
		return
	}
	newest := all[0]
	if age := e.s.Now().Sub(newest.Taken); age > k.Every+late {
		ps.Wrong("", "doctor-backup-old", check.Args{"taken": newest.Taken.Format(time.DateTime), "hours": int(age.Hours())})
	}
	_, err = archive.Try(e.ctx, filepath.Join(k.Dir, newest.Name))
	if found, is := errors.AsType[archive.Faults](err); is {
		for _, f := range found {
			ps = append(ps, f.Problem)
		}
	} else if err != nil && e.ctx.Err() == nil {
		ps.Wrong("", "doctor-backup-unread", check.Args{"file": newest.Name, "reason": err.Error()})
	}
	e.found("backups", check.Args{"taken": newest.Taken.Format(time.DateTime), "file": newest.Name, "kept": len(all)}, ps)
}

// reason is an error without the name of the file, which its problem says.
func reason(err error) string {
	for inner := err; inner != nil; inner = errors.Unwrap(inner) {
		err = inner
	}
	return err.Error()
}

// slack is by how much clocks may differ.
const slack = 5 * time.Minute

// clock looks whether the clock is behind what was done, or not that of the
// database's server.
func (e *examination) clock() {
	var ps check.Problems
	now := e.s.Now()
	if e.last.After(now.Add(slack)) {
		ps.Wrong("", "doctor-clock-behind", check.Args{"clock": now.UTC().Format(time.DateTime), "last": e.last.UTC().Format(time.DateTime)})
	}
	if theirs, err := e.s.DB.Clock(e.ctx); err == nil && !theirs.IsZero() && theirs.Sub(now).Abs() > slack {
		ps.Wrong("", "doctor-clock-apart", check.Args{"clock": now.UTC().Format(time.DateTime), "database": theirs.UTC().Format(time.DateTime)})
	}
	e.found("clock", check.Args{"clock": now.UTC().Format(time.DateTime)}, ps)
}

// Room that a disk must have: below little someone should look, below none the
// next thing that is told may not be kept.
const (
	little = 1 << 30
	none   = 100 << 20
)

// room looks at the disks of the database's file and of the backups.
func (e *examination) room() {
	var dirs []string
	if !store.IsPostgres(e.s.Address) {
		dirs = append(dirs, filepath.Dir(e.s.Address))
	}
	if e.s.Backups.Dir != "" {
		dirs = append(dirs, e.s.Backups.Dir)
	}
	var ps check.Problems
	least := int64(-1)
	for _, dir := range dirs {
		free, err := e.s.room(dir)
		if err != nil {
			continue // a system that does not say it, or a folder that is not there: that is told of the backups
		}
		if least < 0 || free < least {
			least = free
		}
		switch args := (check.Args{"folder": dir, "megabytes": int(free >> 20)}); {
		case free < none:
			ps.Wrong("", "doctor-room-none", args)
		case free < little:
			ps.Look("", "doctor-room-little", args)
		}
	}
	if least >= 0 {
		e.found("room", check.Args{"megabytes": int(least >> 20)}, ps)
	}
}

func (s *Server) room(dir string) (int64, error) {
	if s.Room != nil {
		return s.Room(dir)
	}
	return freeBytes(dir)
}
