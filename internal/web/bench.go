package web

import (
	"urdir/internal/screen"
	"urdir/internal/workshop"
)

// designerWords are the words the designer's scripts need, without "design-".
var designerWords = []string{"unit", "width", "narrower", "wider", "yarn", "split", "join", "plain", "alternate", "add", "duplicate", "ungroup", "more", "fewer",
	"repeat", "mirror", "shuffle", "fill", "from-here", "before", "after", "remove", "away",
	"unit-ends", "unit-cm", "unit-parts", "unit-rest", "unit-fit", "add-band", "draw-it", "on-shelf", "no-recipe", "left-over", "photo-bad", "choose"}

// bench is what lies ready beside a cloth: the shelf, the library and the frame.
func (v *visit) bench() (out screen.Bench, err error) {
	lots, stock, err := v.s.house.Lots(v.r.Context(), v.Person, workshop.Page{})
	if err != nil {
		return out, err
	}
	for _, l := range lots.Items {
		x := l.Value
		out.Lots = append(out.Lots, screen.Lot{ID: l.ID, Label: x.Label, Letter: x.Letter, Colour: x.Colour, Fibre: x.Fibre, Count: x.Count,
			Skein: float64(x.Skein), Grams: float64(stock[l.ID].OnShelf)})
	}
	recipes, err := v.s.house.Recipes(v.r.Context(), v.Person)
	if err != nil {
		return out, err
	}
	for _, r := range recipes {
		if x := r.Recipe; x.Colour != "" {
			out.Recipes = append(out.Recipes, screen.Recipe{Key: r.Key, Name: x.Name.In(v.Words.Tag), Shade: x.Shade.In(v.Words.Tag), Colour: x.Colour, Fibres: string(x.Fibre)})
		}
	}
	figures, err := v.s.house.Figures(v.r.Context(), v.Person, workshop.Page{})
	if err != nil {
		return out, err
	}
	for _, f := range figures.Items {
		out.Figures = append(out.Figures, screen.Known{Key: f.Value.Key(), Name: f.Value.Name, Text: f.Value.Text, Sale: f.Value.Sale})
	}
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err == nil && len(set.Value.Frames) > 0 {
		out.Frame = set.Value.Frames[0].Text
	}
	return out, err
}
