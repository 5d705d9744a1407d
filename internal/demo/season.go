package demo

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"urdir/examples"
	"urdir/internal/workshop"
	"urdir/measure"
)

// opening is the day the season begins, counted from today.
const opening = -118

// season is the cooperative while its season is lived through.
type season struct {
	ctx    context.Context
	house  *workshop.House
	clock  *Clock
	today  time.Time
	lang   string
	people map[string]workshop.Person // by login
	teller map[string]workshop.Person // members with an account
	ids    map[string]map[string]string
	lots   map[string]workshop.Kept[workshop.Lot]
	bags   map[string]workshop.Kept[workshop.Supply]
	dyed   map[string]*told // orders whose yarn is dyed here, by name
	turn   map[string]int   // whose turn it is, by skill
	deeds  []deed
}

// deed is something that is done on a day.
type deed struct {
	day  int
	what string
	do   func() error
}

// Fill fills an empty database with the cooperative, in the middle of its
// season; lang is the language its pages begin in. While it runs the clock is
// in the past; afterwards it runs on from where it was. It gives who can sign
// in, the head first. The same hour gives the same cooperative, but for names of
// records, which are random. An error leaves the database half filled.
func Fill(ctx context.Context, house *workshop.House, clock *Clock, lang string) ([]Login, error) {
	switch empty, err := house.Empty(ctx); {
	case err != nil:
		return nil, err
	case !empty:
		return nil, fmt.Errorf("demo: the database has a workshop already")
	}
	now := clock.Now()
	began := time.Now()
	defer func() { clock.run(now.Add(time.Since(began))) }()
	s := &season{ctx: ctx, house: house, clock: clock, lang: lang,
		today:  time.Date(now.Year(), now.Month(), now.Day(), 8, 0, 0, 0, now.Location()),
		people: map[string]workshop.Person{}, teller: map[string]workshop.Person{},
		ids:  map[string]map[string]string{"member": {}, "customer": {}, "cloth": {}},
		lots: map[string]workshop.Kept[workshop.Lot]{}, bags: map[string]workshop.Kept[workshop.Supply]{}, dyed: map[string]*told{}, turn: map[string]int{}}
	s.plan()
	if err := s.live(); err != nil {
		return nil, err
	}
	if err := s.keepHook(); err != nil {
		return nil, err
	}
	clock.stop(now.Add(-2 * time.Minute))
	if err := s.tellTurns(); err != nil {
		return nil, fmt.Errorf("demo: telling work: %w", err)
	}
	var out []Login
	for _, a := range accounts {
		out = append(out, Login{a.name, a.login, passphrase, a.role})
	}
	return out, nil
}

// on notes a deed for a day; nothing is left for today, which is the guest's.
func (s *season) on(day int, what string, do func() error) {
	s.deeds = append(s.deeds, deed{min(day, -1), what, do})
}

// plan notes the whole season.
func (s *season) plan() {
	s.on(opening, "open", s.open)
	s.on(opening, "settings", s.settings)
	s.on(opening, "people", s.enter)
	s.planMoney()
	s.on(opening, "hours", s.keepHours)
	s.on(opening, "prices", s.prices)
	s.on(opening+1, "figures", s.figures)
	s.on(opening+1, "cloths", s.cloths)
	for _, l := range lots {
		s.planLot(l)
	}
	for _, g := range gathered {
		s.planSupply(g)
	}
	for i, t := range stories {
		s.planOrder(i+1, t)
	}
	for _, day := range dyePlans {
		s.on(day, "dye plan", func() error { return s.dyePlan(day) })
	}
	s.planTests()
	s.planClass()
	s.on(-10, "longer bag", s.longerBag)
	s.on(-20, "neighbours", s.neighbour)
	s.on(-1, "cards", s.showCards)
	s.on(-1, "sayings", s.sayings)
}

// live does what was noted, in the order of days; deeds of a day keep the order
// they were noted in, some minutes apart.
func (s *season) live() error {
	at := s.today
	for i := 0; i < len(s.deeds); i++ { // a deed may note further ones
		slices.SortStableFunc(s.deeds[i:], func(a, b deed) int { return a.day - b.day })
		d := s.deeds[i]
		if morning := s.today.AddDate(0, 0, d.day); morning.After(at) || i == 0 {
			at = morning
		}
		at = at.Add(2 * time.Minute)
		s.clock.stop(at)
		if err := d.do(); err != nil {
			return fmt.Errorf("demo: day %d, %s: %w", d.day, d.what, err)
		}
	}
	return nil
}

func (s *season) date(day int) string { return s.today.AddDate(0, 0, day).Format(time.DateOnly) }

// head, dyer, seller and bookkeeper are who does what the workshop does.
func (s *season) head() workshop.Person       { return s.people["amaranta"] }
func (s *season) dyer() workshop.Person       { return s.people["dionisia"] }
func (s *season) seller() workshop.Person     { return s.people["elvira"] }
func (s *season) bookkeeper() workshop.Person { return s.people["crisanto"] }

// open sets the workshop up.
func (s *season) open() error {
	a := accounts[0]
	p, err := s.house.SetUp(s.ctx, cooperative, a.name, a.login, passphrase, s.lang)
	s.people[a.login] = p
	return err
}

// settings tells the workshop's own: frames, pots, feasts, rates.
func (s *season) settings() error {
	k, err := s.house.Settings(s.ctx, s.head())
	if err != nil {
		return err
	}
	v := &k.Value
	for _, f := range []struct{ name, from string }{{"Bastidor del taller", "runner"}, {"Bastidor grande", "blanket"}, {"Bastidor de mesa", "class"}} {
		var body []byte
		if body, err = examples.Files.ReadFile(f.from + ".yaml"); err != nil {
			return err
		}
		v.Frames = append(v.Frames, workshop.Frame{Name: f.name, Text: part(string(body), "frame:")})
	}
	v.Pots = []workshop.Pot{{Name: "Olla grande", Litres: 60}, {Name: "Olla de acero", Litres: 25}, {Name: "Tina de añil", Litres: 80}}
	v.Dye = dyeHouse()
	v.Feasts = []workshop.Feast{{Day: s.date(-41), Name: "Bendición de las lanchas"}, {Day: s.date(9), Name: "Feria del estero"}, {Day: s.date(26), Name: "Descanso de la salina"}}
	v.Address = "Calle de la Salina 14\nPuerto Anzales"
	v.Week["sun"], v.Week["sat"] = 0, 5
	_, err = s.house.SaveSettings(s.ctx, s.head(), k)
	return err
}

func usd(cents int64) workshop.Money { return workshop.Money{Minor: cents, Currency: "USD"} }

// enter enters members, accounts and customers.
func (s *season) enter() error {
	for _, m := range members {
		k, err := s.house.SaveMember(s.ctx, s.head(), workshop.Kept[workshop.Member]{Value: m.value})
		if err != nil {
			return err
		}
		s.ids["member"][m.key] = k.ID
	}
	if err := s.letIn(); err != nil {
		return err
	}
	for _, c := range customers {
		k, err := s.house.SaveCustomer(s.ctx, s.seller(), workshop.Kept[workshop.Customer]{Value: c.value})
		if err != nil {
			return err
		}
		s.ids["customer"][c.key] = k.ID
	}
	return nil
}

// letIn makes the accounts; the head's is there already and gets her record.
func (s *season) letIn() error {
	for _, a := range accounts {
		v := workshop.Account{ID: s.people[a.login].Account, Login: a.login, Name: a.name, Role: a.role, Member: s.ids["member"][a.member], Lang: s.lang}
		phrase := passphrase
		if v.ID != "" {
			phrase = "" // stays as it is
		}
		id, err := s.house.SaveAccount(s.ctx, s.head(), v, phrase)
		if err != nil {
			return err
		}
		p := workshop.Person{Account: id, Workshop: s.head().Workshop, Name: a.name, Role: a.role, Member: v.Member, Lang: s.lang}
		s.people[a.login] = p
		if a.role == workshop.MemberRole {
			s.teller[v.Member] = p
		}
	}
	return nil
}

func (s *season) figures() error {
	all, err := library()
	if err != nil {
		return err
	}
	for _, f := range all {
		if f.Granted != "" {
			f.Granted = s.date(opening-30) + ": " + f.Granted
		}
		if _, err := s.house.SaveFigure(s.ctx, s.head(), workshop.Kept[workshop.Figure]{Value: f}); err != nil {
			return fmt.Errorf("%s: %w", f.Name, err)
		}
	}
	return nil
}

func (s *season) cloths() error {
	for _, d := range designs {
		c, err := d.cloth()
		if err != nil {
			return err
		}
		k, err := s.house.SaveCloth(s.ctx, s.head(), workshop.Kept[workshop.Cloth]{Value: c})
		if err != nil {
			return fmt.Errorf("%s: %w", d.key, err)
		}
		s.ids["cloth"][d.key] = k.ID
	}
	return nil
}

// longerBag gives the market bag a second version; orders that are confirmed
// keep the first.
func (s *season) longerBag() error {
	k, _, err := s.house.Cloth(s.ctx, s.head(), s.ids["cloth"]["feria"], 0)
	if err != nil {
		return err
	}
	k.Value.Text = strings.NewReplacer("length: 68 cm", "length: 72 cm", "{woven: 62 cm}", "{woven: 66 cm}").Replace(k.Value.Text)
	k.Value.Note = "Cuatro centímetros más largo: pedían que cupiera el termo."
	_, err = s.house.SaveCloth(s.ctx, s.head(), k)
	return err
}

// planLot notes how a lot comes in, is dyed, is added to and spoils.
func (s *season) planLot(l skeins) {
	keep := func(v workshop.Kept[workshop.Lot]) (err error) {
		s.lots[l.key], err = s.house.SaveLot(s.ctx, s.dyer(), v)
		return err
	}
	s.on(opening+2, "lot "+l.key, func() error {
		v := l.lot
		v.Waiting = v.Waiting || l.dyed != 0
		if err := keep(workshop.Kept[workshop.Lot]{Value: v}); err != nil {
			return err
		}
		return s.house.Receive(s.ctx, s.dyer(), s.lots[l.key].ID, l.received, l.cost(l.received), "")
	})
	if l.dyed != 0 {
		s.on(l.dyed, "dye "+l.key, func() error {
			v := s.lots[l.key]
			v.Value.Waiting, v.Value.Dyed = false, s.date(l.dyed)
			return keep(v)
		})
	}
	s.planShelf(l.key, -62, "receive", l.more, func(ctx context.Context, p workshop.Person, lot string, g measure.Gram) error {
		return s.house.Receive(ctx, p, lot, g, l.cost(g), "")
	})
	s.planShelf(l.key, -47, "discard", l.spoiled, s.house.Discard)
}

func (s *season) planShelf(lot string, day int, what string, g measure.Gram, do func(context.Context, workshop.Person, string, measure.Gram) error) {
	if g > 0 {
		s.on(day, what+" "+lot, func() error { return do(s.ctx, s.dyer(), s.lots[lot].ID, g) })
	}
}
