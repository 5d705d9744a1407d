package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"urdir/colour"
)

// nearest is the result of colour nearest, and its JSON.
type nearest struct {
	Wish    shade  `json:"wish"`
	Colours []near `json:"nearest_first"`
}

type near struct {
	Place      int     `json:"place_in_list"` // from 1
	Difference decimal `json:"ciede2000"`
	Colour     shade   `json:"colour"`
}

func newNearestCommand(a *app) *cobra.Command {
	w := a.words
	return &cobra.Command{
		Use:                   "nearest " + w.T("colour-nearest-args", nil),
		Short:                 w.T("colour-nearest-about", nil),
		Long:                  w.T("colour-nearest-about-long", nil),
		Example:               "  urdir colour nearest \"#8c2f39\" \"#a2502a\" \"#7d2a3c\" \"#93343a\"",
		DisableFlagsInUseLine: true,
		Args:                  arguments(2, 10000),
		RunE: func(_ *cobra.Command, args []string) error {
			s, err := readShades(args)
			if err != nil {
				return err
			}
			return a.nearest(s[0], s[1:])
		},
	}
}

// nearest prints the colours of a list by how near they come to a wish.
func (a *app) nearest(wish shade, list []shade) error {
	w := a.words
	labs := make([]colour.Lab, len(list))
	for i, s := range list {
		labs[i] = s.lab
	}
	r := nearest{Wish: wish}
	for _, n := range colour.Nearest(wish.lab, labs) {
		r.Colours = append(r.Colours, near{n.Index + 1, decimal(n.Difference), list[n.Index]})
	}
	if a.json {
		return a.printJSON(r)
	}
	t := table{indent: 2, numbers: true}
	t.add("", w.T("colour-column-difference", nil), w.T("colour-column-screen", nil))
	t.add(w.T("colour-wish", nil), "", wish.SRGB.String())
	for _, n := range r.Colours {
		t.add(n.Colour.Text, w.Fixed(float64(n.Difference), 2), n.Colour.SRGB.String())
	}
	t.print(a.out)
	if best := r.Colours[0]; float64(best.Difference) > float64(colour.DefaultLimit) {
		fmt.Fprintf(a.out, "\n%s\n", w.T("colour-nearest-far", map[string]any{"limit": float64(colour.DefaultLimit)}))
	}
	return nil
}
