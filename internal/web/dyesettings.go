package web

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"urdir/check"
	"urdir/colour"
	"urdir/dye"
	"urdir/internal/workshop"
	"urdir/measure"
)

// dyeSettings is what the dye house says of itself, as its form shows it.
type dyeSettings struct {
	workshop.Kept[workshop.Settings]
	House workshop.DyeHouse // with the defaults where it says nothing
	Boils measure.Celsius
	All   []stuff
}

// dyeSettingsOf gathers what the form shows of settings.
func (v *visit) dyeSettingsOf(k workshop.Kept[workshop.Settings]) (dyeSettings, error) {
	all, err := v.stuffs()
	house := k.Value.Dye.Filled()
	return dyeSettings{Kept: k, House: house, Boils: dye.BoilingPoint(house.Place.Height), All: all}, err
}

// Fuels is for forms.
func (v *visit) Fuels() []string { return []string{string(dye.Wood), string(dye.LPG)} }

func plainNumber(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

// Degrees is a temperature as fields show it, without its unit.
func (d dyeSettings) Degrees(t measure.Celsius) string { return plainNumber(float64(t)) }

// Kilos is what hangs on the line.
func (d dyeSettings) Kilos() string { return plainNumber(float64(d.House.Line) / 1000) }

// Ticked is which boxes are.
func (d dyeSettings) Ticked() []string {
	if d.House.Place.Open {
		return []string{"yes"}
	}
	return nil
}

// Hours is how far clocks are ahead.
func (d dyeSettings) Hours() string { return plainNumber(float64(d.House.Clock / measure.Hour)) }

// Share is a share in per cent; empty if it is not said.
func (d dyeSettings) Share(r measure.Ratio) string {
	if r == 0 {
		return ""
	}
	return strconv.FormatFloat(math.Round(float64(r)*1e6)/1e4, 'f', -1, 64)
}

// Height is in metres.
func (d dyeSettings) Height() string { return plainNumber(float64(d.House.Place.Height)) }

// Limit is the colour difference up to which a lot passes.
func (d dyeSettings) Limit() string { return plainNumber(float64(d.House.Limit)) }

// Waters, Measures and Reorder are a line each, as the form shows them.
func (d dyeSettings) Waters() string { return strings.Join(d.House.Waters, "\n") }

// Measures is described with Waters.
func (d dyeSettings) Measures() string {
	var b strings.Builder
	for _, m := range d.House.Measures {
		amount := plainNumber(float64(m.Mass)) + " g"
		if m.Volume > 0 {
			amount = plainNumber(float64(m.Volume)*1000) + " mL"
		}
		fmt.Fprintf(&b, "%s: %s = %s\n", stuffOf(d.All, m.What).Typed(), m.Name, amount)
	}
	return b.String()
}

// Reorder is described with Waters.
func (d dyeSettings) Reorder() string {
	var b strings.Builder
	for _, what := range slices.Sorted(maps.Keys(d.House.Reorder)) {
		fmt.Fprintf(&b, "%s: %s g\n", stuffOf(d.All, what).Typed(), plainNumber(float64(d.House.Reorder[what])))
	}
	return b.String()
}

func dyeSettingsPage(v *visit) error {
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	view, err := v.dyeSettingsOf(set)
	if err != nil {
		return err
	}
	return v.page("settings-dye", v.T("settings-dye"), view)
}

func saveDyeSettings(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	view, err := v.dyeSettingsOf(set)
	if err != nil {
		return err
	}
	set.Revision = f.revision()
	f.dyeHouse(&set.Value.Dye, view.All)
	if err = f.err(); err == nil {
		_, err = v.s.house.SaveSettings(v.r.Context(), v.Person, set)
	}
	if e, ok := errors.AsType[*workshop.Error](err); ok {
		for i, p := range e.Problems { // what is wrong with one line stands at their field
			e.Problems[i].Path, _, _ = strings.Cut(p.Path, "[")
		}
	}
	if err != nil {
		return v.again(err, "settings-dye", v.T("settings-dye"), view)
	}
	return v.to("/settings/dye", "saved")
}

// dyeHouse reads the form. What stands in no field stays as it is.
func (f *form) dyeHouse(d *workshop.DyeHouse, all []stuff) {
	d.Place.Height = quantity(f, "dye.height", " m", measure.ParseLength).M()
	d.Place.Water = quantity(f, "dye.water", " °C", measure.ParseCelsius)
	d.Place.Air = quantity(f, "dye.air", " °C", measure.ParseCelsius)
	d.Place.Humidity, d.Place.Open = f.percent("dye.humidity"), f.yes("dye.open")
	d.Place.Fuel = dye.Fuel{Kind: dye.FuelKind(f.text("dye.fuel")), Moisture: f.percent("dye.moisture"), Stove: f.percent("dye.stove")}
	d.Line, d.Lead = quantity(f, "dye.line", " kg", measure.ParseMass), f.whole("dye.lead")
	d.Limit = colour.DeltaE(f.number("dye.limit"))
	d.Clock = quantity(f, "dye.clock", " h", measure.ParseMinutes)
	d.Waters, d.Measures, d.Reorder = nil, nil, map[string]measure.Gram{}
	for line := range strings.Lines(f.text("dye.waters")) {
		if line = strings.TrimSpace(line); line != "" {
			d.Waters = append(d.Waters, line)
		}
	}
	for line := range strings.Lines(f.text("dye.measures")) {
		if line = strings.TrimSpace(line); line != "" {
			d.Measures = append(d.Measures, f.kitchen(line, all))
		}
	}
	for line := range strings.Lines(f.text("dye.reorder")) {
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		what, least, _ := strings.Cut(line, ":")
		m, err := massOf(least)
		if err != nil {
			f.ps.Wrong("dye.reorder", "reorder-line", check.Args{"text": line})
		}
		d.Reorder[stuffTyped(all, what)] = m
	}
}

// massOf reads a mass, or the volume of a liquid; a number by itself is grams.
func massOf(s string) (measure.Gram, error) {
	s = strings.TrimSpace(s)
	if strings.Trim(s, "0123456789.,") == "" {
		s += " g"
	}
	if l, err := measure.ParseLitres(s); err == nil {
		return measure.Gram(l * 1000), nil
	}
	return measure.ParseMass(s)
}

// kitchen reads a line: what, a colon, the name of the measure, an equals sign, and
// what it weighs or holds.
func (f *form) kitchen(line string, all []stuff) (k workshop.Kitchen) {
	what, rest, _ := strings.Cut(line, ":")
	name, amount, _ := strings.Cut(rest, "=")
	k = workshop.Kitchen{What: stuffTyped(all, what), Name: strings.TrimSpace(name)}
	amount = strings.TrimSpace(amount)
	var err error
	if k.Volume, err = measure.ParseLitres(amount); err != nil {
		k.Volume = 0
		k.Mass, err = massOf(amount)
	}
	if err != nil || k.What == "" || k.Name == "" {
		f.ps.Wrong("dye.measures", "kitchen-line", check.Args{"text": line})
	}
	return k
}

// number reads a number; empty is 0.
func (f *form) number(field string) float64 {
	s := strings.TrimSpace(f.text(field))
	if s == "" {
		return 0
	}
	n, code := measure.ParseNumber(s)
	if code != "" {
		f.ps.Wrong(field, code, check.Args{"text": s, "want": ""})
	}
	return n
}
