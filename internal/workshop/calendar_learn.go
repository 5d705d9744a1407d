package workshop

import (
	"context"
	"slices"

	"urdir/check"
	"urdir/internal/store"
	"urdir/measure"
	"urdir/schedule/rates"
)

// recordJobs is how many warps, the last ones, work is learned from. Nobody gets
// quicker in the model of package rates, so what is older is left out: it is read with
// every quote and every piece that is finished.
const recordJobs = 500

// mostWorked is more minutes than any warp takes between two tellings.
const mostWorked = 60 * measure.Day

// workRecord is a record of work, and the fact of a warp it is from.
type workRecord struct {
	rates.Record
	at   string // date
	job  Kept[Job]
	fact int
}

// workRecords is what members told of how long their work took. Minutes of a
// telling that was for several kinds of work are shared out between them as the
// starting rates have it.
func (h *House) workRecords(tx *store.Tx) (out []workRecord, _ error) {
	k, err := readSettings(tx)
	if err != nil {
		return nil, err
	}
	starts := k.Value.Calendar.starts()
	l, err := jobs.list(tx, Page{Limit: recordJobs}, true)
	for _, j := range slices.Backward(l.Items) {
		for n, f := range j.Value.Facts {
			if f.Minutes <= 0 || len(f.Did) == 0 {
				continue
			}
			for i, minutes := range shareOut(f, starts) {
				out = append(out, workRecord{rates.Record{Member: j.Value.Member, Kind: f.Did[i].Kind, Quantity: f.Did[i].Quantity, Minutes: minutes, Sure: f.Sure},
					f.At, j, n})
			}
		}
	}
	return out, err
}

func shareOut(f Fact, starts []rates.Start) []measure.Minute {
	usual := make([]measure.Minute, len(f.Did))
	all := measure.Minute(0)
	for i, d := range f.Did {
		k := slices.IndexFunc(starts, func(s rates.Start) bool { return s.Kind == d.Kind })
		usual[i] = starts[k].Minutes * measure.Minute(d.Quantity)
		all += usual[i]
	}
	for i := range usual {
		usual[i] *= f.Minutes / all
	}
	return usual
}

// did is the work that a fact of a warp tells of: laid, or woven since it was told
// before.
func did(v *JobView, n int) []Load {
	switch f := v.Value.Facts[n]; f.Kind {
	case LaidFact:
		return []Load{{rates.Warping, measure.Count(v.Warp.Ends)}}
	case ToldFact:
		from := measure.CM(0)
		for _, b := range v.Value.Facts[:n] {
			if b.Kind == ToldFact {
				from = b.CM
			}
		}
		return weaving(&v.Made.Plan, v.Warp, min(from, v.Value.Length), min(f.CM, v.Value.Length))
	}
	return nil
}

// lastTold is the last fact of a warp that tells of work done.
func (j Job) lastTold() int {
	for n, f := range slices.Backward(j.Facts) {
		if f.Kind == LaidFact || f.Kind == ToldFact {
			return n
		}
	}
	return -1
}

// Untimed says whether something was told of a warp of which nobody has said how
// long it took.
func (v JobView) Untimed() bool {
	n := v.Value.lastTold()
	return n >= 0 && v.Value.Facts[n].Minutes == 0
}

// Worked tells how many minutes it took a member to get a warp as far as was told
// last. From that the workshop learns how long work takes her.
func (h *House) Worked(ctx context.Context, p Person, id string, revision int64, minutes measure.Minute) (Kept[Job], error) {
	return h.change(ctx, p, "Worked", id, revision, func(_ *store.Tx, v *JobView) error {
		n := v.Value.lastTold()
		if n < 0 {
			return wrong("minutes", "worked-nothing", nil)
		}
		return v.worked(n, minutes, false)
	})
}

func (v *JobView) worked(n int, minutes measure.Minute, sure bool) error {
	if !(minutes >= 0 && minutes <= mostWorked) {
		return wrong("minutes", "worked-minutes", check.Args{"most": mostWorked})
	}
	f := &v.Value.Facts[n]
	if f.Did = did(v, n); minutes > 0 && len(f.Did) == 0 {
		return wrong("minutes", "worked-nothing", nil)
	}
	f.Minutes, f.Sure = minutes, sure
	return nil
}

// Asked is a record of work that is far from what is usual, to be asked about.
type Asked struct {
	Job      string
	Revision int64  // of the warp
	Name     string // of the warp
	Member   string
	Who      string // name of the member
	Fact     int    // of the warp
	At       string
	Minutes  measure.Minute // that were told
	Expected measure.Minute
	Low      measure.Minute // from here to High nothing is asked
	High     measure.Minute
	Question rates.Question // of the first kind of work among it
}

// Questions gives the records of work to be asked about: a member her own. They
// stand in the order they were told in, and say nothing of who is quicker.
func (h *House) Questions(ctx context.Context, p Person) (out []Asked, _ error) {
	err := h.view(ctx, p, "Questions", func(tx *store.Tx) (err error) {
		out, err = h.questions(tx)
		return err
	})
	if onlyOwn(p) {
		out = slices.DeleteFunc(out, func(a Asked) bool { return p.Member == "" || a.Member != p.Member })
	}
	return out, err
}

func (h *House) questions(tx *store.Tx) (out []Asked, _ error) {
	mark, err := tx.Mark()
	if err != nil {
		return nil, err
	}
	key := tx.Workshop() + mark
	out, err = h.asking.of(key, tablesMost, func() ([]Asked, error) { return h.askAnew(tx) })
	return slices.Clone(out), err
}

func (h *House) askAnew(tx *store.Tx) (out []Asked, _ error) {
	records, err := h.workRecords(tx)
	if err != nil {
		return nil, err
	}
	k, err := readSettings(tx)
	if err != nil {
		return nil, err
	}
	all := make([]rates.Record, len(records))
	for i := range records {
		all[i] = records[i].Record
	}
	qs, ps := rates.Ask(all, k.Value.Calendar.starts())
	if err = invalid(ps); err != nil {
		return nil, err
	}
	ms, err := members.list(tx, Page{}, false)
	if err != nil {
		return nil, err
	}
	names := map[string]string{}
	for _, m := range ms.Items {
		names[m.ID] = m.Value.Name
	}
	for _, q := range qs {
		r := records[q.Record]
		if n := len(out) - 1; n >= 0 && out[n].Job == r.job.ID && out[n].Fact == r.fact {
			continue // of one telling it is asked once
		}
		told := r.job.Value.Facts[r.fact].Minutes
		whole := told / r.Minutes // the telling may be for other kinds of work as well
		out = append(out, Asked{Job: r.job.ID, Revision: r.job.Revision, Name: jobName(r.job.Value), Member: r.Member, Who: names[r.Member], Fact: r.fact, At: r.at, Minutes: told,
			Expected: q.Expected * whole, Low: q.Low * whole, High: q.High * whole, Question: q})
	}
	return out, nil
}

// AnswerRecord says of minutes that were asked about what is right: the same
// minutes mean that they are, others correct them, and none take them back.
func (h *House) AnswerRecord(ctx context.Context, p Person, id string, revision int64, fact int, minutes measure.Minute) (Kept[Job], error) {
	return h.change(ctx, p, "AnswerRecord", id, revision, func(_ *store.Tx, v *JobView) error {
		if fact < 0 || fact >= len(v.Value.Facts) || v.Value.Facts[fact].Minutes <= 0 {
			return &Error{Code: NotFound}
		}
		return v.worked(fact, minutes, minutes > 0)
	})
}
