package web

import (
	"errors"
	"net/http"
	"net/url"
	"strings"

	"urdir/check"
	"urdir/dyefile"
	"urdir/internal/workshop"
)

// recipeFormView is the text of a recipe on its way in.
type recipeFormView struct {
	workshop.RecipeView
	Found []lined
}

// blankRecipe is where a recipe of one's own begins.
const blankRecipe = `recipe: 1
name:
fibre: cellulose
liquor: 30 L/kg
sample: yes
materials:
  plant: {latin: , name: }
steps:
  - kind: mordant
    amounts:
      - {what: alum, amount: 15 %, source: }
    heat: [{to: 55 °C, hold: 90 min}]
    work: 20 min
  - kind: dye
    next-day: yes
    amounts:
      - {what: plant, amount: 50 %, source: }
    heat: [{to: 75 °C, hold: 60 min}]
    work: 20 min
  - kind: rinse
    waters: 2
    work: 15 min
  - kind: dry
    work: 20 min
`

func newRecipe(v *visit) error {
	view := recipeFormView{RecipeView: workshop.RecipeView{Text: blankRecipe}}
	if like := v.r.URL.Query().Get("like"); like != "" {
		r, err := v.s.house.Recipe(v.r.Context(), v.Person, like)
		if err != nil {
			return err
		}
		view.Text = r.Text
	}
	return v.page("recipe-form", v.T("recipe-new"), view)
}

func recipeForm(v *visit) error {
	r, err := v.s.house.Recipe(v.r.Context(), v.Person, v.r.PathValue("key"))
	if err != nil {
		return err
	}
	return v.page("recipe-form", v.titleOf("recipe-new", r.Key, v.Text(r.Recipe.Name)), recipeFormView{RecipeView: r})
}

// saveRecipe keeps a recipe, or only looks at it; what is wrong is said by line.
func saveRecipe(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	var was workshop.RecipeView
	if key := v.r.PathValue("key"); key != "" {
		if was, err = v.s.house.Recipe(v.r.Context(), v.Person, key); err != nil {
			return err
		}
	}
	text := strings.ReplaceAll(f.text("text"), "\r\n", "\n")
	sent, err := v.sent(f, "file", dyefile.MaxBytes)
	if err != nil {
		return err
	}
	if sent != "" {
		text = sent
	}
	was.Text = text
	title := v.titleOf("recipe-new", was.Key, v.Text(was.Recipe.Name))
	if err = f.err(); err != nil {
		return v.again(err, "recipe-form", title, recipeFormView{RecipeView: was})
	}
	revision := int64(0)
	if was.Own {
		revision = f.revision()
	}
	kept, err := v.s.house.SaveRecipe(v.r.Context(), v.Person, was.Key, revision, text)
	if err != nil {
		return v.recipeAgain(err, title, was, kept.Source)
	}
	return v.to("/recipes/"+url.PathEscape(kept.Key), "saved")
}

// recipeAgain shows a recipe that was refused.
func (v *visit) recipeAgain(wrong error, title string, r workshop.RecipeView, source dyefile.Source) error {
	view := recipeFormView{RecipeView: r}
	if e, ok := errors.AsType[*workshop.Error](wrong); ok && e.Code == workshop.Invalid {
		view.Found = inLines(e.Problems, source)
		e.Problems = check.Problems{{Path: "text", Severity: check.Error, Code: "recipe-wrong", Args: check.Args{"count": len(view.Found)}}}
		wrong = e
	}
	return v.again(wrong, "recipe-form", title, view)
}

func dropRecipe(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	r, err := v.s.house.Recipe(v.r.Context(), v.Person, v.r.PathValue("key"))
	if err != nil {
		return err
	}
	if err := v.s.house.DropRecipe(v.r.Context(), v.Person, r.Key, f.revision()); err != nil {
		return err
	}
	http.Redirect(v.w, v.r, "/recipes?dropped="+url.QueryEscape(r.Key), http.StatusSeeOther)
	return nil
}
