package dye

import (
	"slices"

	"urdir/check"
	"urdir/measure"
)

// Order is a lot to be dyed.
type Order struct {
	Fibre Fibre // empty: that of the recipe
	Mass  measure.Gram
	Skein measure.Gram // zero: parted anywhere
	Pots  []Pot
	Place Place
}

// Weighed is an amount, weighed or measured out.
type Weighed struct {
	What   string        `json:"what"`
	Mass   measure.Gram  `json:"mass_g,omitempty"`
	Volume measure.Litre `json:"volume_l,omitempty"`
}

// Portion is what one bath of a step takes; baths of one size take the same.
type Portion struct {
	Baths   int           `json:"baths"`
	Fibre   measure.Gram  `json:"fibre_g"`
	Bath    measure.Litre `json:"bath_l"`  // in the pot
	Water   measure.Litre `json:"water_l"` // new water, all its waters together
	Amounts []Weighed     `json:"amounts"` // of the bath, or of each water
	Heat    measure.KJ    `json:"heat_kj"`
	Vat     *VatPlan      `json:"vat,omitempty"`
}

// StepPlan is a step made for the lot.
type StepPlan struct {
	Kind     Kind            `json:"kind"`
	Portions []Portion       `json:"portions"`
	Same     bool            `json:"same_bath"`
	Times    int             `json:"waters"`
	Hottest  measure.Celsius `json:"hottest_c,omitempty"`
	Heat     measure.KJ      `json:"heat_kj"` // of all baths
	Fuel     measure.Gram    `json:"fuel_g"`
	Work     measure.Minute  `json:"work_min"`  // hands, all baths
	Fire     measure.Minute  `json:"fire_min"`  // by the fire, all rounds
	Stand    measure.Minute  `json:"stand_min"` // one round after the other
	NextDay  bool            `json:"next_day"`
	Hazards  []Hazard        `json:"hazards"`
	Waste    Waste           `json:"waste,omitempty"`
	Step     *Step           `json:"-"`
}

// Batch is a recipe made for a lot.
type Batch struct {
	Recipe   Recipe          `json:"-"`
	Key      string          `json:"recipe"`
	Mass     measure.Gram    `json:"mass_g"`
	Division Division        `json:"division"`
	Steps    []StepPlan      `json:"steps"`
	Amounts  []Weighed       `json:"amounts"` // of the whole lot
	Water    measure.Litre   `json:"water_l"`
	Heat     measure.KJ      `json:"heat_kj"`
	Fuel     measure.Gram    `json:"fuel_g"`
	Burns    FuelKind        `json:"fuel_kind"`
	Boils    measure.Celsius `json:"boils_c"`
	Work     measure.Minute  `json:"work_min"`
	Fire     measure.Minute  `json:"fire_min"`
	Stand    measure.Minute  `json:"stand_min"`
	Days     int             `json:"days"` // of dyeing; drying comes on top
	Drying   Drying          `json:"drying"`
	Hazards  []Hazard        `json:"hazards"`
	After    []Afterbath     `json:"afterbaths,omitempty"`
}

// Make scales a recipe to a lot. The problems are those of the recipe at this
// height and, below "order", those of the lot and of the place, all at once; the
// batch is only good when they have not Failed.
func Make(r Recipe, o Order) (Batch, check.Problems) {
	ps := Check(r, o.Place.Height)
	d, about := o.divide(r)
	ps.Under("order", about)
	if ps.Failed() {
		return Batch{}, ps
	}
	m := maker{Batch: Batch{Recipe: r, Key: r.Key, Mass: o.Mass, Division: d, Boils: BoilingPoint(o.Place.Height), Days: 1,
		Burns: o.Place.Fuel.filled().Kind}, place: o.Place, warm: o.Place.Water, ps: ps}
	for i := range r.Steps {
		m.step(&r.Steps[i])
	}
	m.finish()
	return m.Batch, m.ps
}

// divide checks an order and shares its lot out.
func (o Order) divide(r Recipe) (Division, check.Problems) {
	var ps check.Problems
	if o.Fibre != "" && o.Fibre != r.Fibre {
		wrongFibre(&ps, r.Fibre)
	}
	ps = append(ps, o.Place.Check()...)
	d, more := Split(o.Mass, o.Skein, r.Widest(), o.Pots)
	return d, append(ps, more...)
}

// wrongFibre says which class a recipe is for.
func wrongFibre(ps *check.Problems, want Fibre) {
	if want == Protein {
		ps.Wrong("fibre", "dye-for-protein", nil)
		return
	}
	ps.Wrong("fibre", "dye-for-cellulose", nil)
}

// Widest is the largest liquor ratio of a recipe's baths: the pot has to hold
// that.
func (r Recipe) Widest() (most measure.LPerKG) {
	for _, s := range r.Steps {
		if s.Kind.wet() {
			most = max(most, r.liquor(s))
		}
	}
	if most == 0 {
		return r.Liquor
	}
	return most
}

// maker makes a batch step by step.
type maker struct {
	Batch
	place Place
	warm  measure.Celsius // of the bath the step before left
	last  measure.LPerKG  // its liquor ratio
	ps    check.Problems
}

// cools is after how long a bath off the fire is as cold as the air. From memory.
const cools = 4 * measure.Hour

func (m *maker) step(s *Step) {
	if s.NextDay && len(m.Steps) > 0 {
		m.Days++
	}
	p := StepPlan{Kind: s.Kind, Same: s.Same, Times: s.times(), NextDay: s.NextDay, Step: s, Stand: s.Stand * measure.Minute(m.Division.Rounds)}
	p.Work = s.Work * measure.Minute(m.Division.Baths)
	curve := s.Heat
	if s.Vat != nil {
		curve = append([]Segment{{To: s.Vat.Warm}}, curve...)
	}
	start := m.place.Water
	if s.Same {
		start = m.warm
	}
	if !s.Same {
		m.last = m.Recipe.liquor(*s)
	}
	for _, size := range m.Division.Sizes {
		q, w := m.portion(s, size, start, curve)
		p.Portions = append(p.Portions, q)
		p.Heat += q.Heat * measure.KJ(size.Baths)
		p.Fire = w.Fire * measure.Minute(m.Division.Rounds*p.Times)
		if p.Hottest, m.warm = w.Hottest, w.End; len(curve) == 0 {
			p.Hottest = 0
		}
		m.Water += q.Water * measure.Litre(size.Baths)
	}
	if s.Stand >= cools {
		m.warm = m.place.Air
	}
	p.Fuel = m.place.Fuel.For(p.Heat)
	p.Hazards = m.Recipe.cautions(*s, p.Hottest, p.Portions[0].Bath, m.Burns)
	if s.Kind.wet() {
		p.Waste = s.waste()
	}
	m.Steps = append(m.Steps, p)
}

// portion is one bath of a size.
func (m *maker) portion(s *Step, size Size, start measure.Celsius, curve []Segment) (q Portion, w Warming) {
	q = Portion{Baths: size.Baths, Fibre: size.Fibre}
	w.End, w.Hottest = m.warm, 0
	if !s.Kind.wet() {
		return q, w
	}
	q.Bath = m.last.For(size.Fibre)
	if !s.Same {
		q.Water = q.Bath * measure.Litre(s.times())
	}
	for _, a := range s.Amounts {
		q.Amounts = append(q.Amounts, a.weigh(size.Fibre, q.Bath))
	}
	dry := size.Fibre
	if s.Kind == Extract {
		dry = 0
	}
	w = m.place.Warm(q.Bath, dry, m.Recipe.Fibre, start, curve)
	q.Heat = w.Heat * measure.KJ(s.times())
	if s.Vat != nil {
		v := s.Vat.Make(q.Bath, size.Fibre)
		q.Vat = &v
	}
	return q, w
}

// weigh is an amount for so much fibre and bath. Vinegar and soap are measured,
// everything else is weighed.
func (a Amount) weigh(fibre measure.Gram, bath measure.Litre) Weighed {
	w := Weighed{What: a.What}
	switch {
	case a.Share > 0:
		w.Mass = fibre * measure.Gram(a.Share)
	case a.PerLitre > 0:
		w.Mass = measure.Gram(float64(a.PerLitre) * float64(bath))
	case a.MLPerLitre > 0:
		w.Volume = measure.Litre(float64(a.MLPerLitre)*float64(bath)) / 1000
	case a.MLPerKG > 0:
		w.Volume = measure.Litre(float64(a.MLPerKG)*float64(fibre)) / 1e6
	}
	return w
}

// finish adds up the steps.
func (m *maker) finish() {
	var all []Hazard
	for i := range m.Steps {
		p := &m.Steps[i]
		m.Heat, m.Fuel, m.Work, m.Fire, m.Stand = m.Heat+p.Heat, m.Fuel+p.Fuel, m.Work+p.Work, m.Fire+p.Fire, m.Stand+p.Stand
		all = append(all, p.Hazards...)
		for _, q := range p.Portions {
			m.spent(q)
		}
		if v := p.Portions[0].Vat; v != nil { // two hands for every dip and airing
			each := v.Time * measure.Minute(m.Division.Baths)
			p.Work, m.Work = p.Work+each, m.Work+each
		}
	}
	m.Amounts = m.Weigh(0, len(m.Steps))
	m.Hazards = inOrder(all)
	d, ok := m.place.Dry(m.Mass)
	m.Drying = d
	if !ok {
		m.ps.Look("order.humidity", "dye-damp", check.Args{"humidity": m.place.Humidity})
	}
	m.After = m.Recipe.Afterbaths(mostAfterbaths)
}

// spent looks how far a vat is spent.
func (m *maker) spent(q Portion) {
	if q.Vat != nil && q.Vat.Left < DefaultWeakest {
		m.ps.Look("", "dye-vat-weak", check.Args{"left": q.Vat.Left, "weakest": DefaultWeakest, "dips": q.Vat.Dips})
	}
}

// Weigh is what the steps from one up to, not with, another take for the whole
// lot, in the order they first need it.
func (b Batch) Weigh(from, to int) (out []Weighed) {
	add := func(w Weighed, times int) {
		i := slices.IndexFunc(out, func(o Weighed) bool { return o.What == w.What })
		if i < 0 {
			i = len(out)
			out = append(out, Weighed{What: w.What})
		}
		out[i].Mass += w.Mass * measure.Gram(times)
		out[i].Volume += w.Volume * measure.Litre(times)
	}
	for _, p := range b.Steps[from:min(to, len(b.Steps))] {
		for _, q := range p.Portions {
			for _, a := range q.Amounts {
				add(a, q.Baths*p.Times)
			}
			if q.Vat == nil {
				continue
			}
			add(Weighed{What: p.Step.Vat.Dye, Mass: q.Vat.Dye}, q.Baths)
			for _, w := range q.Vat.Stock {
				add(w, q.Baths)
			}
		}
	}
	return out
}
