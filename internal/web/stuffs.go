package web

import (
	"strings"

	"urdir/check"
	"urdir/dye"
	"urdir/internal/workshop"
	"urdir/measure"
)

// stuff is what a supply can be: a substance, or a plant that recipes use.
type stuff struct {
	Key   string // as it is kept: key of a substance, or Latin name
	Name  string // in the page's language
	Latin string // empty for a substance
	Chem  *dye.Substance
	Toxic bool // a plant beyond the usual care
}

// Typed is what stands in a field for it: the substance's name, or the Latin one.
func (s stuff) Typed() string {
	if s.Latin != "" {
		return s.Latin
	}
	return s.Name
}

// Liquid says whether it is measured by volume.
func (s stuff) Liquid() bool { return s.Chem != nil && s.Chem.Liquid }

// stuffs is every substance and every plant that a recipe uses, by its name; read
// once for a page.
func (v *visit) stuffs() ([]stuff, error) {
	if v.all != nil {
		return v.all, nil
	}
	var out []stuff
	for i := range dye.Substances {
		s := &dye.Substances[i]
		out = append(out, stuff{Key: s.Key, Name: v.T("substance-" + s.Key), Chem: s})
	}
	recipes, err := v.s.house.Recipes(v.r.Context(), v.Person)
	if err != nil {
		return nil, err
	}
	seen := map[string]bool{"": true}
	for _, r := range recipes {
		for _, m := range r.Recipe.Materials {
			if !seen[m.Latin] {
				seen[m.Latin] = true
				out = append(out, stuff{Key: m.Latin, Name: v.Text(m.Name), Latin: m.Latin, Toxic: m.Toxic})
			}
		}
	}
	workshop.SortByName(out, func(s stuff) string { return s.Name })
	v.all = out
	return out, nil
}

// stuffOf finds what a supply is; what no recipe uses is as it was written.
func stuffOf(all []stuff, what string) stuff {
	for _, s := range all {
		if s.Key == what {
			return s
		}
	}
	return stuff{Key: what, Name: what, Latin: what}
}

// stuffTyped is the key of what was typed: a key, or a name in the page's language.
func stuffTyped(all []stuff, typed string) string {
	folded := workshop.Fold(strings.TrimSpace(typed))
	for _, s := range all {
		if folded == workshop.Fold(s.Key) || folded == workshop.Fold(s.Name) {
			return s.Key
		}
	}
	return strings.TrimSpace(typed)
}

// Held is how much there is of a supply: of a liquid a gram is a millilitre.
func (v *visit) Held(s stuff, m measure.Gram) string {
	if s.Liquid() {
		return v.S(measure.Litre(float64(m) / 1000))
	}
	return v.S(m)
}

// held reads how much of a supply; a number by itself is grams, or millilitres.
func (f *form) held(field string, s stuff) measure.Gram {
	if s.Liquid() {
		return measure.Gram(quantity(f, field, " mL", measure.ParseLitres) * 1000)
	}
	return f.grams(field)
}

// Cautions are the keys of what to mind where it is stored.
func (s stuff) Cautions() (out []string) {
	switch {
	case s.Chem != nil:
		for _, h := range s.Chem.Hazards {
			out = append(out, "hazard-"+string(h))
		}
	case s.Toxic:
		out = append(out, "hazard-"+string(dye.Poison))
	}
	return out
}

// HeavyMetal is the warning that goes with what is one.
func (v *visit) HeavyMetal(s stuff) check.Problems {
	var ps check.Problems
	if s.Chem != nil && s.Chem.Heavy {
		ps.Look("what", "dye-heavy-metal", check.Args{"what": s.Name})
	}
	return ps
}

// known fills in the substance of a key.
func (s stuff) known() stuff {
	s.Chem = dye.SubstanceOf(s.Key)
	return s
}
