package api

import (
	"urdir/internal/workshop"
	"urdir/measure"
)

// Piece is one piece of an order.
type Piece struct {
	Head
	Number      int64  `json:"number" example:"41"`
	Order       string `json:"order" example:"wjpp4c2vkq3a"`
	Line        string `json:"line" example:"00x7k2pq"`
	OrderNumber int64  `json:"order_number" example:"17"`
	Cloth       string `json:"cloth" example:"Indigo scarf"`
	N           int    `json:"n" example:"1"`
	Of          int    `json:"of" example:"2"`
	State       string `json:"state" enum:"unfinished,finished,delivered,returned" example:"finished"`
	Facts       []Fact `json:"facts"`
}

// PieceView is a piece, and whether all its warps are back.
type PieceView struct {
	Piece
	Ready bool   `json:"ready" example:"true"`
	Yarn  []Held `json:"yarn"`
}

// FinishIn is what a piece weighs and measures when it is washed, sewn and tagged.
type FinishIn struct {
	MassG    float64 `json:"mass_g" at:"mass" example:"205"`
	LengthCM float64 `json:"length_cm,omitempty" at:"length" example:"178"`
	WidthCM  float64 `json:"width_cm,omitempty" at:"width" example:"31.5"`
	Note     string  `json:"note,omitempty" example:"Two mended ends."`
}

// NoteIn says why, or what was done.
type NoteIn struct {
	Note string `json:"note,omitempty" example:"A seam opened."`
}

func pieceOf(k workshop.Kept[workshop.Piece]) Piece {
	v := k.Value
	return Piece{headOf(k), v.Number, v.Order, v.Line, v.OrderNumber, v.Cloth, v.N, v.Of, string(v.State()), each(v.Facts, factOf)}
}

var aPiece = thing[workshop.Piece, Piece]{"/pieces/{id}", func(a *asked) (workshop.Kept[workshop.Piece], error) {
	v, err := a.house.Piece(a.Context(), a.person, a.id())
	return v.Kept, err
}, pieceOf}

func pieceOps() []op {
	type kept = workshop.Kept[workshop.Piece]
	return []op{
		list("pieces", "/pieces", "Pieces", func(a *asked, p workshop.Page) ([]Piece, string, error) {
			p.Parent = a.URL.Query().Get("order")
			l, err := a.house.Pieces(a.Context(), a.person, p)
			return listed(l, err, pieceOf)
		}, word("find", "scarf"), word("state", "finished", "unfinished", "finished", "delivered", "returned"), word("order", "wjpp4c2vkq3a")),
		get("piece", "/pieces/{id}", "Piece", func(a *asked) (PieceView, error) {
			v, err := a.house.Piece(a.Context(), a.person, a.id())
			return PieceView{pieceOf(v.Kept), v.Ready, each(v.Yarn, func(s workshop.Stock) Held { return Held{s.Lot, float64(s.Milligrams) / 1000} })}, err
		}),
		on(aPiece, "finish-piece", "POST /finish", "Finish", func(a *asked, n int64, in FinishIn) (kept, error) {
			return a.house.Finish(a.Context(), a.person, a.id(), n, measure.Gram(in.MassG), measure.CM(in.LengthCM), measure.CM(in.WidthCM), in.Note)
		}),
		on(aPiece, "deliver-piece", "POST /deliver", "Deliver", func(a *asked, n int64, _ nothing) (kept, error) {
			return a.house.Deliver(a.Context(), a.person, a.id(), n)
		}),
		on(aPiece, "return-piece", "POST /return", "Return", func(a *asked, n int64, in NoteIn) (kept, error) {
			return a.house.Return(a.Context(), a.person, a.id(), n, in.Note)
		}),
		on(aPiece, "repair-piece", "POST /repair", "Repair", func(a *asked, n int64, in NoteIn) (kept, error) {
			return a.house.Repair(a.Context(), a.person, a.id(), n, in.Note)
		}),
		on(aPiece, "undo-piece", "POST /undo", "UndoPiece", func(a *asked, n int64, _ nothing) (kept, error) {
			return a.house.UndoPiece(a.Context(), a.person, a.id(), n)
		}),
	}
}
