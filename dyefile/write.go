package dyefile

import (
	"maps"
	"slices"
	"strconv"

	"urdir/check"
	"urdir/dye"
	"urdir/internal/yamlfile"
	"urdir/measure"
)

// Write is the recipe file of a recipe: Read gives the recipe back. It is an
// error, in the words of check, if that would be longer than Read takes.
func Write(r dye.Recipe) ([]byte, error) {
	var p yamlfile.Parts
	p.Add("recipe", strconv.Itoa(Version))
	putWords(&p, "name", r.Name)
	putWords(&p, "shade", r.Shade)
	p.Text("colour", r.Colour, "")
	yamlfile.Put(&p, "fibre", r.Fibre, "", yamlfile.Word)
	yamlfile.Put(&p, "liquor", r.Liquor, 0, liquor)
	yamlfile.Put(&p, "left", r.Left, 0, share)
	p.Add("sample", yamlfile.YesNo(r.Sample))
	putWords(&p, "note", r.Note)
	p.AddLines("materials", yamlfile.Each(r.Materials, func(m *dye.Material) string { return m.Key }, writeMaterial))
	p.AddLines("steps", yamlfile.List(r.Steps, func(s dye.Step) string { return writeStep(&s).Lines() }))
	text := []byte(p.Lines() + "\n")
	if len(text) > MaxBytes {
		var ps check.Problems
		ps.Wrong("", "file-too-big", check.Args{"kilobytes": len(text) / 1024, "most": MaxBytes / 1024})
		return nil, ps.Err()
	}
	return text, nil
}

// putWords adds a text, or one for each language on a line of its own.
func putWords(p *yamlfile.Parts, name string, t dye.Text) {
	if s := t[""]; s != "" || len(t) == 0 {
		p.Prose(name, s)
		return
	}
	var each yamlfile.Parts
	for _, tag := range slices.Sorted(maps.Keys(t)) {
		each.Prose(tag, t[tag])
	}
	p.AddParts(name, each, yamlfile.Parts.Block)
}

func writeMaterial(m *dye.Material) (p yamlfile.Parts) {
	p.Text("latin", m.Latin, "")
	putWords(&p, "name", m.Name)
	yamlfile.Put(&p, "fresh", m.Fresh, false, yamlfile.YesNo)
	yamlfile.Put(&p, "toxic", m.Toxic, false, yamlfile.YesNo)
	return p
}

func writeStep(s *dye.Step) (p yamlfile.Parts) {
	yamlfile.Put(&p, "kind", s.Kind, "", yamlfile.Word)
	yamlfile.Put(&p, "next-day", s.NextDay, false, yamlfile.YesNo)
	yamlfile.Put(&p, "wait", s.Wait, 0, minutes)
	yamlfile.Put(&p, "same-bath", s.Same, false, yamlfile.YesNo)
	yamlfile.Put(&p, "liquor", s.Liquor, 0, liquor)
	yamlfile.Put(&p, "waters", s.Times, 0, strconv.Itoa)
	p.AddLines("amounts", yamlfile.List(s.Amounts, writeAmount))
	p.AddLines("heat", yamlfile.List(s.Heat, writeSegment))
	if s.Vat != nil {
		p.Add("vat", writeVat(s.Vat).Block())
	}
	yamlfile.Put(&p, "work", s.Work, 0, minutes)
	yamlfile.Put(&p, "stand", s.Stand, 0, minutes)
	if len(s.Hazards) > 0 {
		hazards := make([]string, len(s.Hazards))
		for i, h := range s.Hazards {
			hazards[i] = yamlfile.Word(h)
		}
		p.Add("hazards", yamlfile.InBrackets(hazards))
	}
	yamlfile.Put(&p, "waste", s.Waste, "", yamlfile.Word)
	putWords(&p, "note", s.Note)
	p.Prose("source", s.Source)
	return p
}

func writeAmount(a dye.Amount) string {
	var p yamlfile.Parts
	p.Text("what", a.What, "")
	yamlfile.Put(&p, "amount", a.Share, 0, share)
	yamlfile.Put(&p, "amount", a.PerLitre, 0, perLitre)
	yamlfile.Put(&p, "amount", a.MLPerLitre, 0, mlPerLitre)
	yamlfile.Put(&p, "amount", a.MLPerKG, 0, mlPerKG)
	yamlfile.Put(&p, "low", a.Low, 0, share)
	yamlfile.Put(&p, "high", a.High, 0, share)
	p.Text("source", a.Source, "")
	return p.Flow()
}

func writeSegment(g dye.Segment) string {
	var p yamlfile.Parts
	yamlfile.Put(&p, "from", g.From, 0, celsius)
	yamlfile.Put(&p, "to", g.To, 0, celsius)
	yamlfile.Put(&p, "rate", g.Rate, 0, rate)
	yamlfile.Put(&p, "hold", g.Hold, 0, minutes)
	return p.Flow()
}

func writeVat(v *dye.Vat) (p yamlfile.Parts) {
	p.Text("dye", v.Dye, "")
	yamlfile.Put(&p, "strength", v.Strength, 0, perLitre)
	p.AddLines("stock", yamlfile.List(v.Stock, writePart))
	yamlfile.Put(&p, "warm", v.Warm, 0, celsius)
	yamlfile.Put(&p, "dips", v.Dips, 0, strconv.Itoa)
	yamlfile.Put(&p, "dip", v.Dip, 0, minutes)
	yamlfile.Put(&p, "airing", v.Airing, 0, minutes)
	yamlfile.Put(&p, "pickup", v.Pickup, 0, liquor)
	p.Prose("source", v.Source)
	return p
}

func writePart(part dye.Part) string {
	var p yamlfile.Parts
	p.Text("what", part.What, "")
	p.Add("parts", yamlfile.Decimal(float64(part.Parts)))
	p.Text("source", part.Source, "")
	return p.Flow()
}

func share(v measure.Ratio) string     { return yamlfile.Quantity(v, measure.ParseShare, "%") }
func liquor(v measure.LPerKG) string   { return yamlfile.Quantity(v, measure.ParseLiquor, "L/kg") }
func minutes(v measure.Minute) string  { return yamlfile.Quantity(v, measure.ParseMinutes, "min") }
func celsius(v measure.Celsius) string { return yamlfile.Quantity(v, measure.ParseCelsius, "°C") }
func rate(v measure.CPerMin) string    { return yamlfile.Quantity(v, measure.ParseRate, "°C/min") }
func perLitre(v measure.PerLitre) string {
	return yamlfile.Quantity(v, measure.ParsePerLitre, "g/L")
}
func mlPerLitre(v measure.MLPerLitre) string {
	return yamlfile.Quantity(v, measure.ParseMLPerLitre, "mL/L")
}
func mlPerKG(v measure.MLPerKG) string { return yamlfile.Quantity(v, measure.ParseMLPerKG, "mL/kg") }
