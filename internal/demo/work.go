package demo

import (
	"fmt"
	"math"
	"slices"

	"urdir/internal/workshop"
	"urdir/measure"
)

// told is an order while its story is told.
type told struct {
	*season
	story
	number int // counted from 1
	order  workshop.Kept[workshop.Order]
	going  bool // its warps are planned
}

// warped is a warp in work of an order.
type warped struct {
	*told
	job   workshop.Kept[workshop.Job]
	given map[string]measure.Gram // by lot
	pay   workshop.Money
}

// planOrder notes the beginning of an order; the rest is noted when it is
// confirmed, for only then its warps are known.
func (s *season) planOrder(number int, t story) {
	o := &told{season: s, story: t, number: number}
	o.on(t.taken, "take", o.take)
	if !t.noLots {
		o.on(t.taken+1, "choose lots", o.chooseLots)
	}
	if !t.draft {
		o.on(t.taken+2, "confirm", o.confirm)
	}
	o.planSale()
}

func (o *told) on(day int, what string, do func() error) {
	o.season.on(day, fmt.Sprintf("order %d: %s", o.number, what), do)
}

func (o *told) take() (err error) {
	v := workshop.Order{Customer: o.ids["customer"][o.customer], Due: o.date(o.due), Wishes: o.wishes}
	if o.deposit > 0 {
		v.Deposit = usd(o.deposit)
	}
	for i, l := range o.lines {
		// Lines named in order keep warps and pieces in the same order every time.
		v.Lines = append(v.Lines, workshop.Line{ID: fmt.Sprintf("line%d", i+1), Cloth: o.ids["cloth"][l.cloth], Quantity: l.pieces, Wishes: l.wishes})
	}
	o.order, err = o.house.SaveOrder(o.ctx, o.seller(), workshop.Kept[workshop.Order]{Value: v})
	return err
}

// design is the design of a line of the order.
func (o *told) design(line string) design {
	at := slices.IndexFunc(o.order.Value.Lines, func(l workshop.Line) bool { return l.ID == line })
	key := o.lines[at].cloth
	return designs[slices.IndexFunc(designs, func(d design) bool { return d.key == key })]
}

func (o *told) chooseLots() (err error) {
	for _, l := range o.order.Value.Lines {
		chosen := map[string]string{}
		for yarn, lot := range o.design(l.ID).lots {
			if _, dyed := o.dye[yarn]; !dyed {
				chosen[yarn] = o.lots[lot].ID
			}
		}
		if o.order, err = o.house.ChooseLots(o.ctx, o.dyer(), o.order.ID, l.ID, o.order.Revision, chosen); err != nil {
			return err
		}
	}
	return nil
}

func (o *told) confirm() (err error) {
	if o.order, err = o.house.ConfirmOrder(o.ctx, o.seller(), o.order.ID, o.order.Revision); err != nil {
		return err
	}
	if err = o.promise(); err != nil {
		return err
	}
	day := o.taken + 2
	if o.cancelled {
		o.on(day+9, "cancel", o.cancel)
		return nil
	}
	if len(o.dye) > 0 {
		o.on(day+1, "wish", o.wish) // its warps wait for the dye house
		return nil
	}
	return o.planWork(day)
}

// planWork notes what becomes of an order's warps and pieces from the day on when
// its yarn is there.
func (o *told) planWork(day int) error {
	v, err := o.house.Order(o.ctx, o.head(), o.order.ID)
	if err != nil {
		return err
	}
	for i, j := range v.Jobs {
		(&warped{told: o, job: j}).plan(day+3+i, pick(o.work, i))
	}
	for i, x := range v.Pieces {
		o.planPiece(day+19+len(v.Jobs)+i, x, pick(o.pieces, i))
	}
	return nil
}

func (o *told) cancel() (err error) {
	o.order, err = o.house.CancelOrder(o.ctx, o.seller(), o.order.ID, o.order.Revision)
	return err
}

// pick is the i-th of a story's list, or its last.
func pick(list []far, i int) far {
	if len(list) == 0 {
		return 0
	}
	return list[min(i, len(list)-1)]
}

// plan notes what becomes of a warp.
func (w *warped) plan(day int, goes far) {
	steps := []struct {
		from, to far // told on the way to these
		after    int // days
		what     string
		do       func() error
	}{
		{given, paid, 0, "give out", w.giveOut},
		{laid, paid, 2, "lay", w.lay},
		{begun, paid, 5, "tell", func() error { return w.tell(0.15) }},
		{half, half, 9, "tell", w.tellBands},
		{ready, paid, 9, "tell", func() error { return w.tell(0.6) }},
		{ready, ready, 13, "tell", func() error { return w.tell(1) }},
		{back, paid, 15, "take back", w.takeBack},
		{paid, paid, 17, "pay", w.settle},
	}
	for _, st := range steps {
		if goes >= st.from && goes <= st.to {
			w.on(day+st.after, st.what, st.do)
		}
	}
}

// weaver is the next member with a skill who takes work.
func (s *season) weaver(skill string) string {
	var able []string
	for _, m := range members {
		if !m.value.Away && slices.Contains(m.value.Skills, skill) {
			able = append(able, s.ids["member"][m.key])
		}
	}
	s.turn[skill]++
	return able[(s.turn[skill]-1)%len(able)]
}

func (w *warped) giveOut() error {
	v, err := w.house.Job(w.ctx, w.dyer(), w.job.ID)
	if err != nil {
		return err
	}
	w.given = map[string]measure.Gram{}
	for _, n := range v.Needs {
		w.given[n.Lot] += n.Mass
	}
	for lot, g := range w.given {
		w.given[lot] = measure.Gram(math.Ceil(float64(g)))
	}
	d := w.design(v.Value.Line)
	w.pay = usd(50 * int64(math.Round(float64(d.pay)*float64(v.Value.Length)/100/50)))
	w.job, err = w.house.GiveOut(w.ctx, w.dyer(), w.job.ID, v.Revision, w.weaver(d.skill), w.given, w.pay)
	return err
}

// teller is who tells of the warp: its member if she has an account, else who
// heard it from her.
func (w *warped) teller() workshop.Person {
	if p, ok := w.season.teller[w.job.Value.Member]; ok {
		return p
	}
	return w.dyer()
}

func (w *warped) lay() (err error) {
	if w.job, err = w.house.Laid(w.ctx, w.teller(), w.job.ID, w.job.Revision); err != nil {
		return err
	}
	usual, err := w.laidIn()
	if err != nil {
		return err
	}
	return w.worked(usual)
}

// tell tells a share of the warp, in whole centimetres.
func (w *warped) tell(share float64) (err error) {
	cm := measure.CM(math.Ceil(float64(w.job.Value.Length) * share))
	before := w.job.Value.Woven()
	if w.job, err = w.house.Tell(w.ctx, w.teller(), w.job.ID, w.job.Revision, cm, 0); err != nil {
		return err
	}
	return w.worked(w.wovenIn(before))
}

// tellBands tells that half of the first panel's bands are woven.
func (w *warped) tellBands() error {
	v, err := w.house.Job(w.ctx, w.teller(), w.job.ID)
	if err != nil {
		return err
	}
	bands := len(v.Made.Plan.Panels[v.Panels[0]].Bands)
	w.job, err = w.house.Tell(w.ctx, w.teller(), w.job.ID, w.job.Revision, 0, (bands+1)/2)
	return err
}

// Of the yarn that is not in the cloth, this part comes back to the shelf; the
// rest is thrums.
const leftOver = 0.6

func (w *warped) takeBack() error {
	v, err := w.house.Job(w.ctx, w.dyer(), w.job.ID)
	if err != nil {
		return err
	}
	cloth, bag := measure.Gram(0), measure.Gram(0)
	p := v.Made.Plan
	for _, i := range v.Panels {
		pan := p.Panels[i]
		cloth += pan.Mass * measure.Gram(float64(pan.Count*p.Pieces)/float64(v.Warp.Layings))
	}
	for _, g := range w.given {
		bag += g
	}
	cloth = measure.Gram(math.Ceil(float64(cloth) * 1.01))
	left := map[string]measure.Gram{}
	for lot, g := range w.given {
		left[lot] = measure.Gram(math.Floor(float64(g * (bag - cloth) / bag * leftOver)))
	}
	w.job, err = w.house.TakeBack(w.ctx, w.dyer(), w.job.ID, w.job.Revision, cloth, left)
	return err
}

func (w *warped) settle() (err error) {
	v, err := w.house.Job(w.ctx, w.bookkeeper(), w.job.ID)
	if err != nil || v.Value.Paid() { // with the month
		w.job = v.Kept
		return err
	}
	w.job, err = w.house.Paid(w.ctx, w.bookkeeper(), w.job.ID, w.job.Revision, w.pay, "")
	return err
}

// planPiece notes what becomes of a piece.
func (o *told) planPiece(day int, x workshop.Kept[workshop.Piece], goes far) {
	call := func(do func(workshop.Person) (workshop.Kept[workshop.Piece], error)) func() error {
		return func() (err error) {
			x, err = do(o.seller())
			return err
		}
	}
	steps := []struct {
		from  far
		after int
		what  string
		do    func(workshop.Person) (workshop.Kept[workshop.Piece], error)
	}{
		{finished, 0, "finish", func(p workshop.Person) (workshop.Kept[workshop.Piece], error) { return o.finish(p, x) }},
		{delivered, 4, "deliver", func(p workshop.Person) (workshop.Kept[workshop.Piece], error) {
			return o.house.Deliver(o.ctx, p, x.ID, x.Revision)
		}},
		{returned, 20, "return", func(p workshop.Person) (workshop.Kept[workshop.Piece], error) {
			return o.house.Return(o.ctx, p, x.ID, x.Revision, "Se soltó una costura.")
		}},
		{repaired, 24, "repair", func(p workshop.Person) (workshop.Kept[workshop.Piece], error) {
			return o.house.Repair(o.ctx, p, x.ID, x.Revision, "Costura hecha de nuevo, a doble hilo.")
		}},
		{redelivered, 28, "deliver", func(p workshop.Person) (workshop.Kept[workshop.Piece], error) {
			return o.house.Deliver(o.ctx, p, x.ID, x.Revision)
		}},
	}
	for _, st := range steps {
		if goes >= st.from {
			o.on(day+st.after, st.what, call(st.do))
		}
	}
}

// finish weighs and measures a piece: no two come out alike, and none quite as
// planned.
func (o *told) finish(p workshop.Person, x workshop.Kept[workshop.Piece]) (workshop.Kept[workshop.Piece], error) {
	v, err := o.house.Piece(o.ctx, o.head(), x.ID)
	if err != nil {
		return x, err
	}
	off := 0.01 * float64((x.Value.Number*7)%4) // 0 to 3 %
	plan := v.Made.Plan.Piece
	mass := measure.Gram(math.Floor(float64(plan.Mass) * (1 - off/2)))
	length := halfCM(plan.Overall, 1.01-off)
	width := halfCM(plan.Width, 1-off/3)
	note := ""
	if o.unmeasured {
		length, width, note = 0, 0, "Se entregó con prisa, sin medir."
	}
	return o.house.Finish(o.ctx, p, x.ID, x.Revision, mass, length, width, note)
}

// halfCM is a length as a tape is read, to half a centimetre.
func halfCM(l measure.CM, times float64) measure.CM {
	return measure.CM(math.Round(float64(l)*times*2) / 2)
}
