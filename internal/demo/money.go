package demo

import (
	"slices"
	"time"

	"github.com/govalues/decimal"

	"urdir/internal/workshop"
	"urdir/measure"
	"urdir/price"
	"urdir/price/books"
)

// kilo is what a kilogram of each yarn cost with its freight. Invented, as all amounts
// here.
var kilo = map[string]int64{thick: 1350, fine: 1600, soft: 1890, wool: 2240}

// cost is what so much of a lot cost.
func (l skeins) cost(g measure.Gram) workshop.Money {
	return usd(int64(float64(kilo[l.lot.Count]) * float64(g) / 1000))
}

// payDay is the day of the next month on which the cooperative pays a month.
const payDay = 5

const month = "2006-01"

// planMoney notes what pay and books go by, and what the bookkeeper writes down.
func (s *season) planMoney() {
	s.on(opening, "money", s.moneyHouse)
	for _, e := range written {
		s.on(e.day, "entry "+e.text, func() error { return s.write(e) })
	}
	for _, w := range spoken {
		s.on(w.day, "work "+w.name, func() error { return s.tellWork(w) })
	}
	for _, a := range lent {
		s.on(a.day, "advance "+a.member, func() error { return s.lend(a) })
	}
	year, now, day := s.today.Date()
	date := func(m time.Month, day int) time.Time { return time.Date(year, m, day, 0, 0, 0, 0, s.today.Location()) }
	for back := time.Month(4); back >= 0; back-- {
		if on := s.dayOf(date(now-back, payDay).Format(time.DateOnly)); on < 0 && on > opening+10 {
			s.on(on, "pay", func() error { return s.payMonth(date(now-back-1, 1).Format(month), on) })
		}
	}
	first := date(now, day+opening)
	end := time.Date(first.Year(), first.Month()+1, 0, 0, 0, 0, 0, s.today.Location())
	s.on(s.dayOf(end.Format(time.DateOnly))+20, "close", func() error { return s.closeMonth(end) })
}

// moneyHouse tells what pay and books go by.
func (s *season) moneyHouse() error {
	k, err := s.house.Settings(s.ctx, s.head())
	if err != nil {
		return err
	}
	m := workshop.MoneyOf(k)
	v := &m.Value
	v.PayDay = payDay
	v.Floors = price.Floors{Workshop: usd(350), Legal: usd(310)}
	v.Pay = map[string]price.Pay{}
	for kind, cents := range map[string]int64{"lay": 350, "weave": 400, "brocade": 480, "dye": 400, "sew": 350, "teach": 600, "finish": 350, "carry": 350, "meet": 350} {
		v.Pay[kind] = price.Pay{Per: price.PerHour, Rate: usd(cents)}
	}
	v.Minutes = map[string]int{"carry": 30, "meet": 60}
	v.Overhead = []price.Overhead{{Name: "Local, luz y agua", Per: price.PerHour, Rate: usd(40)}}
	v.FuelKG = usd(12)
	v.Kilo = map[string]workshop.Money{"cotton": usd(1450), "wool": usd(2240)}
	v.Exchange = []price.Exchange{{From: "EUR", To: "USD", Rate: decimal.MustParse("1.08"), On: s.date(opening), Source: "Caja de Ahorro del Puerto"}}
	_, _, err = s.house.SaveMoneyHouse(s.ctx, s.bookkeeper(), m)
	return err
}

// scribble is an entry that the bookkeeper writes by hand.
type scribble struct {
	day           int
	text          string
	into, from    string // accounts
	cents         int64
	product, sold string // tags: cloth, channel
	twice         bool   // by mistake, and reversed the day after
}

var written = []scribble{
	{day: opening, text: "Aportes de las socias", into: books.Bank, from: books.Savings, cents: 720000},
	{day: opening + 1, text: "Del banco a la caja", into: books.Cash, from: books.Bank, cents: 320000},
	{day: -110, text: "Luz y agua", into: books.Overhead, from: books.Cash, cents: 4150},
	{day: -101, text: "Carga de leña de mezquite", into: books.FuelUsed, from: books.Cash, cents: 3600},
	{day: -97, text: "Feria del muelle: tres bufandas del año pasado", into: books.Cash, from: books.Sales, cents: 13500, product: "Bufanda Bruma", sold: "Feria"},
	{day: -90, text: "Para el fondo de ayuda", into: books.Savings, from: books.SocialFund, cents: 30000},
	{day: -84, text: "Lancha de los jueves", into: books.Transport, from: books.Cash, cents: 2400},
	{day: -79, text: "Luz y agua", into: books.Overhead, from: books.Cash, cents: 4390},
	{day: -71, text: "Mostrador: dos morrales", into: books.Cash, from: books.Sales, cents: 7600, product: "Morral Feria", sold: "Mostrador"},
	{day: -64, text: "Botica, por el nieto de Matilde", into: books.SocialFund, from: books.Cash, cents: 5500},
	{day: -57, text: "Carga de leña de mezquite", into: books.FuelUsed, from: books.Cash, cents: 3800},
	{day: -49, text: "Luz y agua", into: books.Overhead, from: books.Cash, cents: 4220, twice: true},
	{day: -41, text: "Bendición de las lanchas: mesa del puesto", into: books.SellingFees, from: books.Cash, cents: 1500, sold: "Feria"},
	{day: -40, text: "Bendición de las lanchas: venta del puesto", into: books.Cash, from: books.Sales, cents: 48600, product: "Tapete Barra", sold: "Feria"},
	{day: -30, text: "Lancha de los jueves", into: books.Transport, from: books.Cash, cents: 2400},
	{day: -19, text: "Luz y agua", into: books.Overhead, from: books.Cash, cents: 4310},
	{day: -8, text: "De la caja al banco", into: books.Bank, from: books.Cash, cents: 40000},
}

func (s *season) write(x scribble) error {
	tags := map[string]string{"season": s.date(x.day)[:4]}
	if x.product != "" {
		tags["product"] = x.product
	}
	if x.sold != "" {
		tags["channel"] = x.sold
	}
	e := books.Entry{Date: s.date(x.day), Text: x.text, Lines: []books.Line{
		{Account: x.into, Amount: usd(x.cents), Tags: tags}, {Account: x.from, Amount: usd(-x.cents), Tags: tags}}}
	if _, err := s.house.PostEntry(s.ctx, s.bookkeeper(), e); err != nil || !x.twice {
		return err
	}
	n, err := s.house.PostEntry(s.ctx, s.bookkeeper(), e)
	s.on(x.day+1, "reverse "+x.text, func() error {
		_, failed := s.house.ReverseEntry(s.ctx, s.bookkeeper(), n, "Anotado dos veces")
		return failed
	})
	return err
}

// word is work that no warp or piece tells of.
type word struct {
	day          int
	member, kind string
	name         string
	minutes      int64
	cents        int64 // agreed for it; zero: by the hour
}

var spoken = []word{
	{-88, "hilaria", "teach", "Clase en la escuela de la barra", 180, 0},
	{-86, "lino", "carry", "Bultos de la lancha", 70, 0},
	{-74, "benita", "meet", "Junta de precios", 90, 0},
	{-74, "jacinta", "meet", "Junta de precios", 90, 0},
	{-74, "zoila", "meet", "Junta de precios", 90, 0},
	{-61, "petrona", "sew", "Dobladillos del hostal", 150, 0},
	{-52, "nieves", "sew", "Forros de morral", 240, 1100},
	{-44, "benita", "teach", "Enseñar el labrado a Candelaria", 120, 0},
	{-36, "lino", "carry", "Leña al patio", 55, 0},
	{-24, "benita", "meet", "Junta de la feria", 60, 0},
	{-24, "ramona", "meet", "Junta de la feria", 60, 0},
	{-6, "benita", "teach", "Enseñar a urdir a Candelaria", 90, 0},
	{-3, "benita", "carry", "Pedido al embarcadero", 40, 0},
	{-2, "nieves", "sew", "Forros de morral", 210, 900},
}

func (s *season) tellWork(w word) error {
	v := workshop.Work{Member: s.ids["member"][w.member], Kind: w.kind, Name: w.name, At: s.date(w.day), Minutes: w.minutes}
	if w.cents > 0 {
		v.Pay = usd(w.cents)
	}
	_, err := s.house.TellWork(s.ctx, s.bookkeeper(), v)
	return err
}

// loan is an advance on pay to come.
type loan struct {
	day    int
	member string
	cents  int64
	share  int64 // per cent of each pay
	note   string
}

var lent = []loan{
	{-92, "jacinta", 4000, 25, "Para el techo de la cocina"},
	{-66, "benita", 9000, 20, "Útiles de la escuela"},
}

func (s *season) lend(a loan) error {
	_, err := s.house.GiveAdvance(s.ctx, s.bookkeeper(), workshop.Advance{Member: s.ids["member"][a.member], Amount: usd(a.cents), Share: price.PerCent(a.share), Note: a.note}, "")
	return err
}

// waitFrom is from when on members whose warp is to be paid still wait: somebody has
// to be paid today.
const waitFrom = -45

// payMonth hands everybody the pay of a month.
func (s *season) payMonth(of string, day int) error {
	all, err := s.house.Pay(s.ctx, s.bookkeeper(), of)
	if err != nil {
		return err
	}
	for _, x := range all {
		warp := slices.ContainsFunc(slices.Concat(x.Works, x.Earlier), func(w workshop.Kept[workshop.Work]) bool {
			_, open := x.Open[w.ID]
			return open && w.Value.Where == "job"
		})
		if len(x.Open) == 0 || warp && day > waitFrom {
			continue
		}
		if _, err = s.house.PayOut(s.ctx, s.bookkeeper(), x.Member.ID, of, x.Due, ""); err != nil {
			return err
		}
	}
	return nil
}

// closeMonth closes the books of the season's first month; what is open is known to be.
func (s *season) closeMonth(end time.Time) error {
	b, err := s.house.Books(s.ctx, s.bookkeeper(), end.Format(time.DateOnly))
	if err != nil {
		return err
	}
	var carried []string
	for _, i := range b.Open {
		carried = append(carried, i.Item)
	}
	p := books.Period{Key: end.Format(month), From: end.Format(month) + "-01", To: end.Format(time.DateOnly)}
	_, err = s.house.ClosePeriod(s.ctx, s.bookkeeper(), p, books.Savings, carried)
	return err
}
