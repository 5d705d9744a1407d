package sheet

import (
	"io"

	"urdir/draw"
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/price"
	"urdir/surface"
)

// Payslip is what a member did in a month, what she earned, and what is handed to
// her: she keeps one, and signs another or puts her thumb on it.
type Payslip struct {
	Maker    Maker
	Number   string // of the pay; empty: a statement only
	Member   string
	Month    string // in words, or as 2026-11
	Works    []Paywork
	Minutes  int64
	Earned   price.Money
	Hourly   price.Money
	Earlier  price.Money // from months before that was not paid
	Withheld price.Money // of the advance
	Owed     price.Money // of the advance, after that
	Due      price.Money // handed over
	On       string      // date
	By       string      // who pays
}

// Paywork is a line of work.
type Paywork struct {
	At      string // date
	Step    string // kind of work
	Name    string
	Minutes int64
	Usual   bool // minutes are what it usually takes, nobody counted them
	Pay     price.Money
}

// PaySlip writes a pay slip as a document.
func PaySlip(w io.Writer, v Payslip, o Options) error {
	return document(w, o, v.Member+" "+v.Month, v.lay)
}

// PaySlipPictures draws every page of a pay slip as a picture.
func PaySlipPictures(v Payslip, o Options, done func(Page) error) error {
	return documentPictures(o, "pay", v.lay, done)
}

func (v Payslip) lay(p *paperwork) {
	t := p.t
	p.begin(v.Maker, t.T("paper-pay", nil), v.Number, "")
	f := surface.Font{Size: 8, Bold: true, Colour: draw.Ink}
	p.text(p.left(), f.Size, v.Member, surface.Fit(v.Member, f, p.wide()))
	p.y += 11
	p.facts([2]string{v.Month, t.T("paper-month", nil)}, [2]string{WorkTime(t, v.Minutes), t.T("paper-hours", nil)}, [2]string{p.money(v.Hourly), t.T("pay-hourly", nil)},
		[2]string{p.money(v.Due), t.T("pay-due", nil)})
	var rows [][]string
	usual := false
	for _, w := range v.Works {
		hours := WorkTime(t, w.Minutes)
		if w.Usual {
			hours, usual = "≈ "+hours, true
		}
		rows = append(rows, []string{p.day(w.At), p.step(w.Step), w.Name, hours, p.money(w.Pay)})
	}
	p.rows([]column{{t.T("paper-date", nil), 0.2, false}, {t.T("paper-work", nil), 0.17, false}, {t.T("paper-what", nil), 0.31, false},
		{t.T("paper-hours", nil), 0.14, true}, {t.T("paper-amount", nil), 0.18, true}}, rows)
	if usual {
		p.para(t.T("paper-usual", nil), surface.Font{Size: 3.2, Colour: draw.Ink})
	}
	p.y += 3
	all := []sum{{t.T("pay-earned", nil), p.money(v.Earned), false}}
	if v.Earlier.Minor > 0 {
		all = append(all, sum{t.T("paper-earlier", nil), p.money(v.Earlier), false})
	}
	if v.Withheld.Minor > 0 {
		all = append(all, sum{t.T("pay-withheld", nil), p.money(price.Money{Minor: -v.Withheld.Minor, Currency: v.Withheld.Currency}), false})
	}
	p.sums(append(all, sum{t.T("pay-due", nil), p.money(v.Due), true})...)
	p.thumb(v)
}

// WorkTime is how long work took, to the minute, so that hours times the rate is what
// was paid: 40 min, 1 h 30 min. Long times stay in hours, since days of work are not
// days of the calendar.
func WorkTime(t *lang.Words, minutes int64) string {
	rest := t.S(measure.Minute(minutes % 60))
	if minutes < 60 {
		return rest
	}
	hours := t.T("quote-hours", map[string]any{"hours": t.Int(int(minutes / 60))})
	if minutes%60 == 0 {
		return hours
	}
	return hours + " " + rest
}

// thumb is the place where she signs, or puts her thumb: 25 by 32 mm, a thumb with
// room around it (common practice, no source).
func (p *paperwork) thumb(v Payslip) {
	const w, h measure.MM = 25, 32
	p.room(h + 16)
	p.y += 6
	owed := ""
	if v.Owed.Minor > 0 {
		owed = p.money(v.Owed)
	}
	p.pairs([2]string{p.t.T("paper-owed", nil), owed}, [2]string{p.t.T("paper-date", nil), p.day(v.On)}, [2]string{p.t.T("paper-paid-by", nil), v.By})
	p.y += 3
	box := surface.Box{X: p.right() - w, Y: p.y, W: w, H: h}
	p.s.Path(surface.Outline(box), surface.Line(draw.Ink, 0.3))
	f := surface.Font{Size: 3.2, Colour: draw.Ink, Align: surface.Centre}
	p.text(box.X+w/2, h+4.2, p.t.T("paper-thumb", nil), surface.Fit(p.t.T("paper-thumb", nil), f, w+8))
	line := p.y + h - 4
	p.s.Path(surface.Polyline(p.left(), line, box.X-12, line), surface.Line(draw.Ink, 0.25))
	f.Align = surface.Left
	p.s.Text(p.left(), line+4.4, p.t.T("paper-member-sign", nil), f)
	p.y += h + 7
}
