package web

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"urdir/draw"
	"urdir/internal/workshop"
	"urdir/surface"
)

var zeroTime time.Time

// weekDays in the order of a week.
var weekDays = []string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}

// WeekDays is for forms.
func (v *visit) WeekDays() []string { return weekDays }

// rateKinds are the kinds of work with an hourly rate.
var rateKinds = []string{"lay", "weave", "brocade", "dye", "sew", "teach", "meet"}

// RateKinds is for forms.
func (v *visit) RateKinds() []string { return rateKinds }

func settingsPage(v *visit) error {
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	return v.page("settings", v.T("settings"), set)
}

func saveSettings(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	set.Revision = f.revision()
	f.settings(&set.Value)
	if err := f.err(); err != nil {
		return v.again(err, "settings", v.T("settings"), set)
	}
	if _, err := v.s.house.SaveSettings(v.r.Context(), v.Person, set); err != nil {
		return v.again(err, "settings", v.T("settings"), set)
	}
	return v.to("/settings", "saved")
}

// settings reads the form; frames have pages of their own.
func (f *form) settings(s *workshop.Settings) {
	s.Name, s.Language, s.Paper = f.text("name"), f.text("language"), f.text("paper")
	s.Currency = strings.ToUpper(strings.TrimSpace(f.text("currency")))
	s.Shrink.Length, s.Shrink.Width, s.Take = f.percent("shrink-length"), f.percent("shrink-width"), f.percent("spare")
	s.Week = map[string]int{}
	for _, d := range weekDays {
		s.Week[d] = f.whole("week-" + d)
	}
	s.Rates = map[string]workshop.Money{}
	for _, k := range rateKinds {
		if m := f.money("rate-"+k, s.Currency); m.Minor > 0 {
			s.Rates[k] = m
		}
	}
	s.Pots = nil
	for line := range strings.Lines(f.text("pots")) {
		name, litres, ok := strings.Cut(strings.TrimSpace(line), ":")
		if name == "" && !ok {
			continue
		}
		n, err := strconv.ParseFloat(strings.ReplaceAll(strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(litres), "L")), ",", "."), 64)
		if err != nil {
			f.ps.Wrong("pots", "pot-unread", map[string]any{"text": strings.TrimSpace(line)})
		}
		s.Pots = append(s.Pots, workshop.Pot{Name: strings.TrimSpace(name), Litres: n})
	}
	s.Feasts = nil
	for line := range strings.Lines(f.text("feasts")) {
		day, name, _ := strings.Cut(strings.TrimSpace(line), " ")
		if day != "" {
			s.Feasts = append(s.Feasts, workshop.Feast{Day: day, Name: strings.TrimSpace(name)})
		}
	}
}

// Pots and Feasts are a line each, as the form shows them.
func (v *visit) Pots(s workshop.Settings) string {
	var b strings.Builder
	for _, p := range s.Pots {
		fmt.Fprintf(&b, "%s: %s L\n", p.Name, strconv.FormatFloat(p.Litres, 'f', -1, 64))
	}
	return b.String()
}

// Feasts is described with Pots.
func (v *visit) Feasts(s workshop.Settings) string {
	var b strings.Builder
	for _, f := range s.Feasts {
		fmt.Fprintf(&b, "%s %s\n", f.Day, f.Name)
	}
	return b.String()
}

// frameView is one frame; N is its place, or the number of frames for a new one.
type frameView struct {
	Settings workshop.Kept[workshop.Settings]
	Frame    workshop.Frame
	Drawn    workshop.DrawnFrame
	N        int
}

// newFrame is what a new frame begins as.
const newFrame = `frame:
  peg: 2 cm
  pegs:
    A: [0 cm, 0 cm]
    B: [30 cm, 0 cm]
    C: [55 cm, 0 cm]
    D: [110 cm, 0 cm]
    E: [0 cm, 20 cm]
    F: [110 cm, 25 cm]
    G: [0 cm, 45 cm]
    H: [110 cm, 50 cm]
  cross: [B, C]
  start: [A]
  turn: [D, E, F, G, H]
`

func (v *visit) frameView() (frameView, error) {
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return frameView{}, err
	}
	n, err := strconv.Atoi(v.r.PathValue("n"))
	if err != nil || n < 0 || n > len(set.Value.Frames) || n > 20 {
		return frameView{}, &workshop.Error{Code: workshop.NotFound}
	}
	view := frameView{Settings: set, N: n, Frame: workshop.Frame{Name: v.T("frame-first"), Text: newFrame}}
	if n < len(set.Value.Frames) {
		view.Frame = set.Value.Frames[n]
	}
	view.Drawn = workshop.ReadFrame(view.Frame.Text)
	return view, nil
}

func framePage(v *visit) error {
	view, err := v.frameView()
	if err != nil {
		return err
	}
	return v.page("frame-form", v.T("frame-room"), view)
}

// saveFrame keeps a frame. Pegs are edited one by one; "move" puts the peg that
// was clicked on the picture where it was clicked.
func saveFrame(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	view, err := v.frameView()
	if err != nil {
		return err
	}
	view.Frame = workshop.Frame{Name: f.text("name"), Text: f.text("text")}
	if f.yes("pegs") {
		view.Frame.Text = f.frame()
	}
	view.Drawn = workshop.ReadFrame(view.Frame.Text)
	set := view.Settings
	set.Revision = f.revision()
	set.Value.Frames = append([]workshop.Frame{}, set.Value.Frames...)
	if f.yes("remove") && view.N < len(set.Value.Frames) {
		set.Value.Frames = append(set.Value.Frames[:view.N], set.Value.Frames[view.N+1:]...)
	} else if view.N < len(set.Value.Frames) {
		set.Value.Frames[view.N] = view.Frame
	} else {
		set.Value.Frames = append(set.Value.Frames, view.Frame)
	}
	if _, err := v.s.house.SaveSettings(v.r.Context(), v.Person, set); err != nil {
		return v.again(err, "frame-form", v.T("frame-room"), view)
	}
	if f.yes("remove") {
		return v.to("/settings", "saved")
	}
	return v.to("/settings/frames/"+itoa(view.N), "saved")
}

// frame writes a frame's text from the fields of its pegs; a peg without a name
// is left out.
func (f *form) frame() string {
	var b strings.Builder
	b.WriteString("frame:\n  peg: " + withUnit(f.text("peg")) + "\n  pegs:\n")
	var start, turn []string
	for i := range 70 {
		at := "peg-" + itoa(i)
		id := strings.TrimSpace(f.text(at + "-id"))
		if id == "" {
			continue
		}
		fmt.Fprintf(&b, "    %s: [%s, %s]\n", strconv.Quote(id), withUnit(f.text(at+"-x")), withUnit(f.text(at+"-y")))
		if f.yes(at + "-start") {
			start = append(start, strconv.Quote(id))
		}
		if f.yes(at + "-turn") {
			turn = append(turn, strconv.Quote(id))
		}
	}
	fmt.Fprintf(&b, "  cross: [%s, %s]\n  start: [%s]\n  turn: [%s]\n", strconv.Quote(strings.TrimSpace(f.text("cross-1"))),
		strconv.Quote(strings.TrimSpace(f.text("cross-2"))), strings.Join(start, ", "), strings.Join(turn, ", "))
	return b.String()
}

// withUnit gives a number by itself the unit that stands beside its field.
func withUnit(s string) string {
	s = strings.TrimSpace(s)
	if s == "" {
		return "0 cm"
	}
	if strings.Trim(s, "0123456789.,-") == "" {
		return s + " cm"
	}
	return strconv.Quote(s)
}

func framePicture(v *visit) error {
	view, err := v.frameView()
	if err != nil {
		return err
	}
	w := view.Drawn.Warp()
	if w == nil {
		return &workshop.Error{Code: workshop.NotFound}
	}
	return v.picture(view.Frame.Name, 180, 130, func(s surface.Surface, b surface.Box) {
		draw.Frame(s, b.Inset(2), w, v.Words)
	})
}
