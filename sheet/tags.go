package sheet

import (
	"errors"
	"io"
	"strconv"
	"strings"

	"urdir/draw"
	"urdir/internal/lang"
	"urdir/label"
	"urdir/measure"
	"urdir/surface"
)

// Tag is what hangs on a piece: what it is, of what, how large, how to care for it,
// where and by whom it was made, its number and the QR code of its page.
type Tag struct {
	Name    string // of the piece
	Number  int64
	Tag     label.Tag
	Address string // of the piece's page, for the QR code; empty: none
	Words   string // a line of the workshop's own
}

// ErrTagFull is the error of words that do not fit a tag in letters that can be read.
var ErrTagFull = errors.New("the words of a tag do not fit its size")

// LeastTag is the smallest tag that care in words fits on.
var LeastTag = Paper{50, 50}

// Tags lie on a sheet of paper in so many columns and rows.
const tagColumns, tagRows = 2, 4

// tagFont is the size of a tag's words, and the smallest at which they are read close
// by (capitals of 1.5 mm, five points and a half; common practice, no source).
const tagFont, tagLeast measure.MM = 3.1, 2.0

// Tags writes tags for pieces as a document: several on a sheet, to cut, or with
// LabelOptions.Size one a page, as label printers take them.
func Tags(w io.Writer, ts []Tag, o LabelOptions) error {
	t, err := lang.For(o.Language)
	if err != nil {
		return err
	}
	doc := surface.NewPDF(surface.Meta{Title: t.T("tags", nil), Language: t.Tag})
	err = o.tags(t, ts, func(size Paper) surface.Surface {
		doc.AddPage(size.W, size.H)
		return doc
	})
	if err != nil {
		return err
	}
	_, err = doc.WriteTo(w)
	return err
}

func (o LabelOptions) tags(t *lang.Words, ts []Tag, add func(Paper) surface.Surface) error {
	size, cells := o.Size, []surface.Box{{W: o.Size.W, H: o.Size.H}}
	cut := size == Paper{}
	if cut {
		size, cells = o.Paper, tagCells(o.Paper)
	}
	switch w, h := cells[0].W, cells[0].H; {
	case len(ts) == 0:
		return ErrNoLabels
	case !(w >= LeastTag.W && h >= LeastTag.H && w <= MostLabel.W && h <= MostLabel.H): // NaN too
		return ErrLabelSize
	}
	for len(ts) > 0 {
		s := add(size)
		n := min(len(ts), len(cells))
		for i, tag := range ts[:n] {
			room := cells[i].Inset(labelEdge)
			if cut {
				room = cutOut(s, cells[i])
			}
			if err := tag.draw(s, t, room); err != nil {
				return err
			}
		}
		ts = ts[n:]
	}
	return nil
}

func tagCells(p Paper) (cells []surface.Box) {
	w, h := (p.W-2*margin)/tagColumns, (p.H-2*margin)/tagRows
	for i := range tagColumns * tagRows {
		cells = append(cells, surface.Box{X: margin + w*measure.MM(i%tagColumns), Y: margin + h*measure.MM(i/tagColumns), W: w, H: h})
	}
	return cells
}

// draw fills a box: on a tag that lies the QR code is beside the words, on one that
// stands below them.
func (g Tag) draw(s surface.Surface, t *lang.Words, b surface.Box) error {
	words := b
	if g.Address != "" {
		q := min(26, b.W*0.34, b.H*0.5)
		if b.W <= b.H {
			q = min(30, b.W*0.5, b.H*0.35)
		}
		code := surface.Box{X: b.X + b.W - q, Y: b.Y + b.H - q, W: q, H: q}
		if b.W > b.H {
			words.W -= q + 2
		} else {
			words.H -= q + 1
			code.X = b.X + (b.W-q)/2
		}
		if err := drawQR(s, code, g.Address); err != nil {
			return err
		}
	}
	lines := g.lines(t)
	for size := tagFont; size >= tagLeast; size -= 0.1 {
		if placed, ok := place(lines, words, size); ok {
			for _, l := range placed {
				s.Text(l.x, l.y, l.text, l.font)
			}
			return nil
		}
	}
	return ErrTagFull
}

// said is a line of a tag; some are larger, and some begin a part.
type said struct {
	text  string
	times measure.MM // of the usual size
	bold  bool
	part  bool
}

// lines is what the tag says, in the order of the rules: what it is of before how it
// is looked after.
func (g Tag) lines(t *lang.Words) (out []said) {
	add := func(text string, times measure.MM, bold, part bool) {
		if text = strings.TrimSpace(text); text != "" {
			out = append(out, said{text, times, bold, part})
		}
	}
	add(g.Name, 1.5, true, false)
	if g.Number > 0 {
		add(t.T("tag-number", map[string]any{"number": strconv.FormatInt(g.Number, 10)}), 1, false, false)
	}
	add(g.Words, 1, false, false)
	for i, share := range g.Tag.Content.Shares {
		add(t.Int(share.Percent)+"\u202f% "+t.T(share.Fibre.Word(), nil), 1.15, true, i == 0)
	}
	if g.Tag.Content.WithoutDecoration {
		add(t.T("tag-without-decoration", nil), 1, false, false)
	}
	if g.Tag.AnimalParts {
		add(t.T("tag-animal", nil), 1, false, false)
	}
	add(g.Tag.Size, 1, false, true)
	var care []string
	for _, c := range g.Tag.Care.Words() {
		care = append(care, t.T(string(c), nil))
	}
	add(strings.Join(care, ". ")+map[bool]string{true: "."}[len(care) > 0], 1, false, true)
	if g.Tag.Country != "" {
		add(t.T("tag-made-in", map[string]any{"country": g.Tag.Country}), 1, false, true)
	}
	add(g.Tag.Maker, 1, true, false)
	return out
}

// placed is a line of text where it stands.
type placed struct {
	x, y measure.MM
	text string
	font surface.Font
}

// place lays lines out in letters of a size; ok is false if they do not fit.
func place(lines []said, b surface.Box, size measure.MM) (out []placed, ok bool) {
	y := b.Y
	for _, l := range lines {
		f := surface.Font{Size: size * l.times, Bold: l.bold, Colour: draw.Ink}
		if l.part {
			y += size * 0.5
		}
		for _, text := range surface.Wrap(l.text, f, b.W) {
			if surface.TextWidth(text, f) > b.W {
				return nil, false
			}
			out = append(out, placed{b.X, y + f.Size, text, f})
			y += f.Size * 1.25
		}
	}
	return out, y <= b.Y+b.H
}
