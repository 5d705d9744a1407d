package web

import (
	"bytes"
	"fmt"
	"image"
	"image/jpeg"
	"image/png"
	"io"
	"net/http"
	"net/url"
	"strings"

	"urdir/check"
	"urdir/colour"
	"urdir/figure/photo"
	"urdir/internal/workshop"
	"urdir/measure"
)

// photoView is a photograph, what is marked on it and what was read there.
type photoView struct {
	Mark          string // empty: there is none
	Width, Height int
	Card, Yarn    markedPart
	Grey          string // of the card, as it was typed
	Read          bool
	Swatch        colour.Swatch
	Light         colour.Light
	Found         check.Problems
	body          []byte
}

// markedPart is a rectangle on a photograph in shares of its width and height.
type markedPart struct{ Left, Top, Width, Height measure.Ratio }

// Where card and yarn are marked before anyone has marked them: as most people
// lay them, card to the left of the yarn.
var (
	cardFirst = markedPart{0.10, 0.35, 0.22, 0.30}
	yarnFirst = markedPart{0.58, 0.30, 0.30, 0.40}
)

// On is the part in pixels of a picture.
func (m markedPart) On(width, height int) image.Rectangle {
	at := func(share measure.Ratio, of int) int { return int(float64(share)*float64(of) + 0.5) }
	return image.Rect(at(m.Left, width), at(m.Top, height), at(m.Left+m.Width, width), at(m.Top+m.Height, height))
}

// CardOn and YarnOn are the marks in pixels of the photograph.
func (p photoView) CardOn() image.Rectangle { return p.Card.On(p.Width, p.Height) }

// YarnOn is described with CardOn.
func (p photoView) YarnOn() image.Rectangle { return p.Yarn.On(p.Width, p.Height) }

// laidPath is how the addresses end that take a photograph to be measured.
const laidPath = "/photo"

// layPhoto lays a photograph that was sent ready to be measured.
func layPhoto(subject subject) func(*visit) error {
	return func(v *visit) error {
		f, err := v.read()
		if f, err = v.tooBig(f, err, "picture"); err != nil {
			return err
		}
		of, err := subject(v, f)
		if err != nil {
			return err
		}
		if !f.ps.Failed() {
			var mark string
			if mark, err = v.laid(f); err == nil && mark != "" {
				q := url.Values{"photo": {mark}}
				for _, c := range of.Carry {
					q.Set(c.Name, c.Value)
				}
				http.Redirect(v.w, v.r, of.At+"?"+q.Encode(), http.StatusSeeOther)
				return nil
			}
		}
		if err == nil {
			err = f.err()
		}
		return v.again(err, "colour", v.colourTitle(of), colourView{colourOf: of})
	}
}

// laid takes a sent photograph apart, makes it small and lays it ready.
func (v *visit) laid(f *form) (mark string, _ error) {
	file, _, err := v.r.FormFile("picture")
	if err != nil {
		f.ps.Wrong("picture", "photo-empty", nil)
		return "", nil
	}
	defer func() { _ = file.Close() }() // only read
	v.s.pictures.Lock()                 // one at a time: each may fill a good part of a small computer
	defer v.s.pictures.Unlock()
	img, ps := photo.Decode(file, photo.Limits{Bytes: maxPhoto, Pixels: maxPixels})
	if f.ps.Under("picture", ps); ps.Failed() {
		return "", nil
	}
	var b bytes.Buffer
	// PNG loses nothing, so that what is read does not depend on how often the page is asked for.
	if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&b, shrunk(img, laidSide)); err != nil {
		return "", err
	}
	return v.s.house.LayPhoto(v.r.Context(), v.Person, workshop.Picture{Kind: "image/png", Body: b.Bytes()})
}

// photograph gives the photograph that lies ready, and reads it if the form says
// where.
func (v *visit) photograph(f *form, mark string) (p photoView, _ error) {
	pic, err := v.s.house.LaidPhoto(v.r.Context(), v.Person, mark)
	if err != nil {
		return p, err
	}
	img, err := png.Decode(bytes.NewReader(pic.Body))
	if err != nil {
		return p, fmt.Errorf("the photograph laid ready: %w", err)
	}
	p = photoView{Mark: mark, Width: img.Bounds().Dx(), Height: img.Bounds().Dy(), Card: cardFirst, Yarn: yarnFirst, body: pic.Body}
	if f.text("card-left") == "" {
		return p, nil
	}
	p.Card, p.Yarn = f.part("card"), f.part("yarn")
	grey := measure.Ratio(0)
	if p.Grey = f.text("grey"); p.Grey != "" {
		if grey = f.percent("grey"); grey == 0 && !f.ps.Failed() {
			f.ps.Wrong("grey", "card-reflectance", check.Args{"value": grey})
		}
	}
	if f.ps.Failed() {
		return p, nil
	}
	p.Light, p.Found = colour.Card{Regions: []image.Rectangle{p.CardOn()}, Known: colour.Reflectance(grey)}.Read(img)
	if p.Found.Failed() {
		return p, nil
	}
	var more check.Problems
	p.Swatch, more = p.Light.Read(img, p.YarnOn())
	p.Found = append(p.Found, more...)
	p.Read = !p.Found.Failed()
	return p, nil
}

// part reads a marked part.
func (f *form) part(name string) (m markedPart) {
	for side, to := range map[string]*measure.Ratio{"left": &m.Left, "top": &m.Top, "width": &m.Width, "height": &m.Height} {
		field := name + "-" + side
		if *to = f.percent(field); !(*to >= 0 && *to <= 1) {
			f.ps.Wrong(field, "out-of-range", check.Args{"value": *to, "low": measure.Ratio(0), "high": measure.Ratio(1)})
		}
	}
	return m
}

// small is the photograph as it is kept with a dyeing.
func (p photoView) small() *workshop.Picture {
	img, err := png.Decode(bytes.NewReader(p.body))
	if err != nil {
		return nil // it was read just now
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 85}); err != nil {
		return nil // a buffer takes it all
	}
	return &workshop.Picture{Kind: "image/jpeg", Body: b.Bytes()}
}

// laidPhoto shows the photograph that lies ready.
func laidPhoto(v *visit) error {
	pic, err := v.s.house.LaidPhoto(v.r.Context(), v.Person, v.r.URL.Query().Get("mark"))
	if err != nil {
		return err
	}
	small := photoView{body: pic.Body}.small()
	if small == nil {
		return fmt.Errorf("the photograph laid ready is no picture: %s", pic.Kind)
	}
	return v.send(small.Kind, "", func(w io.Writer) error {
		_, err := w.Write(small.Body)
		return err
	})
}

// Marked says which mark on a photograph a problem is about.
func (v *visit) Marked(path string) string {
	switch {
	case strings.HasPrefix(path, "card"):
		return v.T("mark-card-short") + ":"
	case path == "swatch":
		return v.T("mark-yarn-short") + ":"
	}
	return ""
}
