package api

import (
	"urdir/internal/workshop"
	"urdir/measure"
)

// Warp is one laying of a warp of an order: what one member lays, weaves and gives
// back.
type Warp struct {
	Head
	Order    string  `json:"order" example:"wjpp4c2vkq3a"`
	Line     string  `json:"line" example:"00x7k2pq"`
	Number   int64   `json:"number" example:"17"`
	Warp     string  `json:"warp" example:"body"`
	Laying   int     `json:"laying" example:"1"`
	Layings  int     `json:"layings" example:"2"`
	Cloth    string  `json:"cloth" example:"Indigo scarf"`
	LengthCM float64 `json:"length_cm" example:"212.4"`
	Member   string  `json:"member,omitempty" example:"wjpp4c2vkq3a"`
	State    string  `json:"state" enum:"waiting,given,laid,weaving,back" example:"weaving"`
	WovenCM  float64 `json:"woven_cm" example:"90"`
	Pay      *Money  `json:"pay,omitempty"`
	Paid     bool    `json:"paid" example:"false"`
	Facts    []Fact  `json:"facts"`
}

// WarpView is a warp with what it takes and what its member has.
type WarpView struct {
	Warp
	Needs []Need `json:"needs"`
	Bag   []Held `json:"bag"`
}

// Need is how much of a yarn one laying takes.
type Need struct {
	Yarn  string  `json:"yarn" example:"blue"`
	Lot   string  `json:"lot,omitempty" example:"wjpp4c2vkq3a"`
	MassG float64 `json:"mass_g" example:"180"`
}

// Held is yarn of a lot.
type Held struct {
	Lot   string  `json:"lot" example:"wjpp4c2vkq3a"`
	MassG float64 `json:"mass_g" example:"180"`
}

// GiveIn gives a warp to a member, with yarn by lot and the pay that is agreed.
type GiveIn struct {
	Member string `json:"member" example:"wjpp4c2vkq3a"`
	Grams  masses `json:"grams,omitempty"`
	Pay    *Money `json:"pay,omitempty"`
}

// Told is how far a warp is: in cm on the loom, or in whole bands.
type Told struct {
	CM    float64 `json:"cm,omitempty" example:"90"`
	Bands int     `json:"bands,omitempty" example:"2"`
}

// Worked is how many minutes it took.
type Worked struct {
	Minutes float64 `json:"minutes" example:"240"`
}

// BackIn is a woven warp that is taken back: what the cloth weighs, and the yarn left
// over by lot.
type BackIn struct {
	WovenG float64 `json:"woven_g" at:"woven" example:"210"`
	LeftG  masses  `json:"left_g,omitempty" at:"grams"`
}

// PaidIn is what was paid.
type PaidIn struct {
	Pay Money `json:"pay"`
}

func warpOf(k workshop.Kept[workshop.Job]) Warp {
	v := k.Value
	return Warp{headOf(k), v.Order, v.Line, v.Number, v.Warp, v.Laying, v.Layings, v.Cloth, float64(v.Length), v.Member,
		string(v.State()), float64(v.Woven()), moneyOf(v.Pay()), v.Paid(), each(v.Facts, factOf)}
}

var aWarp = thing[workshop.Job, Warp]{"/warps/{id}", func(a *asked) (workshop.Kept[workshop.Job], error) {
	v, err := a.house.Job(a.Context(), a.person, a.id())
	return v.Kept, err
}, warpOf}

func warpOps() []op {
	type kept = workshop.Kept[workshop.Job]
	return []op{
		list("warps", "/warps", "Jobs", func(a *asked, p workshop.Page) ([]Warp, string, error) {
			p.Parent = a.URL.Query().Get("order")
			l, _, err := a.house.Jobs(a.Context(), a.person, p)
			return listed(l, err, warpOf)
		}, word("find", "scarf"), word("state", "weaving", "waiting", "given", "laid", "weaving", "back"), word("order", "wjpp4c2vkq3a")),
		get("warp", "/warps/{id}", "Job", func(a *asked) (WarpView, error) {
			v, err := a.house.Job(a.Context(), a.person, a.id())
			return WarpView{warpOf(v.Kept),
				each(v.Needs, func(n workshop.LotNeed) Need { return Need{n.Yarn, n.Lot, float64(n.Mass)} }),
				each(v.Bag, func(s workshop.Stock) Held { return Held{s.Lot, float64(s.Milligrams) / 1000} })}, err
		}),
		on(aWarp, "give-warp", "POST /give", "GiveOut", func(a *asked, n int64, in GiveIn) (kept, error) {
			return a.house.GiveOut(a.Context(), a.person, a.id(), n, in.Member, in.Grams.grams(), in.Pay.money())
		}),
		on(aWarp, "warp-laid", "POST /laid", "Laid", func(a *asked, n int64, _ nothing) (kept, error) {
			return a.house.Laid(a.Context(), a.person, a.id(), n)
		}),
		on(aWarp, "warp-told", "POST /told", "Tell", func(a *asked, n int64, in Told) (kept, error) {
			return a.house.Tell(a.Context(), a.person, a.id(), n, measure.CM(in.CM), in.Bands)
		}),
		on(aWarp, "warp-worked", "POST /worked", "Worked", func(a *asked, n int64, in Worked) (kept, error) {
			return a.house.Worked(a.Context(), a.person, a.id(), n, measure.Minute(in.Minutes))
		}),
		on(aWarp, "warp-back", "POST /back", "TakeBack", func(a *asked, n int64, in BackIn) (kept, error) {
			return a.house.TakeBack(a.Context(), a.person, a.id(), n, measure.Gram(in.WovenG), in.LeftG.grams())
		}),
		on(aWarp, "warp-paid", "POST /paid", "Paid", func(a *asked, n int64, in PaidIn) (kept, error) {
			return a.house.Paid(a.Context(), a.person, a.id(), n, in.Pay.money(), "")
		}),
		on(aWarp, "undo-warp", "POST /undo", "UndoJob", func(a *asked, n int64, _ nothing) (kept, error) {
			return a.house.UndoJob(a.Context(), a.person, a.id(), n)
		}),
	}
}
