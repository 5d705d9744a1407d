package web

import (
	"errors"
	"slices"

	"urdir/check"
	"urdir/internal/workshop"
)

// classesView is the classes to come.
type classesView struct {
	Classes []workshop.Kept[workshop.Order]
	Names   map[string]string
}

func classList(v *visit) error {
	all, names, err := v.s.house.Classes(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	return v.page("classes", v.T("classes"), classesView{all, names})
}

func (v *visit) classTitle(o workshop.OrderView) string {
	return v.T("class-of", "number", itoa(int(o.Value.Number)), "customer", o.Customer.Value.Name)
}

func classPage(v *visit) error { return v.classAgain(nil) }

func (v *visit) classAgain(wrong error) error {
	c, err := v.s.house.Class(v.r.Context(), v.Person, v.r.PathValue("id"))
	if e, ok := errors.AsType[*workshop.Error](err); ok && slices.ContainsFunc(e.Problems, func(p check.Problem) bool { return p.Code == "class-none" }) && wrong == nil {
		return v.to("/orders/"+v.r.PathValue("id"), "") // it is an order like others
	}
	if err != nil {
		return err
	}
	if wrong != nil {
		return v.again(wrong, "class", v.classTitle(c.OrderView), c)
	}
	return v.page("class", v.classTitle(c.OrderView), c)
}

// learners adds a learner, or takes one away.
func learners(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	more := 1
	if f.yes("fewer") {
		more = -1
	}
	id := v.r.PathValue("id")
	if _, err := v.s.house.Learners(v.r.Context(), v.Person, id, f.revision(), more); err != nil {
		return v.classAgain(err)
	}
	return v.to("/orders/"+id+"/class", "saved")
}

// classFormView is a class to be written.
type classFormView struct {
	workshop.OrderView
	Class    workshop.Class
	New      bool
	Teachers []workshop.Kept[workshop.Member]
}

func (v *visit) classForm() (view classFormView, err error) {
	ctx := v.r.Context()
	if view.OrderView, err = v.s.house.Order(ctx, v.Person, v.r.PathValue("id")); err != nil {
		return view, err
	}
	ms, err := v.s.house.Members(ctx, v.Person, workshop.Page{})
	if err != nil {
		return view, err
	}
	view.Teachers = slices.DeleteFunc(ms.Items, func(m workshop.Kept[workshop.Member]) bool { return !slices.Contains(m.Value.Skills, "teach") })
	kits := 0
	for _, l := range view.Value.Lines {
		kits += l.Quantity
	}
	view.New = view.Value.Class == nil
	view.Class = workshop.Class{Day: view.Value.Due, From: 9 * 60, To: 13 * 60, Seats: kits, Learners: kits, Ahead: workshop.DefaultAhead}
	if !view.New {
		view.Class = *view.Value.Class
	}
	return view, nil
}

func (v *visit) classFormTitle(view classFormView) string {
	if view.New {
		return v.T("class-make")
	}
	return v.T("edit") + ": " + v.classTitle(view.OrderView)
}

func classEdit(v *visit) error {
	view, err := v.classForm()
	if err != nil {
		return err
	}
	return v.page("class-form", v.classFormTitle(view), view)
}

func saveClass(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	view, err := v.classForm()
	if err != nil {
		return err
	}
	id := view.ID
	var c *workshop.Class
	if !f.yes("none") {
		c = &workshop.Class{Day: f.text("day"), Seats: f.whole("seats"), Learners: f.whole("learners"), Teacher: f.text("teacher"), Ahead: f.whole("ahead")}
		c.From, _ = f.hour("from")
		c.To, _ = f.hour("until")
	}
	if err = f.err(); err == nil {
		_, err = v.s.house.SaveClass(v.r.Context(), v.Person, id, f.revision(), c)
	}
	if err != nil {
		return v.again(err, "class-form", v.classFormTitle(view), view)
	}
	if c == nil {
		return v.to("/orders/"+id, "no-class")
	}
	return v.to("/orders/"+id+"/class", "saved")
}
