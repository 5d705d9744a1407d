package api

import (
	"strings"
	"time"

	"urdir/internal/workshop"
)

// Workshop is the workshop itself.
type Workshop struct {
	Head
	Name     string         `json:"name" example:"Taller del Estero"`
	Language string         `json:"language" enum:"es,en" example:"es"`
	Currency string         `json:"currency" example:"USD"`
	Zone     string         `json:"zone" example:"America/Lima"`
	Today    string         `json:"today" format:"date" example:"2031-05-06"`
	Week     map[string]int `json:"week"`
	Frames   []string       `json:"frames" example:"Large frame"`
	Pots     []Pot          `json:"dye_pots"`
	Feasts   []Feast        `json:"feasts"`
	You      You            `json:"you"`
}

// Pot is a dye pot.
type Pot struct {
	Name   string  `json:"name" example:"Large pot"`
	Litres float64 `json:"litres" example:"60"`
}

// Feast is a day on which nobody works.
type Feast struct {
	Day  string `json:"day" format:"date" example:"2031-06-24"`
	Name string `json:"name" example:"Blessing of the boats"`
}

// You is whoever the token works for.
type You struct {
	Name   string   `json:"name" example:"Saturnina"`
	Role   string   `json:"role" enum:"head,dyer,seller,bookkeeper,member" example:"seller"`
	Member string   `json:"member,omitempty" example:"wjpp4c2vkq3a"`
	Scopes []string `json:"scopes" example:"orders:write"`
}

// Errand is something that needs hands today.
type Errand struct {
	Kind  string  `json:"kind" example:"give-out"`
	Where string  `json:"where" example:"job"`
	ID    string  `json:"id,omitempty" example:"wjpp4c2vkq3a"`
	Name  string  `json:"name" example:"#17 scarf · body"`
	Due   string  `json:"due,omitempty" format:"date" example:"2031-07-01"`
	Late  bool    `json:"late" example:"false"`
	Share float64 `json:"share,omitempty" example:"0.5"`
}

// Day is what needs hands today.
type Day struct {
	Errands []Errand `json:"errands"`
	Orders  int      `json:"orders" example:"12"`
	Weaving int      `json:"weaving" example:"7"`
	Pieces  int      `json:"pieces" example:"3"`
}

// Found is something a search found.
type Found struct {
	Kind string `json:"kind" example:"order"`
	ID   string `json:"id" example:"wjpp4c2vkq3a"`
	Name string `json:"name" example:"#17"`
	More string `json:"more,omitempty" example:"2031-07-01"`
}

// Deed is a line of the history.
type Deed struct {
	At       time.Time `json:"at"`
	Who      string    `json:"who" example:"Saturnina"`
	Act      string    `json:"act" example:"ConfirmOrder"`
	Kind     string    `json:"kind" example:"order"`
	ID       string    `json:"id" example:"wjpp4c2vkq3a"`
	Revision int64     `json:"revision" example:"3"`
}

// Hook is an address of another program that is told how orders go on.
type Hook struct {
	Head
	Name   string   `json:"name,omitempty" example:"shop window"`
	URL    string   `json:"url" example:"https://shop.example/urdir"`
	Events []string `json:"events" example:"order.confirmed"`
	State  string   `json:"state" enum:"on,rests,off" example:"on"`
}

// HookView is an address with what it was told.
type HookView struct {
	Hook
	Messages []Message `json:"messages"`
}

// Message is something another program was told, or is to be.
type Message struct {
	Number int64     `json:"number" example:"12"`
	Event  string    `json:"event" example:"order.confirmed"`
	Made   time.Time `json:"made"`
	State  string    `json:"state" enum:"waiting,sent,dead" example:"sent"`
	Tries  int       `json:"tries" example:"1"`
	Status int       `json:"status,omitempty" example:"204"`
	Note   string    `json:"note,omitempty" example:"no answer"`
}

func shopOps() []op {
	return []op{
		get("workshop", "/workshop", "Settings", workshopOf),
		get("today", "/today", "Today", today),
		get("search", "/search", "Search", search, word("find", "17")),
		get("history", "/history", "History", history, word("kind", "order"), word("id", "wjpp4c2vkq3a"), whole("limit", defaultLimit)),
		get("hooks", "/hooks", "Hooks", func(a *asked) (Page[Hook], error) {
			l, err := a.house.Hooks(a.Context(), a.person)
			return Page[Hook]{Items: each(l.Items, hookOf)}, err
		}),
		get("hook", "/hooks/{id}", "Hook", func(a *asked) (HookView, error) {
			k, log, err := a.house.Hook(a.Context(), a.person, a.id())
			return HookView{hookOf(k), each(log, messageOf)}, err
		}),
	}
}

func workshopOf(a *asked) (out Workshop, _ error) {
	k, err := a.house.Settings(a.Context(), a.person)
	if err != nil {
		return out, err
	}
	s, p := k.Value, a.person
	return Workshop{headOf(k), s.Name, s.Language, s.Currency, s.Location().String(), a.house.Now().Format(time.DateOnly), s.Week,
		each(s.Frames, func(f workshop.Frame) string { return f.Name }), each(s.Pots, func(p workshop.Pot) Pot { return Pot{p.Name, p.Litres} }),
		each(s.Feasts, func(f workshop.Feast) Feast { return Feast{f.Day, f.Name} }),
		You{p.Name, string(p.Role), p.Member, strings.Fields(p.Scopes)}}, nil
}

func today(a *asked) (Day, error) {
	d, err := a.house.Today(a.Context(), a.person)
	return Day{each(d.Errands, func(e workshop.Errand) Errand {
		return Errand{strings.TrimPrefix(e.Kind, "errand-"), e.Where, e.ID, e.Name, e.Due, e.Late, e.Share}
	}), d.Orders, d.Weaving, d.Pieces}, err
}

func search(a *asked) (Page[Found], error) {
	all, err := a.house.Search(a.Context(), a.person, a.URL.Query().Get("find"))
	return Page[Found]{Items: each(all, func(f workshop.Found) Found { return Found{f.Kind, f.ID, f.Name, f.More} })}, err
}

func history(a *asked) (Page[Deed], error) {
	q := a.URL.Query()
	all, err := a.house.History(a.Context(), a.person, q.Get("kind"), q.Get("id"), min(a.number("limit", defaultLimit), mostLimit))
	return Page[Deed]{Items: each(all, func(d workshop.Deed) Deed { return Deed{d.At, d.Who, d.Act, d.Kind, d.ID, d.Revision} })}, err
}

func hookOf(k workshop.Kept[workshop.Hook]) Hook {
	v := k.Value
	return Hook{headOf(k), v.Name, v.URL, append([]string{}, v.Events...), string(v.State)}
}

func messageOf(m workshop.Message) Message {
	return Message{m.Seq, m.Event, m.Made, string(m.State), m.Tries, m.Status, m.Note}
}
