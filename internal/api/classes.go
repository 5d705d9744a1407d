package api

import "urdir/internal/workshop"

// ClassIn is when a class is given and for how many; times are minutes after
// midnight.
type ClassIn struct {
	Day      string `json:"day" format:"date" example:"2031-07-12"`
	From     int    `json:"from_minute" at:"from" example:"540"`
	To       int    `json:"to_minute" at:"to" example:"960"`
	Seats    int    `json:"seats" example:"6"`
	Learners int    `json:"learners,omitempty" example:"4"`
	Teacher  string `json:"teacher,omitempty" example:"wjpp4c2vkq3a"`
	Ahead    int    `json:"ahead_days,omitempty" at:"ahead" example:"21"`
}

// Class is an order that is a class.
type Class struct {
	Head
	Number int64 `json:"number" example:"17"`
	ClassIn
}

// MoreIn is how many more learners come; fewer if it is below zero.
type MoreIn struct {
	More int `json:"added" at:"learners" example:"1"`
}

func classOf(k workshop.Kept[workshop.Order]) Class {
	out := Class{Head: headOf(k), Number: k.Value.Number}
	if c := k.Value.Class; c != nil {
		out.ClassIn = ClassIn{c.Day, c.From, c.To, c.Seats, c.Learners, c.Teacher, c.Ahead}
	}
	return out
}

var aClass = thing[workshop.Order, Class]{"/orders/{id}/class", anOrder.now, classOf}

func classOps() []op {
	type kept = workshop.Kept[workshop.Order]
	return []op{
		get("classes", "/classes", "Classes", func(a *asked) (Page[Class], error) {
			all, _, err := a.house.Classes(a.Context(), a.person)
			return Page[Class]{Items: each(all, classOf)}, err
		}),
		on(aClass, "plan-class", "PUT ", "SaveClass", func(a *asked, n int64, in ClassIn) (kept, error) {
			return a.house.SaveClass(a.Context(), a.person, a.id(), n, &workshop.Class{Day: in.Day, From: in.From, To: in.To, Seats: in.Seats, Learners: in.Learners,
				Teacher: in.Teacher, Ahead: in.Ahead})
		}),
		on(aClass, "class-learners", "POST /learners", "Learners", func(a *asked, n int64, in MoreIn) (kept, error) {
			return a.house.Learners(a.Context(), a.person, a.id(), n, in.More)
		}),
	}
}
