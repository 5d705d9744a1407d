package main

import (
	"github.com/spf13/cobra"

	"urdir/check"
	"urdir/plan"
	"urdir/sheet"
)

// papers are the sizes of --paper.
var papers = map[string]sheet.Paper{"a4": sheet.A4, "letter": sheet.Letter}

func newPlanCommand(a *app) *cobra.Command {
	w := a.words
	var dir, explain, paper string
	c := &cobra.Command{
		Use:   "plan " + w.T("file-args", nil),
		Short: w.T("plan-about", nil),
		Long:  w.T("plan-about-long", nil),
		Example: `  urdir plan bufanda.yaml
  urdir plan bufanda.yaml --out bufanda
  urdir plan bufanda.yaml --explain warp.length`,
		DisableFlagsInUseLine: true,
		Args:                  arguments(1, 1),
		RunE: func(_ *cobra.Command, args []string) error {
			size, ok := papers[paper]
			if !ok {
				return mistake("--paper", "paper-unknown", check.Args{"text": paper, "known": []string{"a4", "letter"}})
			}
			p, err := a.planFile(args[0])
			if err != nil {
				return err
			}
			if dir != "" {
				if err := a.writeOut(dir, p, sheet.Options{Language: w.Tag, Paper: size}); err != nil {
					return err
				}
			}
			return a.showPlan(p, dir, explain)
		},
	}
	c.Flags().StringVarP(&dir, "out", "o", "", w.T("plan-flag-out", nil))
	c.Flags().StringVar(&explain, "explain", "", w.T("plan-flag-explain", nil))
	c.Flags().StringVar(&paper, "paper", "a4", w.T("plan-flag-paper", nil))
	return c
}

// showPlan prints the plan, or what is asked of it.
func (a *app) showPlan(p planned, dir, explain string) error {
	switch {
	case explain != "":
		return a.explain(p, explain)
	case a.json:
		return a.printJSON(a.planJSON(p))
	}
	if dir == "" {
		a.printPlan(&p.plan)
	}
	a.tell(p.found)
	return nil
}

// planJSON is the plan as other programs read it; docs/json-plan.md describes it.
type planJSON struct {
	Version  int       `json:"urdir_plan"`
	Problems []problem `json:"problems"`
	Plan     plan.Plan `json:"plan"`
}

func (a *app) planJSON(p planned) planJSON {
	return planJSON{1, a.problems(p.found), p.plan}
}
