package web

import (
	"errors"
	"fmt"
	"strings"

	"urdir/check"
	"urdir/colour"
	"urdir/internal/workshop"
	"urdir/measure"
)

// colourOf is what a colour is told of: a dyeing, a lot, or a sample of a
// recipe.
type colourOf struct {
	Name     string
	At       string // address of the page
	Back     string // where to go on
	Revision int64
	Now      *colour.Lab // colour it has
	Show     string      // the picker begins with
	Standard *colour.Lab
	Limit    colour.DeltaE
	Carry    []carried     // of what the page before asked
	NotYet   check.Problem // why its colour cannot be told now, if it has a code
	keep     func(colour.Lab, string, *workshop.Picture) error
}

// carried is a value that the page's forms take along.
type carried struct{ Name, Value string }

// subject finds what a page's colour is of.
type subject func(*visit, *form) (colourOf, error)

// dyeingColour is the colour of a dyeing.
func dyeingColour(v *visit, f *form) (of colourOf, err error) {
	id := v.r.PathValue("id")
	d, err := v.s.house.Dyeing(v.r.Context(), v.Person, id)
	if err != nil {
		return of, err
	}
	of = colourOf{Name: d.Value.Label, At: "/dye/" + id + "/colour", Back: "/dye/" + id, Revision: d.Revision, Show: d.Lot.Value.Colour,
		Standard: d.Value.Standard, Limit: d.House.Limit}
	if c, ok := d.Value.Coloured(); ok {
		of.Now = c.Colour
	}
	switch d.Value.State() {
	case workshop.DyePlanned, workshop.DyeBegun:
		of.NotYet.Code = "dyeing-not-out"
	case workshop.DyeAccepted, workshop.DyeRejected:
		of.NotYet.Code = "dyeing-judged"
	}
	of.keep = func(c colour.Lab, how string, pic *workshop.Picture) error {
		_, err := v.s.house.ColourDyeing(v.r.Context(), v.Person, id, f.revision(), c, how, pic)
		return err
	}
	return of, nil
}

// lotColour is the colour of a lot that no dyeing here is about.
func lotColour(v *visit, f *form) (of colourOf, err error) {
	id := v.r.PathValue("id")
	l, _, err := v.s.house.Lot(v.r.Context(), v.Person, id)
	if err != nil {
		return of, err
	}
	set, err := v.s.house.Settings(v.r.Context(), v.Person)
	if err != nil {
		return of, err
	}
	of = colourOf{Name: l.Value.Label, At: "/yarn/" + id + "/colour", Back: "/yarn/" + id, Revision: l.Revision, Show: l.Value.Colour,
		Now: l.Value.Dye.Measured, Standard: l.Value.Dye.Standard, Limit: set.Value.Dye.Filled().Limit}
	of.keep = func(c colour.Lab, how string, _ *workshop.Picture) error {
		_, err := v.s.house.ColourLot(v.r.Context(), v.Person, id, f.revision(), c, how)
		return err
	}
	return of, nil
}

// colourView is a page on which a colour is told, with the photograph that lies
// ready.
type colourView struct {
	colourOf
	Photo photoView
}

// tellColour is the page itself; what lies on the photograph is read as soon as
// the address says where.
func tellColour(subject subject) func(*visit) error {
	return func(v *visit) error {
		f := v.asked()
		of, err := subject(v, f)
		if err != nil {
			return err
		}
		view := colourView{colourOf: of}
		if mark := f.text("photo"); mark != "" {
			if view.Photo, err = v.photograph(f, mark); err != nil {
				return v.again(err, "colour", v.colourTitle(of), view)
			}
		}
		v.Problems = f.ps
		return v.page("colour", v.colourTitle(of), view)
	}
}

func (v *visit) colourTitle(of colourOf) string { return v.T("colour-of") + ": " + of.Name }

// keepColour keeps a colour that was picked, typed or read from the photograph.
func keepColour(subject subject) func(*visit) error {
	return func(v *visit) error {
		f, err := v.read()
		if err != nil {
			return err
		}
		of, err := subject(v, f)
		if err != nil {
			return err
		}
		view, pic := colourView{colourOf: of}, (*workshop.Picture)(nil)
		var c colour.Lab
		switch f.text("how") {
		case "eye":
			c = f.colour("picked")
		case "typed":
			c = f.colour("lab")
		case "photo":
			if view.Photo, err = v.photograph(f, f.text("photo")); err != nil {
				break
			}
			if f.ps = append(f.ps, view.Photo.Found...); !view.Photo.Read && !f.ps.Failed() {
				f.ps.Wrong("", "card-missing", nil)
			}
			c, pic = view.Photo.Swatch.Colour, view.Photo.small()
		default:
			f.ps.Wrong("", "field-empty", nil)
		}
		if err == nil {
			err = f.err()
		}
		if err == nil {
			err = of.keep(c, f.text("how"), pic)
		}
		if err != nil {
			return v.again(err, "colour", v.colourTitle(of), view)
		}
		return v.to(of.Back, "colour-kept")
	}
}

// colour reads a colour.
func (f *form) colour(field string) colour.Lab {
	c, err := colour.Parse(f.text(field))
	f.unread(field, err)
	return c
}

// unread notes a colour or grade that cannot be read.
func (f *form) unread(field string, err error) {
	if e, ok := errors.AsType[*colour.ParseError](err); ok {
		f.ps.Wrong(field, e.Code, check.Args{"text": cut(e.Text)})
	}
}

// Verdict is how a colour stands to its standard.
func (v *visit) Verdict(c, standard colour.Lab, limit colour.DeltaE) colour.Verdict {
	verdict, _ := colour.Judge(c, standard, limit)
	return verdict
}

// Ways is in which way a colour differs, in words.
func (v *visit) Ways(ways []colour.Way) string {
	var out []string
	for _, w := range ways {
		out = append(out, v.T("colour-way-"+string(w)))
	}
	return strings.Join(out, ", ")
}

// Lab writes a colour by its numbers.
func (v *visit) Lab(c colour.Lab) string {
	return v.T("colour-lab", "l", v.Words.Fixed(c.L, 1), "a", v.Words.Fixed(c.A, 1), "b", v.Words.Fixed(c.B, 1))
}

// Apart writes how far two colours are apart.
func (v *visit) Apart(d colour.DeltaE) string { return v.Words.Fixed(float64(d), 1) }

// Percent writes a share as a field of a form takes it back.
func (v *visit) Percent(r measure.Ratio) string {
	return trimZeros(fmt.Sprintf("%.1f", float64(r)*100))
}

// Shown is a colour as near as a screen shows it.
func (v *visit) Shown(c colour.Lab) colour.Shown { return c.Show() }
