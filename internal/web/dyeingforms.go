package web

import (
	"math"

	"urdir/internal/workshop"
	"urdir/measure"
)

func round(v float64, decimals int) float64 {
	p := math.Pow10(decimals)
	return math.Round(v*p) / p
}

// actDyeing reads a form of a dyeing's page, does something, and comes back.
func (v *visit) actDyeing(done string, do func(f *form, id string) error) error {
	f, err := v.read()
	if f, err = v.tooBig(f, err, "photo"); err != nil {
		return err
	}
	id := v.r.PathValue("id")
	if err := do(f, id); err != nil {
		return v.dyeingAgain(err)
	}
	return v.to("/dye/"+id, done)
}

func beginDyeing(v *visit) error {
	return v.actDyeing("begun", func(f *form, id string) error {
		mass := f.grams("grams")
		if err := f.err(); err != nil {
			return err
		}
		_, err := v.s.house.BeginDyeing(v.r.Context(), v.Person, id, f.revision(), f.text("from"), mass)
		return err
	})
}

// celsius reads a temperature; a number by itself is degrees Celsius.
func (f *form) celsius(field string) measure.Celsius {
	return quantity(f, field, " °C", measure.ParseCelsius)
}

// minutes reads a time; a number by itself is minutes.
func (f *form) minutes(field string) measure.Minute {
	return quantity(f, field, " min", measure.ParseMinutes)
}

func doneStage(v *visit) error {
	return v.actDyeing("stage", func(f *form, id string) error {
		fact := workshop.DyeFact{At: f.text("day"), Dyer: f.text("dyer"), Water: f.text("water"), Hottest: f.celsius("hottest"), Time: f.minutes("time"), Note: f.text("note")}
		used := f.masses("used")
		if f.ps.Failed() {
			return f.err() // the photograph has to be chosen again: a form cannot keep a file
		}
		photo := f.photo("photo")
		if err := f.err(); err != nil {
			return err
		}
		_, err := v.s.house.DoneStage(v.r.Context(), v.Person, id, f.revision(), fact, used, photo)
		return err
	})
}

func outOfBath(v *visit) error {
	return v.actDyeing("dry", func(f *form, id string) error {
		dry := f.grams("grams")
		if err := f.err(); err != nil {
			return err
		}
		_, err := v.s.house.OutOfBath(v.r.Context(), v.Person, id, f.revision(), dry)
		return err
	})
}

func judgeDyeing(v *visit) error {
	return v.actDyeing("judged", func(f *form, id string) error {
		accept := f.text("verdict")
		if accept != "accept" && accept != "reject" {
			f.ps.Wrong("verdict", "field-empty", nil)
			return f.err()
		}
		_, err := v.s.house.JudgeDyeing(v.r.Context(), v.Person, id, f.revision(), accept == "accept", f.text("note"))
		return err
	})
}

func undoDyeing(v *visit) error {
	return v.actDyeing("undone", func(f *form, id string) error {
		_, err := v.s.house.UndoDyeing(v.r.Context(), v.Person, id, f.revision())
		return err
	})
}
