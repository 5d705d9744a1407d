package api

import (
	"urdir/internal/workshop"
	"urdir/measure"
)

// OrderIn is what is said of an order. Once it is confirmed only its due date, its
// wishes and its deposit change.
type OrderIn struct {
	Customer string   `json:"customer" example:"wjpp4c2vkq3a"`
	Taken    string   `json:"taken,omitempty" format:"date" example:"2031-05-06"`
	Due      string   `json:"due,omitempty" format:"date" example:"2031-07-01"`
	Wishes   string   `json:"wishes,omitempty" example:"Softer than the last one."`
	Deposit  *Money   `json:"deposit,omitempty"`
	Lines    []LineIn `json:"lines"`
}

// LineIn is some pieces of one cloth.
type LineIn struct {
	ID       string `json:"id,omitempty" example:"00x7k2pq"`
	Cloth    string `json:"cloth" example:"wjpp4c2vkq3a"`
	Version  int    `json:"version,omitempty" example:"1"`
	Quantity int    `json:"quantity" example:"2"`
	Wishes   string `json:"wishes,omitempty" example:"Fringe twisted."`
}

// Line is a line with the lots that were chosen for its yarns.
type Line struct {
	LineIn
	Lots map[string]string `json:"lots,omitempty"`
}

// Order is what a customer wants, by when.
type Order struct {
	Head
	Number    int64  `json:"number" example:"17"`
	State     string `json:"state" enum:"draft,open,done,cancelled" example:"open"`
	Customer  string `json:"customer" example:"wjpp4c2vkq3a"`
	Taken     string `json:"taken,omitempty" format:"date" example:"2031-05-06"`
	Due       string `json:"due,omitempty" format:"date" example:"2031-07-01"`
	Wishes    string `json:"wishes,omitempty" example:"Softer than the last one."`
	Deposit   *Money `json:"deposit,omitempty"`
	Lines     []Line `json:"lines"`
	Confirmed string `json:"confirmed,omitempty" format:"date" example:"2031-05-07"`
	Cancelled string `json:"cancelled,omitempty" format:"date" example:"2031-05-09"`
	Done      string `json:"done,omitempty" format:"date" example:"2031-06-20"`
}

// OrderView is an order with all that belongs to it.
type OrderView struct {
	Order
	Step   string  `json:"step" enum:"draft,confirmed,weaving,woven,finished,delivered,done,cancelled" example:"weaving"`
	Thread []Knot  `json:"thread"`
	Yarns  []Want  `json:"yarns"`
	Warps  []Warp  `json:"warps"`
	Pieces []Piece `json:"pieces"`
}

// Knot is how far one stage is.
type Knot struct {
	Stage string `json:"stage" example:"loom"`
	Done  int    `json:"done" example:"1"`
	Of    int    `json:"of" example:"2"`
	State string `json:"state" enum:"done,now,loose,blocked" example:"now"`
	Waits string `json:"waits,omitempty" example:"give-out"`
}

// Want is a yarn that a line needs.
type Want struct {
	Line   string  `json:"line" example:"00x7k2pq"`
	Yarn   string  `json:"yarn" example:"red"`
	MassG  float64 `json:"mass_g" example:"180"`
	Lot    string  `json:"lot,omitempty" example:"wjpp4c2vkq3a"`
	Enough bool    `json:"enough" example:"true"`
}

// Lots chooses lots for the yarns of a line.
type Lots struct {
	Lots map[string]string `json:"lots"`
}

// DyeWishes says how yarns of a line are to be dyed.
type DyeWishes struct {
	Recipes map[string]DyeWish `json:"recipes"`
}

// DyeWish is how a yarn is to be dyed.
type DyeWish struct {
	Recipe   string  `json:"recipe" example:"madder-cotton"`
	Strength float64 `json:"strength,omitempty" example:"0.5"`
}

func orderOf(k workshop.Kept[workshop.Order]) Order {
	v := k.Value
	return Order{headOf(k), v.Number, v.State(), v.Customer, v.Taken, v.Due, v.Wishes, moneyOf(v.Deposit),
		each(v.Lines, func(l workshop.Line) Line {
			return Line{LineIn{l.ID, l.Cloth, l.Version, l.Quantity, l.Wishes}, l.Lots}
		}),
		v.Confirmed, v.Cancelled, v.Done}
}

func orderViewOf(v workshop.OrderView) OrderView {
	out := OrderView{Order: orderOf(v.Kept), Step: string(workshop.Step(v.Value, v.Jobs, v.Pieces)), Yarns: []Want{},
		Warps: each(v.Jobs, warpOf), Pieces: each(v.Pieces, pieceOf),
		Thread: each(v.Thread, func(k workshop.Knot) Knot {
			return Knot{string(k.Stage), k.Done, k.Of, string(k.State), after(k.Block, "block-")}
		})}
	for _, l := range v.Lines {
		for _, w := range l.Wants {
			out.Yarns = append(out.Yarns, Want{l.ID, w.Yarn, float64(w.Need.Mass), w.Lot.ID, w.Enough})
		}
	}
	return out
}

var anOrder = thing[workshop.Order, Order]{"/orders/{id}", func(a *asked) (workshop.Kept[workshop.Order], error) {
	v, err := a.house.Order(a.Context(), a.person, a.id())
	return v.Kept, err
}, orderOf}

func orderOps() []op {
	type kept = workshop.Kept[workshop.Order]
	return []op{
		list("orders", "/orders", "Orders", func(a *asked, p workshop.Page) ([]Order, string, error) {
			p.Parent = a.URL.Query().Get("customer")
			l, _, err := a.house.Orders(a.Context(), a.person, p)
			return listed(l, err, orderOf)
		}, word("find", "17"), word("state", "open", "draft", "open", "done", "cancelled"), word("customer", "wjpp4c2vkq3a")),
		get("order", "/orders/{id}", "Order", func(a *asked) (OrderView, error) {
			v, err := a.house.Order(a.Context(), a.person, a.id())
			return orderViewOf(v), err
		}),
		change("new-order", "POST /orders", "SaveOrder", matchNone, saveOrder),
		change("change-order", "PUT /orders/{id}", "SaveOrder", matchMust, saveOrder),
		on(anOrder, "confirm-order", "POST /confirm", "ConfirmOrder", func(a *asked, n int64, _ nothing) (kept, error) {
			return a.house.ConfirmOrder(a.Context(), a.person, a.id(), n)
		}),
		on(anOrder, "cancel-order", "POST /cancel", "CancelOrder", func(a *asked, n int64, _ nothing) (kept, error) {
			return a.house.CancelOrder(a.Context(), a.person, a.id(), n)
		}),
		on(anOrder, "choose-lots", "PUT /lines/{line}/lots", "ChooseLots", func(a *asked, n int64, in Lots) (kept, error) {
			return a.house.ChooseLots(a.Context(), a.person, a.id(), a.PathValue("line"), n, in.Lots)
		}),
		on(anOrder, "wish-dye", "PUT /lines/{line}/dye", "WishDye", func(a *asked, n int64, in DyeWishes) (kept, error) {
			wishes := map[string]workshop.Wish{}
			for yarn, w := range in.Recipes {
				wishes[yarn] = workshop.Wish{Recipe: w.Recipe, Strength: measure.Ratio(w.Strength)}
			}
			return a.house.WishDye(a.Context(), a.person, a.id(), a.PathValue("line"), n, wishes)
		}),
	}
}

func saveOrder(a *asked, in OrderIn) (Order, error) {
	v := workshop.Order{Customer: in.Customer, Taken: in.Taken, Due: in.Due, Wishes: in.Wishes, Deposit: in.Deposit.money()}
	for _, l := range in.Lines {
		v.Lines = append(v.Lines, workshop.Line{ID: l.ID, Cloth: l.Cloth, Version: l.Version, Quantity: l.Quantity, Wishes: l.Wishes})
	}
	k, err := a.house.SaveOrder(a.Context(), a.person, workshop.Kept[workshop.Order]{ID: a.id(), Revision: a.revision, Value: v})
	return orderOf(k), err
}
