package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"urdir/colour"
)

// rated is the result of colour rate, and its JSON.
type rated struct {
	Before     shade        `json:"before"`
	After      shade        `json:"after"`
	Scale      string       `json:"scale"` // "ISO 105-A05" or "ISO 105-A04"
	Difference decimal      `json:"scale_difference"`
	Value      decimal      `json:"value"`
	Grade      colour.Grade `json:"grade"`
}

func newRateCommand(a *app) *cobra.Command {
	w := a.words
	var staining bool
	c := &cobra.Command{
		Use:                   "rate " + w.T("colour-rate-args", nil),
		Short:                 w.T("colour-rate-about", nil),
		Long:                  w.T("colour-rate-about-long", nil),
		Example:               "  urdir colour rate \"#23406e\" \"#3a5580\"\n  urdir colour rate \"94, 0, 3\" \"90, 2, 1\" --staining",
		DisableFlagsInUseLine: true,
		Args:                  arguments(2, 2),
		RunE: func(_ *cobra.Command, args []string) error {
			s, err := readShades(args)
			if err != nil {
				return err
			}
			return a.rate(s[0], s[1], staining)
		},
	}
	c.Flags().BoolVar(&staining, "staining", false, w.T("colour-flag-staining", nil))
	return c
}

// rate prints the grade of a change of colour, or of staining.
func (a *app) rate(before, after shade, staining bool) error {
	w := a.words
	scale, name, rating := "ISO 105-A05", w.T("colour-change", nil), colour.RateChange(before.lab, after.lab)
	if staining {
		scale, name, rating = "ISO 105-A04", w.T("colour-staining", nil), colour.RateStaining(before.lab, after.lab)
	}
	if a.json {
		return a.printJSON(rated{before, after, scale, decimal(rating.Difference), decimal(rating.Value), rating.Grade})
	}
	t := table{indent: 2, numbers: true}
	a.shadeHeads(&t)
	a.addShade(&t, w.T("colour-before", nil), before)
	a.addShade(&t, w.T("colour-after", nil), after)
	t.print(a.out)

	t = table{indent: 2, numbers: true}
	t.add(name, a.strong(rating.Grade.String()))
	t.add(w.T("colour-value-label", nil), w.Fixed(rating.Value, 2))
	t.add(w.T("colour-scale-difference", nil), w.Fixed(float64(rating.Difference), 2))
	fmt.Fprintln(a.out)
	t.print(a.out)
	return nil
}
