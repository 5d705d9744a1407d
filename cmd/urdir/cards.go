package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"urdir/check"
	"urdir/internal/web"
)

// carding is what was typed.
type carding struct {
	kept
	out, site string
}

func newCardsCommand(a *app) *cobra.Command {
	w := a.words
	var s carding
	c := &cobra.Command{
		Use:                   "cards",
		Short:                 w.T("cli-cards-about", nil),
		Long:                  w.T("cli-cards-about-long", nil),
		Example:               "  urdir cards --data taller --out web --site https://taller.example",
		DisableFlagsInUseLine: true,
		Args:                  arguments(0, 0),
		RunE:                  func(c *cobra.Command, _ []string) error { return a.cards(c.Context(), s) },
	}
	s.flags(a, c)
	c.Flags().StringVar(&s.out, "out", "cards", w.T("cli-cards-flag-out", nil))
	c.Flags().StringVar(&s.site, "site", "", w.T("cli-cards-flag-site", nil))
	return c
}

// cards writes every card that is shown into a folder.
func (a *app) cards(ctx context.Context, s carding) error {
	house, owner, done, err := s.openAsOwner(ctx)
	if err != nil {
		return err
	}
	defer done()
	files := 0
	n, err := web.WriteCards(ctx, house, owner, strings.TrimSuffix(s.site, "/"), func(name string, body []byte) error {
		files++
		return writeUnder(s.out, name, body)
	})
	if err != nil {
		return err
	}
	if a.json {
		return a.printJSON(map[string]any{"out": s.out, "cards": n, "files": files})
	}
	fmt.Fprintln(a.out, a.words.N("cli-cards-made", n, check.Args{"out": s.out}))
	return nil
}

// writeUnder writes a file into a folder, which is made if it is not there.
func writeUnder(folder, name string, body []byte) error {
	to := filepath.Join(folder, filepath.FromSlash(name))
	err := os.MkdirAll(filepath.Dir(to), 0o755)
	if err == nil {
		err = os.WriteFile(to, body, 0o644)
	}
	if err != nil {
		return mistake("--out", "file-unwritable", check.Args{"file": to, "reason": err.Error()})
	}
	return nil
}
