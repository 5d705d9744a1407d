package api

import (
	"strings"

	"urdir/internal/workshop"
	"urdir/measure"
)

// Head is what every kept thing has.
type Head struct {
	ID       string `json:"id" example:"wjpp4c2vkq3a"`
	Revision int64  `json:"revision" example:"3"`
}

func (h Head) version() int64 { return h.Revision }

func headOf[T any](k workshop.Kept[T]) Head { return Head{k.ID, k.Revision} }

// Money is an amount in the smallest unit of a currency.
type Money struct {
	Minor    int64  `json:"minor" example:"4500"`
	Currency string `json:"currency" example:"USD"`
}

func moneyOf(m workshop.Money) *Money {
	if m == (workshop.Money{}) {
		return nil
	}
	return &Money{m.Minor, m.Currency}
}

func (m *Money) money() workshop.Money {
	if m == nil {
		return workshop.Money{}
	}
	return workshop.Money{Minor: m.Minor, Currency: m.Currency}
}

// masses is amounts of yarn by lot.
type masses map[string]float64

func (m masses) grams() map[string]measure.Gram {
	out := map[string]measure.Gram{}
	for id, g := range m {
		out[id] = measure.Gram(g)
	}
	return out
}

// each makes a list of what another holds.
func each[A, B any](all []A, f func(A) B) []B {
	out := make([]B, 0, len(all))
	for _, v := range all {
		out = append(out, f(v))
	}
	return out
}

// listed is a part of a list of the workshop's.
func listed[T, O any](l workshop.Listed[T], err error, f func(workshop.Kept[T]) O) ([]O, string, error) {
	return each(l.Items, f), l.Next, err
}

// Fact is something that happened.
type Fact struct {
	Kind    string   `json:"kind" example:"told"`
	At      string   `json:"at" format:"date" example:"2031-05-06"`
	By      string   `json:"by" example:"Benita"`
	Member  string   `json:"member,omitempty" example:"wjpp4c2vkq3a"`
	CM      float64  `json:"cm,omitempty" example:"42.5"`
	WidthCM float64  `json:"width_cm,omitempty" example:"32"`
	MassG   float64  `json:"mass_g,omitempty" example:"210"`
	Minutes float64  `json:"minutes,omitempty" example:"180"`
	Pay     *Money   `json:"pay,omitempty"`
	Paper   string   `json:"paper,omitempty" example:"L-2031-0004"`
	Note    string   `json:"note,omitempty" example:"Two mended ends."`
	Moves   []MoveOf `json:"moves,omitempty"`
}

// MoveOf is material that went with a fact.
type MoveOf struct {
	Lot   string  `json:"lot" example:"wjpp4c2vkq3a"`
	MassG float64 `json:"mass_g" example:"120.5"`
	From  string  `json:"from" example:"shelf"`
	To    string  `json:"to" example:"waste"`
}

func factOf(f workshop.Fact) Fact {
	return Fact{Kind: string(f.Kind), At: f.At, By: f.By, Member: f.Member, CM: float64(f.CM), WidthCM: float64(f.Width), MassG: float64(f.Grams),
		Minutes: float64(f.Minutes), Pay: moneyOf(f.Pay), Paper: f.Paper, Note: f.Note,
		Moves: each(f.Moves, func(m workshop.Moved) MoveOf { return MoveOf{m.Lot, float64(m.Milligrams) / 1000, m.From, m.To} })}
}

// after is what follows a beginning; empty if it does not begin so.
func after(s, beginning string) string {
	rest, _ := strings.CutPrefix(s, beginning)
	return rest
}
