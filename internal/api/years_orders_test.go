package api_test

import (
	"fmt"

	"urdir/internal/workshop"
)

// live is an order in work, and what its people mean to do with it.
type live struct {
	id, quote, invoice string
	pieces             int
	since              int // day
	dyed               bool
	payIn              int // days after the invoice
	billed             int // day
	waits              int // looks at which its yarn was not enough
	done, paid, gone   bool
}

// goOn does with an order what is to be done today.
func (y *years) goOn(o *live) {
	y.Helper()
	v := y.timed(seller, "GET", "/orders/"+o.id, nil)
	switch v.text("step") {
	case "draft":
		if y.day-o.since > y.r.IntN(4) {
			y.quoted(o)
		}
	case "confirmed", "weaving":
		if v.text("step") == "confirmed" && y.chance(0.008) {
			y.cancelled(o)
			return
		}
		y.onLooms(o, v)
	case "woven", "finished", "delivered":
		y.finished(v)
	case "done":
		if !o.done {
			o.done = true
			y.counts["orders done"]++
		}
	default:
		y.Fatalf("order %s is %s", o.id, v.text("step"))
	}
	if o.quote != "" {
		y.billed(o, v.text("step"))
	}
	o.gone = o.gone || o.done && (o.quote == "" || o.paid)
}

// quoted offers a price for a draft; it is accepted and confirmed, or given up.
func (y *years) quoted(o *live) {
	y.Helper()
	at := "/orders/" + o.id
	if y.chance(0.1) {
		y.do(seller, "POST", at+"/cancel", nil)
		y.counts["drafts cancelled"]++
		o.gone = true
		return
	}
	if y.chance(0.15) {
		day := y.timed(seller, "GET", at+"/promise?probability=0.9", nil)
		y.do(seller, "POST", at+"/promise", object{"day": day.text("day"), "probability": 0.9})
		y.counts["promises"]++
	}
	q := y.do(seller, "POST", at+"/quotes", object{"price": usd(o.pieces * (90000 + y.r.IntN(30000)))})
	y.number("quotes", q.text("number"))
	o.quote = q.text("id")
	accept := object{"by": "Posada"}
	if y.chance(0.4) {
		accept["deposit"] = usd(10000)
	}
	y.do(seller, "POST", "/quotes/"+o.quote+"/accept", accept)
	y.papers(o.id)
	y.do(seller, "POST", at+"/confirm", nil)
	v := y.timed(dyer, "GET", at, nil)
	for _, x := range v.at("pieces").([]any) {
		y.number("pieces", fmt.Sprint(int(x.(object)["number"].(float64))))
		y.counts["pieces"]++
	}
	line := at + "/lines/" + v.text("lines.0.id")
	lots := object{"crudo": y.lots["crudo"]}
	if !o.dyed {
		lots["rojo"] = y.lots["rojo"]
	}
	y.do(dyer, "PUT", line+"/lots", object{"lots": lots})
	if o.dyed {
		y.do(dyer, "PUT", line+"/dye", object{"recipes": object{"rojo": object{"recipe": "madder-cotton"}}})
	}
}

// papers remembers the numbers of an order's papers.
func (y *years) papers(order string) {
	y.Helper()
	for _, p := range y.all(keeper, "/papers?order="+order) {
		y.number("papers", p["number"].(string))
	}
}

// cancelled gives up a confirmed order that nobody has begun, and gives back what was
// paid beforehand.
func (y *years) cancelled(o *live) {
	y.Helper()
	if o.invoice != "" {
		return
	}
	y.do(seller, "POST", "/quotes/"+o.quote+"/undo", nil)
	y.papers(o.id)
	y.do(seller, "POST", "/orders/"+o.id+"/cancel", nil)
	y.counts["confirmed orders cancelled"]++
	o.gone = true
}

// onLooms goes on with each warp of an order by a step.
func (y *years) onLooms(o *live, v answer) {
	y.Helper()
	enough := true
	for _, w := range v.at("yarns").([]any) {
		enough = enough && w.(object)["enough"].(bool)
	}
	for _, k := range v.at("thread").([]any) { // yarn that lies there and that nobody has judged is not given out
		k := k.(object)
		enough = enough && (k["stage"] != "dye" || k["done"] == k["of"])
	}
	waiting, gave := false, false
	for _, w := range v.at("warps").([]any) {
		w := w.(object)
		switch at := "/warps/" + w["id"].(string); w["state"] {
		case "waiting":
			waiting = true
			if enough && !gave { // what is left for the next one is seen tomorrow
				gave = y.given(at)
			}
		case "given":
			y.do(memberOf(w), "POST", at+"/laid", nil)
		case "laid", "weaving":
			y.weave(at, w)
		}
	}
	if !waiting || gave {
		o.waits = 0
		return
	}
	if o.waits++; o.waits%12 == 0 { // the lot ran out, or the colour was not enough: from what was bought
		y.relot(o, v)
	}
}

func memberOf(w object) workshop.Role { return workshop.Role(w["member"].(string)) }

// relot takes an order's yarn from the lots of this quarter.
func (y *years) relot(o *live, v answer) {
	y.Helper()
	lots := object{}
	for _, w := range v.at("yarns").([]any) {
		w := w.(object)
		yarn := w["yarn"].(string)
		if had, _ := w["lot"].(string); had != "" && w["enough"].(bool) || yarn == "rojo" && o.dyed && o.waits < 36 && had == "" {
			if had != "" {
				lots[yarn] = had
			}
			continue
		}
		lots[yarn] = y.lots[yarn]
	}
	y.do(dyer, "PUT", "/orders/"+o.id+"/lines/"+v.text("lines.0.id")+"/lots", object{"lots": lots})
	y.counts["lots chosen again"]++
}

// given gives a warp to a member, sometimes to another first.
func (y *years) given(at string) bool {
	y.Helper()
	warp, grams := y.timed(dyer, "GET", at, nil), object{}
	for _, n := range warp.at("needs").([]any) {
		n := n.(object)
		lot := n["lot"].(string)
		had, _ := grams[lot].(float64)
		grams[lot] = had + n["mass_g"].(float64)
	}
	for lot, g := range grams {
		if y.shelf[lot] < mg(g.(float64))+1 {
			return false
		}
	}
	pay := usd(20000 + y.r.IntN(20000))
	if y.chance(0.04) {
		y.do(dyer, "POST", at+"/give", object{"member": one(y, y.members), "grams": grams, "pay": pay})
		y.do(dyer, "POST", at+"/undo", nil)
	}
	y.do(dyer, "POST", at+"/give", object{"member": one(y, y.members), "grams": grams, "pay": pay})
	for lot, g := range grams {
		y.shelf[lot] -= mg(g.(float64))
	}
	y.counts["warps given"]++
	return true
}

// weave tells how far a warp is, and has it taken back when all of it is woven.
func (y *years) weave(at string, w object) {
	y.Helper()
	who, length, woven := memberOf(w), w["length_cm"].(float64), w["woven_cm"].(float64)
	if woven < length*0.99 {
		y.do(who, "POST", at+"/told", object{"cm": min(length, woven+length*(0.2+0.4*y.r.Float64()))})
		y.do(who, "POST", at+"/worked", object{"minutes": 60 + y.r.IntN(300)})
		return
	}
	v := y.timed(dyer, "GET", at, nil)
	bag, left := 0.0, object{}
	for _, b := range v.at("bag").([]any) {
		b := b.(object)
		rest := float64(mg(b["mass_g"].(float64))/50) / 1000
		bag += b["mass_g"].(float64) - rest
		left[b["lot"].(string)] = rest
	}
	back := object{"woven_g": bag * 0.97, "left_g": left}
	y.do(dyer, "POST", at+"/back", back)
	if y.chance(0.04) {
		y.do(dyer, "POST", at+"/undo", nil)
		y.do(dyer, "POST", at+"/back", back)
		y.counts["taken back, undone and taken back"]++
	}
	for lot, g := range left {
		y.shelf[lot] += mg(g.(float64))
	}
	y.owed[w["member"].(string)] += minor(w["pay"])
	y.counts["warps taken back"]++
}

// finished goes on with each piece of an order by a step.
func (y *years) finished(v answer) {
	y.Helper()
	for _, x := range v.at("pieces").([]any) {
		x := x.(object)
		switch at := "/pieces/" + x["id"].(string); x["state"] {
		case "unfinished":
			y.do(seller, "POST", at+"/finish", object{"mass_g": 20, "length_cm": 58, "width_cm": 9, "note": "lavada"})
			if y.chance(0.03) {
				y.do(seller, "POST", at+"/undo", nil)
				y.do(seller, "POST", at+"/finish", object{"mass_g": 20.5, "length_cm": 58})
			}
		case "finished":
			if y.chance(0.6) {
				y.do(seller, "POST", at+"/deliver", nil)
				y.counts["deliveries"]++
			}
		case "delivered":
			if y.chance(0.004) {
				y.do(seller, "POST", at+"/return", object{"note": "se abrió una costura"})
				y.counts["returns"]++
			}
		case "returned":
			y.do(seller, "POST", at+"/repair", object{"note": "cosida"})
			y.counts["repairs"]++
		}
	}
}

// billed writes the invoice of what was delivered, and takes what is paid for it: after
// its days, in one part or two; now and then one is of another order, and undone.
func (y *years) billed(o *live, step string) {
	y.Helper()
	if o.invoice == "" {
		if step == "delivered" || step == "done" {
			p := y.do(keeper, "POST", "/quotes/"+o.quote+"/invoice", nil)
			y.number("papers", p.text("number"))
			o.invoice, o.billed = p.text("id"), y.day
			y.counts["invoices"]++
		}
		return
	}
	if y.day-o.billed < o.payIn {
		return
	}
	at := "/papers/" + o.invoice
	open := int(minor(y.timed(keeper, "GET", at, nil).at("open")))
	if o.paid = open == 0; o.paid {
		return
	}
	pay := func(n int) answer {
		p := y.do(keeper, "POST", at+"/payments", object{"paid": usd(n), "note": "banco"})
		y.number("papers", p.text("number"))
		y.counts["payments"]++
		return p
	}
	if y.chance(0.05) {
		wrong := pay(open)
		u := y.do(keeper, "POST", "/papers/"+wrong.text("id")+"/undo", object{"why": "de otro pedido"})
		y.number("papers", u.text("number"))
		y.papers(o.id)
		y.counts["payments undone"]++
	}
	if y.chance(0.2) && open > 1000 {
		pay(open / 3)
		return
	}
	pay(open)
}
