package main

import (
	"strconv"

	"github.com/spf13/cobra"

	"urdir/check"
	"urdir/colour"
)

func newColourCommand(a *app) *cobra.Command {
	w := a.words
	c := &cobra.Command{
		Use:   "colour",
		Short: w.T("colour-about", nil),
		Long:  w.T("colour-about-long", nil),
		Example: `  urdir colour compare "#a2502a" "48, 33, 36" --limit 2
  urdir colour rate 23406e 3a5580`,
		DisableFlagsInUseLine: true,
		Args: func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				return unknownCommand(c, args[0])
			}
			return nil
		},
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(newCompareCommand(a), newRateCommand(a), newNearestCommand(a))
	return c
}

// shade is a colour as typed, and its JSON. SRGB is the nearest a screen can
// show of it.
type shade struct {
	Text      string      `json:"given"`
	Lightness decimal     `json:"cielab_l"`
	A         decimal     `json:"cielab_a"`
	B         decimal     `json:"cielab_b"`
	Chroma    decimal     `json:"cielab_chroma"`
	Hue       decimal     `json:"cielab_hue_deg"`
	SRGB      colour.SRGB `json:"srgb"`
	Inside    bool        `json:"in_srgb"`
	Given     decimal     `json:"chroma_given_up"`

	lab colour.Lab
}

// decimal is rounded to four places in JSON: as CIEDE2000 is published.
type decimal float64

func (d decimal) MarshalJSON() ([]byte, error) {
	text := strconv.FormatFloat(float64(d), 'f', 4, 64)
	v, err := strconv.ParseFloat(text, 64)
	if v == 0 {
		v = 0 // never "-0"
	}
	return strconv.AppendFloat(nil, v, 'f', -1, 64), err
}

// readShades reads colours; everything that cannot be read is reported at once.
func readShades(args []string) ([]shade, error) {
	var out []shade
	var found stopped
	for _, text := range args {
		c, err := colour.Parse(text)
		found = append(found, unread("", err)...)
		out = append(out, newShade(text, c))
	}
	if len(found) > 0 {
		return nil, found
	}
	return out, nil
}

func newShade(text string, c colour.Lab) shade {
	s, h := c.Show(), c.LCh()
	return shade{
		Text: text, Lightness: decimal(c.L), A: decimal(c.A), B: decimal(c.B), Chroma: decimal(h.C), Hue: decimal(h.H),
		SRGB: s.SRGB, Inside: s.Inside, Given: decimal(s.Given), lab: c,
	}
}

// addShade adds a row for a colour: its name, what a screen shows of it, and its
// figures.
func (a *app) addShade(t *table, name string, s shade) {
	w := a.words
	row := []string{name, s.SRGB.String()}
	for _, v := range []decimal{s.Lightness, s.A, s.B, s.Chroma, s.Hue} {
		row = append(row, w.Fixed(float64(v), 1))
	}
	if !s.Inside {
		row = append(row, w.T("colour-outside", check.Args{"chroma": w.Num(float64(s.Given), 1)}))
	}
	t.add(row...)
}

// shadeHeads are the heads over the rows of addShade.
func (a *app) shadeHeads(t *table) {
	w := a.words
	t.add("", w.T("colour-column-screen", nil), "L*", "a*", "b*", w.T("colour-column-chroma", nil), w.T("colour-column-hue", nil))
}
