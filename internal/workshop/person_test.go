package workshop

import (
	"encoding/json"
	"strings"
	"testing"

	"urdir/internal/store"
)

// written is everything people wrote in the workshop, its history too.
func (s *shop) written() string {
	var out strings.Builder
	must(0, s.h.db.Read(ctx, func(r *store.Reader) error {
		for _, t := range store.Tables {
			if t.Name == "files" || t.Name == "accounts" {
				continue
			}
			if err := r.Rows(s.head.Workshop, t, t.Names(), func(row []any) error {
				body, err := json.Marshal(row)
				out.Write(append(body, '\n'))
				return err
			}); err != nil {
				return err
			}
		}
		return nil
	}))
	return out.String()
}

// A customer who asks gets all that is kept of her, and is then forgotten wherever
// she was named; what she ordered and what went with it stays.
func TestErase_customer(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		c := s.customer() // Posada Los Juncos
		c.Value.Contact, c.Value.Note = "juncos@posada.example", "paga tarde"
		c = must(s.h.SaveCustomer(ctx, s.seller, c))
		c.Value.Name = "Rosa"
		c = must(s.h.SaveCustomer(ctx, s.seller, c))
		rosa := must(s.h.SaveLot(ctx, s.dyer, Kept[Lot]{Value: Lot{Label: "Rosa", Colour: "#e08090", Note: "como el de Rosa"}}))
		o := Order{Customer: c.ID, Due: "2031-07-01", Wishes: "Para Rosa, de Posada Los Juncos", Lines: []Line{{Cloth: s.cloth(example("scarf")).ID, Quantity: 1}}}
		order := must(s.h.SaveOrder(ctx, s.seller, Kept[Order]{Value: o}))
		order2 := must(s.h.ConfirmOrder(ctx, s.seller, order.ID, order.Revision))
		other := must(s.h.SaveCustomer(ctx, s.seller, Kept[Customer]{Value: Customer{Name: "Rosaura", Note: "prima de Rosa; vecina de Posada Los Juncos"}}))

		neighbour := addShop(t, s.h, s.clock) // has a customer of the same name
		neighbour.customer()
		theirs := neighbour.written()

		data := must(s.h.PersonData(ctx, s.head, CustomerPerson, c.ID))
		body := string(must(data.JSON()))
		for _, want := range []string{"Posada Los Juncos", "juncos@posada.example", "paga tarde", "Rosa", "2031-07-01"} {
			if !strings.Contains(body, want) || !strings.Contains(data.Text(func(k string) string { return "== " + k }), want) {
				t.Errorf("her data lack %q:\n%s", want, body)
			}
		}

		_, err := s.h.ErasePerson(ctx, s.head, CustomerPerson, c.ID, c.Revision)
		wantProblem(t, "with an open order", err, "", "erase-open")
		must(s.h.CancelOrder(ctx, s.seller, order.ID, order2.Revision))
		_, err = s.h.ErasePerson(ctx, s.head, CustomerPerson, c.ID, c.Revision-1)
		wantCode(t, "at an old revision", err, Conflict)
		acts := s.acts()
		got := must(s.h.ErasePerson(ctx, s.head, CustomerPerson, c.ID, c.Revision))
		if s.acts() != acts+1 {
			t.Errorf("%d lines more in the history, want one", s.acts()-acts)
		}
		all := s.written()
		for _, gone := range []string{"Juncos", "juncos", "paga tarde", "Para Rosa", "para rosa"} {
			if i := strings.Index(all, gone); i >= 0 {
				t.Errorf("%q is still there: %.200s", gone, all[max(0, i-100):])
			}
		}
		l, _, err := s.h.Lot(ctx, s.dyer, rosa.ID)
		if err != nil || l.Value.Label != "Rosa" || l.Value.Note != "como el de Rosa" {
			t.Errorf("a yarn of that name: %+v, %v", l.Value, err)
		}
		now := must(s.h.Order(ctx, s.head, order.ID))
		if want := "Para " + got.Name + ", de " + got.Name; now.Value.Wishes != want || now.Customer.Value.Name != got.Name || now.Value.Due != "2031-07-01" {
			t.Errorf("her order: %+v, %+v; want the wishes %q", now.Value, now.Customer.Value, want)
		}
		if found := must(s.h.Customers(ctx, s.seller, Page{Find: "juncos"})); found.Count != 0 {
			t.Errorf("found by her name: %v", found.Items)
		}
		if found := must(s.h.Customers(ctx, s.seller, Page{Find: "rosaura"})); found.Count != 1 || found.Items[0].Value.Name != "Rosaura" {
			t.Errorf("another customer: %v", found.Items)
		}
		// Where the one word may be hers or not, someone has to look.
		if want := []string{"customer " + other.ID, "lot " + rosa.ID}; strings.Join(got.Left, ",") != strings.Join(want, ",") {
			t.Errorf("left to look at: %v, want %v", got.Left, want)
		}
		if neighbour.written() != theirs {
			t.Error("another workshop's customer was changed")
		}
		if faults, err := s.h.db.Verify(ctx); err != nil || len(faults) > 0 {
			t.Errorf("verify: %v, %v", faults, err)
		}
		if len(got.Stays) == 0 || got.Stays[0].Kind != "order" || got.Stays[0].Count != 1 {
			t.Errorf("what stays: %+v", got.Stays)
		}
		s.balanced()
	})
}

func TestErase_member(t *testing.T) {
	s := newShop(t, file(t))
	id := must(s.h.SaveAccount(ctx, s.head, Account{Login: "benita.luz", Name: "Benita Luz", Role: MemberRole, Member: s.weaver.Member, Lang: "es"}, phrase))
	_, session, err := s.h.SignIn(ctx, "benita.luz", phrase)
	must(0, err)
	s.weaver.Account, s.weaver.Name = id, "Benita Luz"
	o := s.running("blanket", 1)
	j := s.give(o.Jobs[0], s.weaver)
	m, _, err := s.h.Member(ctx, s.head, s.weaver.Member)
	must(0, err)
	_, err = s.h.ErasePerson(ctx, s.head, MemberPerson, m.ID, m.Revision)
	wantProblem(t, "with a warp in hand", err, "", "erase-in-hand")
	j = must(s.h.Laid(ctx, s.weaver, j.ID, j.Revision))
	j = must(s.h.Tell(ctx, s.weaver, j.ID, j.Revision, j.Value.Length, 0))
	must(s.h.TakeBack(ctx, s.dyer, j.ID, j.Revision, grams(s.in(Bag(j.ID))*9/10), nil))
	stock := s.stock()

	data := string(must(must(s.h.PersonData(ctx, s.head, MemberPerson, m.ID)).JSON()))
	for _, want := range []string{"Benita Luz", "benita.luz", j.ID} {
		if !strings.Contains(data, want) {
			t.Errorf("her data lack %q", want)
		}
	}
	if strings.Contains(data, "argon2") || strings.Contains(data, "Delfina") {
		t.Errorf("her data hold a secret, or who else told something:\n%s", data)
	}
	m, _, err = s.h.Member(ctx, s.head, s.weaver.Member)
	must(0, err)
	got := must(s.h.ErasePerson(ctx, s.head, MemberPerson, m.ID, m.Revision))
	if all := s.written(); strings.Contains(all, "Benita Luz") || strings.Contains(all, "benita luz") {
		t.Error("she is still named")
	}
	if p := must(s.h.Who(ctx, session)); p != (Person{}) {
		t.Errorf("her session is still open: %+v", p)
	}
	if _, _, err = s.h.SignIn(ctx, "benita.luz", phrase); err == nil {
		t.Error("she signs in")
	}
	for _, a := range must(s.h.Accounts(ctx, s.head)) {
		if a.ID == id && (a.Name != got.Name || !a.Closed || strings.Contains(a.Login, "benita")) {
			t.Errorf("her account: %+v", a)
		}
	}
	work := must(s.h.Job(ctx, s.head, j.ID))
	if work.Value.Member != m.ID || len(work.Value.Facts) != 4 || work.Value.Facts[1].By != got.Name || work.Value.Pay().Minor != 120000 {
		t.Errorf("her work: %+v", work.Value)
	}
	if len(stock) != len(s.stock()) {
		t.Error("material moved")
	}
	s.balanced()

	_, err = s.h.ErasePerson(ctx, s.head, "supplier", m.ID, 1)
	wantProblem(t, "another kind", err, "kind", "value-choice")
	_, err = s.h.ErasePerson(ctx, s.head, MemberPerson, "none", 1)
	wantCode(t, "nobody", err, NotFound)
	_, err = s.h.PersonData(ctx, s.head, CustomerPerson, m.ID)
	wantCode(t, "a member as a customer", err, NotFound)
}

// Nobody erases herself: the workshop would be left without a head.
func TestErase_oneself(t *testing.T) {
	s := newShop(t, file(t))
	id := must(s.h.SaveAccount(ctx, s.head, Account{Login: "jefa", Name: "Jefa", Role: Head, Member: s.weaver.Member}, phrase))
	me := s.head
	me.Account = id
	m, _, err := s.h.Member(ctx, me, s.weaver.Member)
	must(0, err)
	_, err = s.h.ErasePerson(ctx, me, MemberPerson, m.ID, m.Revision)
	wantProblem(t, "oneself", err, "", "erase-own")
}

// Names are replaced as words, texts of JSON only, and every other byte stays.
func TestTraces(t *testing.T) {
	tr := traces{kind: "customer", id: "abcdef", instead: "#abc"}
	tr.add("Ana María Ñ", "+34 600 111 222")
	tr.add("Rosa", "por la mañana")
	for in, want := range map[string]string{
		`{"a":1.50,"Note":"Ana María Ñ vino","b":[ "x","Ana María Ñandú" ]}`: `{"a":1.50,"Note":"#abc vino","b":[ "x","Ana María Ñandú" ]}`,
		`{"Label":"Rosa","Note":"Rosa"}`:                                     `{"Label":"Rosa","Note":"Rosa"}`,
		`{"Label":"Rosa","Note":"Rosa","Customer":"abcdef"}`:                 `{"Label":"Rosa","Note":"#abc","Customer":"abcdef"}`,
		`{"Customer":"Rosa","By":"Rosa","Name":"Rosa"}`:                      `{"Customer":"#abc","By":"#abc","Name":"Rosa"}`,
		`{"Note":"\"Ana Mar\u00eda Ñ\" \u003cx\u003e"}`:                      `{"Note":"\"#abc\" \u003cx\u003e"}`,
		`{"Plan":"{\"order\":{\"customer\":\"Rosa\",\"n\":1e3}}"}`:           `{"Plan":"{\"order\":{\"customer\":\"#abc\",\"n\":1e3}}"}`,
		`{"Note":"Lana por la mañana"}`:                                      `{"Note":"Lana por la mañana"}`,
		`{"Note":"tel. +34 600 111 222, corto"}`:                             `{"Note":"tel. #abc, corto"}`,
		`{"Rosa":"x","Ana María Ñ":"y"}`:                                     `{"Rosa":"x","Ana María Ñ":"y"}`,
		`no JSON, de Ana María Ñ`:                                            `no JSON, de #abc`,
	} {
		if got := tr.rewrite(store.Written{Table: "records", Column: "body", Kind: "order", ID: "x", Text: in}); got != want {
			t.Errorf("%s\ngot  %s\nwant %s", in, got, want)
		}
	}
	if got := tr.rewrite(store.Written{Table: "records", Column: "words", Kind: "order", Text: "ana maria ñ rosa 600"}); got != "#abc rosa 600" {
		t.Errorf("words: %q", got)
	}
	paper := store.Written{Table: "records", Column: "body", Kind: "paper", Text: `{"Customer":"Ana María Ñ"}`}
	if got := tr.rewrite(paper); got != paper.Text {
		t.Errorf("an invoice: %q", got)
	}
}
