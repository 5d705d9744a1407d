package web

import (
	"slices"
	"strings"

	"urdir/internal/workshop"
)

// tokensView is a person's own tokens.
type tokensView struct {
	Tokens []workshop.Token
	Areas  []areaChoice
	Key    string // of a new one, shown once
}

// areaChoice is an area, and what of it she may give to a token: nothing, to read, to
// write.
type areaChoice struct {
	Name    string
	Choices []string
}

// tokenDays is how long a token may hold, to choose from.
var tokenDays = map[string]int{"month": 30, "season": 90, "year": workshop.TokenDays}

func (v *visit) tokens() (out tokensView, err error) {
	may := v.Person.MayGive()
	for _, a := range workshop.Areas {
		c := areaChoice{a.Name, []string{""}}
		for _, do := range []string{"read", "write"} {
			if slices.Contains(may, a.Name+":"+do) {
				c.Choices = append(c.Choices, do)
			}
		}
		if len(c.Choices) > 1 {
			out.Areas = append(out.Areas, c)
		}
	}
	out.Tokens, err = v.s.house.Tokens(v.r.Context(), v.Person)
	return out, err
}

func tokensPage(v *visit) error {
	view, err := v.tokens()
	if err != nil {
		return err
	}
	return v.page("tokens", v.T("tokens"), view)
}

// makeToken shows a new token once.
func makeToken(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	view, err := v.tokens()
	if err != nil {
		return err
	}
	var scopes []string
	for _, a := range view.Areas {
		if do := f.text("area-" + a.Name); do != "" {
			scopes = append(scopes, a.Name+":"+do)
		}
	}
	if _, view.Key, err = v.s.house.MakeToken(v.r.Context(), v.Person, f.text("name"), scopes, tokenDays[f.text("days")]); err != nil {
		return v.again(err, "tokens", v.T("tokens"), view)
	}
	key := view.Key
	if view, err = v.tokens(); err != nil {
		return err
	}
	view.Key = key
	return v.page("tokens", v.T("tokens"), view)
}

// dropToken ends a token; one that has ended already is no matter.
func dropToken(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	err = v.s.house.DropToken(v.r.Context(), v.Person, f.text("token"))
	if err != nil && workshop.CodeOf(err) != workshop.NotFound {
		return err
	}
	return v.to("/me/tokens", "token-dropped")
}

// ScopesSaid is what a token may do, in words.
func (v *visit) ScopesSaid(scopes string) string {
	var out []string
	for s := range strings.FieldsSeq(scopes) {
		area, do, _ := strings.Cut(s, ":")
		out = append(out, v.T("api-area-"+area)+" ("+v.T("scope-"+do)+")")
	}
	return strings.Join(out, "; ")
}
