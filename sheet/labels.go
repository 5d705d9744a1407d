package sheet

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"urdir/draw"
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/surface"
)

// Label is what is tied or stuck to a skein. What is empty or zero is left out.
type Label struct {
	Lot       string // its name
	Letter    string
	Colour    string // #rrggbb
	Hatch     int
	Recipe    string // its name
	Dyed      string // date it came out of the bath: 2031-05-06
	Fibre     string // as package yarn knows it: cotton
	Count     string // Ne 8/2
	Grams     measure.Gram
	Skein, Of int    // the third skein of eleven
	Address   string // of the lot's page, for the QR code
}

// LabelOptions say how labels are made.
type LabelOptions struct {
	Options
	Size Paper // one label a page, as label printers take them; zero: ten on a sheet of paper, to cut
}

// LeastLabel and MostLabel bound the size of a label. A label that stands is sent
// to its printer lying.
var (
	LeastLabel = Paper{60, 28}
	MostLabel  = Paper{300, 300}
)

// Errors of Labels beside ErrAddress.
var (
	ErrNoLabels  = errors.New("no labels to print")
	ErrLabelSize = errors.New("a label of this size cannot be printed")
)

// Labels writes labels for skeins as a document.
func Labels(w io.Writer, ls []Label, o LabelOptions) error {
	t, err := lang.For(o.Language)
	if err != nil {
		return err
	}
	doc := surface.NewPDF(surface.Meta{Title: t.T("labels", nil), Language: t.Tag})
	err = o.pages(t, ls, func(size Paper) surface.Surface {
		doc.AddPage(size.W, size.H)
		return doc
	}, func() error { return nil })
	if err != nil {
		return err
	}
	_, err = doc.WriteTo(w)
	return err
}

// LabelPictures draws every page of labels as a picture.
func LabelPictures(ls []Label, o LabelOptions, done func(Page) error) error {
	t, err := lang.For(o.Language)
	if err != nil {
		return err
	}
	n, page := 0, (*surface.PNG)(nil)
	return o.pages(t, ls, func(size Paper) surface.Surface {
		n++
		page = surface.NewPNG(size.W, size.H, phoneWidth)
		return page
	}, func() error { return done(Page{fmt.Sprintf("%d-labels", n), page}) })
}

// Labels lie on a sheet of paper in so many columns and rows.
const labelColumns, labelRows = 2, 5

// pages lays labels out on pages: each is begun by add, and done when it is full.
func (o LabelOptions) pages(t *lang.Words, ls []Label, add func(Paper) surface.Surface, done func() error) error {
	size, cells := o.Size, []surface.Box{{W: o.Size.W, H: o.Size.H}}
	cut := size == Paper{}
	if cut {
		size, cells = o.Paper, cellsOf(o.Paper)
	}
	switch w, h := cells[0].W, cells[0].H; {
	case len(ls) == 0:
		return ErrNoLabels
	case !(w >= LeastLabel.W && h >= LeastLabel.H && w <= MostLabel.W && h <= MostLabel.H): // NaN too
		return ErrLabelSize
	}
	for len(ls) > 0 {
		s := add(size)
		n := min(len(ls), len(cells))
		for i, l := range ls[:n] {
			room := cells[i].Inset(labelEdge)
			if cut {
				room = cutOut(s, cells[i])
			}
			if err := l.draw(s, t, room); err != nil {
				return err
			}
		}
		if err := done(); err != nil {
			return err
		}
		ls = ls[n:]
	}
	return nil
}

// cellsOf shares a sheet of paper out, row by row.
func cellsOf(p Paper) (cells []surface.Box) {
	w, h := (p.W-2*margin)/labelColumns, (p.H-2*margin)/labelRows
	for i := range labelColumns * labelRows {
		cells = append(cells, surface.Box{X: margin + w*measure.MM(i%labelColumns), Y: margin + h*measure.MM(i/labelColumns), W: w, H: h})
	}
	return cells
}

// cutOut draws where a label is cut out and where its string goes through, and
// gives the room that is left.
func cutOut(s surface.Surface, cell surface.Box) surface.Box {
	ink := surface.Line(draw.Hair, 0.2)
	s.Path(surface.Circle(cell.X+5, cell.Y+cell.H/2, 2), ink)
	ink.Dash = 1.5
	s.Path(surface.Outline(cell), ink)
	const hole, edge = 9, 4
	return surface.Box{X: cell.X + hole, Y: cell.Y + edge, W: cell.W - hole - edge, H: cell.H - 2*edge}
}

// Measures of a label, in millimetres. Its words are as large as room allows; on
// one of 62 by 29 they are as given here, and read at arm's length, 60 cm: capitals
// of 2.5 mm are 14 minutes of arc, or 11 where a text lacks room, those of the lot's
// name twice that (ISO 9241-303 asks for 16 and allows 10 where few words are
// read; from memory).
const (
	labelEdge  measure.MM = 2  // printers of labels leave 1.5 blank (common practice, no source)
	labelGap   measure.MM = 1  // between words and QR code, whose own blank is wider
	labelQR    measure.MM = 30 // a QR code need be no larger
	labelWide  measure.MM = 36 // of the words
	labelHigh  measure.MM = 25
	labelLine  measure.MM = 4.05
	labelHead  measure.MM = 13  // the most that chip and lot's name are high
	labelLot   measure.MM = 6.4 // sizes of letters
	labelFont  measure.MM = 3.4
	qrPart                = 0.345 // of a label's width
	labelMost             = 1.9   // times that words and lines become as large
	labelLeast            = 0.8   // and as small, before they are shortened
)

// draw fills a box with a label: chip and words, and the QR code beside them.
func (l Label) draw(s surface.Surface, t *lang.Words, b surface.Box) error {
	if l.Address != "" {
		q := min(labelQR, b.W*qrPart, b.H)
		if err := drawQR(s, surface.Box{X: b.X + b.W - q, Y: b.Y + (b.H-q)/2, W: q, H: q}, l.Address); err != nil {
			return err
		}
		b.W -= q + labelGap
	}
	k := min(b.W/labelWide, b.H/labelHigh, labelMost)
	lines := l.lines(t, b.W, k, b.H >= (labelHigh+labelLine)*k)
	below := (measure.MM(len(lines))*labelLine + 0.6) * k
	head := surface.Box{X: b.X, Y: b.Y, W: b.W, H: min(b.H-below, labelHead*k)}
	y := head.Y + head.H + 0.6*k
	if l.Colour != "" {
		chip := head
		chip.W = min(1.4*head.H, head.W*0.35)
		surface.Chip(s, chip, surface.ParseColour(l.Colour), l.Hatch, l.Letter)
		head.X, head.W = head.X+chip.W+2*k, head.W-chip.W-2*k
	}
	l.name(s, head, labelLot*k)
	for i, line := range lines {
		text, f := legible(line.text, line.font, b.W)
		s.Text(b.X, y+(measure.MM(i)+0.8)*labelLine*k, text, f)
	}
	return nil
}

// name writes the lot's name into a box: on one line, or smaller on two.
func (l Label) name(s surface.Surface, b surface.Box, size measure.MM) {
	f := surface.Font{Size: size, Bold: true, Colour: draw.Ink}
	text := []string{l.Lot}
	if surface.TextWidth(l.Lot, f)*labelLeast > b.W {
		f.Size = min(size*0.65, b.H*0.47)
		text = inTwo(l.Lot, f, b.W)
	}
	for i, line := range text {
		shown, g := legible(line, f, b.W)
		middle := b.Y + b.H*(measure.MM(i)+0.5)/measure.MM(len(text))
		s.Text(b.X, middle+0.36*g.Size, shown, g) // capitals are 0.73 high
	}
}

// labelled is a line below the lot's name.
type labelled struct {
	text string
	font surface.Font
}

// lines is what stands below the lot's name; with room to spare the recipe has two
// lines.
func (l Label) lines(t *lang.Words, wide, k measure.MM, spare bool) (out []labelled) {
	f := surface.Font{Size: labelFont * k, Colour: draw.Ink}
	switch {
	case l.Recipe == "":
	case spare:
		for _, line := range inTwo(l.Recipe, f, wide) {
			out = append(out, labelled{line, f})
		}
	default:
		out = append(out, labelled{l.Recipe, f})
	}
	if l.Of > 0 {
		bold := f
		bold.Bold = true
		out = append(out, labelled{t.T("label-skein", map[string]any{"skein": l.Skein, "of": l.Of}), bold})
	}
	var yarn []string
	if l.Grams > 0 {
		yarn = append(yarn, t.S(l.Grams))
	}
	if l.Fibre != "" {
		yarn = append(yarn, t.T("fibre-"+l.Fibre, nil))
	}
	if l.Count != "" {
		yarn = append(yarn, l.Count)
	}
	if len(yarn) > 0 {
		out = append(out, labelled{strings.Join(yarn, " · "), f})
	}
	if d, err := time.Parse(time.DateOnly, l.Dyed); err == nil {
		out = append(out, labelled{t.Date(d), f})
	}
	return out
}

// inTwo breaks a text into two lines at most; the second may be too long.
func inTwo(s string, f surface.Font, width measure.MM) []string {
	lines := surface.Wrap(s, f, width)
	if len(lines) > 2 {
		lines = []string{lines[0], strings.Join(lines[1:], " ")}
	}
	return lines
}

// legible makes a text smaller where it lacks room, but no smaller than is read as
// easily, and then shorter.
func legible(s string, f surface.Font, width measure.MM) (string, surface.Font) {
	least := f.Size * labelLeast
	f = surface.Fit(s, f, 0.999*width) // fitted exactly it may be too wide by rounding
	f.Size = max(f.Size, least)
	return surface.Shorten(s, f, width), f
}
