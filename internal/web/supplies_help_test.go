package web

import (
	"strings"

	"urdir/internal/workshop"
)

// supplies names a bag of the demo that has gone into a bath, and one of a liquid,
// and makes one in the second workshop.
func (s *season) supplies(h *workshop.House, head, other workshop.Person) {
	for _, g := range must(h.Supplies(ctx, head)) {
		for _, b := range g.Bags {
			switch {
			case g.What == "detergent":
				s.ours["liquid"] = b.ID
			case s.ours["supply"] == "" && len(must(h.Supply(ctx, head, b.ID)).Dyeings) > 0 && strings.Contains(g.What, " "):
				s.ours["supply"] = b.ID
			}
		}
	}
	_, made, err := h.Cloth(ctx, head, s.ours["cloth"], 0)
	s.ours["cloth yarn"] = must(made, err).Plan.Yarns[0].Key
	s.theirs["supply"] = must(h.Buy(ctx, other, workshop.Kept[workshop.Supply]{Value: workshop.Supply{What: "alum", Name: "Ajena"}}, workshop.Purchase{Mass: 100})).ID
}

// badSupplies are forms about supplies and the dye house with one thing wrong.
func (s *site) badSupplies() []bad {
	supply := func(v ...string) bad {
		f := pairs("what", "alum", "name", "Alumbre", "gathered", "El puerto", "grams", "500", "cost", "3.50", "from", "La tienda", "note", "nota")
		for i := 0; i+1 < len(v); i += 2 {
			f.Set(v[i], v[i+1])
		}
		return bad{"/supplies/new", v[0], f}
	}
	house := func(field, value string) bad {
		f := recordForm(s.page("/settings/dye", "head")).fields()
		f.Set(field, value)
		return bad{"/settings/dye", field, f}
	}
	bag := "/supplies/" + s.ours["supply"]
	return []bad{
		supply("what", " "), supply("what", strings.Repeat("ñ", 200)), supply("gathered", strings.Repeat("ñ", 200)),
		supply("day", "31/12/2026"), supply("expires", "2027-02-30"), supply("bought", "ayer"), supply("note", strings.Repeat("ñ", 5000)),
		supply("grams", ""), supply("grams", "0"), supply("grams", "-4"), supply("grams", "un poco"), supply("grams", "1e300"), supply("grams", "3 L"),
		supply("cost", "gratis"), supply("cost", "-1"), supply("from", strings.Repeat("ñ", 200)),
		{bag + "/buy", "grams", pairs("grams", "", "from", "La tienda")},
		{bag + "/buy", "cost", pairs("grams", "20", "cost", "1.234,50")},
		{bag + "/spoil", "spoiled", pairs("spoiled", "")},
		{bag + "/spoil", "spoiled", pairs("spoiled", "900 kg")},
		{"/supplies/" + s.ours["liquid"] + "/buy", "grams", pairs("grams", "3 kg")},
		house("dye.height", "9000"), house("dye.height", "alto"), house("dye.water", "99"), house("dye.air", "-3"), house("dye.humidity", "130"),
		house("dye.moisture", "90"), house("dye.stove", "300"), house("dye.line", "-1"), house("dye.lead", "muchos"), house("dye.lead", "900"),
		house("dye.limit", "50"), house("dye.limit", "poco"), house("dye.clock", "20"), house("dye.clock", "mucho"),
		house("dye.measures", "alumbre: cucharada rasa"), house("dye.measures", "alumbre = 3 g"), house("dye.measures", "alumbre: cucharada = 0 g"),
		house("dye.reorder", "alumbre"), house("dye.reorder", "alumbre: -3 g"), house("dye.waters", strings.Repeat("pozo\n", 30)),
	}
}
