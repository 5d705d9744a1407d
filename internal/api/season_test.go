package api_test

import (
	"fmt"
	"testing"

	"urdir/internal/workshop"
)

const (
	head   = workshop.Head
	dyer   = workshop.Dyer
	seller = workshop.Seller
	keeper = workshop.Bookkeeper
	weaver = workshop.MemberRole
)

// shawl is a cloth with a yarn that is to be dyed and one that is not.
const shawl = `urdir: 1
name: Chalina de dos rojos
yarns:
  crudo: {count: Ne 8/2, fibre: cotton, colour: "#e9e1d0"}
  rojo: {count: Ne 8/2, fibre: cotton, colour: "#a8442f"}
warps:
  main:
    sett: 30 /cm
    stripes:
      - 100 crudo
      - 200 rojo
weft: crudo
picks: 6 /cm
panels:
  chalina: {warp: main, length: 60 cm, bands: [{woven: rest}]}
`

func usd(minor int) object { return object{"minor": minor, "currency": "USD"} }

// draft is an order of one line, by the API.
func (s *shop) draft(quantity int) answer {
	s.Helper()
	customer := s.good(seller, "POST", "/customers", object{"name": "Posada Los Juncos", "language": "es"})
	cloth := s.good(seller, "POST", "/cloths", object{"name": "Chalina", "file": shawl})
	return s.good(seller, "POST", "/orders", object{"customer": customer.text("id"), "due": "2031-07-01",
		"lines": []any{object{"cloth": cloth.text("id"), "quantity": quantity}}})
}

// season drives an order from the first word to paid members, through the API alone,
// and tries every operation there is on the way.
func season(s *shop) {
	s.Helper()
	order, lot := s.ordered()
	s.dyed(lot)
	s.woven(order)
	s.sold(order)
	s.paid()
	s.looked(order)
}

// ordered takes an order and gets its yarn.
func (s *shop) ordered() (order, bare string) {
	s.Helper()
	draft := s.draft(1)
	order = draft.text("id")
	tag := s.good(seller, "GET", "/orders/"+order, nil).header.Get("ETag")
	s.good(seller, "PUT", "/orders/"+order, object{"customer": draft.text("customer"), "due": "2031-08-01", "wishes": "Más suave", "lines": draft.at("lines")}, "If-Match", tag)
	c := s.good(seller, "GET", "/customers/"+draft.text("customer"), nil)
	s.good(seller, "PUT", "/customers/"+c.text("id"), object{"name": "Posada", "note": "paga tarde"}, "If-Match", c.header.Get("ETag"))
	s.good(seller, "POST", "/orders/"+order+"/confirm", nil)
	gone := s.draft(2).text("id")
	s.good(seller, "POST", "/orders/"+gone+"/cancel", nil)

	yarn := func(label string, undyed bool) string {
		return s.good(dyer, "POST", "/yarn", object{"label": label, "colour": "#e9e1d0", "fibre": "cotton", "count": "Ne 8/2", "undyed": undyed}).text("id")
	}
	bare = yarn("Crudo para teñir", true)
	weft := yarn("Crudo", false)
	for _, id := range []string{bare, weft} {
		s.good(dyer, "POST", "/yarn/"+id+"/receive", object{"mass_g": 3000, "cost": usd(9000)})
	}
	s.good(dyer, "POST", "/yarn/"+weft+"/waste", object{"mass_g": 12.5})
	for _, g := range []float64{2900, 2950} {
		if got := s.good(dyer, "POST", "/yarn/"+weft+"/count", object{"mass_g": g}); got.number("shelf_g") != g {
			s.Errorf("counted %v, got %s", g, got.raw)
		}
	}
	l := s.good(dyer, "GET", "/yarn/"+weft, nil)
	s.good(dyer, "PUT", "/yarn/"+weft, object{"label": "Crudo fino", "colour": "#e9e1d0", "fibre": "cotton", "count": "Ne 8/2", "skein_g": 100}, "If-Match", l.header.Get("ETag"))
	line := s.good(dyer, "GET", "/orders/"+order, nil).text("lines.0.id")
	s.good(dyer, "PUT", "/orders/"+order+"/lines/"+line+"/lots", object{"lots": object{"crudo": weft}})
	s.good(dyer, "PUT", "/orders/"+order+"/lines/"+line+"/dye", object{"recipes": object{"rojo": object{"recipe": "madder-cotton"}}})
	return order, bare
}

// dyed dyes what the order wants.
func (s *shop) dyed(bare string) {
	s.Helper()
	root := s.good(dyer, "POST", "/supplies", object{"what": "Rubia tinctorum", "name": "rubia", "mass_g": 1000, "cost": usd(2500)}).text("id")
	s.good(dyer, "GET", "/supplies/"+root, nil)
	plan := s.good(dyer, "GET", "/dye-plan?steps=200", nil)
	made := s.good(dyer, "POST", "/dye-plan", object{"mark": plan.text("mark"), "steps": 200})
	at := "/dyeings/" + made.text("items.0.id")
	s.good(dyer, "POST", at+"/begin", object{"from": bare, "mass_g": made.number("items.0.mass_g")})
	s.good(dyer, "POST", at+"/undo", nil)
	d := s.good(dyer, "POST", at+"/begin", object{"from": bare, "mass_g": made.number("items.0.mass_g")})
	for i := range d.at("stages").([]any) {
		used := object{}
		if i == 0 {
			used[root] = 30
		}
		s.good(dyer, "POST", at+"/stage", object{"dyer": "Delfina", "hottest_c": 80, "minutes": 60, "used": used})
	}
	s.good(dyer, "POST", at+"/out", object{"mass_g": made.number("items.0.mass_g") * 0.97})
	s.good(dyer, "PUT", at+"/colour", object{"l": 45, "a": 40, "b": 22, "how": "typed"})
	if got := s.good(dyer, "POST", at+"/judge", object{"accept": true, "note": "más clara, vale"}); got.text("state") != "accepted" {
		s.Errorf("judged: %s", got.raw)
	}
	s.good(dyer, "GET", at, nil)
}

// woven weaves and finishes what was ordered.
func (s *shop) woven(order string) {
	s.Helper()
	table := s.good(dyer, "GET", "/timetable?schedules=50", nil)
	s.good(dyer, "POST", "/timetable", object{"mark": table.text("mark"), "schedules": 50})
	id := s.good(dyer, "GET", "/orders/"+order, nil).text("warps.0.id")
	warp, grams := s.good(dyer, "GET", "/warps/"+id, nil), object{}
	bag := 0.0
	for _, n := range warp.at("needs").([]any) {
		n := n.(object)
		grams[n["lot"].(string)] = n["mass_g"]
		bag += n["mass_g"].(float64)
	}
	give := object{"member": s.member, "grams": grams, "pay": usd(120000)}
	s.good(dyer, "POST", "/warps/"+id+"/give", give)
	s.good(dyer, "POST", "/warps/"+id+"/undo", nil)
	s.good(dyer, "POST", "/warps/"+id+"/give", give)
	s.good(weaver, "POST", "/warps/"+id+"/laid", nil)
	s.good(weaver, "POST", "/warps/"+id+"/told", object{"cm": 20})
	s.good(weaver, "POST", "/warps/"+id+"/told", object{"cm": warp.number("length_cm")})
	s.good(weaver, "POST", "/warps/"+id+"/worked", object{"minutes": 600})
	s.good(dyer, "POST", "/warps/"+id+"/back", object{"woven_g": bag * 0.9})
	for _, x := range s.good(seller, "GET", "/pieces?order="+order, nil).at("items").([]any) {
		at := "/pieces/" + x.(object)["id"].(string)
		s.good(seller, "POST", at+"/finish", object{"mass_g": bag * 0.85, "length_cm": 58, "width_cm": 9, "note": "lavada"})
		s.good(seller, "POST", at+"/undo", nil)
		s.good(seller, "POST", at+"/finish", object{"mass_g": bag * 0.85, "length_cm": 58})
		s.good(seller, "POST", at+"/deliver", nil)
		s.good(seller, "POST", at+"/return", object{"note": "se abrió una costura"})
		s.good(seller, "POST", at+"/repair", object{"note": "cosida"})
		s.good(seller, "POST", at+"/deliver", nil)
		s.good(seller, "GET", at, nil)
	}
}

// sold makes the order's papers.
func (s *shop) sold(order string) {
	s.Helper()
	q := s.good(seller, "POST", "/orders/"+order+"/quotes", object{"price": usd(900000), "off_percent": "5", "terms": "mitad antes"})
	at := "/quotes/" + q.text("id")
	s.good(seller, "POST", at+"/accept", object{"by": "Posada"})
	s.good(seller, "POST", at+"/undo", nil)
	s.good(seller, "POST", at+"/accept", object{"by": "Posada", "deposit": usd(10000)})
	s.good(seller, "GET", at, nil)
	invoice := s.good(keeper, "POST", at+"/invoice", nil)
	wrong := s.good(keeper, "POST", "/papers/"+invoice.text("id")+"/payments", object{"paid": usd(100)})
	s.good(keeper, "POST", "/papers/"+wrong.text("id")+"/undo", object{"why": "de otro pedido"})
	open := s.good(keeper, "GET", "/papers/"+invoice.text("id"), nil)
	s.good(keeper, "POST", "/papers/"+invoice.text("id")+"/payments", object{"paid": open.at("open"), "note": "banco"})
	if left := s.good(keeper, "GET", "/papers/"+invoice.text("id"), nil).at("open"); left != nil && left.(object)["minor"].(float64) != 0 {
		s.Errorf("the order still owes %v", left)
	}
}

// paid pays the weaver.
func (s *shop) paid() {
	s.Helper()
	s.good(keeper, "POST", "/work", object{"member": s.member, "kind": "teach", "minutes": 120, "pay": usd(3000), "name": "clase"})
	s.good(keeper, "POST", "/advances", object{"member": s.member, "amount": usd(5000), "share_percent": "20"})
	at := "/pay/2031-05/" + s.member
	for range 2 {
		due := s.good(keeper, "GET", at, nil)
		out := s.good(keeper, "POST", at, object{"due": due.at("due")})
		s.good(weaver, "GET", "/payouts/"+out.text("id"), nil)
		s.good(keeper, "POST", "/payouts/"+out.text("id")+"/undo", nil)
	}
	due := s.good(keeper, "GET", at, nil)
	s.good(keeper, "POST", at, object{"due": due.at("due")})
}

// looked tries what has not been tried yet.
func (s *shop) looked(order string) {
	s.Helper()
	if got := s.good(head, "GET", "/orders/"+order, nil); got.text("step") != "done" {
		s.Errorf("after everything the order is %s: %v", got.text("step"), got.at("thread"))
	}
	next := s.draft(1)
	s.good(seller, "POST", "/orders/"+next.text("id")+"/confirm", nil)
	id := s.good(dyer, "GET", "/orders/"+next.text("id"), nil).text("warps.0.id")
	s.good(dyer, "POST", "/warps/"+id+"/give", object{"member": s.member, "pay": usd(500)})
	s.good(dyer, "POST", "/warps/"+id+"/laid", nil)
	s.good(dyer, "POST", "/warps/"+id+"/back", object{"woven_g": 0})
	s.good(keeper, "POST", "/warps/"+id+"/paid", object{"pay": usd(500)})

	later := s.draft(1).text("id")
	day := s.good(seller, "GET", "/orders/"+later+"/promise?probability=0.9", nil)
	s.good(seller, "POST", "/orders/"+later+"/promise", object{"day": day.text("day"), "probability": 0.9})

	m := s.good(head, "POST", "/members", object{"name": "Casilda", "skills": []any{"lay"}, "reach": "al mediodía"})
	s.good(head, "PUT", "/members/"+m.text("id"), object{"name": "Casilda", "away": true}, "If-Match", m.header.Get("ETag"))
	s.good(head, "GET", "/members/"+m.text("id"), nil)
	cloth := "/cloths/" + s.good(head, "GET", "/cloths?find=chalina", nil).text("items.0.id")
	c := s.good(head, "GET", cloth, nil)
	s.good(seller, "PUT", cloth, object{"name": "Chalina ancha", "file": c.text("file") + "# otra\n"}, "If-Match", c.header.Get("ETag"))
	for _, path := range []string{"/file", "/plan", "/plan?version=1", "/versions"} {
		s.good(head, "GET", cloth+path, nil)
	}
	f := must(s.house.SaveFigure(s.Context(), s.head, workshop.Kept[workshop.Figure]{Value: workshop.Figure{Name: "Garza", Sale: "ask", Ask: "el consejo",
		Text: "colours: {x: red}\nchart: |\n  .x.\n"}}))
	s.good(head, "GET", "/figures/"+f.ID, nil)
	k, _, err := s.house.SaveHook(s.Context(), s.head, workshop.Kept[workshop.Hook]{Value: workshop.Hook{URL: "https://tienda.example/"}})
	if err != nil {
		s.Fatal(err)
	}
	s.good(head, "GET", "/hooks/"+k.ID, nil)
	s.offered()
	for _, path := range []string{"/workshop", "/today", "/search?find=posada", "/history?limit=3", "/hooks", "/customers", "/orders?state=done", "/figures", "/yarn?state=ready",
		"/supplies", "/dyeings", "/members", "/warps?state=back", "/quotes", "/papers", "/pay/2031-05", "/turns", "/promises", "/prices", "/classes"} {
		s.good(head, "GET", path, nil)
	}
}

// offered keeps a price list, plans a class and tells a colour.
func (s *shop) offered() {
	s.Helper()
	p := s.good(seller, "POST", "/prices", object{"name": "Chalina", "list": "feria", "each": usd(4500)})
	at := "/prices/" + p.text("id")
	p = s.good(seller, "PUT", at, object{"name": "Chalina", "each": usd(4800), "since": "2031-06-01"}, "If-Match", p.header.Get("ETag"))
	s.good(seller, "DELETE", at, nil, "If-Match", p.header.Get("ETag"))

	class := "/orders/" + s.draft(1).text("id") + "/class"
	s.good(seller, "PUT", class, object{"day": "2031-07-12", "from_minute": 540, "to_minute": 960, "seats": 6})
	if got := s.good(seller, "POST", class+"/learners", object{"added": 4}); got.number("learners") != 4 {
		s.Errorf("learners: %s", got.raw)
	}
	if got := s.good(seller, "GET", "/classes", nil); got.number("items.0.seats") != 6 {
		s.Errorf("classes: %s", got.raw)
	}

	lot := s.good(dyer, "POST", "/yarn", object{"label": "Suelto", "colour": "#000000"}).text("id")
	if got := s.good(dyer, "PUT", "/yarn/"+lot+"/colour", object{"l": 41.5, "a": 38.2, "b": 19.7, "how": "typed"}); got.text("colour") == "#000000" {
		s.Errorf("coloured: %s", got.raw)
	}
}

// A whole season can be driven by scripted roles through the API, on both databases,
// and the books are sound after it.
func TestSeason(t *testing.T) {
	onBoth(t, func(t *testing.T, address string) {
		s := newShop(t, address)
		season(s)
		if faults := must(s.house.CheckBooks(t.Context(), s.head)); len(faults) > 0 {
			t.Error(fmt.Sprint(faults))
		}
	})
}
