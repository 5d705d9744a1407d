package main

import (
	"errors"

	"github.com/spf13/cobra"

	"urdir/internal/archive"
)

func newExportCommand(a *app) *cobra.Command {
	w := a.words
	var k home
	var o archive.ExportOptions
	c := &cobra.Command{
		Use:                   "export " + w.T("file-args", nil),
		Short:                 w.T("export-about", nil),
		Long:                  w.T("export-about-long", nil),
		Example:               "  urdir export --data taller taller.zip\n  urdir import --db postgres://urdir@/urdir taller.zip",
		DisableFlagsInUseLine: true,
		Args:                  arguments(1, 1),
		RunE: func(c *cobra.Command, args []string) error {
			db, err := k.open(c.Context(), true)
			if err != nil {
				return err
			}
			r, err := archive.Export(c.Context(), db, args[0], o)
			if err = errors.Join(err, db.Close()); err != nil {
				return toldFaults(err)
			}
			return a.printReport("export-made", r)
		},
	}
	k.flags(a, c)
	c.Flags().BoolVar(&o.Accounts, "with-accounts", false, w.T("export-flag-accounts", nil))
	c.Flags().StringVar(&o.Workshop, "workshop", "", w.T("export-flag-workshop", nil))
	return c
}

func newImportCommand(a *app) *cobra.Command {
	w := a.words
	var k home
	c := &cobra.Command{
		Use:                   "import " + w.T("file-args", nil),
		Short:                 w.T("import-about", nil),
		Long:                  w.T("import-about-long", nil),
		Example:               "  urdir import --data taller taller.zip",
		DisableFlagsInUseLine: true,
		Args:                  arguments(1, 1),
		RunE: func(c *cobra.Command, args []string) error {
			db, err := k.open(c.Context(), false)
			if err != nil {
				return err
			}
			r, err := archive.Import(c.Context(), db, args[0])
			if err = errors.Join(err, db.Close()); err != nil {
				return toldFaults(err)
			}
			return a.printReport("import-done", r)
		},
	}
	k.flags(a, c)
	return c
}
