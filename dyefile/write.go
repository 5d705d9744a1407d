package dyefile

import (
	"math"
	"slices"
	"strconv"

	"github.com/goccy/go-yaml"

	"urdir/dye"
)

// Write is the recipe file of a recipe: Read gives the recipe back.
func Write(r dye.Recipe) ([]byte, error) {
	m := fields{{Key: "recipe", Value: Version}}
	m.words("name", r.Name)
	m.words("shade", r.Shade)
	m.text("colour", r.Colour)
	m.text("fibre", string(r.Fibre))
	m.quantity("liquor", float64(r.Liquor), 1, "L/kg")
	m.quantity("left", float64(r.Left), 100, "%")
	m.add("sample", yesNo(r.Sample))
	m.words("note", r.Note)
	var materials fields
	for _, x := range r.Materials {
		var f fields
		f.text("latin", x.Latin)
		f.words("name", x.Name)
		f.flag("fresh", x.Fresh)
		f.flag("toxic", x.Toxic)
		materials.add(x.Key, yaml.MapSlice(f))
	}
	if len(materials) > 0 {
		m.add("materials", yaml.MapSlice(materials))
	}
	steps := make([]yaml.MapSlice, len(r.Steps))
	for i, s := range r.Steps {
		steps[i] = step(s)
	}
	m.add("steps", steps)
	return yaml.MarshalWithOptions(yaml.MapSlice(m), yaml.Indent(2), yaml.IndentSequence(true))
}

// fields is a mapping in the order it is written.
type fields yaml.MapSlice

func (m *fields) add(key string, v any) { *m = append(*m, yaml.MapItem{Key: key, Value: v}) }

func (m *fields) text(key, s string) {
	if s != "" {
		m.add(key, s)
	}
}

func (m *fields) flag(key string, is bool) {
	if is {
		m.add(key, "yes")
	}
}

func yesNo(is bool) string {
	if is {
		return "yes"
	}
	return "no"
}

// words writes a text, or one for each language by its tag.
func (m *fields) words(key string, t dye.Text) {
	if s, all := t[""]; all || len(t) == 0 {
		m.text(key, s)
		return
	}
	tags := make([]string, 0, len(t))
	for tag := range t {
		tags = append(tags, tag)
	}
	slices.Sort(tags)
	var f fields
	for _, tag := range tags {
		f.text(tag, t[tag])
	}
	if len(f) > 0 {
		m.add(key, yaml.MapSlice(f))
	}
}

// quantity writes a quantity that is not zero, with its unit.
func (m *fields) quantity(key string, v, per float64, unit string) {
	if v != 0 {
		m.add(key, number(v*per)+" "+unit)
	}
}

// number writes seven figures at most after the point: what a person wrote
// comes back, and not the last bits of a float.
func number(v float64) string {
	const places = 1e7
	return strconv.FormatFloat(math.Round(v*places)/places, 'f', -1, 64)
}

func step(s dye.Step) yaml.MapSlice {
	m := fields{{Key: "kind", Value: string(s.Kind)}}
	m.flag("next-day", s.NextDay)
	m.quantity("wait", float64(s.Wait), 1, "min")
	m.flag("same-bath", s.Same)
	m.quantity("liquor", float64(s.Liquor), 1, "L/kg")
	if s.Times != 0 {
		m.add("waters", s.Times)
	}
	var list []yaml.MapSlice
	for _, a := range s.Amounts {
		list = append(list, amount(a))
	}
	m.list("amounts", list)
	list = nil
	for _, g := range s.Heat {
		var f fields
		f.quantity("from", float64(g.From), 1, "°C")
		f.quantity("to", float64(g.To), 1, "°C")
		f.quantity("rate", float64(g.Rate), 1, "°C/min")
		f.quantity("hold", float64(g.Hold), 1, "min")
		list = append(list, yaml.MapSlice(f))
	}
	m.list("heat", list)
	if s.Vat != nil {
		m.add("vat", vat(*s.Vat))
	}
	m.quantity("work", float64(s.Work), 1, "min")
	m.quantity("stand", float64(s.Stand), 1, "min")
	if len(s.Hazards) > 0 {
		m.add("hazards", s.Hazards)
	}
	m.text("waste", string(s.Waste))
	m.words("note", s.Note)
	m.text("source", s.Source)
	return yaml.MapSlice(m)
}

func (m *fields) list(key string, items []yaml.MapSlice) {
	if len(items) > 0 {
		m.add(key, items)
	}
}

func amount(a dye.Amount) yaml.MapSlice {
	m := fields{{Key: "what", Value: a.What}}
	m.quantity("amount", float64(a.Share), 100, "%")
	m.quantity("amount", float64(a.PerLitre), 1, "g/L")
	m.quantity("amount", float64(a.MLPerLitre), 1, "mL/L")
	m.quantity("amount", float64(a.MLPerKG), 1, "mL/kg")
	m.quantity("low", float64(a.Low), 100, "%")
	m.quantity("high", float64(a.High), 100, "%")
	m.text("source", a.Source)
	return yaml.MapSlice(m)
}

func vat(v dye.Vat) yaml.MapSlice {
	m := fields{{Key: "dye", Value: v.Dye}}
	m.quantity("strength", float64(v.Strength), 1, "g/L")
	var list []yaml.MapSlice
	for _, p := range v.Stock {
		f := fields{{Key: "what", Value: p.What}, {Key: "parts", Value: number(float64(p.Parts))}}
		f.text("source", p.Source)
		list = append(list, yaml.MapSlice(f))
	}
	m.list("stock", list)
	m.quantity("warm", float64(v.Warm), 1, "°C")
	m.add("dips", v.Dips)
	m.quantity("dip", float64(v.Dip), 1, "min")
	m.quantity("airing", float64(v.Airing), 1, "min")
	m.quantity("pickup", float64(v.Pickup), 1, "L/kg")
	m.text("source", v.Source)
	return yaml.MapSlice(m)
}
