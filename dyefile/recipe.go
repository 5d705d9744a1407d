package dyefile

import (
	"errors"
	"strings"

	"urdir/check"
	"urdir/dye"
	"urdir/internal/yamlfile"
	"urdir/measure"
)

// toRecipe reads the whole file.
func toRecipe(r *dye.Recipe) func(*yamlfile.Node) {
	return func(n *yamlfile.Node) {
		fields{
			"recipe":    fileKind.CheckVersion,
			"name":      toWords(&r.Name),
			"shade":     toWords(&r.Shade),
			"colour":    toColour(&r.Colour),
			"fibre":     yamlfile.ToChoice(&r.Fibre, dye.Cellulose, dye.Protein),
			"liquor":    yamlfile.To(measure.ParseLiquor, &r.Liquor),
			"left":      yamlfile.To(measure.ParseShare, &r.Left),
			"sample":    yamlfile.ToYesNo(&r.Sample),
			"note":      toWords(&r.Note),
			"materials": toMaterials(&r.Materials),
			"steps":     yamlfile.ToList(&r.Steps, toStep),
		}.Read(n)
		if len(r.Name) == 0 {
			n.Part("name").Refuse("recipe-no-name", nil)
		}
	}
}

// toWords reads a text: one for everybody, or one for each language.
func toWords(to *dye.Text) func(*yamlfile.Node) {
	in := func(tag string) func(*yamlfile.Node) {
		return yamlfile.FromText(func(_ *yamlfile.Node, s string) {
			if s = strings.TrimSpace(s); s == "" {
				return
			}
			if *to == nil {
				*to = dye.Text{}
			}
			(*to)[tag] = s
		})
	}
	return func(n *yamlfile.Node) {
		if !n.IsMapping() {
			in("")(n)
			return
		}
		n.Each(func(n *yamlfile.Node) {
			if !isTag(n.Key()) {
				n.RefuseKey("recipe-language", check.Args{"text": yamlfile.Clip(n.Key())})
				return
			}
			in(n.Key())(n)
		})
	}
}

// isTag says whether a key looks like a language: two or three letters (ISO 639).
func isTag(s string) bool {
	return (len(s) == 2 || len(s) == 3) && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz") == ""
}

// toColour reads #rrggbb.
func toColour(to *string) func(*yamlfile.Node) {
	return yamlfile.FromText(func(n *yamlfile.Node, s string) {
		if len(s) != 7 || s[0] != '#' || strings.Trim(s[1:], "0123456789abcdefABCDEF") != "" {
			n.Refuse("recipe-colour", check.Args{"text": yamlfile.Clip(s)})
			return
		}
		*to = s
	})
}

// toMaterials reads what the recipe uses beyond the list of substances.
func toMaterials(to *[]dye.Material) func(*yamlfile.Node) {
	return func(n *yamlfile.Node) {
		n.Named(func(n *yamlfile.Node) {
			if dye.SubstanceOf(n.Key()) != nil {
				n.RefuseKey("recipe-key", check.Args{"key": n.Key()})
				return
			}
			m := dye.Material{Key: n.Key()}
			fields{
				"latin": yamlfile.ToText(&m.Latin),
				"name":  toWords(&m.Name),
				"fresh": yamlfile.ToYesNo(&m.Fresh),
				"toxic": yamlfile.ToYesNo(&m.Toxic),
			}.Read(n)
			*to = append(*to, m)
		})
	}
}

func toStep(s *dye.Step) func(*yamlfile.Node) {
	return fields{
		"kind":      yamlfile.ToChoice(&s.Kind, dye.Kinds...),
		"liquor":    yamlfile.To(measure.ParseLiquor, &s.Liquor),
		"same-bath": yamlfile.ToYesNo(&s.Same),
		"waters":    yamlfile.ToCount(&s.Times),
		"work":      yamlfile.To(measure.ParseMinutes, &s.Work),
		"stand":     yamlfile.To(measure.ParseMinutes, &s.Stand),
		"next-day":  yamlfile.ToYesNo(&s.NextDay),
		"wait":      yamlfile.To(measure.ParseMinutes, &s.Wait),
		"waste":     yamlfile.ToChoice(&s.Waste, dye.Wastes...),
		"note":      toWords(&s.Note),
		"source":    yamlfile.ToText(&s.Source),
		"vat":       toVat(&s.Vat),
		"amounts":   yamlfile.ToList(&s.Amounts, toAmount),
		"heat":      yamlfile.ToList(&s.Heat, toSegment),
		"hazards":   toHazards(&s.Hazards),
	}.Read
}

func toSegment(g *dye.Segment) func(*yamlfile.Node) {
	return fields{
		"from": yamlfile.To(measure.ParseCelsius, &g.From),
		"to":   yamlfile.To(measure.ParseCelsius, &g.To),
		"rate": yamlfile.To(measure.ParseRate, &g.Rate),
		"hold": yamlfile.To(measure.ParseMinutes, &g.Hold),
	}.Read
}

// toHazards leaves out a word that is none of them.
func toHazards(to *[]dye.Hazard) func(*yamlfile.Node) {
	return func(n *yamlfile.Node) {
		n.List(func(n *yamlfile.Node) {
			var h dye.Hazard
			if yamlfile.ToChoice(&h, dye.Hazards...)(n); h != "" {
				*to = append(*to, h)
			}
		})
	}
}

func toAmount(a *dye.Amount) func(*yamlfile.Node) {
	return fields{
		"what":   yamlfile.ToText(&a.What),
		"amount": toQuantityOf(a),
		"low":    yamlfile.To(measure.ParseShare, &a.Low),
		"high":   yamlfile.To(measure.ParseShare, &a.High),
		"source": yamlfile.ToText(&a.Source),
	}.Read
}

// toQuantityOf reads an amount by its unit.
func toQuantityOf(a *dye.Amount) func(*yamlfile.Node) {
	return yamlfile.FromText(func(n *yamlfile.Node, s string) {
		var err error
		switch unit := strings.ToLower(strings.TrimSpace(s)); {
		case strings.HasSuffix(unit, "ml/l"):
			a.MLPerLitre, err = measure.ParseMLPerLitre(s)
		case strings.HasSuffix(unit, "ml/kg"):
			a.MLPerKG, err = measure.ParseMLPerKG(s)
		case strings.HasSuffix(unit, "g/l"):
			a.PerLitre, err = measure.ParsePerLitre(s)
		default:
			a.Share, err = measure.ParseShare(s)
		}
		if pe, ok := errors.AsType[*measure.ParseError](err); ok {
			pe.Want = "%, g/L, mL/L, mL/kg"
		}
		if err != nil {
			n.Unread(err)
		}
	})
}

func toVat(to **dye.Vat) func(*yamlfile.Node) {
	return func(n *yamlfile.Node) {
		v := &dye.Vat{}
		*to = v
		fields{
			"dye":      yamlfile.ToText(&v.Dye),
			"strength": yamlfile.To(measure.ParsePerLitre, &v.Strength),
			"warm":     yamlfile.To(measure.ParseCelsius, &v.Warm),
			"dips":     yamlfile.ToCount(&v.Dips),
			"dip":      yamlfile.To(measure.ParseMinutes, &v.Dip),
			"airing":   yamlfile.To(measure.ParseMinutes, &v.Airing),
			"pickup":   yamlfile.To(measure.ParseLiquor, &v.Pickup),
			"source":   yamlfile.ToText(&v.Source),
			"stock":    yamlfile.ToList(&v.Stock, toPart),
		}.Read(n)
	}
}

func toPart(p *dye.Part) func(*yamlfile.Node) {
	return fields{
		"what":   yamlfile.ToText(&p.What),
		"parts":  yamlfile.ToNumber(&p.Parts),
		"source": yamlfile.ToText(&p.Source),
	}.Read
}
