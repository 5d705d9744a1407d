package api

import "urdir/internal/workshop"

// CustomerIn is what is said of a customer.
type CustomerIn struct {
	Name     string `json:"name" example:"Posada Los Juncos"`
	Contact  string `json:"contact,omitempty" example:"posada@juncos.example"`
	Language string `json:"language,omitempty" enum:"es,en" example:"es"`
	Note     string `json:"note,omitempty" example:"Wants wool only."`
}

// Customer is who orders.
type Customer struct {
	Head
	CustomerIn
}

func customerOf(k workshop.Kept[workshop.Customer]) Customer {
	v := k.Value
	return Customer{headOf(k), CustomerIn{v.Name, v.Contact, v.Language, v.Note}}
}

func customerOps() []op {
	save := func(a *asked, in CustomerIn) (Customer, error) {
		k, err := a.house.SaveCustomer(a.Context(), a.person, workshop.Kept[workshop.Customer]{ID: a.id(), Revision: a.revision,
			Value: workshop.Customer{Name: in.Name, Contact: in.Contact, Language: in.Language, Note: in.Note}})
		return customerOf(k), err
	}
	return []op{
		list("customers", "/customers", "Customers", func(a *asked, p workshop.Page) ([]Customer, string, error) {
			l, err := a.house.Customers(a.Context(), a.person, p)
			return listed(l, err, customerOf)
		}, word("find", "posada")),
		get("customer", "/customers/{id}", "Customer", func(a *asked) (Customer, error) {
			k, _, err := a.house.Customer(a.Context(), a.person, a.id())
			return customerOf(k), err
		}),
		change("new-customer", "POST /customers", "SaveCustomer", matchNone, save),
		change("change-customer", "PUT /customers/{id}", "SaveCustomer", matchMust, save),
	}
}
