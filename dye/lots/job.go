package lots

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// job is the work in whole numbers and in an order of its own, so that the order
// in which it was written does not matter. Masses are in mg, strengths and shares
// in hundredths of a per cent.
type job struct {
	work   Work
	wants  []want
	groups []group
	litres []float64 // of each pot as far as it may be filled, ascending
	pots   []int     // index in work of each
	line   int64
	closed []bool // days from its end on are open
}

type want struct {
	key       string
	at        int // index in work
	group     int
	skeins    int
	skein     int64
	wanted    int64
	mass      int64 // whole skeins
	from, due int
	weight    int64
}

// group is wants that may share a lot; family counts groups of one recipe, fibre
// and kind.
type group struct {
	recipe      *recipe
	strength    int64
	fibre, kind string
	family      int
	first, end  int   // of its wants
	light       []int // its wants, the lightest for their weight first
	mass        int64
}

type recipe struct {
	index int // in work
	waits []Stage
	lead  []int // fewest days from the first stage to each
	dry   int
	left  int64
	cap   []int64 // of each pot
}

const perUnit = 10000 // parts of one in strengths and shares

func newJob(w Work) *job {
	j := &job{work: w, line: int64(Milligrams(w.Line))}
	for _, d := range w.Closed {
		for len(j.closed) <= d {
			j.closed = append(j.closed, false)
		}
		j.closed[d] = true
	}
	j.pots = make([]int, len(w.Pots))
	for i := range j.pots {
		j.pots[i] = i
	}
	slices.SortFunc(j.pots, func(a, b int) int {
		return cmp.Or(cmp.Compare(w.Pots[a].usable(), w.Pots[b].usable()), cmp.Compare(w.Pots[a].Key, w.Pots[b].Key))
	})
	for _, p := range j.pots {
		j.litres = append(j.litres, w.Pots[p].usable())
	}
	recipes := map[string]*recipe{}
	for i := range w.Recipes {
		recipes[w.Recipes[i].Key] = j.newRecipe(i)
	}
	j.addWants(recipes)
	return j
}

func (p Pot) usable() float64 { return float64(p.Litres) * float64(p.Fill) }

func (j *job) newRecipe(i int) *recipe {
	in := &j.work.Recipes[i]
	r := &recipe{index: i, dry: in.Dry, left: int64(math.Round(float64(in.Left) * perUnit))}
	for k, s := range in.Stages {
		s = s.settled()
		r.waits = append(r.waits, s)
		if k == 0 {
			r.lead = append(r.lead, 0)
		} else {
			r.lead = append(r.lead, r.lead[k-1]+s.Min)
		}
	}
	for _, l := range j.litres {
		// A thousandth of a milligram makes good what floats lose.
		r.cap = append(r.cap, int64(math.Floor(l/float64(in.Liquor)*1e6+0.001)))
	}
	return r
}

func (j *job) addWants(recipes map[string]*recipe) {
	order := make([]int, len(j.work.Wants))
	for i := range order {
		order[i] = i
	}
	in := j.work.Wants
	strength := func(i int) int64 { return int64(math.Round(float64(in[i].Strength) * perUnit)) }
	family := func(a, b int) int {
		return cmp.Or(cmp.Compare(in[a].Recipe, in[b].Recipe), cmp.Compare(in[a].Fibre, in[b].Fibre), cmp.Compare(in[a].Kind, in[b].Kind))
	}
	slices.SortFunc(order, func(a, b int) int {
		v, w := &in[a], &in[b]
		return cmp.Or(family(a, b), cmp.Compare(strength(b), strength(a)), cmp.Compare(Milligrams(w.Skein), Milligrams(v.Skein)),
			cmp.Compare(v.Due, w.Due), cmp.Compare(w.Wanted, v.Wanted), cmp.Compare(v.From, w.From), cmp.Compare(w.Weight, v.Weight), cmp.Compare(v.Key, w.Key))
	})
	for k, i := range order {
		v := &in[i]
		if k == 0 || family(order[k-1], i) != 0 || strength(order[k-1]) != strength(i) {
			g := group{recipe: recipes[v.Recipe], strength: strength(i), fibre: v.Fibre, kind: v.Kind, first: k}
			if n := len(j.groups); n > 0 {
				j.groups[n-1].end = k
				g.family = j.groups[n-1].family
				if family(order[k-1], i) != 0 {
					g.family++
				}
			}
			j.groups = append(j.groups, g)
		}
		w := want{key: v.Key, at: i, group: len(j.groups) - 1, from: v.From, due: v.Due, weight: int64(max(v.Weight, 1))}
		w.wanted, w.skein = int64(Milligrams(v.Wanted)), int64(Milligrams(v.Skein))
		w.skeins = int((w.wanted + w.skein - 1) / w.skein)
		w.mass = int64(w.skeins) * w.skein
		j.wants = append(j.wants, w)
	}
	if n := len(j.groups); n > 0 {
		j.groups[n-1].end = len(j.wants)
	}
	for i := range j.groups {
		g := &j.groups[i]
		for k := g.first; k < g.end; k++ {
			g.light = append(g.light, k)
			g.mass += j.wants[k].mass
		}
		slices.SortStableFunc(g.light, func(a, b int) int {
			v, w := &j.wants[a], &j.wants[b]
			return cmp.Compare(float64(v.mass)/float64(v.weight), float64(w.mass)/float64(w.weight))
		})
	}
}

func (j *job) open(day int) bool { return day >= len(j.closed) || !j.closed[day] }

// next is the first open day after a day.
func (j *job) next(day int) int {
	for day++; !j.open(day); day++ {
	}
	return day
}

// feeds reports whether a bath of one group can give the shade of another.
func (j *job) feeds(strong, pale int) bool {
	s, p := &j.groups[strong], &j.groups[pale]
	return s.family == p.family && p.strength*perUnit <= s.recipe.left*s.strength
}

// paleMost is the mass of the paler group that the rest of a bath can dye.
func (j *job) paleMost(strong, pale int, load int64) int64 {
	s, p := &j.groups[strong], &j.groups[pale]
	hi, lo := bits.Mul64(uint64(load), uint64(s.recipe.left*s.strength))
	most, _ := bits.Div64(hi, lo, uint64(perUnit*p.strength))
	return int64(most)
}

// deal gives the loads of n equal baths, heaviest first: skeins, heaviest first,
// each to the lightest bath. Wants are by descending skein, as in the job.
func (j *job) deal(wants []int32, n int, loads []int64) {
	loads = loads[:n]
	clear(loads)
	i, count := 0, 0
	size := j.wants[wants[0]].skein
	for ; i < len(wants) && j.wants[wants[i]].skein == size; i++ {
		count += j.wants[wants[i]].skeins
	}
	for k := range loads {
		each := count / n
		if k < count%n {
			each++
		}
		loads[k] = int64(each) * size
	}
	for ; i < len(wants); i++ {
		w := &j.wants[wants[i]]
		for range w.skeins {
			loads[lightest(loads)] += w.skein
		}
	}
	slices.SortFunc(loads, func(a, b int64) int { return cmp.Compare(b, a) })
}

func lightest(loads []int64) int {
	k := 0
	for i, l := range loads {
		if l < loads[k] {
			k = i
		}
	}
	return k
}

// fitsPots reports whether some number of equal baths of these wants fits into
// empty pots.
func (j *job) fitsPots(r *recipe, wants []int32, loads []int64) bool {
	for n := 1; n <= len(r.cap); n++ {
		if j.deal(wants, n, loads); fitsEmpty(r.cap, loads[:n]) {
			return true
		}
	}
	return false
}

// fitsEmpty reports whether loads, heaviest first, fit into pots that are all
// free.
func fitsEmpty(caps, loads []int64) bool {
	for k, l := range loads {
		if l == 0 || l > caps[len(caps)-1-k] {
			return false
		}
	}
	return true
}

// mostOver is the most that equal baths over some of the pots hold, skeins aside.
func (j *job) mostOver(r *recipe) (most int64) {
	for n := 1; n <= len(r.cap); n++ {
		most = max(most, int64(n)*r.cap[len(r.cap)-n])
	}
	return most
}

// soonest is the day on which a want can be dry if nothing else is dyed.
func (j *job) soonest(w *want) int {
	r := j.groups[w.group].recipe
	for day := w.from + r.lead[len(r.lead)-1]; ; day++ {
		if j.reaches(r, len(r.waits)-1, day, w.from) {
			return day + r.dry
		}
	}
}

// reaches reports whether a stage can be on a day, for closed days.
func (j *job) reaches(r *recipe, stage, day, from int) bool {
	if day < from || !j.open(day) {
		return false
	}
	if stage == 0 {
		return true
	}
	for d := day - r.waits[stage].Min; d >= day-r.waits[stage].Max; d-- {
		if j.reaches(r, stage-1, d, from) {
			return true
		}
	}
	return false
}
