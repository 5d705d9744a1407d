package main

import (
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"urdir/check"
	"urdir/internal/workshop"
)

func newWorkshopCommand(a *app) *cobra.Command {
	w := a.words
	c := &cobra.Command{
		Use:   "workshop",
		Short: w.T("workshop-about", nil),
		Long:  w.T("workshop-about-long", nil),
		Example: `  urdir workshop new "Taller del Cerro" --name "Rufina Salas" --login rufina
  urdir workshop list`,
		DisableFlagsInUseLine: true,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				return unknownCommand(c, args[0])
			}
			return nil
		},
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(newWorkshopNewCommand(a), newWorkshopListCommand(a), newWorkshopInviteCommand(a), newWorkshopCloseCommand(a))
	return c
}

// inHouse runs f on the workshops of a database.
func (k home) inHouse(c *cobra.Command, there bool, f func(*workshop.House) error) error {
	db, err := k.open(c.Context(), there)
	if err != nil {
		return err
	}
	err = f(workshop.New(db, time.Now))
	return errors.Join(toldProblems(c, err), db.Close())
}

// toldProblems turns what the workshop refuses into problems of the options.
func toldProblems(c *cobra.Command, err error) error {
	e, ok := errors.AsType[*workshop.Error](err)
	if !ok || len(e.Problems) == 0 {
		return err
	}
	out := make(stopped, len(e.Problems))
	for i, p := range e.Problems {
		out[i] = located{Problem: p}
		if c.Flags().Lookup(p.Path) != nil {
			out[i].File = "--" + p.Path
		}
	}
	return out
}

func newWorkshopNewCommand(a *app) *cobra.Command {
	w := a.words
	var k home
	var name, login, at string
	c := &cobra.Command{
		Use:                   "new " + w.T("workshop-new-args", nil),
		Short:                 w.T("workshop-new-about", nil),
		Long:                  w.T("workshop-new-about-long", nil),
		Example:               `  urdir workshop new "Taller del Cerro" --name "Rufina Salas" --login rufina`,
		DisableFlagsInUseLine: true,
		Args:                  arguments(1, 1),
		RunE: func(c *cobra.Command, args []string) error {
			return k.inHouse(c, false, func(h *workshop.House) error {
				p, key, err := h.NewWorkshop(c.Context(), args[0], name, login, w.Base)
				if err != nil {
					return err
				}
				return a.printInvitation(p.Workshop, at, key)
			})
		},
	}
	k.flags(a, c)
	f := c.Flags()
	f.StringVar(&name, "name", "", w.T("workshop-flag-name", nil))
	f.StringVar(&login, "login", "", w.T("workshop-flag-login", nil))
	f.StringVar(&at, "at", "http://127.0.0.1:8080", w.T("workshop-flag-at", nil))
	return c
}

// printInvitation prints the link by which someone enters.
func (a *app) printInvitation(id, at, key string) error {
	link := strings.TrimRight(at, "/") + "/invite/" + key
	if a.json {
		return a.printJSON(map[string]any{"workshop": id, "link": link})
	}
	if id != "" {
		fmt.Fprintln(a.out, a.words.T("workshop-made", check.Args{"id": id}))
	}
	fmt.Fprintln(a.out, a.words.T("workshop-link", check.Args{"link": link}))
	return nil
}

func newWorkshopInviteCommand(a *app) *cobra.Command {
	w := a.words
	var k home
	var at string
	c := &cobra.Command{
		Use:                   "invite " + w.T("workshop-invite-args", nil),
		Short:                 w.T("workshop-invite-about", nil),
		Long:                  w.T("workshop-invite-about-long", nil),
		Example:               "  urdir workshop invite rufina",
		DisableFlagsInUseLine: true,
		Args:                  arguments(1, 1),
		RunE: func(c *cobra.Command, args []string) error {
			return k.inHouse(c, true, func(h *workshop.House) error {
				key, err := h.InviteLogin(c.Context(), args[0])
				if err != nil {
					return err
				}
				return a.printInvitation("", at, key)
			})
		},
	}
	k.flags(a, c)
	c.Flags().StringVar(&at, "at", "http://127.0.0.1:8080", w.T("workshop-flag-at", nil))
	return c
}

func newWorkshopListCommand(a *app) *cobra.Command {
	w := a.words
	var k home
	c := &cobra.Command{
		Use:                   "list",
		Short:                 w.T("workshop-list-about", nil),
		DisableFlagsInUseLine: true,
		Args:                  arguments(0, 0),
		RunE: func(c *cobra.Command, _ []string) error {
			return k.inHouse(c, true, func(h *workshop.House) error {
				all, err := h.Workshops(c.Context())
				if err != nil {
					return err
				}
				return a.printWorkshops(all)
			})
		},
	}
	k.flags(a, c)
	return c
}

func (a *app) printWorkshops(all []workshop.Tenant) error {
	if a.json {
		list := []map[string]any{}
		for _, e := range all {
			list = append(list, map[string]any{"id": e.ID, "name": e.Name, "heads": e.Heads, "closed": e.Closed})
		}
		return a.printJSON(map[string]any{"workshops": list})
	}
	var t table
	for _, e := range all {
		state := ""
		if e.Closed {
			state = a.words.T("workshop-is-closed", nil)
		}
		t.add(e.ID, e.Name, strings.Join(e.Heads, ", "), state)
	}
	t.print(a.out)
	return nil
}

func newWorkshopCloseCommand(a *app) *cobra.Command {
	w := a.words
	var k home
	c := &cobra.Command{
		Use:                   "close " + w.T("workshop-close-args", nil),
		Short:                 w.T("workshop-close-about", nil),
		Long:                  w.T("workshop-close-about-long", nil),
		Example:               "  urdir export --workshop ktl3zn2vxw4q --with-accounts cerro.zip\n  urdir workshop close ktl3zn2vxw4q",
		DisableFlagsInUseLine: true,
		Args:                  arguments(1, 1),
		RunE: func(c *cobra.Command, args []string) error {
			return k.inHouse(c, true, func(h *workshop.House) error {
				if err := h.CloseWorkshop(c.Context(), args[0]); err != nil {
					return err
				}
				fmt.Fprintln(a.out, w.T("workshop-closed", nil))
				return nil
			})
		},
	}
	k.flags(a, c)
	return c
}
