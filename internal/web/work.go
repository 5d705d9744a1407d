package web

import (
	"strings"

	"urdir/internal/workshop"
	"urdir/measure"
)

func gramsOf(mg int64) measure.Gram { return measure.Gram(float64(mg) / 1000) }

type jobsView struct {
	workshop.Listed[workshop.Job]
	Names map[string]string
}

func jobList(v *visit) error {
	l, names, err := v.s.house.Jobs(v.r.Context(), v.Person, v.listing())
	if err != nil {
		return err
	}
	return v.page("jobs", v.T("work"), jobsView{l, names})
}

// jobView is a warp in work, with what its forms need.
type jobView struct {
	workshop.JobView
	Members  []workshop.Kept[workshop.Member]
	Currency string
	Steps    []bandStep
}

// bandStep is one band of the panel being woven, and whether it is done.
type bandStep struct {
	N      int
	Kind   string
	Figure string
	Loom   measure.CM
	To     measure.CM
	Picks  int
	Done   bool
}

func jobPage(v *visit) error { return v.jobAgain(nil) }

// jobAgain shows a warp, with what was wrong with a form on its page.
func (v *visit) jobAgain(wrong error) error {
	ctx := v.r.Context()
	j, err := v.s.house.Job(ctx, v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	view := jobView{JobView: j, Steps: steps(j)}
	set, err := v.s.house.Settings(ctx, v.Person)
	if err != nil {
		return err
	}
	view.Currency = set.Value.Currency
	if v.May("GiveOut") && j.Value.State() == workshop.Waiting {
		l, err := v.s.house.Members(ctx, v.Person, workshop.Page{})
		if err != nil {
			return err
		}
		view.Members = l.Items
	}
	title := "#" + itoa(int(j.Value.Number)) + " " + j.Value.Cloth
	if wrong != nil {
		return v.again(wrong, "job", title, view)
	}
	return v.page("job", title, view)
}

// steps are the bands of the first panel on the warp, from the start of weaving.
func steps(j workshop.JobView) (out []bandStep) {
	if len(j.Panels) == 0 {
		return nil
	}
	woven := j.Value.Woven()
	for i, b := range j.Made.Plan.Panels[j.Panels[0]].Bands {
		s := bandStep{N: i + 1, Kind: string(b.Kind), Loom: b.Loom, To: b.To, Picks: b.Picks, Done: b.To > 0 && woven >= b.To-0.05}
		if b.Figure != nil {
			s.Figure = b.Figure.Key
		}
		out = append(out, s)
	}
	return out
}

// masses reads the grams of each lot from fields named prefix.LOT.
func (f *form) masses(prefix string) map[string]measure.Gram {
	out := map[string]measure.Gram{}
	for field := range f.v.r.PostForm {
		if lot, ok := strings.CutPrefix(field, prefix+"."); ok {
			out[lot] = f.grams(field)
		}
	}
	return out
}

// act reads a form of a warp's page, does something, and comes back.
func (v *visit) act(done string, do func(f *form, id string) error) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	id := v.r.PathValue("id")
	if err := do(f, id); err != nil {
		return v.jobAgain(err)
	}
	return v.to("/work/"+id, done)
}

func giveOut(v *visit) error {
	return v.act("given", func(f *form, id string) error {
		set, err := v.s.house.Settings(v.r.Context(), v.Person)
		if err != nil {
			return err
		}
		masses, pay := f.masses("grams"), f.money("pay", set.Value.Currency)
		if err = f.err(); err != nil {
			return err
		}
		_, err = v.s.house.GiveOut(v.r.Context(), v.Person, id, f.revision(), f.text("member"), masses, pay)
		return err
	})
}

func laid(v *visit) error {
	return v.act("laid", func(f *form, id string) error {
		_, err := v.s.house.Laid(v.r.Context(), v.Person, id, f.revision())
		return err
	})
}

func tell(v *visit) error {
	return v.act("told", func(f *form, id string) error {
		cm, bands := f.cm("cm"), f.whole("bands")
		if err := f.err(); err != nil {
			return err
		}
		_, err := v.s.house.Tell(v.r.Context(), v.Person, id, f.revision(), cm, bands)
		return err
	})
}

func takeBack(v *visit) error {
	return v.act("back", func(f *form, id string) error {
		woven, left := f.grams("woven"), f.masses("left")
		if err := f.err(); err != nil {
			return err
		}
		_, err := v.s.house.TakeBack(v.r.Context(), v.Person, id, f.revision(), woven, left)
		return err
	})
}

func paid(v *visit) error {
	return v.act("paid", func(f *form, id string) error {
		set, err := v.s.house.Settings(v.r.Context(), v.Person)
		if err != nil {
			return err
		}
		pay := f.money("paid", set.Value.Currency)
		if err = f.err(); err != nil {
			return err
		}
		_, err = v.s.house.Paid(v.r.Context(), v.Person, id, f.revision(), pay, f.text("paid-from"))
		return err
	})
}

func undoJob(v *visit) error {
	return v.act("undone", func(f *form, id string) error {
		_, err := v.s.house.UndoJob(v.r.Context(), v.Person, id, f.revision())
		return err
	})
}

func pieceList(v *visit) error {
	l, err := v.s.house.Pieces(v.r.Context(), v.Person, v.listing())
	if err != nil {
		return err
	}
	return v.page("pieces", v.T("pieces-room"), l)
}

func piecePage(v *visit) error { return v.pieceAgain(nil) }

func (v *visit) pieceAgain(wrong error) error {
	x, err := v.s.house.Piece(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	title := "#" + itoa(int(x.Value.Number)) + " " + x.Value.Cloth
	if wrong != nil {
		return v.again(wrong, "piece", title, x)
	}
	return v.page("piece", title, x)
}

func (v *visit) actPiece(done string, do func(f *form, id string) error) error {
	f, err := v.read()
	if err != nil {
		return err
	}
	id := v.r.PathValue("id")
	if err := do(f, id); err != nil {
		return v.pieceAgain(err)
	}
	return v.to("/pieces/"+id, done)
}

func finish(v *visit) error {
	return v.actPiece("finished", func(f *form, id string) error {
		mass, length, width := f.grams("mass"), f.cm("length"), f.cm("width")
		if err := f.err(); err != nil {
			return err
		}
		_, err := v.s.house.Finish(v.r.Context(), v.Person, id, f.revision(), mass, length, width, f.text("note"))
		return err
	})
}

func deliver(v *visit) error {
	return v.actPiece("delivered", func(f *form, id string) error {
		_, err := v.s.house.Deliver(v.r.Context(), v.Person, id, f.revision())
		return err
	})
}

func returnPiece(v *visit) error {
	return v.actPiece("returned", func(f *form, id string) error {
		_, err := v.s.house.Return(v.r.Context(), v.Person, id, f.revision(), f.text("note"))
		return err
	})
}

func repair(v *visit) error {
	return v.actPiece("repaired", func(f *form, id string) error {
		_, err := v.s.house.Repair(v.r.Context(), v.Person, id, f.revision(), f.text("note"))
		return err
	})
}

func undoPiece(v *visit) error {
	return v.actPiece("undone", func(f *form, id string) error {
		_, err := v.s.house.UndoPiece(v.r.Context(), v.Person, id, f.revision())
		return err
	})
}
