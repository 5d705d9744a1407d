package workshop

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"urdir/check"
	"urdir/internal/store"
	"urdir/label"
	"urdir/price"
	"urdir/price/books"
)

// MoneyOf is what prices, pay and books go by, out of the settings.
func MoneyOf(k Kept[Settings]) Kept[MoneyHouse] {
	return Kept[MoneyHouse]{ID: k.ID, Revision: k.Revision, Value: k.Value.Money}
}

// SaveMoneyHouse keeps what prices, pay and books go by. Cautions, such as that a tax
// is for local rules to decide, come back beside it.
func (h *House) SaveMoneyHouse(ctx context.Context, p Person, v Kept[MoneyHouse]) (out Kept[MoneyHouse], ps check.Problems, _ error) {
	err := h.update(ctx, p, "SaveMoneyHouse", func(tx *store.Tx) error {
		k, err := readSettings(tx)
		if err != nil {
			return err
		}
		if v.ID != k.ID {
			return &Error{Code: NotFound}
		}
		ps = v.Value.check(k.Value.Currency)
		if err = invalid(ps); err != nil {
			return err
		}
		k.Revision, k.Value.Money = v.Revision, v.Value
		k, err = settings.put(tx, k)
		out = MoneyOf(k)
		return err
	})
	return out, ps, err
}

// lastPayDay is the last day of a month that every month has.
const lastPayDay = 28

// check is everything that is wrong with the settings of money.
func (m *MoneyHouse) check(currency string) (ps check.Problems) {
	trim(&m.Country, &m.Card, &m.Season, &m.Cards.Region)
	short(&ps, "region", m.Cards.Region, maxName)
	choice(&ps, "rule", string(m.Cards.Rule), "", string(label.EU), string(label.US))
	short(&ps, "country", m.Country, maxName)
	short(&ps, "season", m.Season, maxName)
	short(&ps, "card", m.Card, 2000)
	share := func(path string, v price.Percent) {
		if v.IsNeg() || v.Cmp(price.PerCent(100).Decimal) > 0 {
			ps.Wrong(path, "percent-out-of-range", check.Args{"value": v, "most": price.PerCent(100)})
		}
	}
	share("deposit", m.Deposit)
	share("fund", m.Fund)
	if m.Valid < 0 || m.Valid > 366 {
		ps.Wrong("valid", "out-of-range", check.Args{"value": m.Valid, "low": 0, "high": 366})
	}
	if m.PayDay < 0 || m.PayDay > lastPayDay {
		ps.Wrong("pay-day", "out-of-range", check.Args{"value": m.PayDay, "low": 0, "high": lastPayDay})
	}
	for _, kind := range slices.Sorted(maps.Keys(m.Minutes)) {
		choice(&ps, "minutes", kind, HouseKinds...)
		if m.Minutes[kind] < 0 {
			ps.Wrong("minutes."+kind, "hours-negative", check.Args{"step": kind})
		}
	}
	for _, kind := range slices.Sorted(maps.Keys(m.Pay)) {
		choice(&ps, "pay", kind, PayKinds...)
	}
	money(&ps, "fuel", m.FuelKG)
	for _, fibre := range slices.Sorted(maps.Keys(m.Kilo)) {
		short(&ps, "kilo", fibre, maxName)
		money(&ps, "kilo", m.Kilo[fibre])
	}
	for i, a := range m.Accounts {
		if _, taken := books.NewChart().Find(a.Key); taken {
			ps.Wrong(fmt.Sprintf("accounts[%d].key", i), "account-twice", check.Args{"account": a.Key})
		}
	}
	ps.Under("", m.Accounts.Validate())
	names := map[string]bool{}
	for i, c := range m.Channels {
		at := fmt.Sprintf("channels[%d].name", i)
		if named(&ps, at, c.Name); names[c.Name] {
			ps.Wrong(at, "channel-twice", check.Args{"name": c.Name})
		}
		names[c.Name] = true
	}
	m.tryPrices(&ps, currency)
	return ps
}

// tryPrices has package price look at what it will be asked with: an order of a
// single hour, in every channel.
func (m *MoneyHouse) tryPrices(ps *check.Problems, currency string) {
	o := price.Order{Currency: currency, Pieces: 1, Rates: m.Exchange, Overhead: m.Overhead}
	for _, kind := range PayKinds {
		if pay, agreed := m.Pay[kind]; agreed {
			o.Work = append(o.Work, price.Work{Step: kind, Pay: pay})
		}
	}
	for i, c := range m.channels() {
		a := price.Asked{Order: o, Floors: m.Floors, Channel: c, Tax: m.Tax, Aim: m.Aim, Steps: m.Steps, Custom: m.Custom, Deposit: m.Deposit,
			Issued: "2000-01-01", Until: "2000-01-01"}
		_, found := price.Make(a)
		for _, p := range found {
			if field, of := strings.CutPrefix(p.Path, "channel"); of {
				p.Path = fmt.Sprintf("channels[%d]%s", i, field)
			}
			known := slices.ContainsFunc(*ps, func(x check.Problem) bool { return x.Path == p.Path && x.Code == p.Code })
			if !known {
				*ps = append(*ps, p)
			}
		}
	}
}

// channels is the workshop's channels, of which there is always one.
func (m *MoneyHouse) channels() []price.Channel {
	if len(m.Channels) == 0 {
		return []price.Channel{{Kind: price.OwnShop}}
	}
	return m.Channels
}

// channel is the channel of a name; the usual one for no name.
func (m *MoneyHouse) channel(name string) (price.Channel, bool) {
	all := m.channels()
	if name == "" {
		return all[0], true
	}
	i := slices.IndexFunc(all, func(c price.Channel) bool { return c.Name == name })
	if i < 0 {
		return price.Channel{}, false
	}
	return all[i], true
}

// Boxes is the accounts that money comes into and goes out of: cash, bank, and those
// of the workshop's own that hold what it has.
func (m *MoneyHouse) Boxes() (keys []string) {
	for _, a := range m.Chart() {
		if a.Kind == books.Asset && !a.Items && a.Key != books.MaterialStock && a.Key != books.Advances {
			keys = append(keys, a.Key)
		}
	}
	return keys
}

// Chart is the workshop's accounts.
func (m *MoneyHouse) Chart() books.Chart { return slices.Concat(books.NewChart(), m.Accounts) }

// season is what sales and pay of a day belong to.
func (m *MoneyHouse) season(day string) string {
	if m.Season != "" || len(day) < 4 {
		return m.Season
	}
	return day[:4]
}

// Agreed is what was agreed for a kind of work; nothing an hour where nothing was.
func (s *Settings) Agreed(kind string) price.Pay {
	if pay, ok := s.Money.Pay[kind]; ok {
		return pay
	}
	return price.Pay{Per: price.PerHour, Rate: Money{Currency: s.Currency}}
}

// payFor is what work comes to by what was agreed, rounded up, in the workshop's
// currency.
func (s *Settings) payFor(kind string, minutes int64, pieces int) (Money, check.Problems) {
	o := price.Order{Currency: s.Currency, Pieces: max(1, pieces), Rates: s.Money.Exchange,
		Work: []price.Work{{Step: kind, Minutes: minutes, Pay: s.Agreed(kind)}}}
	c, ps := price.Cost(o)
	return c.Total, ps
}

// own is an amount in the workshop's currency, at the rate it keeps.
func (s *Settings) own(path string, m Money) (Money, error) {
	if m == (Money{}) || m.Currency == s.Currency {
		return Money{Minor: m.Minor, Currency: s.Currency}, nil
	}
	out, ps := price.Change(m, s.Currency, s.Money.Exchange)
	for i := range ps {
		ps[i].Path = path
	}
	return out, invalid(ps)
}
