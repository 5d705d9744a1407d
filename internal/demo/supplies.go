package demo

import (
	"urdir/dye"
	"urdir/internal/workshop"
	"urdir/measure"
)

// dyeHouse is what the dye house says of itself. The valley lies a little above
// the sea; weights of spoons are the cooperative's own.
func dyeHouse() workshop.DyeHouse {
	return workshop.DyeHouse{
		Place: dye.Place{Height: 140, Water: 23, Room: dye.Room{Air: 27, Humidity: 0.68}},
		Line:  6000, Lead: 14, Clock: -5 * measure.Hour,
		Waters: []string{"Aljibe de lluvia", "Pozo del patio", "Arroyo Anzales"},
		Measures: []workshop.Kitchen{{What: "alum", Name: "cucharada rasa", Mass: 13}, {What: "soda-ash", Name: "cucharada rasa", Mass: 15},
			{What: "chalk", Name: "cucharadita", Mass: 4}, {What: "Dactylopius coccus", Name: "cucharadita de grana molida", Mass: 2.5},
			{What: "Tagetes erecta", Name: "jícara llena", Mass: 18}, {What: "detergent", Name: "tapa", Volume: 0.015}},
		Reorder: map[string]measure.Gram{"alum": 1000, "soda-ash": 500, "Dactylopius coccus": 250, "Tagetes erecta": 1000, "Rubia tinctorum": 600},
	}
}

// gathering is a supply that was gathered or bought. Days count from today.
type gathering struct {
	supply  workshop.Supply
	day     int
	expires int // 0: keeps
	mass    measure.Gram
	cents   int64
	from    string       // who sold it; nobody if it was gathered
	more    measure.Gram // bought again later, at the same price a gram
	spoiled measure.Gram
}

const (
	shop = "Abarrotes El Cabo"
	boat = "Lancha de los jueves"
)

var gathered = []gathering{
	{workshop.Supply{What: "alum", Name: "Alumbre en piedra", Gathered: "Puerto de Anzales"}, opening + 2, 0, 3000, 1500, shop, 2000, 0},
	{workshop.Supply{What: "soda-ash", Name: "Ceniza de soda", Gathered: "Puerto de Anzales"}, opening + 2, 0, 2500, 1000, shop, 0, 0},
	{workshop.Supply{What: "chalk", Name: "Tiza molida", Gathered: "Salina de Anzales"}, opening + 2, 0, 1200, 300, shop, 0, 0},
	{workshop.Supply{What: "cream-of-tartar", Name: "Crémor tártaro", Gathered: "Puerto de Anzales"}, opening + 2, 0, 900, 1900, shop, 0, 0},
	{workshop.Supply{What: "gall", Name: "Agallas molidas", Gathered: "Encinar de Urcala"}, opening + 2, 0, 1500, 2400, boat, 0, 0},
	{workshop.Supply{What: "tannic-acid", Name: "Tanino en polvo", Gathered: "Puerto de Anzales"}, opening + 2, 0, 800, 2600, shop, 0, 0},
	{workshop.Supply{What: "iron", Name: "Caparrosa", Gathered: "Puerto de Anzales"}, opening + 2, 0, 400, 350, shop, 0, 0},
	{workshop.Supply{What: "detergent", Name: "Jabón de coco, líquido", Gathered: "La Barra"}, opening + 2, 0, 4000, 900, shop, 0, 0},
	{workshop.Supply{What: "lime", Name: "Cal apagada", Gathered: "Calera de Urcala"}, opening + 4, 0, 2000, 200, shop, 0, 0},

	{workshop.Supply{What: "Dactylopius coccus", Name: "Grana de nopal", Gathered: "Nopalera de Urcala", By: "Familia Urrea"}, opening + 3, 0, 360, 5400, boat, 0, 0},
	{workshop.Supply{What: "Dactylopius coccus", Name: "Grana de nopal", Gathered: "Ladera de las Ánimas", By: "Familia Urrea"}, -58, 0, 300, 4700, boat, 0, 0},
	{workshop.Supply{What: "Punica granatum", Name: "Cáscara de granada", Gathered: "Patio de Hilaria Puente", By: "Hilaria Puente"}, opening + 3, 540, 900, 0, "", 0, 0},
	{workshop.Supply{What: "Tagetes erecta", Name: "Flor de muerto, seca", Gathered: "Orilla del estero", By: "Dionisia Varela"}, opening + 3, 300, 900, 0, "", 0, 0},
	{workshop.Supply{What: "Tagetes erecta", Name: "Flor de muerto, de la otra cosecha", Gathered: "Solar de la capilla", By: "Nieves Alcorta"}, opening + 3, -20, 350, 0, "", 0, 0},
	{workshop.Supply{What: "Rubia tinctorum", Name: "Raíz de rubia", Gathered: "Huerto del taller, tercer año", By: "Dionisia Varela"}, opening + 5, 700, 2600, 0, "", 0, 0},
	{workshop.Supply{What: "Allium cepa", Name: "Cáscara de cebolla", Gathered: "Cocina del Mesón del Estero"}, opening + 6, 365, 700, 0, "", 0, 0},
	{workshop.Supply{What: "Persea americana", Name: "Huesos de aguacate, secos", Gathered: "Patios de la Barra", By: "La escuela"}, opening + 8, 200, 1200, 0, "", 0, 140},
	{workshop.Supply{What: "Reseda luteola", Name: "Gualda seca", Gathered: "Huerto del taller", By: "Dionisia Varela"}, -66, 300, 2400, 0, "", 0, 0},
	{workshop.Supply{What: "Indigofera suffruticosa", Name: "Añil de agua", Gathered: "Pila de Urcala", By: "Familia Urrea"}, -64, 0, 250, 6200, boat, 0, 0},
}

// planSupply notes how a supply comes in, is bought again and spoils.
func (s *season) planSupply(g gathering) {
	key := g.supply.What + g.supply.Gathered
	buy := func(day int, m measure.Gram) error {
		v := s.bags[key]
		if v.ID == "" {
			v.Value = g.supply
			v.Value.Day = s.date(g.day)
			if g.expires != 0 {
				v.Value.Expires = s.date(g.expires)
			}
		}
		b := workshop.Purchase{Day: s.date(day), From: g.from, Mass: m}
		if g.cents > 0 {
			b.Cost = usd(int64(float64(g.cents) * float64(m/g.mass)))
		}
		var err error
		s.bags[key], err = s.house.Buy(s.ctx, s.dyer(), v, b)
		return err
	}
	s.on(g.day, "gather "+key, func() error { return buy(g.day, g.mass) })
	if g.more > 0 {
		s.on(-52, "buy "+key, func() error { return buy(-52, g.more) })
	}
	if g.spoiled > 0 {
		s.on(-43, "spoil "+key, func() error { return s.house.Spoil(s.ctx, s.dyer(), s.bags[key].ID, g.spoiled) })
	}
}
