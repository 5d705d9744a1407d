package screen

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"urdir/check"
	"urdir/measure"
	"urdir/plan"
	"urdir/yarn"
)

// lotMark stands before the number of a lot where a yarn of the cloth could be
// named: the lot becomes a yarn of the cloth when it is used.
const lotMark = "lot:"

// is says whether a yarn of the cloth is of this lot: by its name and colour.
func (l Lot) is(y plan.Yarn) bool {
	return strings.EqualFold(l.Label, y.Label) && strings.EqualFold(l.Colour, y.Colour)
}

// offer is the lots that are not in the cloth yet.
func (d *Desk) offer() []Chip {
	out := []Chip{}
	for _, l := range d.bench.Lots {
		if !slices.ContainsFunc(d.steps.Now().Yarns, l.is) {
			out = append(out, Chip{Yarn: lotMark + l.ID, Letter: l.Letter, Colour: l.Colour, Label: l.Label})
		}
	}
	return out
}

// with is a cloth that has the yarn named, and the key it has there.
func (d *Desk) with(c plan.Cloth, name string) (plan.Cloth, string, check.Problems) {
	id, isLot := strings.CutPrefix(name, lotMark)
	if !isLot {
		return c, name, nil
	}
	var ps check.Problems
	i := slices.IndexFunc(d.bench.Lots, func(l Lot) bool { return l.ID == id })
	if i < 0 {
		ps.Wrong("", "yarn-unknown", check.Args{"yarn": name, "known": strings.Join(keys(c.Yarns), ", ")})
		return c, "", ps
	}
	l := d.bench.Lots[i]
	if i := slices.IndexFunc(c.Yarns, l.is); i >= 0 {
		return c, c.Yarns[i].Key, nil
	}
	y := plan.NewYarn(newKey(keys(c.Yarns), l.Label))
	y.Label, y.Letter, y.Colour, y.Fibre, y.Skein = l.Label, freeLetter(c.Yarns, l.Letter), l.Colour, l.Fibre, measure.Gram(l.Skein)
	count, err := yarn.ParseCount(l.Count)
	if err != nil {
		ps.Wrong("", "desk-lot-count", check.Args{"lot": l.Label, "count": l.Count})
		return c, "", ps
	}
	y.Spec.Count = count
	for _, o := range c.Yarns { // wound as its like is
		if o.Spec.Count == count {
			y.Spec.Strands = o.Spec.Strands
			break
		}
	}
	c.Yarns = append(slices.Clone(c.Yarns), y)
	return c, y.Key, nil
}

// newColour is a yarn like another in a colour still to be dyed; of a recipe it
// has that one's colour, and its name unless another was typed.
func newColour(d *Desk, q Request) (plan.Cloth, check.Problems) {
	var ps check.Problems
	c := d.steps.Now()
	i := slices.IndexFunc(c.Yarns, func(y plan.Yarn) bool { return y.Key == q.Yarn })
	label, colour := strings.TrimSpace(q.Text), q.Kind
	r := slices.IndexFunc(d.bench.Recipes, func(r Recipe) bool { return r.Key == q.Dye })
	if r >= 0 {
		colour = d.bench.Recipes[r].Colour
		if label == "" {
			label = d.bench.Recipes[r].Shade
		}
	}
	switch {
	case i < 0:
		ps.Wrong("", "yarn-unknown", check.Args{"yarn": q.Yarn, "known": strings.Join(keys(c.Yarns), ", ")})
	case label == "":
		ps.Wrong("", "desk-colour-name", nil)
	case q.Dye != "" && r < 0:
		ps.Wrong("", "dye-recipe-gone", check.Args{"recipe": q.Dye})
	}
	if ps.Failed() {
		return c, ps
	}
	y := c.Yarns[i]
	y.Key, y.Label, y.Letter, y.Colour = newKey(keys(c.Yarns), label), label, "", colour
	y.Dye, y.Share = q.Dye, 0
	c.Yarns = append(slices.Clone(c.Yarns), y)
	return c, nil
}

func keys(all []plan.Yarn) []string {
	out := make([]string, len(all))
	for i, y := range all {
		out[i] = y.Key
	}
	return out
}

// newKey makes a key for the cloth file of a name, another than those there are.
func newKey(taken []string, name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case unicode.IsLetter(r) || b.Len() > 0 && unicode.IsDigit(r):
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	base := strings.Trim(b.String(), "-")
	if base == "" {
		base = "yarn"
	}
	key := base
	for n := 2; slices.Contains(taken, key); n++ {
		key = fmt.Sprint(base, "-", n)
	}
	return key
}

// freeLetter is a letter unless a yarn has it; the plan then chooses another.
func freeLetter(all []plan.Yarn, letter string) string {
	if slices.ContainsFunc(all, func(y plan.Yarn) bool { return strings.EqualFold(y.Letter, letter) }) {
		return ""
	}
	return letter
}
