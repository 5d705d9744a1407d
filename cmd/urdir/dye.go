package main

import (
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"urdir/check"
	"urdir/dye"
	"urdir/dye/recipes"
	"urdir/dyefile"
	"urdir/measure"
)

// dyeFlags is what was typed.
type dyeFlags struct {
	grams, skein                      float64
	pots                              []string
	fill, fibre, altitude, day, clock string
	fuel, moisture, stove             string
	water, air, humidity, then        string
	open                              bool
	out, paper                        string
	measures                          []string
}

func newDyeCommand(a *app) *cobra.Command {
	var f dyeFlags
	w := a.words
	c := &cobra.Command{
		Use:   "dye " + w.T("dye-args", nil),
		Short: w.T("dye-about", nil),
		Long:  w.T("dye-about-long", nil),
		Example: `  urdir dye
  urdir dye madder-cotton --grams 800 --pot 40L --altitude 1200m
  urdir dye rubia.yaml --grams 2100 --skein 100 --pot 40L --pot 40L`,
		DisableFlagsInUseLine: true,
		Args:                  arguments(0, 1),
		ValidArgs:             recipeKeys(),
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return a.listRecipes()
			}
			return a.dye(args[0], f)
		},
	}
	flags := c.Flags()
	flags.Float64Var(&f.grams, "grams", 1000, w.T("dye-flag-grams", nil))
	flags.StringArrayVar(&f.pots, "pot", []string{"40L"}, w.T("dye-flag-pot", nil))
	flags.Float64Var(&f.skein, "skein", 0, w.T("dye-flag-skein", nil))
	flags.StringVar(&f.fill, "fill", percent(dye.DefaultFill), w.T("dye-flag-fill", nil))
	flags.StringVar(&f.fibre, "fibre", "", w.T("dye-flag-fibre", nil))
	flags.StringVar(&f.altitude, "altitude", "0m", w.T("dye-flag-altitude", nil))
	flags.StringVar(&f.water, "water", celsius(dye.DefaultWater), w.T("dye-flag-water", nil))
	flags.StringVar(&f.air, "air", celsius(dye.DefaultAir), w.T("dye-flag-air", nil))
	flags.StringVar(&f.humidity, "humidity", percent(dye.DefaultHumidity), w.T("dye-flag-humidity", nil))
	flags.StringVar(&f.fuel, "fuel", string(dye.Wood), w.T("dye-flag-fuel", nil))
	flags.StringVar(&f.moisture, "moisture", percent(dye.DefaultMoisture), w.T("dye-flag-moisture", nil))
	flags.StringVar(&f.stove, "stove", "", w.T("dye-flag-stove", nil))
	flags.BoolVar(&f.open, "open", false, w.T("dye-flag-open", nil))
	flags.StringVar(&f.day, "day", "", w.T("dye-flag-day", nil))
	flags.StringVar(&f.clock, "clock", "0h", w.T("dye-flag-clock", nil))
	flags.StringVar(&f.then, "then", "", w.T("dye-flag-then", nil))
	flags.StringVar(&f.out, "out", "", w.T("dye-flag-out", nil))
	flags.StringVar(&f.paper, "paper", "a4", w.T("plan-flag-paper", nil))
	flags.StringArrayVar(&f.measures, "measure", nil, w.T("dye-flag-measure", nil))
	return c
}

func percent(r measure.Ratio) string { return strconv.FormatFloat(float64(r)*100, 'f', -1, 64) + "%" }

func celsius(t measure.Celsius) string { return strconv.FormatFloat(float64(t), 'f', -1, 64) + "C" }

// recipeKeys names the recipes that come with the program.
func recipeKeys() []string {
	names, err := fs.Glob(recipes.Files, "*.yaml")
	if err != nil {
		return nil // the pattern is good
	}
	for i := range names {
		names[i] = strings.TrimSuffix(names[i], ".yaml")
	}
	return names
}

// dye prints a recipe made for a lot.
func (a *app) dye(name string, f dyeFlags) error {
	r, source, ps, err := a.recipe(name)
	if err != nil {
		return err
	}
	o, moon, more := f.order()
	found := append(inRecipe(name, source, ps), more...)
	sheets, more := a.dyerOptions(f)
	found = append(found, more...)
	both := r
	if f.then != "" {
		second, more, err := a.over(r, f.then, o)
		if err != nil {
			return err
		}
		both, found = second, append(found, more...)
	}
	if found.failed() {
		return append(found, besides(found, name, source, ps, r, o)...)
	}
	b, ps := dye.Make(r, o)
	if found = append(found, inRecipe(name, source, ps)...); ps.Failed() {
		return found
	}
	if f.then != "" {
		b, _ = dye.Make(both, o) // its problems are those of the two, told already
	}
	if f.out != "" {
		if err := writeDyer(f.out, b, sheets); err != nil {
			return err
		}
	}
	if a.json {
		return a.printJSON(dyeReport{dyeEntry: a.entry(both), Batch: b, Moon: moon, Problems: a.problems(found)})
	}
	a.printDye(b, o, moon)
	if f.out != "" {
		fmt.Fprintln(a.out, a.words.T("dye-written", check.Args{"dir": f.out}))
	}
	a.tell(found)
	return nil
}

// over is the first recipe with a second one after it, and what is wrong with
// the second.
func (a *app) over(first dye.Recipe, name string, o dye.Order) (dye.Recipe, stopped, error) {
	second, source, ps, err := a.recipe(name)
	if err != nil {
		return first, nil, err
	}
	found := inRecipe(name, source, ps)
	if ps.Failed() {
		return first, found, nil
	}
	_, ps = dye.Make(second, o)
	for _, l := range inRecipe(name, source, ps) {
		if !strings.HasPrefix(l.Path, "order") {
			found = append(found, l)
		}
	}
	both, ps := dye.Over(first, second)
	for _, p := range ps {
		found = append(found, located{File: "--then", Problem: p})
	}
	return both, found, nil
}

// besides is what else is wrong, where something could not be read: all that
// does not follow from that.
func besides(found stopped, name string, source dyefile.Source, read check.Problems, r dye.Recipe, o dye.Order) (out stopped) {
	_, ps := dye.Make(r, o)
	for _, l := range inRecipe(name, source, notDueTo(read, ps)) {
		about := func(f located) bool { return f.File == l.File }
		if !strings.HasPrefix(l.Path, "order") || !slices.ContainsFunc(found, about) {
			out = append(out, l)
		}
	}
	return out
}

// failed reports whether any of the problems is an error.
func (s stopped) failed() bool {
	return slices.ContainsFunc(s, func(l located) bool { return l.Severity == check.Error })
}

// dyeEntry is a recipe in the list.
type dyeEntry struct {
	Key    string    `json:"recipe"`
	Name   string    `json:"name"`
	Shade  string    `json:"shade"`
	Fibre  dye.Fibre `json:"fibre"`
	Colour string    `json:"colour,omitempty"`
}

// dyeReport is the result of the command as JSON.
type dyeReport struct {
	dyeEntry
	Batch    dye.Batch `json:"batch"`
	Moon     *dye.Moon `json:"moon,omitempty"`
	Problems []problem `json:"problems"`
}

func (a *app) entry(r dye.Recipe) dyeEntry {
	return dyeEntry{r.Key, r.Name.In(a.words.Tag), r.Shade.In(a.words.Tag), r.Fibre, r.Colour}
}

// listRecipes prints the recipes that come with the program.
func (a *app) listRecipes() error {
	var all []dyeEntry
	t := table{indent: 2}
	for _, key := range recipeKeys() {
		r, _, ps, err := a.recipe(key)
		if broken := errors.Join(err, ps.Err()); broken != nil {
			return broken
		}
		e := a.entry(r)
		all = append(all, e)
		t.add(e.Key, e.Name, e.Shade)
	}
	if a.json {
		return a.printJSON(map[string]any{"recipes": all})
	}
	fmt.Fprintln(a.out, a.heading("dye-list"))
	t.print(a.out)
	fmt.Fprintf(a.out, "\n%s\n%s\n", a.words.T("dye-sample", nil), a.words.T("dye-list-more", nil))
	return nil
}
