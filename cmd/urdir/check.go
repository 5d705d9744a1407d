package main

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"urdir/check"
)

func newCheckCommand(a *app) *cobra.Command {
	w := a.words
	return &cobra.Command{
		Use:                   "check " + w.T("check-args", nil),
		Short:                 w.T("check-about", nil),
		Long:                  w.T("check-about-long", nil),
		Example:               "  urdir check faja.yaml\n  urdir check examples/*.yaml",
		DisableFlagsInUseLine: true,
		Args:                  arguments(1, 10000),
		RunE:                  func(_ *cobra.Command, files []string) error { return a.check(files) },
	}
}

// check reads and plans every file and reports on all of them.
func (a *app) check(files []string) error {
	var all stopped
	failed := false
	for _, file := range files {
		p, err := a.planFile(file)
		var found stopped
		switch {
		case err == nil:
			found = p.found
		case !errors.As(err, &found):
			return err
		default:
			failed = true
		}
		all = append(all, found...)
		if !a.json {
			a.checked(file, found, err != nil)
		}
	}
	if failed && !a.json {
		return errTold
	}
	if failed {
		return all
	}
	if a.json {
		return a.printJSON(map[string]any{"problems": a.problems(all)})
	}
	return nil
}

// checked prints what was found in one file.
func (a *app) checked(file string, found []located, failed bool) {
	a.tell(found)
	cautions := 0
	for _, l := range found {
		if l.Severity == check.Caution {
			cautions++
		}
	}
	switch errs := len(found) - cautions; {
	case failed:
		fmt.Fprintf(a.out, "%s: %s\n", file, a.words.N("check-errors", errs, nil))
	case cautions > 0:
		fmt.Fprintf(a.out, "%s: %s\n", file, a.words.N("check-cautions", cautions, nil))
	default:
		fmt.Fprintf(a.out, "%s: %s\n", file, a.words.T("check-good", nil))
	}
}
