package api

import (
	"urdir/colour"
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

// ColourIn is a colour in CIELAB, and how it was
// found.
type ColourIn struct {
	L   float64 `json:"l" example:"41.5"`
	A   float64 `json:"a" example:"38.2"`
	B   float64 `json:"b" example:"19.7"`
	How string  `json:"how" enum:"eye,photo,typed" example:"typed"`
}

func (c ColourIn) lab() colour.Lab { return colour.Lab{L: c.L, A: c.A, B: c.B} }

func dyeingOf(k workshop.Kept[workshop.Dyeing]) Dyeing {
	v := k.Value
	return Dyeing{headOf(k), v.Number, string(v.State()), v.Lot, v.Label, v.Recipe, v.Fibre, float64(v.Mass), v.From,
		each(v.Days, func(d workshop.DyeDay) DyeDay { return DyeDay{string(d.Kind), d.Day, d.Pots} }), v.StagesDone(), v.Dry}
}

var aDyeing = thing[workshop.Dyeing, Dyeing]{"/dyeings/{id}", func(a *asked) (workshop.Kept[workshop.Dyeing], error) {
	v, err := a.house.Dyeing(a.Context(), a.person, a.id())
	return v.Kept, err
}, dyeingOf}

func dyeOps() []op {
	type kept = workshop.Kept[workshop.Dyeing]
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
		on(aDyeing, "begin-dyeing", "POST /begin", "BeginDyeing", func(a *asked, n int64, in BathIn) (kept, error) {
			return a.house.BeginDyeing(a.Context(), a.person, a.id(), n, in.From, measure.Gram(in.MassG))
		}),
		on(aDyeing, "done-stage", "POST /stage", "DoneStage", func(a *asked, n int64, in StageIn) (kept, error) {
			f := workshop.DyeFact{At: in.Day, Dyer: in.Dyer, Water: in.Water, Hottest: measure.Celsius(in.HottC), Time: measure.Minute(in.Minutes), Note: in.Note}
			return a.house.DoneStage(a.Context(), a.person, a.id(), n, f, in.Used.grams(), nil)
		}),
		on(aDyeing, "out-of-bath", "POST /out", "OutOfBath", func(a *asked, n int64, in Mass) (kept, error) {
			return a.house.OutOfBath(a.Context(), a.person, a.id(), n, measure.Gram(in.MassG))
		}),
		on(aDyeing, "judge-dyeing", "POST /judge", "JudgeDyeing", func(a *asked, n int64, in Judgement) (kept, error) {
			return a.house.JudgeDyeing(a.Context(), a.person, a.id(), n, in.Accept, in.Note)
		}),
		on(aDyeing, "colour-dyeing", "PUT /colour", "ColourDyeing", func(a *asked, n int64, in ColourIn) (kept, error) {
			return a.house.ColourDyeing(a.Context(), a.person, a.id(), n, in.lab(), in.How, nil)
		}),
		on(aDyeing, "undo-dyeing", "POST /undo", "UndoDyeing", func(a *asked, n int64, _ nothing) (kept, error) {
			return a.house.UndoDyeing(a.Context(), a.person, a.id(), n)
		}),
	}
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
