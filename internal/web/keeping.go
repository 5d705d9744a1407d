package web

import (
	"errors"
	"io"
	"mime"
	"net/http"
	"os"
	"path/filepath"
	"time"

	"urdir/check"
	"urdir/internal/archive"
	"urdir/internal/care"
	"urdir/internal/workshop"
)

// keepingView says whether all is well, and what can be taken out of the house.
type keepingView struct {
	care.Report
	Server  bool // whether the visitor looks after the server
	Makes   bool // whether backups are made at intervals, or now and then into their folder
	Copies  []archive.Copy
	Version string
}

// care is what looks after the server; without it nothing can be kept or told.
func (v *visit) care() (*care.Server, error) {
	if v.s.opt.Care == nil {
		return nil, &workshop.Error{Code: workshop.NotFound}
	}
	return v.s.opt.Care, nil
}

func keepingPage(v *visit) error { return v.keeping(nil) }

// keeping shows the page, with what was refused, if anything.
func (v *visit) keeping(refused error) error {
	c, err := v.care()
	if err != nil {
		return err
	}
	view := keepingView{Server: v.s.house.ServerKeeper(v.r.Context(), v.Person) == nil, Makes: c.Backups.Dir != "", Version: c.Version}
	only := v.Person.Workshop
	if view.Server {
		only = ""
	}
	if view.Report, err = c.Recent(v.r.Context(), only); err != nil {
		return err
	}
	if view.Server && view.Makes {
		view.Copies, _ = archive.Copies(c.Backups.Dir) // what is wrong with the folder is a finding
	}
	if refused != nil {
		return v.again(refused, "keeping", v.T("keeping"), view)
	}
	return v.page("keeping", v.T("keeping"), view)
}

// Clock writes a moment with date and time, in the time of the server.
func (v *visit) Clock(t time.Time) string { return v.Words.Date(t) + " " + t.Format("15:04") }

// lookAgain looks at everything once more.
func lookAgain(v *visit) error {
	c, err := v.care()
	if err != nil {
		return err
	}
	c.Forget()
	return v.to("/keeping", "looked")
}

// backupNow makes a backup in the folder for them.
func backupNow(v *visit) error {
	c, err := v.care()
	if err == nil {
		err = v.s.house.ServerKeeper(v.r.Context(), v.Person)
	}
	if err != nil {
		return err
	}
	if c.Backups.Dir == "" {
		return v.keeping(&workshop.Error{Code: workshop.Invalid, Problems: check.Problems{{Code: "doctor-no-backups"}}})
	}
	if _, err = c.Backups.Once(v.r.Context()); err != nil {
		return v.keeping(invalidFile(err))
	}
	c.Forget()
	return v.to("/keeping", "backed-up")
}

// invalidFile tells faults of a file as the workshop tells what is refused.
func invalidFile(err error) error {
	found, ok := errors.AsType[archive.Faults](err)
	if !ok {
		return err
	}
	e := &workshop.Error{Code: workshop.Invalid}
	for _, f := range found {
		e.Problems = append(e.Problems, f.Problem)
	}
	return e
}

// backupFile makes a backup and sends it.
func backupFile(v *visit) error {
	c, err := v.care()
	if err == nil {
		err = v.s.house.ServerKeeper(v.r.Context(), v.Person)
	}
	if err != nil {
		return err
	}
	return v.sendMade("application/zip", "urdir-"+c.Now().UTC().Format("20060102T150405Z")+".urdir", func(file string) error {
		_, err := archive.Backup(v.r.Context(), c.DB, file, c.Now())
		return err
	})
}

// exportFile writes the visitor's own workshop in open formats and sends it.
func exportFile(v *visit) error {
	c, err := v.care()
	if err != nil {
		return err
	}
	f, err := v.read()
	if err != nil {
		return err
	}
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	return v.sendMade("application/zip", fileName(set.Value.Name)+".zip", func(file string) error {
		_, err := archive.Export(v.r.Context(), c.DB, file, archive.ExportOptions{Workshop: v.Person.Workshop, Accounts: f.yes("accounts")})
		return err
	})
}

// sendMade has a file made in a folder that goes away, and sends it.
func (v *visit) sendMade(kind, name string, write func(file string) error) error {
	dir, err := os.MkdirTemp("", "urdir-out-")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(dir) }() // sent, it is of no use any more
	file := filepath.Join(dir, "file")
	if err = write(file); err != nil {
		return v.keeping(invalidFile(err))
	}
	f, err := os.Open(file)
	if err != nil {
		return err
	}
	defer func() { _ = f.Close() }() // only read
	v.attach(kind, name)
	_, _ = io.Copy(v.w, f) // the browser went away
	return nil
}

// attach heads an answer that is to be kept as a file.
func (v *visit) attach(kind, name string) {
	h := v.w.Header()
	h.Set("Content-Type", kind)
	h.Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": name}))
	v.w.WriteHeader(http.StatusOK)
}

// Well says that all is well with what a check looked at.
func (v *visit) Well(f care.Finding) string { return v.Words.T("doctor-well-"+f.Check, f.Args) }

// Bytes writes how long a file is.
func (v *visit) Bytes(n int64) string {
	const unit = 1000
	if n < unit*unit {
		return v.Words.Fixed(float64(n)/unit, 0) + "\u202fkB"
	}
	return v.Words.Fixed(float64(n)/unit/unit, 1) + "\u202fMB"
}
