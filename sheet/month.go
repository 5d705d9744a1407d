package sheet

import (
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"urdir/draw"
	"urdir/dye"
	"urdir/measure"
	"urdir/surface"
)

// MonthPaper is a member's month: what she does on which day, from when to when.
type MonthPaper struct {
	Workshop string
	Member   string
	Month    string // in words
	Days     []MonthDay
}

// MonthDay is a day of it.
type MonthDay struct {
	Date    string
	Moon    dye.Moon
	Name    string // of a feast, a market day, weeks of harvest
	Closed  bool   // nobody works
	Away    bool   // she does not
	Why     string // she does not
	Offered measure.Minute
	Turns   []MonthTurn
}

// MonthTurn is some hours of work.
type MonthTurn struct {
	From, To string // by the clock
	Kind     string // of task, as package workshop knows it
	Name     string
}

// Months writes members' months as a document, each on pages of her own.
func Months(w io.Writer, title string, ms []MonthPaper, o Options) error {
	return document(w, o, title, layMonths(ms))
}

// MonthPictures draws every page of members' months as a picture.
func MonthPictures(ms []MonthPaper, o Options, done func(Page) error) error {
	return documentPictures(o, "month", layMonths(ms), done)
}

func layMonths(ms []MonthPaper) func(*paperwork) {
	return func(p *paperwork) {
		for _, m := range ms {
			m.lay(p)
		}
	}
}

func (m MonthPaper) lay(p *paperwork) {
	p.begin(Maker{Name: m.Workshop}, p.t.T("month-sheet", nil), m.Month, "")
	f := surface.Font{Size: 8, Bold: true, Colour: draw.Ink}
	p.text(p.left(), f.Size, m.Member, surface.Fit(m.Member, f, p.wide()))
	p.y += 11
	if !m.told() {
		p.note(p.t.T("month-nothing", nil))
	}
	for _, d := range m.Days {
		p.monthDay(d)
	}
}

func (m MonthPaper) told() bool {
	for _, d := range m.Days {
		if len(d.Turns) > 0 {
			return true
		}
	}
	return false
}

// Widths of a day's line: number and weekday, moon, then its work.
const (
	monthNumber measure.MM = 27
	monthMoon   measure.MM = 9
	monthClock  measure.MM = 34
)

// monthDay writes a day: its number large, what it is, and under each other what
// she does, with a box to tick.
func (p *paperwork) monthDay(d MonthDay) {
	const line, quiet measure.MM = 6.4, 5.6 // a day without work is lower, so that a quiet month stands on one page
	h := line * measure.MM(len(d.Turns))
	if len(d.Turns) == 0 {
		h = quiet
	}
	about := p.about(d)
	if about != "" && len(d.Turns) > 0 {
		h += line * 0.8
	}
	p.room(h + 0.8)
	top := p.y
	number := surface.Font{Size: 5.6, Bold: len(d.Turns) > 0, Colour: draw.Ink}
	word := surface.Font{Size: 3.6, Colour: draw.Ink}
	at, week := p.numbers(d.Date)
	p.s.Text(p.left(), top+4.6, at, number)
	p.s.Text(p.left()+9.5, top+4.6, week, surface.Fit(week, word, monthNumber-10))
	moonDisc(p.s, p.left()+monthNumber+2.6, top+2.9, 2.1, d.Moon)
	x := p.left() + monthNumber + monthMoon
	if about != "" {
		f := surface.Fit(about, surface.Font{Size: 3.8, Colour: draw.Ink}, p.right()-x)
		p.s.Text(x, top+4.4, surface.Shorten(about, f, p.right()-x), f)
		if len(d.Turns) > 0 {
			top += line * 0.8
		}
	}
	for i, t := range d.Turns {
		p.monthTurn(x, top+line*measure.MM(i), t)
	}
	p.y += h
	p.s.Path(surface.Polyline(p.left(), p.y, p.right(), p.y), surface.Line(draw.Ink, 0.15))
	p.y += 0.8
}

func (p *paperwork) monthTurn(x, top measure.MM, t MonthTurn) {
	clock := surface.Font{Size: 4.4, Bold: true, Colour: draw.Ink}
	hours := t.From + "–" + t.To
	if t.From == t.To {
		hours = t.From
	}
	p.s.Text(x, top+4.8, hours, surface.Fit(hours, clock, monthClock-2))
	f := surface.Font{Size: 4.2, Colour: draw.Ink}
	what, wide := p.t.T("task-"+t.Kind, nil)+"  "+t.Name, p.right()-x-monthClock-7
	f = surface.Fit(what, f, wide)
	p.s.Text(x+monthClock, top+4.8, surface.Shorten(what, f, wide), f)
	p.s.Path(surface.Outline(surface.Box{X: p.right() - 4.6, Y: top + 0.9, W: 4.6, H: 4.6}), surface.Line(draw.Ink, 0.25))
}

// about is what a day is, beside its work.
func (p *paperwork) about(d MonthDay) string {
	var out []string
	if d.Name != "" {
		out = append(out, d.Name)
	} else if d.Closed {
		out = append(out, p.t.T("calendar-closed", nil))
	}
	if d.Away {
		away := p.t.T("month-away", nil)
		if d.Why != "" {
			away += ": " + d.Why
		}
		out = append(out, away)
	}
	if len(d.Turns) == 0 && !d.Away && d.Offered > 0 {
		out = append(out, p.t.T("month-free", nil))
	}
	switch d.Moon.Phase {
	case dye.NewMoon, dye.FirstQuarter, dye.FullMoon, dye.LastQuarter:
		out = append(out, p.t.T("moon-"+string(d.Moon.Phase), nil))
	}
	return strings.Join(out, " · ")
}

// numbers is the number of a day and the name of its weekday.
func (p *paperwork) numbers(date string) (number, weekday string) {
	d, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date, ""
	}
	return strconv.Itoa(d.Day()), p.t.T("day-"+strings.ToLower(d.Weekday().String()[:3]), nil)
}

// moonDisc draws the moon, its dark part in ink: the light ends at an ellipse, and
// stands on the right while it grows, as it is seen north of the tropics.
func moonDisc(s surface.Surface, cx, cy, r measure.MM, m dye.Moon) {
	side := 1.0
	switch m.Phase {
	case dye.FullMoon, dye.WaningGibbous, dye.LastQuarter, dye.WaningCrescent:
		side = -1
	}
	const steps = 24
	var dark []measure.MM
	point := func(k int, across float64) {
		a := math.Pi * float64(k) / steps
		dark = append(dark, cx+measure.MM(across*math.Sin(a))*r, cy-r*measure.MM(math.Cos(a)))
	}
	for k := range steps + 1 { // down along the dark limb
		point(k, -side)
	}
	for k := steps; k >= 0; k-- { // and up where the light ends
		point(k, side*(1-2*float64(m.Lit)))
	}
	s.Path(surface.Polyline(dark...).Close(), surface.Fill(draw.Ink))
	s.Path(surface.Circle(cx, cy, r), surface.Line(draw.Ink, 0.2))
}
