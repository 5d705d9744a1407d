package api

import (
	"time"

	"urdir/internal/workshop"
	"urdir/measure"
)

// LotIn is what is said of a lot of yarn.
type LotIn struct {
	Label    string  `json:"label" example:"Cotton 8/2 indigo"`
	Letter   string  `json:"letter,omitempty" example:"I"`
	Colour   string  `json:"colour" example:"#2b3f78"`
	Fibre    string  `json:"fibre,omitempty" example:"cotton"`
	Count    string  `json:"count,omitempty" example:"Ne 8/2"`
	SkeinG   float64 `json:"skein_g,omitempty" at:"skein" example:"100"`
	Dyed     string  `json:"dyed,omitempty" format:"date" example:"2031-04-20"`
	Waiting  bool    `json:"waiting,omitempty" example:"false"`
	Undyed   bool    `json:"undyed,omitempty" example:"false"`
	Note     string  `json:"note,omitempty" example:"Top shelf."`
	ReorderG float64 `json:"reorder_g,omitempty" at:"reorder" example:"500"`
}

// Lot is yarn of one kind and colour, and what there is of it.
type Lot struct {
	Head
	LotIn
	ShelfG float64 `json:"shelf_g" example:"1250"`
	OutG   float64 `json:"out_g" example:"300"`
	Worth  *Money  `json:"worth,omitempty"`
}

// LotView is a lot with where its yarn went.
type LotView struct {
	Lot
	Moves []Move `json:"moves"`
}

// Move is yarn that went from one place to another.
type Move struct {
	At    time.Time `json:"at"`
	Act   string    `json:"act" example:"Receive"`
	MassG float64   `json:"mass_g" example:"500"`
	From  string    `json:"from" example:"outside"`
	To    string    `json:"to" example:"shelf"`
}

// Received is yarn that came in.
type Received struct {
	MassG float64 `json:"mass_g" at:"grams" example:"500"`
	Cost  *Money  `json:"cost,omitempty"`
}

// Mass is an amount of yarn.
type Mass struct {
	MassG float64 `json:"mass_g" at:"grams" example:"20"`
}

// Supply is something for dyeing, and what there is of it.
type Supply struct {
	Head
	What    string  `json:"what" example:"alum"`
	Name    string  `json:"name,omitempty" example:"alumbre"`
	Day     string  `json:"day,omitempty" format:"date" example:"2031-03-01"`
	Expires string  `json:"expires,omitempty" format:"date" example:"2032-03-01"`
	Note    string  `json:"note,omitempty" example:"Dry jar."`
	ShelfG  float64 `json:"shelf_g" example:"2000"`
	Expired bool    `json:"expired" example:"false"`
}

// SupplyIn is a supply that was bought or gathered.
type SupplyIn struct {
	What    string  `json:"what" example:"alum"`
	Name    string  `json:"name,omitempty" example:"alumbre"`
	Day     string  `json:"day,omitempty" format:"date" example:"2031-03-01"`
	Expires string  `json:"expires,omitempty" format:"date" example:"2032-03-01"`
	Note    string  `json:"note,omitempty" example:"Dry jar."`
	MassG   float64 `json:"mass_g" at:"grams" example:"2000"`
	From    string  `json:"from,omitempty" example:"The market"`
	Cost    *Money  `json:"cost,omitempty"`
}

func lotOf(s workshop.LotStock) Lot {
	v := s.Value
	return Lot{headOf(s.Kept), LotIn{v.Label, v.Letter, v.Colour, v.Fibre, v.Count, float64(v.Skein), v.Dyed, v.Waiting, v.Dye.Undyed, v.Note, float64(v.Reorder)},
		float64(s.OnShelf), float64(s.Out), moneyOf(s.Worth)}
}

// lot gives a lot as it is now.
func (a *asked) lot(id string) (LotView, error) {
	s, moves, err := a.house.Lot(a.Context(), a.person, id)
	return LotView{lotOf(s), each(moves, func(m workshop.Move) Move {
		return Move{m.At, m.Act, float64(m.Milligrams) / 1000, m.From, m.To}
	})}, err
}

func saveLot(a *asked, in LotIn) (out LotView, _ error) {
	v := workshop.Lot{Label: in.Label, Letter: in.Letter, Colour: in.Colour, Fibre: in.Fibre, Count: in.Count, Skein: measure.Gram(in.SkeinG), Dyed: in.Dyed,
		Waiting: in.Waiting, Note: in.Note, Reorder: measure.Gram(in.ReorderG), Dye: workshop.LotDye{Undyed: in.Undyed}}
	k, err := a.house.SaveLot(a.Context(), a.person, workshop.Kept[workshop.Lot]{ID: a.id(), Revision: a.revision, Value: v})
	if err != nil {
		return out, err
	}
	return a.lot(k.ID)
}

// count says how much of a lot lies on the shelf: the difference to the books comes in
// or goes to waste.
func count(a *asked, in Mass) (out LotView, _ error) {
	v, err := a.lot(a.id())
	if err != nil {
		return out, err
	}
	switch more := in.MassG - v.ShelfG; {
	case in.MassG < 0:
		err = a.house.Receive(a.Context(), a.person, a.id(), measure.Gram(in.MassG), workshop.Money{}, "") // which says what is wrong with it
	case more > 0.0005:
		err = a.house.Receive(a.Context(), a.person, a.id(), measure.Gram(more), workshop.Money{}, "")
	case more < -0.0005:
		err = a.house.Discard(a.Context(), a.person, a.id(), measure.Gram(-more))
	}
	if err != nil {
		return out, err
	}
	return a.lot(a.id())
}

var aLot = thing[workshop.Lot, Lot]{path: "/yarn/{id}", now: func(a *asked) (workshop.Kept[workshop.Lot], error) {
	s, _, err := a.house.Lot(a.Context(), a.person, a.id())
	return s.Kept, err
}}

func yarnOps() []op {
	return []op{
		list("yarn", "/yarn", "Lots", func(a *asked, p workshop.Page) ([]Lot, string, error) {
			l, stock, err := a.house.Lots(a.Context(), a.person, p)
			return listed(l, err, func(k workshop.Kept[workshop.Lot]) Lot { return lotOf(stock[k.ID]) })
		}, word("find", "indigo"), word("state", "ready", "ready", "waiting")),
		get("lot", "/yarn/{id}", "Lot", func(a *asked) (LotView, error) { return a.lot(a.id()) }),
		change("new-lot", "POST /yarn", "SaveLot", matchNone, saveLot),
		change("change-lot", "PUT /yarn/{id}", "SaveLot", matchMust, saveLot),
		change("receive-yarn", "POST /yarn/{id}/receive", "Receive", matchNone, func(a *asked, in Received) (out LotView, _ error) {
			if err := a.house.Receive(a.Context(), a.person, a.id(), measure.Gram(in.MassG), in.Cost.money(), ""); err != nil {
				return out, err
			}
			return a.lot(a.id())
		}),
		change("waste-yarn", "POST /yarn/{id}/waste", "Discard", matchNone, func(a *asked, in Mass) (out LotView, _ error) {
			if err := a.house.Discard(a.Context(), a.person, a.id(), measure.Gram(in.MassG)); err != nil {
				return out, err
			}
			return a.lot(a.id())
		}),
		change("count-yarn", "POST /yarn/{id}/count", "Receive", matchNone, count),
		change("colour-lot", "PUT /yarn/{id}/colour", "ColourLot", matchMay, func(a *asked, in ColourIn) (out LotView, _ error) {
			n, err := aLot.version(a)
			if err == nil {
				_, err = a.house.ColourLot(a.Context(), a.person, a.id(), n, in.lab(), in.How)
			}
			if err != nil {
				return out, err
			}
			return a.lot(a.id())
		}),
		get("supplies", "/supplies", "Supplies", func(a *asked) (Page[Supply], error) {
			groups, err := a.house.Supplies(a.Context(), a.person)
			out := Page[Supply]{Items: []Supply{}}
			for _, g := range groups {
				out.Items = append(out.Items, each(g.Bags, supplyOf)...)
			}
			return out, err
		}),
		get("supply", "/supplies/{id}", "Supply", func(a *asked) (Supply, error) {
			v, err := a.house.Supply(a.Context(), a.person, a.id())
			return supplyOf(v.SupplyStock), err
		}),
		change("buy-supply", "POST /supplies", "Buy", matchNone, func(a *asked, in SupplyIn) (out Supply, _ error) {
			k, err := a.house.Buy(a.Context(), a.person, workshop.Kept[workshop.Supply]{Value: workshop.Supply{What: in.What, Name: in.Name, Day: in.Day, Expires: in.Expires, Note: in.Note}},
				workshop.Purchase{Day: in.Day, Mass: measure.Gram(in.MassG), From: in.From, Cost: in.Cost.money()})
			if err != nil {
				return out, err
			}
			v, err := a.house.Supply(a.Context(), a.person, k.ID)
			return supplyOf(v.SupplyStock), err
		}),
	}
}

func supplyOf(s workshop.SupplyStock) Supply {
	v := s.Value
	return Supply{headOf(s.Kept), v.What, v.Name, v.Day, v.Expires, v.Note, float64(s.OnShelf), s.Expired}
}
