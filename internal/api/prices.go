package api

import "urdir/internal/workshop"

// PriceIn is a line of a price list.
type PriceIn struct {
	Name string `json:"name" example:"Indigo scarf"`
	List string `json:"list,omitempty" example:"fair"`
	Each Money  `json:"each" at:"price"`
	From string `json:"since,omitempty" at:"from" format:"date" example:"2031-05-06"`
	Note string `json:"note,omitempty" example:"With its bag."`
}

// Price is a line of a price list, as it is kept.
type Price struct {
	Head
	PriceIn
}

func priceOf(k workshop.Kept[workshop.Ware]) Price {
	v := k.Value
	return Price{headOf(k), PriceIn{v.Name, v.List, Money{v.Price.Minor, v.Price.Currency}, v.From, v.Note}}
}

func priceOps() []op {
	save := func(a *asked, in PriceIn) (Price, error) {
		k, err := a.house.SaveWare(a.Context(), a.person, workshop.Kept[workshop.Ware]{ID: a.id(), Revision: a.revision,
			Value: workshop.Ware{Name: in.Name, List: in.List, Price: in.Each.money(), From: in.From, Note: in.Note}})
		return priceOf(k), err
	}
	return []op{
		list("prices", "/prices", "Wares", func(a *asked, p workshop.Page) ([]Price, string, error) {
			l, err := a.house.Wares(a.Context(), a.person, p)
			return listed(l, err, priceOf)
		}, word("find", "scarf")),
		change("new-price", "POST /prices", "SaveWare", matchNone, save),
		change("change-price", "PUT /prices/{id}", "SaveWare", matchMust, save),
		change("drop-price", "DELETE /prices/{id}", "DropWare", matchMust, func(a *asked, _ nothing) (nothing, error) {
			return nothing{}, a.house.DropWare(a.Context(), a.person, a.id(), a.revision)
		}),
	}
}
