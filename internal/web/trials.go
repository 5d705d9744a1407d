package web

import (
	"strings"

	"urdir/check"
	"urdir/colour"
	"urdir/internal/workshop"
)

// trialsView is a lot and how its colour stood tests.
type trialsView struct {
	workshop.LotStock
	Trials []workshop.Kept[workshop.Trial]
}

// TrialKinds and Grades are for forms.
func (v *visit) TrialKinds() []string { return workshop.Trials }

// Grades is described with TrialKinds, the best first; the first is none.
func (v *visit) Grades() []string {
	out := []string{""}
	for g := colour.Best; g >= colour.Worst; g-- {
		out = append(out, g.String())
	}
	return out
}

// Rated is how much two colours differ by the grey scale for a change of colour.
func (v *visit) Rated(t workshop.Trial) (r colour.Rating) {
	if t.Before == nil || t.After == nil {
		return r
	}
	return colour.RateChange(*t.Before, *t.After)
}

func trialsPage(v *visit) error { return v.trialsAgain(nil) }

func (v *visit) trialsAgain(wrong error) error {
	id := v.r.PathValue("id")
	l, _, err := v.s.house.Lot(v.r.Context(), v.Person, id)
	if err != nil {
		return err
	}
	story, err := v.s.house.Story(v.r.Context(), v.Person, id)
	if err != nil {
		return err
	}
	title, view := v.T("trials-of")+": "+l.Value.Label, trialsView{l, story.Trials}
	if wrong != nil {
		return v.again(wrong, "trials", title, view)
	}
	return v.page("trials", title, view)
}

func saveTrial(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	t := workshop.Trial{Lot: v.r.PathValue("id"), Kind: f.text("kind"), Day: f.text("day"), By: f.text("by"), How: f.text("how"), Note: f.text("note"),
		Before: f.labIf("before"), After: f.labIf("after"), Change: f.grade("change"), Staining: f.grade("staining")}
	if t.Before == nil && t.After != nil {
		f.ps.Wrong("before", "field-empty", nil)
	}
	if err = f.err(); err == nil {
		_, err = v.s.house.SaveTrial(v.r.Context(), v.Person, workshop.Kept[workshop.Trial]{Value: t})
	}
	if err != nil {
		return v.trialsAgain(err)
	}
	return v.to("/yarn/"+t.Lot+"/trials", "trial-kept")
}

// labIf reads a colour; nil if none was typed.
func (f *form) labIf(field string) *colour.Lab {
	if strings.TrimSpace(f.text(field)) == "" {
		return nil
	}
	c := f.colour(field)
	return &c
}

// grade reads a grade of a grey scale; 0 if none was chosen.
func (f *form) grade(field string) (g colour.Grade) {
	s := strings.TrimSpace(f.text(field))
	if s == "" {
		return 0
	}
	g, err := colour.ParseGrade(s)
	f.unread(field, err)
	if g == 0 && err == nil {
		f.ps.Wrong(field, "grade-value", check.Args{"text": cut(s)})
	}
	return g
}

// LabOf is a colour as a field takes it back; empty for none.
func (v *visit) LabOf(c *colour.Lab) string {
	if c == nil {
		return ""
	}
	return c.String()
}
