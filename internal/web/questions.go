package web

import (
	"urdir/internal/workshop"
	"urdir/measure"
)

// questionsView is the records of work that are to be asked about.
type questionsView struct {
	Asked []workshop.Asked
}

func questionsPage(v *visit) error { return v.questionsAgain(nil) }

func (v *visit) questionsAgain(wrong error) error {
	asked, err := v.s.house.Questions(v.r.Context(), v.Person)
	if err != nil {
		return err
	}
	view := questionsView{asked}
	if wrong != nil {
		return v.again(wrong, "questions", v.T("questions"), view)
	}
	return v.page("questions", v.T("questions"), view)
}

// Spot names the fields of a question.
func (q questionsView) Spot(a workshop.Asked) string { return a.Job + "." + itoa(a.Fact) }

// Sixty is what was meant if hours were told for minutes; zero if that is not usual
// either.
func (q questionsView) Sixty(a workshop.Asked) measure.Minute {
	if m := 60 * a.Minutes; m >= a.Low && m <= a.High {
		return m
	}
	return 0
}

// Plain is minutes as a button sends them.
func (q questionsView) Plain(m measure.Minute) string { return plainNumber(float64(m)) }

// answerRecord takes an answer: that the minutes are right, others, or that nobody
// knows.
func answerRecord(v *visit) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	id, fact := v.r.PathValue("id"), f.whole("fact")
	if _, err = v.s.house.Job(v.r.Context(), v.Person, id); err != nil {
		return err
	}
	at := id + "." + itoa(fact)
	var minutes measure.Minute
	switch {
	case f.yes("unknown"):
	case f.yes("say"):
		minutes = quantity(f, "say", " min", measure.ParseMinutes)
	default:
		if minutes = quantity(f, "minutes."+at, " min", measure.ParseMinutes); minutes == 0 && !f.ps.Failed() {
			f.ps.Wrong("minutes."+at, "field-empty", nil)
		}
	}
	if err = f.err(); err == nil {
		_, err = v.s.house.AnswerRecord(v.r.Context(), v.Person, id, f.revision(), fact, minutes)
		besideFields(err, map[string]string{"minutes": "minutes." + at})
	}
	if err != nil {
		return v.questionsAgain(err)
	}
	return v.to("/questions", "record-answered")
}

// worked tells how long it took to get a warp as far as was told last.
func worked(v *visit) error {
	return v.act("worked", func(f *form, id string) error {
		minutes := quantity(f, "minutes", " min", measure.ParseMinutes)
		if minutes <= 0 && !f.ps.Failed() {
			f.ps.Wrong("minutes", "field-empty", nil)
		}
		if err := f.err(); err != nil {
			return err
		}
		_, err := v.s.house.Worked(v.r.Context(), v.Person, id, f.revision(), minutes)
		return err
	})
}
