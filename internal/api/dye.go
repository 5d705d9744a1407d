package api

import (
	"urdir/internal/workshop"
	"urdir/measure"
)

// Dyeing is a lot that is dyed, or is to be.
type Dyeing struct {
	Head
	Number int64    `json:"number" example:"4"`
	State  string   `json:"state" enum:"planned,begun,out,accepted,rejected" example:"begun"`
	Lot    string   `json:"lot" example:"wjpp4c2vkq3a"`
	Label  string   `json:"label" example:"Madder 4"`
	Recipe string   `json:"recipe" example:"madder-cotton"`
	Fibre  string   `json:"fibre" example:"cotton"`
	MassG  float64  `json:"mass_g" example:"800"`
	From   string   `json:"from,omitempty" example:"wjpp4c2vkq3a"`
	Stages []DyeDay `json:"stages"`
	Done   int      `json:"stages_done" example:"1"`
	Dry    string   `json:"dry" format:"date" example:"2031-05-14"`
}

// DyeDay is when a stage is done.
type DyeDay struct {
	Kind string   `json:"kind" example:"mordant"`
	Day  string   `json:"day" format:"date" example:"2031-05-10"`
	Pots []string `json:"pots,omitempty" example:"Large"`
}

// DyePlan is how everything wanted could be dyed. Accepting names its mark.
type DyePlan struct {
	Mark     string    `json:"mark" example:"b4f1"`
	Steps    int       `json:"steps" example:"2000"`
	Begin    string    `json:"begin" format:"date" example:"2031-05-08"`
	Lots     []DyeLot  `json:"lots"`
	Left     []DyeLeft `json:"left"`
	Problems []Wrong   `json:"problems"`
}

// DyeLot is a lot of a dye plan.
type DyeLot struct {
	Recipe string  `json:"recipe" example:"madder-cotton"`
	Fibre  string  `json:"fibre" example:"cotton"`
	MassG  float64 `json:"mass_g" example:"800"`
	Dry    string  `json:"dry" format:"date" example:"2031-05-14"`
}

// DyeLeft is a yarn that cannot be dyed so, and why.
type DyeLeft struct {
	Order    string  `json:"order" example:"wjpp4c2vkq3a"`
	Line     string  `json:"line" example:"00x7k2pq"`
	Yarn     string  `json:"yarn" example:"red"`
	Problems []Wrong `json:"problems"`
}

// PlanMark names a plan that was shown.
type PlanMark struct {
	Mark  string `json:"mark" example:"b4f1"`
	Steps int    `json:"steps,omitempty" example:"2000"`
}

// BathIn is the yarn that goes into the bath.
type BathIn struct {
	From  string  `json:"from" example:"wjpp4c2vkq3a"`
	MassG float64 `json:"mass_g" at:"grams" example:"800"`
}

// StageIn is how a stage was done.
type StageIn struct {
	Day     string  `json:"day,omitempty" format:"date" example:"2031-05-10"`
	Dyer    string  `json:"dyer,omitempty" example:"Delfina"`
	Water   string  `json:"water,omitempty" example:"rain"`
	HottC   float64 `json:"hottest_c,omitempty" at:"hottest" example:"80"`
	Minutes float64 `json:"minutes,omitempty" at:"time" example:"60"`
	Note    string  `json:"note,omitempty" example:"Turned every five minutes."`
	Used    masses  `json:"used,omitempty"`
}

// Judgement accepts a lot or rejects it.
type Judgement struct {
	Accept bool   `json:"accept" example:"true"`
	Note   string `json:"note,omitempty" example:"A little paler; it will do."`
}

func dyeingOf(k workshop.Kept[workshop.Dyeing]) Dyeing {
	v := k.Value
	return Dyeing{headOf(k), v.Number, string(v.State()), v.Lot, v.Label, v.Recipe, v.Fibre, float64(v.Mass), v.From,
		each(v.Days, func(d workshop.DyeDay) DyeDay { return DyeDay{string(d.Kind), d.Day, d.Pots} }), v.StagesDone(), v.Dry}
}

func dyeOps() []op {
	return []op{
		list("dyeings", "/dyeings", "Dyeings", func(a *asked, p workshop.Page) ([]Dyeing, string, error) {
			l, err := a.house.Dyeings(a.Context(), a.person, p)
			return listed(l, err, dyeingOf)
		}, word("find", "madder"), word("state", "begun", "planned", "begun", "out", "accepted", "rejected")),
		get("dyeing", "/dyeings/{id}", "Dyeing", func(a *asked) (Dyeing, error) {
			v, err := a.house.Dyeing(a.Context(), a.person, a.id())
			return dyeingOf(v.Kept), err
		}),
		get("dye-plan", "/dye-plan", "ProposeDye", dyePlan, whole("steps", workshop.DyeSteps)),
		change("accept-dye-plan", "POST /dye-plan", "AcceptDye", matchNone, func(a *asked, in PlanMark) (Page[Dyeing], error) {
			made, err := a.house.AcceptDye(a.Context(), a.person, in.Mark, min(max(in.Steps, 1), mostTries))
			return Page[Dyeing]{Items: each(made, dyeingOf)}, err
		}),
		change("begin-dyeing", "POST /dyeings/{id}/begin", "BeginDyeing", matchMay, func(a *asked, in BathIn) (Dyeing, error) {
			return onDyeing(a, func(n int64) (workshop.Kept[workshop.Dyeing], error) {
				return a.house.BeginDyeing(a.Context(), a.person, a.id(), n, in.From, measure.Gram(in.MassG))
			})
		}),
		change("done-stage", "POST /dyeings/{id}/stage", "DoneStage", matchMay, func(a *asked, in StageIn) (Dyeing, error) {
			return onDyeing(a, func(n int64) (workshop.Kept[workshop.Dyeing], error) {
				f := workshop.DyeFact{At: in.Day, Dyer: in.Dyer, Water: in.Water, Hottest: measure.Celsius(in.HottC), Time: measure.Minute(in.Minutes), Note: in.Note}
				return a.house.DoneStage(a.Context(), a.person, a.id(), n, f, in.Used.grams(), nil)
			})
		}),
		change("out-of-bath", "POST /dyeings/{id}/out", "OutOfBath", matchMay, func(a *asked, in Mass) (Dyeing, error) {
			return onDyeing(a, func(n int64) (workshop.Kept[workshop.Dyeing], error) {
				return a.house.OutOfBath(a.Context(), a.person, a.id(), n, measure.Gram(in.MassG))
			})
		}),
		change("judge-dyeing", "POST /dyeings/{id}/judge", "JudgeDyeing", matchMay, func(a *asked, in Judgement) (Dyeing, error) {
			return onDyeing(a, func(n int64) (workshop.Kept[workshop.Dyeing], error) {
				return a.house.JudgeDyeing(a.Context(), a.person, a.id(), n, in.Accept, in.Note)
			})
		}),
		change("undo-dyeing", "POST /dyeings/{id}/undo", "UndoDyeing", matchMay, func(a *asked, _ nothing) (Dyeing, error) {
			return onDyeing(a, func(n int64) (workshop.Kept[workshop.Dyeing], error) {
				return a.house.UndoDyeing(a.Context(), a.person, a.id(), n)
			})
		}),
	}
}

// onDyeing makes a call on the dyeing the address names, at a version.
func onDyeing(a *asked, call func(int64) (workshop.Kept[workshop.Dyeing], error)) (out Dyeing, _ error) {
	n, err := a.at(func() (int64, error) {
		v, err := a.house.Dyeing(a.Context(), a.person, a.id())
		return v.Revision, err
	})
	if err != nil {
		return out, err
	}
	k, err := call(n)
	return dyeingOf(k), err
}

func dyePlan(a *asked) (DyePlan, error) {
	steps := min(a.number("steps", workshop.DyeSteps), mostTries)
	d, err := a.house.ProposeDye(a.Context(), a.person, steps)
	out := DyePlan{Mark: d.Mark, Steps: steps, Begin: d.Begin, Lots: []DyeLot{}, Problems: append([]Wrong{}, inWords(a.words, d.About)...)}
	for _, l := range d.Plan.Lots {
		out.Lots = append(out.Lots, DyeLot{l.Recipe, l.Fibre, float64(l.Mass) / 1000, d.Day(l.Dry)})
	}
	out.Left = each(d.Left, func(w workshop.DyeWant) DyeLeft {
		return DyeLeft{w.Order, w.Line, w.Yarn, append([]Wrong{}, inWords(a.words, w.Problems)...)}
	})
	return out, err
}
