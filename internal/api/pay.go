package api

import (
	"urdir/internal/workshop"
	"urdir/price"
)

// Statement is what a member did and earned in a month, and what is due to her.
type Statement struct {
	Member   string   `json:"member" example:"wjpp4c2vkq3a"`
	Name     string   `json:"name" example:"Benita"`
	Month    string   `json:"month" example:"2031-05"`
	Works    []Work   `json:"works"`
	Earlier  []Work   `json:"earlier"`
	Earned   *Money   `json:"earned"`
	Hourly   *Money   `json:"hourly"`
	Withheld *Money   `json:"withheld"`
	Owed     *Money   `json:"owed"`
	Due      Money    `json:"due"`
	Payouts  []Payout `json:"payouts"`
	Cautions []Wrong  `json:"cautions"`
}

// Work is something a member did that is paid.
type Work struct {
	Head
	Member  string `json:"member" example:"wjpp4c2vkq3a"`
	Kind    string `json:"kind" example:"weave"`
	At      string `json:"at" format:"date" example:"2031-05-20"`
	Name    string `json:"name" example:"#17 Indigo scarf · body"`
	Order   string `json:"order,omitempty" example:"wjpp4c2vkq3a"`
	Minutes int64  `json:"minutes" example:"960"`
	Told    bool   `json:"told" example:"true"`
	Pay     *Money `json:"pay"`
}

// WorkIn is work that no warp, piece or dyeing tells of.
type WorkIn struct {
	Member  string `json:"member" example:"wjpp4c2vkq3a"`
	Kind    string `json:"kind" enum:"lay,weave,brocade,dye,sew,finish,teach,carry,meet" example:"teach"`
	At      string `json:"at,omitempty" format:"date" example:"2031-05-20"`
	Name    string `json:"name,omitempty" example:"Class for beginners"`
	Order   string `json:"order,omitempty" example:"wjpp4c2vkq3a"`
	Minutes int64  `json:"minutes,omitempty" example:"180"`
	Pay     *Money `json:"pay,omitempty"`
}

// AdvanceIn is what a member is lent on pay to come.
type AdvanceIn struct {
	Member string `json:"member" example:"wjpp4c2vkq3a"`
	Amount Money  `json:"amount"`
	Share  string `json:"share_percent" at:"share" example:"20"`
	From   string `json:"from,omitempty" example:"assets:cash"`
	Note   string `json:"note,omitempty" example:"School begins."`
}

// Advance is what a member was lent.
type Advance struct {
	Head
	Member string `json:"member" example:"wjpp4c2vkq3a"`
	At     string `json:"at" format:"date" example:"2031-05-06"`
	Amount *Money `json:"amount"`
	Note   string `json:"note,omitempty" example:"School begins."`
}

// PayIn hands a member what is due to her by a statement.
type PayIn struct {
	Due  Money  `json:"due"`
	From string `json:"from,omitempty" example:"assets:cash"`
}

// Payout is a pay that was handed to a member.
type Payout struct {
	Head
	Number   string `json:"number" example:"L-2031-0004"`
	Member   string `json:"member" example:"wjpp4c2vkq3a"`
	Month    string `json:"month" example:"2031-05"`
	At       string `json:"at" format:"date" example:"2031-05-31"`
	By       string `json:"by" example:"Baldomera"`
	Withheld *Money `json:"withheld"`
	Paid     *Money `json:"paid"`
	Undone   string `json:"undone,omitempty" format:"date" example:"2031-06-01"`
}

func workOf(k workshop.Kept[workshop.Work]) Work {
	v := k.Value
	return Work{headOf(k), v.Member, v.Kind, v.At, v.Name, v.Order, v.Minutes, v.Told, moneyOf(v.Pay)}
}

func payoutOf(k workshop.Kept[workshop.Payout]) Payout {
	v := k.Value
	return Payout{headOf(k), v.Number, v.Member, v.Month, v.At, v.By, moneyOf(v.Withheld), moneyOf(v.Paid), v.Undone}
}

func (a *asked) statement(s workshop.Statement) Statement {
	return Statement{s.Member.ID, s.Member.Value.Name, s.Month, each(s.Works, workOf), each(s.Earlier, workOf), moneyOf(s.Earned.Earned), moneyOf(s.Earned.Hourly),
		moneyOf(s.Withheld), moneyOf(s.Owed), Money{s.Due.Minor, s.Due.Currency}, each(s.Payouts, payoutOf), append([]Wrong{}, inWords(a.words, s.Problems)...)}
}

var aPayout = thing[workshop.Payout, Payout]{"/payouts/{id}", func(a *asked) (workshop.Kept[workshop.Payout], error) {
	v, err := a.house.Payout(a.Context(), a.person, a.id())
	return v.Kept, err
}, payoutOf}

func payOps() []op {
	return []op{
		get("pay", "/pay/{month}", "Pay", func(a *asked) (Page[Statement], error) {
			all, err := a.house.Pay(a.Context(), a.person, a.PathValue("month"))
			return Page[Statement]{Items: each(all, a.statement)}, err
		}),
		get("statement", "/pay/{month}/{member}", "Statement", func(a *asked) (Statement, error) {
			s, err := a.house.Statement(a.Context(), a.person, a.PathValue("member"), a.PathValue("month"))
			return a.statement(s), err
		}),
		change("pay-out", "POST /pay/{month}/{member}", "PayOut", matchNone, func(a *asked, in PayIn) (Payout, error) {
			k, err := a.house.PayOut(a.Context(), a.person, a.PathValue("member"), a.PathValue("month"), in.Due.money(), in.From)
			return payoutOf(k), err
		}),
		get("payout", "/payouts/{id}", "Payout", func(a *asked) (Payout, error) {
			v, err := a.house.Payout(a.Context(), a.person, a.id())
			return payoutOf(v.Kept), err
		}),
		on(aPayout, "undo-payout", "POST /undo", "UndoPayOut", func(a *asked, n int64, _ nothing) (out workshop.Kept[workshop.Payout], _ error) {
			if err := a.house.UndoPayOut(a.Context(), a.person, a.id(), n); err != nil {
				return out, err
			}
			return aPayout.now(a)
		}),
		change("tell-work", "POST /work", "TellWork", matchNone, func(a *asked, in WorkIn) (Work, error) {
			k, err := a.house.TellWork(a.Context(), a.person, workshop.Work{Member: in.Member, Kind: in.Kind, At: in.At, Name: in.Name, Order: in.Order, Minutes: in.Minutes, Pay: in.Pay.money()})
			return workOf(k), err
		}),
		change("give-advance", "POST /advances", "GiveAdvance", matchNone, func(a *asked, in AdvanceIn) (out Advance, _ error) {
			share, err := price.ParsePercent(in.Share)
			if err != nil {
				return out, refused("share_percent", "api-type", map[string]any{"want": "percent"})
			}
			k, err := a.house.GiveAdvance(a.Context(), a.person, workshop.Advance{Member: in.Member, Amount: in.Amount.money(), Share: share, Note: in.Note}, in.From)
			return Advance{headOf(k), k.Value.Member, k.Value.At, moneyOf(k.Value.Amount), k.Value.Note}, err
		}),
	}
}
