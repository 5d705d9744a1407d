package main

import (
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"urdir/check"
	"urdir/internal/archive"
	"urdir/internal/care"
	"urdir/internal/store"
	"urdir/internal/workshop"
)

// errIll stops the program after something was found to be wrong, and told.
var errIll = errors.New("something is wrong")

func newDoctorCommand(a *app) *cobra.Command {
	w := a.words
	var k home
	s := care.Server{Version: version(), Now: time.Now}
	c := &cobra.Command{
		Use:                   "doctor",
		Short:                 w.T("doctor-about", nil),
		Long:                  w.T("doctor-about-long", nil),
		Example:               "  urdir doctor --data taller --backup copies",
		DisableFlagsInUseLine: true,
		Args:                  arguments(0, 0),
		RunE: func(c *cobra.Command, _ []string) error {
			db, err := store.Look(c.Context(), k.address())
			if err != nil {
				return mistake("--data", "database-closed", check.Args{"reason": err.Error()})
			}
			s.DB, s.House, s.Address = db, workshop.New(db, time.Now), k.address()
			r, err := s.Examine(c.Context(), "")
			if err = errors.Join(err, db.Close()); err != nil {
				return toldFaults(err)
			}
			if err = a.printDoctor(r); err == nil && r.State() == care.Wrong {
				err = errIll
			}
			return err
		},
	}
	k.flags(a, c)
	keeperFlags(a, c, &s.Backups)
	return c
}

// keeperFlags are those of backups at intervals.
func keeperFlags(a *app, c *cobra.Command, k *archive.Keeper) {
	f := c.Flags()
	f.StringVar(&k.Dir, "backup", "", a.words.T("serve-flag-backup", nil))
	f.DurationVar(&k.Every, "backup-every", 24*time.Hour, a.words.T("serve-flag-backup-every", nil))
	f.IntVar(&k.Keep, "keep", 14, a.words.T("serve-flag-keep", nil))
}

// printDoctor says of each check whether all is well, and what is not.
func (a *app) printDoctor(r care.Report) error {
	if a.json {
		var out []map[string]any
		for _, f := range r.Findings {
			one := map[string]any{"check": f.Check, "state": string(f.State())}
			if len(f.Problems) > 0 {
				one["problems"] = a.problems(unplaced(f.Problems))
			}
			out = append(out, one)
		}
		return a.printJSON(map[string]any{"state": string(r.State()), "checks": out})
	}
	for _, f := range r.Findings {
		said := a.words.T("doctor-"+string(f.State()), nil)
		if f.State() == care.Well {
			said = a.words.T("doctor-well-"+f.Check, f.Args)
		}
		fmt.Fprintf(a.out, "%s: %s\n", a.words.T("doctor-of-"+f.Check, nil), said)
		for _, p := range f.Problems {
			what, mend := a.words.Problem(p)
			if p.Path != "" {
				what = p.Path + ": " + what
			}
			fmt.Fprintf(a.out, "  %s: %s %s\n", a.words.T("severity-"+severity(p.Severity), nil), what, mend)
		}
	}
	fmt.Fprintln(a.out, a.words.T("doctor-all-"+string(r.State()), nil))
	return nil
}

func unplaced(ps check.Problems) []located {
	out := make([]located, len(ps))
	for i, p := range ps {
		out[i] = located{Problem: p}
	}
	return out
}
