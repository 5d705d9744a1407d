package web

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"urdir/internal/workshop"
	"urdir/measure"
	"urdir/sheet"
	"urdir/surface"
)

// mostLabels bounds the labels of a lot; a lot of a kilogram has ten.
const mostLabels = 500

// dyeingBatch is a dyeing that can be made; one that cannot has no sheets.
func (v *visit) dyeingBatch() (workshop.DyeingView, error) {
	d, err := v.s.house.Dyeing(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err == nil && d.Problems.Failed() {
		err = &workshop.Error{Code: workshop.NotFound}
	}
	return d, err
}

// dyerOptions is how the workshop has the dyer's sheet.
func (v *visit) dyerOptions(d workshop.DyeingView) (sheet.DyerOptions, error) {
	o, err := v.sheetOptions()
	return sheet.DyerOptions{Options: o, Lot: d.Value.Label, Measures: kitchens(d)}, err
}

func dyerSheets(v *visit) error {
	d, err := v.dyeingBatch()
	if err != nil {
		return err
	}
	o, err := v.dyerOptions(d)
	if err != nil {
		return err
	}
	return v.send("application/pdf", fileName(d.Value.Label)+".pdf", func(w io.Writer) error { return sheet.Dyer(w, d.Batch, o) })
}

// dyerSheetPage sends one page of the dyer's sheet as a picture for a telephone.
func dyerSheetPage(v *visit) error {
	d, err := v.dyeingBatch()
	if err != nil {
		return err
	}
	o, err := v.dyerOptions(d)
	if err != nil {
		return err
	}
	n, err := strconv.Atoi(strings.TrimSuffix(v.r.PathValue("page"), ".png"))
	if err != nil || n < 1 {
		return &workshop.Error{Code: workshop.NotFound}
	}
	at, found := 0, (*surface.PNG)(nil)
	err = sheet.DyerPictures(d.Batch, o, func(p sheet.Page) error {
		if at++; at == n {
			found = p.PNG
		}
		return nil
	})
	if err == nil && found == nil {
		err = &workshop.Error{Code: workshop.NotFound}
	}
	if err != nil {
		return err
	}
	return v.send("image/png", fmt.Sprintf("%s-%d.png", fileName(d.Value.Label), n), func(w io.Writer) error {
		_, err := found.WriteTo(w)
		return err
	})
}

// stepPicture sends the picture of a step, as on the dyer's sheet.
func stepPicture(v *visit) error {
	d, err := v.dyeingBatch()
	if err != nil {
		return err
	}
	n, err := strconv.Atoi(v.r.PathValue("n"))
	if err != nil || n < 0 || n >= len(d.Batch.Steps) {
		return &workshop.Error{Code: workshop.NotFound}
	}
	step := d.Batch.Steps[n]
	return v.picture(v.T("step-"+string(step.Kind)), 48, 44, func(s surface.Surface, b surface.Box) { sheet.StepPicture(s, b, v.Words, step) })
}

// skeins is how many skeins a lot is, as far as labels go.
func skeins(d workshop.DyeingView) int { return min(mostLabels, max(1, d.Batch.Division.Skeins)) }

// skeinLabels sends a label for every skein of a dyeing's lot.
func skeinLabels(v *visit) error {
	d, err := v.s.house.Dyeing(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	n, mass, recipe := skeins(d), d.Value.Mass, d.Value.Recipe
	if f, ok := d.Value.Out(); ok {
		mass = f.Mass
	}
	if !d.Problems.Failed() {
		recipe = v.Text(d.Batch.Recipe.Name)
	}
	return v.sendLabels(d.Lot.Kept, recipe, n, mass/measure.Gram(n))
}

// sendLabels sends a label for each of so many skeins of a lot. Where this
// server's address is too long for a code that can be read, they have none.
func (v *visit) sendLabels(l workshop.Kept[workshop.Lot], recipe string, n int, each measure.Gram) error {
	o, err := v.sheetOptions()
	if err != nil {
		return err
	}
	send := func(address string) error {
		x, labels := l.Value, []sheet.Label{}
		for i := range n {
			labels = append(labels, sheet.Label{Lot: x.Label, Letter: x.Letter, Colour: x.Colour, Hatch: hatchOf(x), Recipe: recipe, Dyed: x.Dyed,
				Fibre: x.Fibre, Count: x.Count, Grams: each, Skein: i + 1, Of: n, Address: address})
		}
		return v.send("application/pdf", fileName(x.Label)+"-labels.pdf", func(w io.Writer) error {
			return sheet.Labels(w, labels, sheet.LabelOptions{Options: o})
		})
	}
	err = send(v.address() + "/yarn/" + l.ID)
	if errors.Is(err, sheet.ErrAddress) {
		err = send("")
	}
	return err
}
