package api_test

import (
	"fmt"
	"net/http"
	"slices"
	"strings"
	"time"

	"urdir/internal/workshop"
	"urdir/price/books"
)

// work is a working day of everybody.
func (y *years) work() {
	y.Helper()
	y.bought()
	if y.chance(0.7) {
		y.taken()
	}
	for _, o := range slices.Clone(y.live) {
		y.goOn(o)
	}
	y.live = slices.DeleteFunc(y.live, func(o *live) bool { return o.gone })
	y.dyeHouse()
	switch y.now.Weekday() {
	case time.Monday:
		y.dyePlan()
	case time.Wednesday:
		y.taught()
	case time.Friday:
		y.timetable()
	}
	y.month()
	y.lookedAt()
	y.wrongly()
}

// wares are the yarns that are bought: what they are, and how.
var wares = map[string]object{
	"crudo": {"label": "Crudo", "colour": "#e9e1d0", "fibre": "cotton", "count": "Ne 8/2"},
	"rojo":  {"label": "Rojo comprado", "colour": "#a8442f", "fibre": "cotton", "count": "Ne 8/2"},
	"bare":  {"label": "Crudo para teñir", "colour": "#e9e1d0", "fibre": "cotton", "count": "Ne 8/2", "undyed": true},
}

// bought buys what runs low; a new lot each quarter. Now and then something is counted
// or thrown away.
func (y *years) bought() {
	y.Helper()
	for _, kind := range []string{"bare", "crudo", "rojo"} {
		if y.lots[kind] == "" || y.day%91 == 0 {
			y.lots[kind] = y.do(dyer, "POST", "/yarn", wares[kind]).text("id")
			y.shelf[y.lots[kind]] = 0
		}
		lot := y.lots[kind]
		if y.shelf[lot] < mg(1500) {
			y.buy(lot)
		}
		if y.chance(0.01) {
			y.do(dyer, "POST", "/yarn/"+lot+"/waste", object{"mass_g": 12.345})
			y.shelf[lot] -= mg(12.345)
		}
		if y.chance(0.02) {
			y.shelf[lot] += y.r.Int64N(60_000) - 30_000
			y.do(dyer, "POST", "/yarn/"+lot+"/count", object{"mass_g": float64(y.shelf[lot]) / 1000})
		}
	}
	if y.lots["rubia"] == "" || y.day%182 == 0 {
		y.lots["rubia"] = y.do(dyer, "POST", "/supplies", object{"what": "Rubia tinctorum", "name": "rubia", "mass_g": 20000,
			"cost": usd(25000)}).text("id")
	}
}

func (y *years) buy(lot string) {
	y.Helper()
	y.do(dyer, "POST", "/yarn/"+lot+"/receive", object{"mass_g": 5000, "cost": usd(11000 + y.r.IntN(4000))})
	y.shelf[lot] += mg(5000)
	y.counts["purchases"]++
}

// taken takes an order, of an old or a new customer, for an old or a new cloth.
func (y *years) taken() {
	y.Helper()
	if len(y.clients) == 0 || y.chance(0.15) {
		y.clients = append(y.clients, y.do(seller, "POST", "/customers", object{"name": fmt.Sprintf("Posada %d", len(y.clients)+1), "language": "es"}).text("id"))
	}
	if len(y.cloths) == 0 || y.chance(0.05) {
		name := fmt.Sprintf("Chalina %d", len(y.cloths)+1)
		text := strings.ReplaceAll(shawl, "200 rojo", fmt.Sprintf("%d rojo", 100+y.r.IntN(200)))
		y.cloths = append(y.cloths, y.do(seller, "POST", "/cloths", object{"name": name, "file": strings.ReplaceAll(text, "Chalina de dos rojos", name)}).text("id"))
	}
	if y.chance(0.1) {
		y.noted(one(y, y.clients))
	}
	n := 1 + y.r.IntN(4)
	a := y.do(seller, "POST", "/orders", object{"customer": one(y, y.clients), "due": y.ahead(40 + y.r.IntN(50)),
		"lines": []any{object{"cloth": one(y, y.cloths), "quantity": n}}})
	y.number("orders", fmt.Sprint(int(a.number("number"))))
	y.live = append(y.live, &live{id: a.text("id"), pieces: n, since: y.day, dyed: y.chance(0.4), payIn: 1 + y.r.IntN(40)})
	y.counts["orders"]++
}

// noted writes something down about a customer, of the version that was read.
func (y *years) noted(client string) {
	y.Helper()
	c := y.timed(seller, "GET", "/customers/"+client, nil)
	y.do(seller, "PUT", "/customers/"+client, object{"name": c.text("name"), "language": "es", "note": "llamó el " + y.ahead(0)}, "If-Match", c.header.Get("ETag"))
}

// dyeHouse goes on with every dyeing by a step.
func (y *years) dyeHouse() {
	y.Helper()
	for _, state := range []string{"out", "begun", "planned"} {
		for _, d := range y.all(dyer, "/dyeings?limit=200&state="+state) {
			y.dye(d)
		}
	}
}

func (y *years) dye(d object) {
	y.Helper()
	at, mass, lot := "/dyeings/"+d["id"].(string), d["mass_g"].(float64), d["lot"].(string)
	bare := y.lots["bare"]
	stages := len(d["stages"].([]any))
	switch done := int(d["stages_done"].(float64)); {
	case d["state"] == "out":
		y.do(dyer, "PUT", at+"/colour", object{"l": 40 + 10*y.r.Float64(), "a": 40, "b": 22, "how": "typed"})
		good := y.chance(0.93)
		y.do(dyer, "POST", at+"/judge", object{"accept": good, "note": "visto a la luz del norte"})
		y.counts["lots dyed"]++
		if !good {
			y.counts["of them rejected"]++
		}
	case d["state"] == "planned":
		for y.shelf[bare] < mg(mass) {
			y.buy(bare)
		}
		y.do(dyer, "POST", at+"/begin", object{"from": bare, "mass_g": mass})
		y.shelf[bare] -= mg(mass)
	case done < stages:
		used := object{}
		if done == stages-1 {
			used[y.lots["rubia"]] = 20
		}
		y.do(dyer, "POST", at+"/stage", object{"dyer": "Delfina", "hottest_c": 80, "minutes": 60, "used": used})
	default:
		y.do(dyer, "POST", at+"/out", object{"mass_g": mass * 0.98})
		y.shelf[lot] += mg(mass * 0.98)
	}
}

// dyePlan plans what is to be dyed, once a week.
func (y *years) dyePlan() {
	y.Helper()
	p := y.timed(dyer, "GET", "/dye-plan?steps=100", nil)
	if found, _ := p.at("lots").([]any); len(found) > 0 {
		y.do(dyer, "POST", "/dye-plan", object{"mark": p.text("mark"), "steps": 100})
		y.counts["dye plans"]++
	}
}

// timetable tells everybody what to do, once a week.
func (y *years) timetable() {
	y.Helper()
	p := y.timed(dyer, "GET", "/timetable?schedules=20", nil)
	if tasks, _ := p.at("tasks").([]any); len(tasks) > 0 {
		y.do(dyer, "POST", "/timetable", object{"mark": p.text("mark"), "schedules": 20})
		y.counts["timetables told"]++
	}
}

// taught is work of no order.
func (y *years) taught() {
	y.Helper()
	m, pay := one(y, y.members), 1000+y.r.IntN(3000)
	y.do(keeper, "POST", "/work", object{"member": m, "kind": "teach", "minutes": 120, "pay": usd(pay), "name": "clase"})
	y.owed[m] += int64(pay)
}

// month is what a bookkeeper does once a month: pay on the third, an advance on the
// eighth, and on the twelfth the books of the month before are closed; from the days
// before a Sunday it is put off.
func (y *years) month() {
	y.Helper()
	before := y.now.AddDate(0, 0, -y.now.Day())
	isDay := func(n int) bool {
		return y.now.Day() == n || y.now.Day() == n+1 && y.now.Weekday() == time.Monday
	}
	switch {
	case isDay(3):
		for _, m := range y.members {
			y.paidOut(before.Format("2006-01"), m)
		}
	case isDay(8):
		m := one(y, y.members)
		if y.lent[m] == 0 {
			y.do(keeper, "POST", "/advances", object{"member": m, "amount": usd(5000), "share_percent": "20"})
			y.lent[m] += 5000
			y.counts["advances"]++
		}
	case isDay(12):
		y.closed(before)
	}
}

func (y *years) paidOut(month, member string) {
	y.Helper()
	at := "/pay/" + month + "/" + member
	for again := true; again; {
		due := y.timed(keeper, "GET", at, nil)
		if minor(due.at("due")) == 0 {
			return
		}
		out := y.do(keeper, "POST", at, object{"due": due.at("due")})
		y.number("payouts", out.text("number"))
		paid, withheld := minor(out.at("paid")), minor(out.at("withheld"))
		if again = y.chance(0.1); again {
			y.do(keeper, "POST", "/payouts/"+out.text("id")+"/undo", nil)
			y.counts["payouts undone"]++
			continue
		}
		y.owed[member] -= paid + withheld
		y.lent[member] -= withheld
		y.counts["payouts"]++
	}
}

// closed closes a month, which the API leaves to people: so by the house.
func (y *years) closed(last time.Time) {
	y.Helper()
	b := must(y.house.Books(y.Context(), y.head, ""))
	var open []string
	for _, i := range b.Open {
		open = append(open, i.Item)
	}
	first := last.AddDate(0, 0, 1-last.Day())
	p := books.Period{Key: last.Format("2006-01"), From: first.Format(time.DateOnly), To: last.Format(time.DateOnly)}
	_, err := y.house.ClosePeriod(y.Context(), y.head, p, books.Savings, open)
	if err != nil {
		y.Fatal(err)
	}
	y.counts["months closed"]++
}

// lookedAt is what people look at each day.
func (y *years) lookedAt() {
	y.Helper()
	for _, path := range []string{"/today", "/orders?state=open", "/orders?limit=50", "/customers", "/warps?state=weaving", "/pieces?state=finished", "/papers", "/quotes", "/turns",
		"/search?find=posada", "/search?find=17", "/history?limit=50", "/supplies", "/cloths?find=chalina", "/promises", "/members", "/pay/" + y.now.AddDate(0, 0, -y.now.Day()).Format("2006-01")} {
		y.timed(head, "GET", path, nil)
	}
	m := workshop.Role(one(y, y.members))
	y.timed(m, "GET", "/warps", nil)
	y.timed(m, "GET", "/pay/"+y.now.Format("2006-01")+"/"+string(m), nil)
}

// wrongly is what is tried and must not go.
func (y *years) wrongly() {
	y.Helper()
	y.no(http.StatusForbidden, workshop.Role(one(y, y.members)), "POST", "/customers", object{"name": "Nadie"})
	y.no(http.StatusUnauthorized, "urdir_nobody", "GET", "/orders", nil)
	y.no(http.StatusUnprocessableEntity, dyer, "POST", "/yarn/"+y.lots["crudo"]+"/waste", object{"mass_g": 1e6})
	if len(y.clients) > 0 {
		y.no(http.StatusPreconditionFailed, seller, "PUT", "/customers/"+y.clients[0], object{"name": "Otra"}, "If-Match", `"99"`)
	}
}
