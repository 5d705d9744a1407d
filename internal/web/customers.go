package web

import (
	"urdir/internal/workshop"
)

func customerList(v *visit) error {
	l, err := v.s.house.Customers(v.r.Context(), v.Person, v.listing())
	if err != nil {
		return err
	}
	return v.page("customers", v.T("customers"), l)
}

type customerView struct {
	workshop.Kept[workshop.Customer]
	Orders workshop.Listed[workshop.Order]
}

func customerPage(v *visit) error {
	c, os, err := v.s.house.Customer(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	return v.page("customer", c.Value.Name, customerView{c, os})
}

func customerForm(v *visit) error {
	var c workshop.Kept[workshop.Customer]
	if id := v.r.PathValue("id"); id != "" {
		var err error
		if c, _, err = v.s.house.Customer(v.r.Context(), v.Person, id); err != nil {
			return err
		}
	}
	return v.page("customer-form", v.titleOf("customer-new", c.ID, c.Value.Name), c)
}

func saveCustomer(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	c := workshop.Kept[workshop.Customer]{ID: v.r.PathValue("id"), Value: workshop.Customer{
		Name: f.text("name"), Contact: f.text("contact"), Language: f.text("language"), Note: f.text("note")}}
	if c.ID != "" {
		c.Revision = f.revision()
	}
	kept, err := v.s.house.SaveCustomer(v.r.Context(), v.Person, c)
	if err != nil {
		return v.again(err, "customer-form", v.titleOf("customer-new", c.ID, c.Value.Name), c)
	}
	if f.text("then") == "order" {
		return v.to("/orders/new", "")
	}
	return v.to("/customers/"+kept.ID, "saved")
}

func memberList(v *visit) error {
	l, err := v.s.house.Members(v.r.Context(), v.Person, v.listing())
	if err != nil {
		return err
	}
	return v.page("members", v.T("members"), l)
}

type memberView struct {
	workshop.Kept[workshop.Member]
	Jobs workshop.Listed[workshop.Job]
	Said []workshop.Kept[workshop.Saying] // that nobody has heard yet
}

func memberPage(v *visit) error { return v.memberAgain(nil) }

func (v *visit) memberAgain(wrong error) error {
	m, js, err := v.s.house.Member(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	said, err := v.s.house.Sayings(v.r.Context(), v.Person, m.ID)
	if err != nil {
		return err
	}
	view := memberView{m, js, said}
	if wrong != nil {
		return v.again(wrong, "member", m.Value.Name, view)
	}
	return v.page("member", m.Value.Name, view)
}

func memberForm(v *visit) error {
	var m workshop.Kept[workshop.Member]
	if id := v.r.PathValue("id"); id != "" {
		var err error
		if m, _, err = v.s.house.Member(v.r.Context(), v.Person, id); err != nil {
			return err
		}
	}
	return v.page("member-form", v.titleOf("member-new", m.ID, m.Value.Name), m)
}

func saveMember(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	m := workshop.Kept[workshop.Member]{ID: v.r.PathValue("id"), Value: workshop.Member{
		Name: f.text("name"), Skills: f.texts("skills"), Hours: f.whole("hours"), Languages: f.texts("languages"),
		Reach: f.text("reach"), Named: f.yes("named"), Away: f.yes("away"), Note: f.text("note")}}
	if m.ID != "" {
		m.Revision = f.revision()
	}
	if err = f.err(); err != nil {
		return v.again(err, "member-form", v.titleOf("member-new", m.ID, m.Value.Name), m)
	}
	kept, err := v.s.house.SaveMember(v.r.Context(), v.Person, m)
	if err != nil {
		return v.again(err, "member-form", v.titleOf("member-new", m.ID, m.Value.Name), m)
	}
	return v.to("/members/"+kept.ID, "saved")
}

// Skills is every skill, for forms.
func (v *visit) Skills() []string { return workshop.Skills }
