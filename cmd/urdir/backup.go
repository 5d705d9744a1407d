package main

import (
	"errors"
	"time"

	"github.com/spf13/cobra"

	"urdir/internal/archive"
)

func newBackupCommand(a *app) *cobra.Command {
	w := a.words
	var k home
	c := &cobra.Command{
		Use:                   "backup " + w.T("file-args", nil),
		Short:                 w.T("backup-about", nil),
		Long:                  w.T("backup-about-long", nil),
		Example:               "  urdir backup --data taller taller.urdir",
		DisableFlagsInUseLine: true,
		Args:                  arguments(1, 1),
		RunE: func(c *cobra.Command, args []string) error {
			db, err := k.open(c.Context(), true)
			if err != nil {
				return err
			}
			r, err := archive.Backup(c.Context(), db, args[0], time.Now())
			if err = errors.Join(err, db.Close()); err != nil {
				return toldFaults(err)
			}
			return a.printReport("backup-made", r)
		},
	}
	k.flags(a, c)
	return c
}

func newRestoreCommand(a *app) *cobra.Command {
	w := a.words
	var k home
	var aside string
	c := &cobra.Command{
		Use:                   "restore " + w.T("file-args", nil),
		Short:                 w.T("restore-about", nil),
		Long:                  w.T("restore-about-long", nil),
		Example:               "  urdir restore --data taller taller.urdir",
		DisableFlagsInUseLine: true,
		Args:                  arguments(1, 1),
		RunE: func(c *cobra.Command, args []string) error {
			if err := k.make(); err != nil {
				return err
			}
			r, err := archive.Restore(c.Context(), args[0], k.address(), aside, time.Now())
			if err != nil {
				return toldFaults(err)
			}
			return a.printReport("restore-done", r)
		},
	}
	k.flags(a, c)
	c.Flags().StringVar(&aside, "aside", ".", w.T("restore-flag-aside", nil))
	return c
}
