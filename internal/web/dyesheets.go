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

// skeinLabels sends a label for every skein of the lot. Where this server's
// address is too long for a code that can be read, they have none.
func skeinLabels(v *visit) error {
	d, err := v.s.house.Dyeing(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	o, err := v.sheetOptions()
	if err != nil {
		return err
	}
	send := func(address string) error {
		labels := v.labels(d, address)
		return v.send("application/pdf", fileName(d.Value.Label)+"-labels.pdf", func(w io.Writer) error {
			return sheet.Labels(w, labels, sheet.LabelOptions{Options: o})
		})
	}
	err = send(v.address() + "/yarn/" + d.Lot.ID)
	if errors.Is(err, sheet.ErrAddress) {
		err = send("")
	}
	return err
}

func (v *visit) labels(d workshop.DyeingView, address string) (out []sheet.Label) {
	n := skeins(d)
	mass := d.Value.Mass
	if f, ok := d.Value.Out(); ok {
		mass = f.Mass
	}
	recipe := d.Value.Recipe
	if !d.Problems.Failed() {
		recipe = v.Text(d.Batch.Recipe.Name)
	}
	for i := range n {
		out = append(out, sheet.Label{Lot: d.Lot.Value.Label, Letter: d.Lot.Value.Letter, Colour: d.Lot.Value.Colour, Hatch: hatchOf(d.Lot.Value), Recipe: recipe, Dyed: d.Lot.Value.Dyed,
			Fibre: d.Value.Fibre, Count: d.Value.Count, Grams: mass / measure.Gram(n), Skein: i + 1, Of: n, Address: address})
	}
	return out
}
