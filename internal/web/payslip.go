package web

import (
	"io"
	"slices"

	"urdir/internal/workshop"
	"urdir/price"
	"urdir/sheet"
)

// statementSlip sends a member's month as it stands: what she did and what is due.
func statementSlip(v *visit) error {
	s, err := v.s.house.Statement(v.r.Context(), v.Person, v.r.PathValue("id"), v.month())
	if err != nil {
		return err
	}
	slip := v.slip(s.Member.Value.Name, s.Month, s.Earned, slices.Concat(s.Earlier, s.Works))
	slip.Earlier, slip.Withheld, slip.Due = s.Carried(), s.Withheld, s.Due
	slip.Owed = price.Money{Minor: s.Owed.Minor - s.Withheld.Minor, Currency: s.Owed.Currency}
	return v.sendSlip(slip)
}

// slip is what every slip has.
func (v *visit) slip(member, month string, earned price.Statement, works []workshop.Kept[workshop.Work]) sheet.Payslip {
	out := sheet.Payslip{Member: member, Month: v.Month(month), Minutes: earned.Minutes, Earned: earned.Earned, Hourly: earned.Hourly}
	for _, w := range works {
		out.Works = append(out.Works, sheet.Paywork{At: w.Value.At, Step: w.Value.Kind, Name: w.Value.Name, Minutes: w.Value.Minutes, Usual: !w.Value.Told, Pay: w.Value.Pay})
	}
	return out
}

// payoutSlip sends the slip of a pay that was handed out, to be signed or given a
// thumb print: the works that were paid with it, and no others.
func payoutSlip(v *visit) error {
	p, err := v.s.house.Payout(v.r.Context(), v.Person, v.r.PathValue("payout"))
	if err == nil && p.Value.Member != v.r.PathValue("id") {
		err = &workshop.Error{Code: workshop.NotFound}
	}
	if err != nil {
		return err
	}
	k := p.Value
	slip := v.slip(p.Member.Value.Name, k.Month, p.Earned, p.Works)
	slip.Number, slip.On, slip.By, slip.Withheld, slip.Owed, slip.Due = k.Number, k.At, k.By, k.Withheld, p.Owed, k.Paid
	return v.sendSlip(slip)
}

func (v *visit) sendSlip(slip sheet.Payslip) error {
	var err error
	if slip.Maker, err = v.maker(); err != nil {
		return err
	}
	o, err := v.sheetOptions()
	if err != nil {
		return err
	}
	name := slip.Number
	if name == "" {
		name = slip.Member
	}
	return v.send("application/pdf", fileName(name)+".pdf", func(w io.Writer) error { return sheet.PaySlip(w, slip, o) })
}
