package workshop

import (
	"context"
	"errors"
	"io/fs"
	"maps"
	"slices"
	"strconv"
	"strings"
	"sync"

	"urdir/dye"
	"urdir/dye/recipes"
	"urdir/dyefile"
	"urdir/internal/store"
)

// RecipeView is a recipe with its file.
type RecipeView struct {
	Key      string
	Recipe   dye.Recipe
	Text     string
	Own      bool  // the workshop's; else it came with the program
	Shipped  bool  // one of this key came with the program
	Revision int64 // of the workshop's
	Source   dyefile.Source
}

// shipped is the recipes that come with the program, by their key.
var shipped = sync.OnceValue(func() map[string]RecipeView {
	out := map[string]RecipeView{}
	names, err := fs.Glob(recipes.Files, "*.yaml")
	if err != nil {
		panic(err) // the pattern is good
	}
	for _, name := range names {
		text, err := recipes.Files.ReadFile(name)
		if err != nil {
			panic(err) // it is in the program
		}
		v := readRecipe(strings.TrimSuffix(name, ".yaml"), string(text))
		v.Shipped = true
		out[v.Key] = v
	}
	return out
})

func readRecipe(key, text string) RecipeView {
	r, source, _ := dyefile.Read([]byte(text))
	r.Key = key
	return RecipeView{Key: key, Recipe: r, Text: text, Source: source}
}

func ownRecipe(k Kept[RecipeText]) RecipeView {
	v := readRecipe(k.ID, k.Value.Text)
	_, v.Shipped = shipped()[k.ID]
	v.Own, v.Revision = true, k.Revision
	return v
}

// recipe is the workshop's recipe of a key, or the one that came with the
// program.
func recipe(tx *store.Tx, key string) (RecipeView, error) {
	own, err := ownRecipes.get(tx, key)
	if err == nil {
		return ownRecipe(own), nil
	}
	if v, ok := shipped()[key]; ok && errors.Is(err, store.ErrNotFound) {
		return v, nil
	}
	return RecipeView{}, err
}

// allRecipes is every recipe by its key.
func allRecipes(tx *store.Tx) (map[string]RecipeView, error) {
	out := map[string]RecipeView{}
	maps.Copy(out, shipped())
	own, err := ownRecipes.list(tx, Page{}, false)
	for _, k := range own.Items {
		out[k.ID] = ownRecipe(k)
	}
	return out, err
}

// Recipes lists the recipes, the workshop's own first, each part by key.
func (h *House) Recipes(ctx context.Context, p Person) (out []RecipeView, _ error) {
	err := h.view(ctx, p, "Recipes", func(tx *store.Tx) error {
		all, err := allRecipes(tx)
		for _, v := range all {
			out = append(out, v)
		}
		slices.SortFunc(out, func(a, b RecipeView) int {
			if a.Own != b.Own {
				if a.Own {
					return -1
				}
				return 1
			}
			return strings.Compare(a.Key, b.Key)
		})
		return err
	})
	return out, err
}

// Recipe gives a recipe by its key.
func (h *House) Recipe(ctx context.Context, p Person, key string) (out RecipeView, err error) {
	err = h.view(ctx, p, "Recipe", func(tx *store.Tx) error {
		out, err = recipe(tx, key)
		return err
	})
	return out, err
}

// SaveRecipe keeps a recipe of the workshop's own. Without a key it is new and
// gets one of its name; a key of a shipped recipe makes the workshop's version
// of it. The problems say where in the file they stand.
func (h *House) SaveRecipe(ctx context.Context, p Person, key string, revision int64, text string) (out RecipeView, _ error) {
	if err := allowed(p, "SaveRecipe"); err != nil {
		return out, err
	}
	r, source, ps := dyefile.Read([]byte(text))
	out = RecipeView{Key: key, Recipe: r, Text: text, Own: true, Revision: revision, Source: source}
	err := h.update(ctx, p, "SaveRecipe", func(tx *store.Tx) error {
		set, err := readSettings(tx)
		if err != nil {
			return err
		}
		if !ps.Failed() {
			ps = append(ps, dye.Check(r, set.Value.Dye.Place.Height)...)
		}
		name := r.Name.In(set.Value.Language)
		short(&ps, "name", name, maxName)
		if name == "" && !ps.Failed() {
			ps.Wrong("name", "field-empty", nil)
		}
		if err = invalid(ps); err != nil {
			return err
		}
		if out.Key == "" {
			if out.Key, err = freeKey(tx, name); err != nil {
				return err
			}
		}
		kept, err := ownRecipes.put(tx, Kept[RecipeText]{ID: out.Key, Revision: revision, Value: RecipeText{Name: name, Text: text}})
		out.Revision = kept.Revision
		return err
	})
	out.Recipe.Key = out.Key
	return out, err
}

// DropRecipe takes the workshop's version of a recipe away; a shipped one of its
// key is used again.
func (h *House) DropRecipe(ctx context.Context, p Person, key string, revision int64) error {
	return h.update(ctx, p, "DropRecipe", func(tx *store.Tx) error {
		if _, err := ownRecipes.get(tx, key); err != nil {
			return err
		}
		return tx.Remove(ownRecipes.name, key, revision)
	})
}

// freeKey makes a key of a name that no recipe has.
func freeKey(tx *store.Tx, name string) (string, error) {
	all, err := allRecipes(tx)
	key := recipeKey(name)
	for n := 2; err == nil; n++ {
		if _, taken := all[key]; !taken {
			break
		}
		key = recipeKey(name) + "-" + strconv.Itoa(n)
	}
	return key, err
}

// recipeKey is a name in small letters and hyphens.
func recipeKey(name string) string {
	words := strings.FieldsFunc(Fold(name), func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') })
	key := strings.Join(words, "-")
	if key == "" {
		return "recipe"
	}
	return key[:min(len(key), 60)]
}

// whatOf is the thing itself that an amount of a recipe names: a substance, or
// the plant by its Latin name.
func whatOf(r dye.Recipe, what string) string {
	if m := r.Material(what); m != nil {
		return m.Latin
	}
	return what
}
