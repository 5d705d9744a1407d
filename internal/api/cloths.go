package api

import (
	"urdir/internal/workshop"
	"urdir/plan"
)

// ClothIn is a design: a cloth file, as docs/cloth-file.md describes it.
type ClothIn struct {
	Name string `json:"name" example:"Indigo scarf"`
	Kind string `json:"kind,omitempty" example:"scarf"`
	Note string `json:"note,omitempty" example:"The one of last spring, wider."`
	File string `json:"file" at:"text" example:"urdir: 1\nname: Indigo scarf\n"`
}

// Cloth is a design in its newest version. In lists it comes without its file.
type Cloth struct {
	Head
	Name    string `json:"name" example:"Indigo scarf"`
	Kind    string `json:"kind,omitempty" example:"scarf"`
	Note    string `json:"note,omitempty" example:"The one of last spring, wider."`
	Version int    `json:"version" example:"2"`
	File    string `json:"file,omitempty" example:"urdir: 1\nname: Indigo scarf\n"`
}

// Version is a cloth file as it was.
type Version struct {
	Version int    `json:"version" example:"1"`
	By      string `json:"by" example:"Amaranta"`
	At      string `json:"at" format:"date" example:"2031-05-06"`
	Note    string `json:"note,omitempty" example:"wider"`
	File    string `json:"file" example:"urdir: 1\nname: Indigo scarf\n"`
}

// Planned is the plan of a cloth for one piece, or why there is none.
type Planned struct {
	Plan     *plan.Plan `json:"plan"`
	Problems []Wrong    `json:"problems"`
}

// Figure is a chart of the library.
type Figure struct {
	Head
	Name    string `json:"name" example:"Heron"`
	File    string `json:"file,omitempty" example:"chart: |\n  .x.\n"`
	Origin  string `json:"origin,omitempty" example:"From the upper valley."`
	Meaning string `json:"meaning,omitempty" example:"The bird that waits."`
	Owner   string `json:"owner,omitempty" example:"The families of the upper valley"`
	Sale    string `json:"sale" enum:"yes,no,ask" example:"ask"`
	Ask     string `json:"ask,omitempty" example:"The council of elders"`
	Granted string `json:"granted,omitempty" example:"2031-03-01, the council"`
}

func clothOf(k workshop.Kept[workshop.Cloth]) Cloth {
	v := k.Value
	return Cloth{headOf(k), v.Name, v.Kind, v.Note, v.Version, v.Text}
}

func figureOf(k workshop.Kept[workshop.Figure]) Figure {
	v := k.Value
	return Figure{headOf(k), v.Name, v.Text, v.Origin, v.Meaning, v.Owner, v.Sale, v.Ask, v.Granted}
}

func clothOps() []op {
	save := func(a *asked, in ClothIn) (Cloth, error) {
		k, err := a.house.SaveCloth(a.Context(), a.person, workshop.Kept[workshop.Cloth]{ID: a.id(), Revision: a.revision,
			Value: workshop.Cloth{Name: in.Name, Kind: in.Kind, Note: in.Note, Text: in.File}})
		return clothOf(k), err
	}
	file := get("cloth-file", "/cloths/{id}/file", "Cloth", func(a *asked) (string, error) {
		k, _, err := a.house.Cloth(a.Context(), a.person, a.id(), 0)
		return k.Value.Text, err
	})
	file.text = "application/yaml"
	return []op{
		list("cloths", "/cloths", "Cloths", func(a *asked, p workshop.Page) ([]Cloth, string, error) {
			l, err := a.house.Cloths(a.Context(), a.person, p)
			return listed(l, err, func(k workshop.Kept[workshop.Cloth]) Cloth {
				k.Value.Text = ""
				return clothOf(k)
			})
		}, word("find", "indigo"), word("state", "scarf")),
		get("cloth", "/cloths/{id}", "Cloth", func(a *asked) (Cloth, error) {
			k, _, err := a.house.Cloth(a.Context(), a.person, a.id(), 0)
			return clothOf(k), err
		}),
		file,
		get("cloth-plan", "/cloths/{id}/plan", "Cloth", func(a *asked) (out Planned, _ error) {
			_, made, err := a.house.Cloth(a.Context(), a.person, a.id(), a.number("version", 0))
			out.Problems = append([]Wrong{}, inWords(a.words, made.Problems)...)
			if !made.Failed() {
				out.Plan = &made.Plan
			}
			return out, err
		}, whole("version", 1)),
		get("cloth-versions", "/cloths/{id}/versions", "Versions", func(a *asked) (Page[Version], error) {
			all, err := a.house.Versions(a.Context(), a.person, a.id())
			return Page[Version]{Items: each(all, func(k workshop.Kept[workshop.Version]) Version {
				v := k.Value
				return Version{v.N, v.By, v.At, v.Note, v.Text}
			})}, err
		}),
		change("new-cloth", "POST /cloths", "SaveCloth", matchNone, save),
		change("change-cloth", "PUT /cloths/{id}", "SaveCloth", matchMust, save),
		list("figures", "/figures", "Figures", func(a *asked, p workshop.Page) ([]Figure, string, error) {
			l, err := a.house.Figures(a.Context(), a.person, p)
			return listed(l, err, figureOf)
		}, word("find", "heron"), word("state", "ask", "yes", "no", "ask")),
		get("figure", "/figures/{id}", "Figure", func(a *asked) (Figure, error) {
			k, err := a.house.Figure(a.Context(), a.person, a.id())
			return figureOf(k), err
		}),
	}
}
