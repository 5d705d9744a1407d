package workshop

import (
	"context"
	"maps"
	"slices"

	"urdir/check"
	"urdir/clothfile"
	"urdir/internal/store"
	"urdir/measure"
	"urdir/plan"
	"urdir/price"
)

// Customers lists customers by name.
func (h *House) Customers(ctx context.Context, p Person, page Page) (Listed[Customer], error) {
	return many(ctx, h, p, "Customers", customers, page, false)
}

// Customer gives a customer and her orders, the last first.
func (h *House) Customer(ctx context.Context, p Person, id string) (c Kept[Customer], os Listed[Order], err error) {
	err = h.view(ctx, p, "Customer", func(tx *store.Tx) error {
		if c, err = customers.get(tx, id); err != nil {
			return err
		}
		os, err = orders.list(tx, Page{Parent: id}, true)
		return err
	})
	return c, os, err
}

// SaveCustomer keeps a customer.
func (h *House) SaveCustomer(ctx context.Context, p Person, v Kept[Customer]) (Kept[Customer], error) {
	if err := allowed(p, "SaveCustomer"); err != nil {
		return v, err
	}
	if err := invalid(v.Value.check()); err != nil {
		return v, err
	}
	return save(ctx, h, p, "SaveCustomer", customers, v)
}

// check says what is wrong with a customer, and tidies her.
func (c *Customer) check() check.Problems {
	trim(&c.Name, &c.Contact, &c.Note)
	var ps check.Problems
	named(&ps, "name", c.Name)
	short(&ps, "contact", c.Contact, 400)
	short(&ps, "note", c.Note, 2000)
	choice(&ps, "language", c.Language, "es", "en", "")
	return ps
}

// Members lists members by name.
func (h *House) Members(ctx context.Context, p Person, page Page) (Listed[Member], error) {
	return many(ctx, h, p, "Members", members, page, false)
}

// Member gives a member and the warps in her hands.
func (h *House) Member(ctx context.Context, p Person, id string) (m Kept[Member], in Listed[Job], err error) {
	err = h.view(ctx, p, "Member", func(tx *store.Tx) error {
		if m, err = members.get(tx, id); err != nil {
			return err
		}
		in, err = jobs.list(tx, Page{State: heldStates(id)}, false)
		return err
	})
	return m, in, err
}

// SaveMember keeps a member.
func (h *House) SaveMember(ctx context.Context, p Person, v Kept[Member]) (Kept[Member], error) {
	if err := allowed(p, "SaveMember"); err != nil {
		return v, err
	}
	m := &v.Value
	trim(&m.Name, &m.Reach, &m.Note)
	var ps check.Problems
	named(&ps, "name", m.Name)
	short(&ps, "reach", m.Reach, 400)
	short(&ps, "note", m.Note, 2000)
	if m.Hours < 0 || m.Hours > 100 {
		ps.Wrong("hours", "out-of-range", check.Args{"value": m.Hours, "low": 0, "high": 100})
	}
	for _, l := range m.Languages {
		short(&ps, "languages", l, maxName)
	}
	for _, s := range m.Skills {
		if !slices.Contains(Skills, s) {
			choice(&ps, "skills", s, Skills...)
		}
	}
	if err := invalid(ps); err != nil {
		return v, err
	}
	err := h.update(ctx, p, "SaveMember", func(tx *store.Tx) (err error) {
		m.Time = Hours{}
		if v.ID != "" {
			var now Kept[Member]
			if now, err = members.get(tx, v.ID); err != nil {
				return err
			}
			m.Time = now.Value.Time // SaveHours keeps them
		}
		v, err = members.put(tx, v)
		return err
	})
	return v, err
}

// defaultSettings is what a new workshop begins with.
func defaultSettings(name, lang string) Settings {
	s := Settings{Name: name, Language: lang, Currency: "USD", Paper: "letter",
		Week: map[string]int{"mon": 8, "tue": 8, "wed": 8, "thu": 8, "fri": 8, "sat": 4, "sun": 0}, Take: plan.DefaultSpare}
	s.Shrink.Length, s.Shrink.Width = plan.DefaultShrink, plan.DefaultShrink
	return s
}

func readSettings(tx *store.Tx) (Kept[Settings], error) { return settings.get(tx, settingsID) }

// Settings gives the workshop's settings.
func (h *House) Settings(ctx context.Context, p Person) (Kept[Settings], error) {
	return one(ctx, h, p, "Settings", settings, settingsID)
}

// SaveSettings keeps the workshop's settings.
func (h *House) SaveSettings(ctx context.Context, p Person, v Kept[Settings]) (Kept[Settings], error) {
	if err := allowed(p, "SaveSettings"); err != nil {
		return v, err
	}
	s := &v.Value
	v.ID = settingsID
	trim(&s.Name, &s.Currency)
	s.Address = tidyAddress(s.Address)
	var ps check.Problems
	named(&ps, "name", s.Name)
	address(&ps, s.Address)
	choice(&ps, "language", s.Language, "es", "en")
	choice(&ps, "paper", s.Paper, "a4", "letter")
	if !price.Known(s.Currency) {
		ps.Wrong("currency", "currency-unknown", check.Args{"text": s.Currency})
	}
	share := func(path string, r, most measure.Ratio) {
		if !(r >= 0 && r <= most) {
			ps.Wrong(path, "out-of-range", check.Args{"value": r, "low": measure.Ratio(0), "high": most})
		}
	}
	share("shrink-length", s.Shrink.Length, 0.6)
	share("shrink-width", s.Shrink.Width, 0.6)
	share("spare", s.Take, 1)
	for _, d := range slices.Sorted(maps.Keys(s.Week)) {
		choice(&ps, "week", d, "mon", "tue", "wed", "thu", "fri", "sat", "sun")
		if n := s.Week[d]; n < 0 || n > 24 {
			ps.Wrong("week", "out-of-range", check.Args{"value": n, "low": 0, "high": 24})
		}
	}
	for _, f := range s.Feasts {
		day(&ps, "feasts", f.Day)
		short(&ps, "feasts", f.Name, maxName)
	}
	for _, pot := range s.Pots {
		named(&ps, "pots", pot.Name)
		if !(pot.Litres > 0 && pot.Litres <= 2000) {
			ps.Wrong("pots", "out-of-range", check.Args{"value": pot.Litres, "low": 0.0, "high": 2000.0})
		}
	}
	s.Dye.check(&ps)
	s.Calendar.check(&ps)
	for _, f := range s.Frames {
		named(&ps, "frames", f.Name)
		ps = append(ps, frameProblems(f.Text)...)
	}
	if err := invalid(ps); err != nil {
		return v, err
	}
	out, err := save(ctx, h, p, "SaveSettings", settings, v)
	if err != nil {
		return v, err
	}
	return out, fromStore(h.db.RenameWorkshop(ctx, store.Workshop{ID: p.Workshop, Name: s.Name}))
}

// frameProblems reads a frame's text.
func frameProblems(text string) check.Problems {
	c, _, ps := clothfile.Read([]byte("urdir: 1\n" + text))
	if !ps.Failed() && c.Frame == nil {
		ps.Wrong("frame", "frame-none", nil)
	}
	if c.Frame != nil {
		ps.Under("frame", c.Frame.Validate())
	}
	for i := range ps {
		ps[i].Path = "frames"
	}
	return ps
}
