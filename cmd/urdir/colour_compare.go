package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"urdir/check"
	"urdir/colour"
)

// comparison is the result of colour compare, and its JSON.
type comparison struct {
	Standard   shade        `json:"standard"`
	Lot        shade        `json:"lot"`
	Difference decimal      `json:"ciede2000"`
	Straight   decimal      `json:"cielab_difference"`
	Lightness  decimal      `json:"cielab_lightness_difference"`
	Chroma     decimal      `json:"cielab_chroma_difference"`
	Hue        decimal      `json:"cielab_hue_difference"`
	Ways       []colour.Way `json:"ways"`
	Limit      *decimal     `json:"limit,omitempty"`
	Accepted   *bool        `json:"accepted,omitempty"`
	Problems   []problem    `json:"problems"`
}

func newCompareCommand(a *app) *cobra.Command {
	w := a.words
	var limit float64
	c := &cobra.Command{
		Use:                   "compare " + w.T("colour-compare-args", nil),
		Short:                 w.T("colour-compare-about", nil),
		Long:                  w.T("colour-compare-about-long", nil),
		Example:               "  urdir colour compare \"#a2502a\" \"#a8553a\" --limit 2",
		DisableFlagsInUseLine: true,
		Args:                  arguments(2, 2),
		RunE: func(c *cobra.Command, args []string) error {
			s, err := readShades(args)
			if err != nil {
				return err
			}
			return a.compare(s[0], s[1], limit, c.Flags().Changed("limit"))
		},
	}
	c.Flags().Float64Var(&limit, "limit", float64(colour.DefaultLimit), w.T("colour-flag-limit", nil))
	c.Flags().Lookup("limit").DefValue = "" // nothing is judged unless it is given
	return c
}

// compare prints how a lot differs from its standard, and whether it passes if
// a limit was given.
func (a *app) compare(standard, lot shade, limit float64, judged bool) error {
	v, ps := colour.Judge(lot.lab, standard.lab, colour.DeltaE(limit))
	r := comparison{
		Standard: standard, Lot: lot, Difference: decimal(v.Difference), Straight: decimal(colour.DifferenceAB(standard.lab, lot.lab)),
		Lightness: decimal(v.Parts.L), Chroma: decimal(v.Parts.C), Hue: decimal(v.Parts.H), Ways: append([]colour.Way{}, v.Ways...),
	}
	var found stopped
	if judged {
		most := decimal(limit)
		r.Limit, r.Accepted = &most, &v.Accepted
		for _, p := range ps {
			found = append(found, located{File: "--limit", Problem: p})
		}
	}
	if judged && !v.Judged() {
		return found
	}
	r.Problems = a.problems(found)
	if a.json {
		if err := a.printJSON(r); err != nil {
			return err
		}
	} else {
		a.printComparison(r)
		a.tell(found)
	}
	if judged && !v.Accepted {
		return errTold
	}
	return nil
}

// printComparison prints a comparison for a person.
func (a *app) printComparison(r comparison) {
	w := a.words
	t := table{indent: 2, numbers: true}
	a.shadeHeads(&t)
	a.addShade(&t, w.T("colour-standard", nil), r.Standard)
	a.addShade(&t, w.T("colour-lot", nil), r.Lot)
	t.print(a.out)

	t = table{indent: 2, numbers: true}
	t.add(w.T("colour-ciede2000", nil), w.Fixed(float64(r.Difference), 2))
	t.add(w.T("colour-cielab", nil), w.Fixed(float64(r.Straight), 2))
	t.add(w.T("colour-part-l", nil), w.Fixed(float64(r.Lightness), 2))
	t.add(w.T("colour-part-c", nil), w.Fixed(float64(r.Chroma), 2))
	t.add(w.T("colour-part-h", nil), w.Fixed(float64(r.Hue), 2))
	fmt.Fprintln(a.out)
	t.print(a.out)
	if len(r.Ways) > 0 {
		var ways []string
		for _, way := range r.Ways {
			ways = append(ways, w.T("colour-way-"+string(way), nil))
		}
		fmt.Fprintf(a.out, "\n%s\n", w.T("colour-ways", check.Args{"ways": strings.Join(ways, ", ")}))
	}
	if r.Accepted != nil && *r.Accepted {
		fmt.Fprintf(a.out, "\n%s\n", w.T("colour-accepted", check.Args{"limit": float64(*r.Limit)}))
	}
}
