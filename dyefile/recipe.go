package dyefile

import (
	"strings"
	"unicode"

	"github.com/goccy/go-yaml/ast"

	"urdir/check"
	"urdir/dye"
	"urdir/measure"
)

// recipe reads the whole file.
func (r *reader) recipe(n ast.Node, out *dye.Recipe) {
	version := 0
	r.mapping(n, "", map[string]read{
		"recipe": func(n ast.Node, path string) {
			version = Version // one problem is enough if it cannot be read
			r.count(&version)(n, path)
		},
		"name":      r.words(&out.Name),
		"shade":     r.words(&out.Shade),
		"colour":    r.colour(&out.Colour),
		"fibre":     choice(r, &out.Fibre, []dye.Fibre{dye.Cellulose, dye.Protein}),
		"liquor":    value(r, measure.ParseLiquor, &out.Liquor),
		"left":      value(r, measure.ParseShare, &out.Left),
		"sample":    r.yes(&out.Sample),
		"note":      r.words(&out.Note),
		"materials": func(n ast.Node, path string) { r.materials(n, path, out) },
		"steps": func(n ast.Node, path string) {
			r.list(n, path, func(n ast.Node, path string) {
				var s dye.Step
				r.step(n, path, &s)
				out.Steps = append(out.Steps, s)
			})
		},
	})
	if version != Version {
		r.ps.Wrong("recipe", "recipe-version", check.Args{"version": version, "want": Version})
	}
	if len(out.Name) == 0 {
		r.ps.Wrong("name", "recipe-no-name", nil)
	}
}

// words reads a text: one for everybody, or one for each language.
func (r *reader) words(to *dye.Text) read {
	return func(n ast.Node, path string) {
		if _, ok := n.(ast.MapNode); !ok {
			if s, ok := r.scalar(n, path); ok && s != "" {
				*to = dye.Text{"": s}
			}
			return
		}
		*to = dye.Text{}
		r.each(n, path, func(tag string, at, value ast.Node, path string) {
			if !isTag(tag) {
				r.note(path, at)
				r.ps.Wrong(path, "recipe-language", check.Args{"text": clip(tag)})
				return
			}
			if s, ok := r.scalar(value, path); ok && s != "" {
				(*to)[tag] = s
			}
		})
	}
}

// isTag says whether a key looks like a language: two or three letters (ISO 639).
func isTag(s string) bool {
	return (len(s) == 2 || len(s) == 3) && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz") == ""
}

// colour reads #rrggbb.
func (r *reader) colour(to *string) read {
	return func(n ast.Node, path string) {
		s, ok := r.scalar(n, path)
		if !ok {
			return
		}
		if len(s) != 7 || s[0] != '#' || strings.Trim(s[1:], "0123456789abcdefABCDEF") != "" {
			r.ps.Wrong(path, "recipe-colour", check.Args{"text": clip(s)})
			return
		}
		*to = s
	}
}

func (r *reader) materials(n ast.Node, path string, out *dye.Recipe) {
	r.each(n, path, func(key string, at, value ast.Node, path string) {
		if !goodKey(key) || dye.SubstanceOf(key) != nil {
			r.note(path, at)
			r.ps.Wrong(path, "recipe-key", check.Args{"key": clip(key)})
			return
		}
		m := dye.Material{Key: key}
		r.mapping(value, path, map[string]read{
			"latin": r.text(&m.Latin),
			"name":  r.words(&m.Name),
			"fresh": r.yes(&m.Fresh),
			"toxic": r.yes(&m.Toxic),
		})
		out.Materials = append(out.Materials, m)
	})
}

// goodKey says whether a name can stand for a material: letters, digits and
// hyphens, beginning with a letter.
func goodKey(s string) bool {
	for i, c := range s {
		if !unicode.IsLetter(c) && (i == 0 || !unicode.IsDigit(c) && c != '-') {
			return false
		}
	}
	return s != "" && len(s) <= 40
}

func (r *reader) step(n ast.Node, path string, s *dye.Step) {
	r.mapping(n, path, map[string]read{
		"kind":      choice(r, &s.Kind, dye.Kinds),
		"liquor":    value(r, measure.ParseLiquor, &s.Liquor),
		"same-bath": r.yes(&s.Same),
		"waters":    r.count(&s.Times),
		"work":      value(r, measure.ParseMinutes, &s.Work),
		"stand":     value(r, measure.ParseMinutes, &s.Stand),
		"next-day":  r.yes(&s.NextDay),
		"wait":      value(r, measure.ParseMinutes, &s.Wait),
		"waste":     choice(r, &s.Waste, dye.Wastes),
		"note":      r.words(&s.Note),
		"source":    r.text(&s.Source),
		"vat": func(n ast.Node, path string) {
			s.Vat = &dye.Vat{}
			r.vat(n, path, s.Vat)
		},
		"amounts": func(n ast.Node, path string) {
			r.list(n, path, func(n ast.Node, path string) {
				var a dye.Amount
				r.amount(n, path, &a)
				s.Amounts = append(s.Amounts, a)
			})
		},
		"heat": func(n ast.Node, path string) {
			r.list(n, path, func(n ast.Node, path string) {
				var g dye.Segment
				r.mapping(n, path, map[string]read{
					"from": value(r, measure.ParseCelsius, &g.From), "to": value(r, measure.ParseCelsius, &g.To),
					"rate": value(r, measure.ParseRate, &g.Rate), "hold": value(r, measure.ParseMinutes, &g.Hold),
				})
				s.Heat = append(s.Heat, g)
			})
		},
		"hazards": func(n ast.Node, path string) {
			r.list(n, path, func(n ast.Node, path string) {
				var h dye.Hazard
				if choice(r, &h, dye.Hazards)(n, path); h != "" {
					s.Hazards = append(s.Hazards, h)
				}
			})
		},
	})
}

func (r *reader) amount(n ast.Node, path string, a *dye.Amount) {
	r.mapping(n, path, map[string]read{
		"what":   r.text(&a.What),
		"amount": r.quantityOf(a),
		"low":    value(r, measure.ParseShare, &a.Low),
		"high":   value(r, measure.ParseShare, &a.High),
		"source": r.text(&a.Source),
	})
}

// quantityOf reads an amount by its unit.
func (r *reader) quantityOf(a *dye.Amount) read {
	return func(n ast.Node, path string) {
		s, ok := r.scalar(n, path)
		if !ok {
			return
		}
		var err error
		switch unit := strings.ToLower(s); {
		case strings.HasSuffix(unit, "ml/l"):
			a.MLPerLitre, err = measure.ParseMLPerLitre(s)
		case strings.HasSuffix(unit, "ml/kg"):
			a.MLPerKG, err = measure.ParseMLPerKG(s)
		case strings.HasSuffix(unit, "g/l"):
			a.PerLitre, err = measure.ParsePerLitre(s)
		default:
			a.Share, err = measure.ParseShare(s)
		}
		if pe, is := err.(*measure.ParseError); is { //nolint:errorlint // the parsers give it as it is
			pe.Want = "%, g/L, mL/L, mL/kg"
			r.quantity(path, pe)
		}
	}
}

func (r *reader) vat(n ast.Node, path string, v *dye.Vat) {
	r.mapping(n, path, map[string]read{
		"dye":      r.text(&v.Dye),
		"strength": value(r, measure.ParsePerLitre, &v.Strength),
		"warm":     value(r, measure.ParseCelsius, &v.Warm),
		"dips":     r.count(&v.Dips),
		"dip":      value(r, measure.ParseMinutes, &v.Dip),
		"airing":   value(r, measure.ParseMinutes, &v.Airing),
		"pickup":   value(r, measure.ParseLiquor, &v.Pickup),
		"source":   r.text(&v.Source),
		"stock": func(n ast.Node, path string) {
			r.list(n, path, func(n ast.Node, path string) {
				var p dye.Part
				r.mapping(n, path, map[string]read{"what": r.text(&p.What), "parts": r.number(&p.Parts), "source": r.text(&p.Source)})
				v.Stock = append(v.Stock, p)
			})
		},
	})
}
