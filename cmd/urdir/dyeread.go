package main

import (
	"errors"
	"io/fs"
	"slices"
	"strings"
	"time"

	"urdir/check"
	"urdir/dye"
	"urdir/dye/recipes"
	"urdir/dyefile"
	"urdir/measure"
)

// recipe reads a recipe of the program, or a file.
func (a *app) recipe(name string) (dye.Recipe, dyefile.Source, check.Problems, error) {
	var text []byte
	var err error
	if slices.Contains(recipeKeys(), name) {
		text, err = fs.ReadFile(recipes.Files, name+".yaml")
	} else {
		text, err = a.read(name)
		if found, ok := errors.AsType[stopped](err); ok && found[0].Code == "file-not-found" {
			err = mistake("", "dye-recipe-unknown", check.Args{"text": name, "near": strings.Join(a.like(name), ", ")})
		}
	}
	if err != nil {
		return dye.Recipe{}, dyefile.Source{}, nil, err
	}
	r, source, ps := dyefile.Read(text)
	r.Key = strings.TrimSuffix(name, ".yaml")
	return r, source, ps, nil
}

// like is the recipes whose names share a word with what was typed: of their
// key, or of their name in the language spoken.
func (a *app) like(text string) (out []string) {
	words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return r == '-' || r == ' ' || r == '.' })
	for _, key := range recipeKeys() {
		b, err := fs.ReadFile(recipes.Files, key+".yaml")
		if err != nil {
			continue // as good as not there
		}
		r, _, _ := dyefile.Read(b)
		name := strings.ToLower(key + " " + r.Name.In(a.words.Tag))
		if slices.ContainsFunc(words, func(w string) bool { return len(w) > 3 && strings.Contains(name, w) }) {
			out = append(out, key)
		}
	}
	return out[:min(len(out), 6)]
}

// order reads the flags; everything that cannot be read is reported at once.
func (f dyeFlags) order() (o dye.Order, moon *dye.Moon, found stopped) {
	o = dye.Order{Mass: measure.Gram(f.grams), Skein: measure.Gram(f.skein), Place: dye.NewPlace()}
	o.Place.Open = f.open
	o.Place.Fuel.Kind = dye.FuelKind(f.fuel)
	read := func(where, text string, parse func(string) error) {
		if text != "" {
			found = append(found, unread(where, parse(text))...)
		}
	}
	var fill measure.Ratio
	read("--fill", f.fill, func(s string) (err error) { fill, err = measure.ParseShare(s); return err })
	for _, p := range f.pots {
		pot := dye.Pot{Fill: fill}
		read("--pot", p, func(s string) (err error) { pot.Litres, err = measure.ParseLitres(s); return err })
		o.Pots = append(o.Pots, pot)
	}
	read("--altitude", f.altitude, func(s string) error {
		h, err := measure.ParseLength(s)
		o.Place.Height = h.M()
		return err
	})
	read("--water", f.water, func(s string) (err error) { o.Place.Water, err = measure.ParseCelsius(s); return err })
	read("--air", f.air, func(s string) (err error) { o.Place.Air, err = measure.ParseCelsius(s); return err })
	read("--humidity", f.humidity, func(s string) (err error) { o.Place.Humidity, err = measure.ParseShare(s); return err })
	if o.Place.Fuel.Kind != dye.LPG {
		read("--moisture", f.moisture, func(s string) (err error) { o.Place.Fuel.Moisture, err = measure.ParseShare(s); return err })
	}
	read("--stove", f.stove, func(s string) (err error) { o.Place.Fuel.Stove, err = measure.ParseShare(s); return err })
	if f.fibre != "" {
		class, ok := dye.FibreOf(f.fibre)
		if !ok {
			found = append(found, located{File: "--fibre", Problem: check.Problem{Code: "dye-fibre", Args: check.Args{"text": f.fibre}}})
		}
		o.Fibre = class
	}
	if f.day != "" {
		var ahead measure.Minute
		read("--clock", f.clock, func(s string) (err error) { ahead, err = measure.ParseMinutes(s); return err })
		m, ok := moonOn(f.day, min(max(ahead, -measure.Day), measure.Day))
		if !ok {
			found = append(found, located{File: "--day", Problem: check.Problem{Code: "dye-day", Args: check.Args{"text": f.day}}})
		}
		moon = &m
	}
	return o, moon, found
}

// option is the flag a problem of the order came with.
var option = map[string]string{"mass": "--grams", "skein": "--skein", "pots": "--pot", "fibre": "--fibre", "height": "--altitude", "fuel": "--fuel",
	"moisture": "--moisture", "stove": "--stove", "water": "--water", "air": "--air", "humidity": "--humidity"}

// inRecipe gives each problem its line in the recipe, or the flag it came with.
func inRecipe(name string, source dyefile.Source, ps check.Problems) (out stopped) {
	for _, p := range ps {
		l := located{File: name, Problem: p}
		if rest, ok := strings.CutPrefix(p.Path, "order"); ok {
			rest, _, _ = strings.Cut(strings.TrimPrefix(rest, "."), "[")
			l.File = option[rest]
		} else if at, ok := source.Locate(p.Path); ok {
			l.Line, l.Column = at.Line, at.Column
		}
		out = append(out, l)
	}
	return out
}

// moonOn reads a day and gives its moon where clocks are so far ahead of
// universal time.
func moonOn(text string, ahead measure.Minute) (dye.Moon, bool) {
	d, err := time.Parse(time.DateOnly, text)
	if err != nil || d.Year() < 1900 || d.Year() > 2100 {
		return dye.Moon{}, false
	}
	return dye.MoonOn(dye.Day{Year: d.Year(), Month: int(d.Month()), Day: d.Day()}, ahead), true
}
