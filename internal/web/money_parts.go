package web

import (
	"fmt"
	"maps"

	"urdir/check"
	"urdir/internal/workshop"
	"urdir/price"
	"urdir/sheet"
)

// Floor is the caution that a price is below a floor, or nil.
func (m moneyView) Floor() *check.Problem {
	for i, p := range m.Problems {
		if p.Code == "price-below-floor" || p.Code == "price-below-cost" {
			return &m.Problems[i]
		}
	}
	return nil
}

// Would is the price that would do, where one is below a floor.
func (m moneyView) Would() workshop.Money {
	if p := m.Floor(); p != nil {
		if would, ok := p.Args["lowest"].(price.Money); ok {
			return would
		}
	}
	return workshop.Money{}
}

// Others is the cautions beside the floor's, with steps in words.
func (v *visit) Others(m moneyView) (out check.Problems) {
	seen := map[string]bool{}
	for _, p := range m.Problems {
		key := p.Code + fmt.Sprint(p.Args["step"])
		if name, ok := p.Args["name"].(string); ok {
			key += name
		}
		if p.Severity == check.Caution && p.Code != "price-below-floor" && !seen[key] {
			seen[key] = true
			if step, ok := p.Args["step"].(string); ok && v.Words.Has("paywork-"+step) {
				p.Args = maps.Clone(p.Args)
				p.Args["step"] = v.T("paywork-" + step)
			}
			out = append(out, p)
		}
	}
	return out
}

// StepName is what a line of the costs is called.
func (v *visit) StepName(kind price.Kind, name string) string {
	if kind == price.Labour && v.Words.Has("paywork-"+name) {
		name = v.T("paywork-" + name)
	}
	if name == "" {
		return v.T("cost-" + string(kind))
	}
	return v.T("cost-"+string(kind)) + ": " + name
}

// Hours is how long work took.
func (v *visit) Hours(minutes int64) string {
	return sheet.WorkTime(v.Words, minutes)
}

// barPart is a part of a price as a bar shows it: a thousand wide in all.
type barPart struct {
	price.Part
	X, W, Mid int
	Colour    string
	Letter    string
}

// Bar is where the money goes as parts of a bar, which add up to its whole width.
func (v *visit) Bar(parts []price.Part) (out []barPart) {
	weights := make([]int64, len(parts))
	for i, p := range parts {
		weights[i] = p.Amount.Minor
	}
	wide, ps := price.Split(price.Money{Minor: 1000}, weights)
	if ps.Failed() { // nothing to be shown
		return nil
	}
	x := 0
	for i, p := range parts {
		w := int(wide[i].Minor)
		out = append(out, barPart{p, x, w, x + w/2, hexColour(sheet.PartColour(parts, i)), sheet.PartLetter(i)})
		x += w
	}
	return out
}
