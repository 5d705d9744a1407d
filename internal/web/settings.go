package web

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"urdir/draw"
	"urdir/internal/workshop"
	"urdir/measure"
	"urdir/surface"
	"urdir/warp/frame"
)

var zeroTime time.Time

// weekDays in the order of a week.
var weekDays = []string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}

// WeekDays is for forms.
func (v *visit) WeekDays() []string { return weekDays }

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

// settings reads the form; frames and the calendar have pages of their own.
func (f *form) settings(s *workshop.Settings) {
	s.Address = f.text("address")
	s.Name, s.Language, s.Paper = f.text("name"), f.text("language"), f.text("paper")
	s.Currency = strings.ToUpper(strings.TrimSpace(f.text("currency")))
	s.Shrink.Length, s.Shrink.Width, s.Take = f.percent("shrink-length"), f.percent("shrink-width"), f.percent("spare")
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
	switch {
	case f.yes("at.x") && view.Drawn.Frame != nil:
		view.Frame = workshop.Frame{Name: view.Frame.Name, Text: f.moved(view.Drawn.Frame)}
	case f.yes("pegs"):
		view.Frame.Text = f.frame()
	}
	view.Drawn = workshop.ReadFrame(view.Frame.Text)
	set := view.Settings
	set.Revision = f.revision()
	set.Value.Frames = append([]workshop.Frame{}, set.Value.Frames...)
	switch {
	case view.N >= len(set.Value.Frames):
		set.Value.Frames = append(set.Value.Frames, view.Frame)
	case f.yes("remove"):
		set.Value.Frames = append(set.Value.Frames[:view.N], set.Value.Frames[view.N+1:]...)
	default:
		set.Value.Frames[view.N] = view.Frame
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
	t := frameText{peg: withUnit(f.text("peg")), cross: [2]string{strings.TrimSpace(f.text("cross-1")), strings.TrimSpace(f.text("cross-2"))}}
	for i := range 70 {
		at := "peg-" + itoa(i)
		if id := strings.TrimSpace(f.text(at + "-id")); id != "" {
			t.add(id, withUnit(f.text(at+"-x")), withUnit(f.text(at+"-y")), f.yes(at+"-start"), f.yes(at+"-turn"))
		}
	}
	return t.String()
}

// frameText gathers the parts of a frame's text.
type frameText struct {
	peg         string
	pegs        strings.Builder
	cross       [2]string
	start, turn []string
}

func (t *frameText) add(id, x, y string, start, turn bool) {
	fmt.Fprintf(&t.pegs, "    %s: [%s, %s]\n", strconv.Quote(id), x, y)
	if start {
		t.start = append(t.start, strconv.Quote(id))
	}
	if turn {
		t.turn = append(t.turn, strconv.Quote(id))
	}
}

func (t *frameText) String() string {
	return fmt.Sprintf("frame:\n  peg: %s\n  pegs:\n%s  cross: [%s, %s]\n  start: [%s]\n  turn: [%s]\n", t.peg, t.pegs.String(),
		strconv.Quote(t.cross[0]), strconv.Quote(t.cross[1]), strings.Join(t.start, ", "), strings.Join(t.turn, ", "))
}

// The picture of a frame, in mm of paper, and its pixels when it is clicked.
var frameBox = surface.Box{X: 2, Y: 2, W: 176, H: 126}

const framePixels = 4 // a mm

// moved is a frame with one peg where the picture was clicked, to half a
// centimetre: the peg that is chosen, or a new one.
func (f *form) moved(was *frame.Frame) string {
	x, y := draw.OnFrame(frameBox, was, measure.MM(f.whole("at.x"))/framePixels, measure.MM(f.whole("at.y"))/framePixels)
	half := func(l measure.CM) string { return strconv.FormatFloat(math.Round(float64(l)*2)/2, 'f', -1, 64) + " cm" }
	cm := func(l measure.CM) string { return strconv.FormatFloat(float64(l), 'f', -1, 64) + " cm" }
	t := frameText{peg: cm(was.Pegs[0].Diameter), cross: was.Cross}
	chosen, found := f.text("move"), false
	for _, p := range was.Pegs {
		px, py := cm(p.X), cm(p.Y)
		if p.ID == chosen {
			px, py, found = half(x), half(y), true
		}
		t.add(p.ID, px, py, slices.Contains(was.Start, p.ID), slices.Contains(was.Turn, p.ID))
	}
	if !found {
		t.add(freeLetter(was), half(x), half(y), false, true)
	}
	return t.String()
}

// freeLetter is a name no peg has.
func freeLetter(f *frame.Frame) string {
	for n := 0; ; n++ {
		id := string(rune('A' + n%26))
		if n >= 26 {
			id += itoa(n / 26)
		}
		if !slices.ContainsFunc(f.Pegs, func(p frame.Peg) bool { return p.ID == id }) {
			return id
		}
	}
}

// withUnit gives a number by itself the unit that stands beside its field.
func withUnit(s string) string {
	s = strings.TrimSpace(s)
	if s == "" {
		return "0 cm"
	}
	if strings.Trim(s, "0123456789.,-") == "" {
		s += " cm"
	}
	return strconv.Quote(s) // 1,5 is one number
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
	return v.picture(view.Frame.Name, frameBox.W+4, frameBox.H+4, func(s surface.Surface, _ surface.Box) {
		draw.Frame(s, frameBox, w, v.Words)
	})
}
