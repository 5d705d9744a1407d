package price

import (
	"urdir/check"
)

// Piecework is what a member has done and what was agreed for it.
type Piecework struct {
	Name    string // of the piece or the work
	Step    string
	Minutes int64 // zero if nobody counted them
	Pay     Money
}

// Statement is what a member has earned in a time, and what is handed to her.
type Statement struct {
	Work     []Piecework
	Earned   Money
	Minutes  int64
	Hourly   Money // over the work whose hours were counted
	Withheld Money // of the advance
	Due      Money // Earned less Withheld
	Owed     Money // what is left of the advance
}

// Agreement is what was agreed on an advance: no more than Share of each pay goes
// to paying it back.
type Agreement struct {
	Owed  Money
	Share Percent
}

// Repayment is what of a pay goes to an advance: the agreed share, rounded down, and
// never more than is owed.
func (a Agreement) Repayment(pay Money) Money {
	return Money{max(0, min(a.Owed.Minor, round(mul(whole(pay.Minor), a.Share.of()), down))), pay.Currency}
}

// CheckRepayment holds what is taken from a pay against the agreement. Problem:
// repayment-over-share.
func (a Agreement) CheckRepayment(pay, taken Money) (ps check.Problems) {
	if most := a.Repayment(pay); taken.Minor > most.Minor || taken.Minor < 0 {
		ps.Wrong("withheld", "repayment-over-share", check.Args{"taken": taken, "most": most, "share": a.Share})
	}
	return ps
}

// Settle makes a member's statement. An hour of work may be paid well and another
// badly; the floors are held against all counted hours of the time together, as the
// law of many countries does for work by the piece, and what is below them is a
// caution with what would mend it. Problems: hours-negative, currency-other,
// repayment-share and those of amounts; the cautions member-below-floor and
// member-below-legal.
func Settle(work []Piecework, currency string, a Agreement, f Floors) (Statement, check.Problems) {
	s := Statement{Work: work, Earned: Money{0, currency}}
	var ps check.Problems
	counted := Money{0, currency}
	for i, w := range work {
		path := at("work", i)
		s.add(&ps, path, w)
		if w.Minutes > 0 {
			counted.Minor += w.Pay.Minor
		}
	}
	for _, m := range []struct {
		path string
		m    Money
	}{{"advance", a.Owed}, {"floors.workshop", f.Workshop}, {"floors.legal", f.Legal}} {
		sameCurrency(&ps, m.path, m.m, currency)
	}
	if a.Share.IsNeg() || a.Share.Cmp(PerCent(100).Decimal) > 0 {
		ps.Wrong("share", "repayment-share", check.Args{"value": a.Share})
	}
	if bounded(&ps, "work", s.Earned); ps.Failed() {
		return Statement{}, ps
	}
	s.Hourly = Hourly(counted, s.Minutes)
	s.Withheld = a.Repayment(s.Earned)
	s.Due = s.Earned.minus(s.Withheld)
	s.Owed = Money{a.Owed.Minor - s.Withheld.Minor, currency}
	below := func(floor Money, code string) {
		if least := PieceRate(floor, s.Minutes, Percent{}); counted.Minor < least.Minor {
			ps.Look("work", code, check.Args{"hourly": s.Hourly, "floor": floor, "short": least.minus(counted)})
		}
	}
	below(f.Workshop, "member-below-floor")
	below(f.Legal, "member-below-legal")
	return s, ps
}

func (s *Statement) add(ps *check.Problems, path string, w Piecework) {
	amount(ps, path+".pay", w.Pay)
	sameCurrency(ps, path+".pay", w.Pay, s.Earned.Currency)
	switch {
	case w.Minutes < 0:
		ps.Wrong(path+".minutes", "hours-negative", check.Args{"step": w.Step})
	case w.Minutes > maxMinutes:
		ps.Wrong(path+".minutes", "hours-too-many", check.Args{"step": w.Step, "most": maxMinutes / 60})
	}
	if !ps.Failed() {
		s.Earned.Minor += w.Pay.Minor
		s.Minutes += w.Minutes
	}
}

func sameCurrency(ps *check.Problems, path string, m Money, currency string) {
	if m != (Money{}) && m.Currency != currency {
		ps.Wrong(path, "currency-other", check.Args{"text": m.Currency, "want": currency})
	}
}
