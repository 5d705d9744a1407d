package web

import (
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"github.com/govalues/decimal"

	"urdir/check"
	"urdir/internal/workshop"
	"urdir/price"
)

// How many lines of a kind the form takes; it shows one more than there are.
const (
	overheads = 20
	exchanges = 50
)

// moneySettings is what prices, pay and books go by, as its form shows it.
type moneySettings struct {
	workshop.Kept[workshop.Settings]
	House workshop.MoneyHouse
	Kinds []payKind
}

// payKind is what was agreed for a kind of work.
type payKind struct {
	Key string
	price.Pay
	Minutes bool // plans do not know how long it takes: the workshop says
}

// Pers is what pay is for.
func (moneySettings) Pers() []string {
	return []string{string(price.PerHour), string(price.PerPiece), string(price.PerStep)}
}

// Keys is what overhead goes by.
func (moneySettings) Keys() []string {
	return []string{"", string(price.PerHour), string(price.PerPiece), string(price.PerCost)}
}

// Overheads and Exchanges are the form's lines, and an empty one.
func (m moneySettings) Overheads() []price.Overhead {
	return append(slices.Clone(m.House.Overhead), price.Overhead{})
}

// Exchanges is described with Overheads.
func (m moneySettings) Exchanges() []price.Exchange {
	return append(slices.Clone(m.House.Exchange), price.Exchange{})
}

// Kilos and Accounts are a line each, as the form shows them.
func (m moneySettings) Kilos() string {
	var b strings.Builder
	for _, fibre := range slices.Sorted(maps.Keys(m.House.Kilo)) {
		fmt.Fprintf(&b, "%s: %s\n", fibre, m.House.Kilo[fibre].Plain())
	}
	return b.String()
}

// Accounts is described with Kilos.
func (m moneySettings) Accounts() string {
	var b strings.Builder
	for _, a := range m.House.Accounts {
		b.WriteString(a.Key + "\n")
	}
	return b.String()
}

// Plain is per cents, or a rate, as a field shows them; empty for nothing.
func (v *visit) Plain(d fmt.Stringer) string {
	if s := d.String(); strings.Trim(s, "0.") != "" {
		return s
	}
	return ""
}

// HoursTyped is minutes as a field of hours shows them; empty for none.
func (v *visit) HoursTyped(minutes int) string {
	if minutes == 0 {
		return ""
	}
	return itoa(minutes) + " min"
}

// OverheadTyped is the rate or the per cents of an overhead.
func (v *visit) OverheadTyped(o price.Overhead) string {
	if o.Per == price.PerCost {
		return v.Plain(o.Percent)
	}
	return v.Amount(o.Rate)
}

func moneySettingsOf(k workshop.Kept[workshop.Settings]) moneySettings {
	view := moneySettings{Kept: k, House: k.Value.Money}
	for _, key := range workshop.PayKinds {
		view.Kinds = append(view.Kinds, payKind{key, k.Value.Agreed(key), slices.Contains(workshop.HouseKinds, key)})
	}
	return view
}

func moneySettingsPage(v *visit) error {
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	return v.page("settings-money", v.T("settings-money"), moneySettingsOf(set))
}

func saveMoneySettings(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	k := workshop.MoneyOf(set)
	k.Revision = f.revision()
	f.moneyHouse(&k.Value, set.Value)
	if err = f.err(); err == nil {
		_, _, err = v.s.house.SaveMoneyHouse(v.r.Context(), v.Person, k)
	}
	if err != nil {
		return v.again(besideMoney(err), "settings-money", v.T("settings-money"), moneySettingsOf(set))
	}
	return v.to("/settings/money", "saved")
}

// moneyHouse reads the form. What stands in no field stays as it is.
func (f *form) moneyHouse(m *workshop.MoneyHouse, set workshop.Settings) {
	code := set.Currency
	m.PayDay, m.Season = f.whole("pay-day"), f.text("season")
	m.Floors = price.Floors{Workshop: f.money("floors.workshop", code), Legal: f.money("floors.legal", code), Allowance: f.per("floors.allowance")}
	f.payKinds(m, set)
	m.Overhead = nil
	for i := range overheads {
		at := fmt.Sprintf("overhead[%d].", i)
		o := price.Overhead{Name: f.text(at + "name"), Per: price.Per(f.text(at + "per"))}
		switch o.Per {
		case "":
			continue
		case price.PerCost:
			o.Percent = f.per(at + "rate")
		default:
			o.Rate = f.money(at+"rate", code)
		}
		m.Overhead = append(m.Overhead, o)
	}
	m.Fund = f.per("fund")
	m.FuelKG = f.money("fuel", code)
	f.rates(m, code)
	f.accounts(m)
}

// payKinds reads what was agreed for each kind; of one without a rate nothing was.
func (f *form) payKinds(m *workshop.MoneyHouse, set workshop.Settings) {
	m.Pay, m.Minutes = map[string]price.Pay{}, map[string]int{}
	for _, kind := range workshop.PayKinds {
		if rate := f.money("pay-"+kind, set.Currency); rate.Minor != 0 {
			m.Pay[kind] = price.Pay{Per: price.Per(f.text("per-" + kind)), Rate: rate}
		}
		if slices.Contains(workshop.HouseKinds, kind) {
			m.Minutes[kind] = int(f.worked("minutes." + kind))
		}
	}
}

// rates reads exchange rates and prices of a kilo.
func (f *form) rates(m *workshop.MoneyHouse, code string) {
	m.Exchange, m.Kilo = nil, map[string]workshop.Money{}
	for i := range exchanges {
		at := fmt.Sprintf("rates[%d].", i)
		text := strings.ReplaceAll(strings.TrimSpace(f.text(at+"rate")), ",", ".")
		from := strings.ToUpper(strings.TrimSpace(f.text(at + "from")))
		if text == "" && from == "" {
			continue
		}
		rate, err := decimal.Parse(text)
		if err != nil {
			f.ps.Wrong(at+"rate", "exchange-rate", check.Args{"from": from, "to": code})
		}
		m.Exchange = append(m.Exchange, price.Exchange{From: from, To: code, Rate: rate, On: f.text(at + "on"), Source: f.text(at + "source")})
	}
	for line := range strings.Lines(f.text("kilo")) {
		fibre, amount, _ := strings.Cut(strings.TrimSpace(line), ":")
		if fibre == "" {
			continue
		}
		minor, ok := readMoney(strings.TrimSpace(amount), decimals(code))
		if !ok {
			f.ps.Wrong("kilo", "amount-unread", check.Args{"text": strings.TrimSpace(line)})
		}
		m.Kilo[strings.TrimSpace(fibre)] = workshop.Money{Minor: minor, Currency: code}
	}
}

// accounts reads the workshop's own accounts, a line each: what comes before the
// first colon says what kind it is.
func (f *form) accounts(m *workshop.MoneyHouse) {
	m.Accounts = nil
	for line := range strings.Lines(f.text("accounts")) {
		if key := strings.TrimSpace(line); key != "" {
			m.Accounts = append(m.Accounts, workshop.AccountOf(key))
		}
	}
}

// pathOrder is how package price names what of an order is wrong.
var pathOrder = regexp.MustCompile(`^order\.(rates|overhead)(\[\d+\])\.(\w+)$`)

// besideMoney puts what is wrong beside the field it was typed into.
func besideMoney(err error) error {
	e, ok := errors.AsType[*workshop.Error](err)
	if !ok {
		return err
	}
	seen := map[string]bool{}
	e.Problems = slices.DeleteFunc(e.Problems, func(p check.Problem) bool {
		twice := seen[p.Path+p.Code]
		seen[p.Path+p.Code] = true
		return twice
	})
	for i, p := range e.Problems {
		e.Problems[i].Path = moneyField(p)
	}
	return err
}

func moneyField(p check.Problem) string {
	if m := pathOrder.FindStringSubmatch(p.Path); m != nil {
		field := map[string]string{"currency": "from", "percent": "rate"}[m[3]]
		if field == "" {
			field = m[3]
		}
		return m[1] + m[2] + "." + field
	}
	p.Path = strings.TrimPrefix(p.Path, ".")
	switch {
	case p.Code == "pay-key":
		return fmt.Sprintf("per-%v", p.Args["step"])
	case strings.HasPrefix(p.Path, "order.work") && p.Args["step"] != nil:
		return fmt.Sprintf("pay-%v", p.Args["step"])
	case strings.HasPrefix(p.Path, "order.work"):
		return "pay-weave"
	case strings.HasPrefix(p.Path, "accounts"):
		return "accounts"
	case strings.HasPrefix(p.Path, "kilo"):
		return "kilo"
	}
	return p.Path
}
