package schedule

import (
	"math"
	"slices"
)

// tear makes a plan of many orders better. It draws one from a sketch, where much is
// changed at little cost, and then takes some orders or their ends out and puts them
// back in another order or with other people (large neighbourhood search, Shaw 1998),
// keeping the outcome by the rule of simulated annealing; and so again.
type tear struct {
	*Search
	units   [][]int32 // of each order that are not held
	rank    ranking
	orders  []int32 // being torn
	hurried int32   // of them the one that is put back first, or -1
	out     []int32 // units taken out
	isOut   []bool
	spots   []spot // as they were
	places  []int32
	changed []int32 // orders of what was taken out
	touched []bool
	now     float64
	cycle   int     // steps of each half of it
	cooled  int     // of the second, so far
	held    shot    // only what is fixed
	sketch  *sketch // in the first half
}

// The search goes in cycles, each twice as long up to the longest and begun from
// the best plan: if anything is late, a sketch of it is made better and drawn; then what
// is best is torn, cooling from hot to cold. Heat is in the unit of worth, a thousand a
// day late. Both halves take as many steps; so many changes of a sketch are one, which
// takes about as long as a tear. Measured; our choice.
const (
	hot, cold             = 500.0, 200.0
	firstCycle, mostCycle = 50, 5000
	changes               = 250
)

// mostLooks is how many people are looked at for one step, beginning anywhere,
// where more may do it; mostOut is how many steps are taken out at once; in every
// second tear a person is overlooked, one in so many. Our choice.
const (
	mostLooks  = 200
	mostOut    = 120
	overlooked = 30
)

func newTear(s *Search) *tear {
	n := s.net
	t := &tear{Search: s, units: make([][]int32, len(n.orders)), rank: newRanking(len(n.units)), isOut: make([]bool, len(n.units)),
		touched: make([]bool, len(n.orders))}
	for o := range n.orders {
		for _, i := range n.orders[o].tasks {
			if u := n.tasks[i].unit; u >= 0 && !slices.Contains(t.units[o], u) {
				t.units[o] = append(t.units[o], u)
			}
		}
	}
	t.first()
	return t
}

// first makes the first answers, each by another rule.
func (t *tear) first() {
	t.held.from(t.walk)
	all := t.net.all()
	for k := range 3 {
		if k > 0 {
			t.walk.load(&t.held)
		}
		for u := range t.net.units {
			i := &t.net.tasks[t.net.units[u].tasks[0]]
			t.rank.key[u] = float64(i.latest) - float64(i.usual)
			if k == 2 {
				t.rank.key[u] = float64(t.due(i))
			}
		}
		t.serial(t.walk, all, &t.rank, &rule{fair: k != 1, chance: &t.chance, look: mostLooks})
		t.walk.refreshAll()
		t.keep()
	}
}

func (t *tear) due(i *task) int32 {
	due := never
	for _, o := range i.orders {
		due = min(due, t.net.orders[o].due)
	}
	return due
}

// step goes on with a sketch or tears once; at the end of a cycle it begins the next.
func (t *tear) step() {
	switch {
	case t.sketch != nil:
		t.draft()
	case t.cooled == t.cycle:
		t.begin()
	default:
		t.mend()
	}
}

// begin begins a cycle.
func (t *tear) begin() {
	t.cycle = min(max(firstCycle, 2*t.cycle), mostCycle)
	t.goOn()
	if t.best.score.Late == 0 {
		return
	}
	if k := newSketch(t.walk, t.cycle*changes); len(k.stints) > 0 {
		t.sketch = k
	}
}

// goOn goes on from the best plan.
func (t *tear) goOn() {
	t.cooled = 0
	t.walk.load(&t.best)
	t.now = t.walk.worth()
}

// draft makes the sketch better, and draws it when that is done.
func (t *tear) draft() {
	t.count++
	if !t.sketch.change(&t.chance, changes) {
		return
	}
	for _, sooner := range []bool{false, true} {
		t.walk.load(&t.held)
		t.sketch.draw(t.Search, &t.rank, sooner)
		t.keep()
	}
	t.sketch = nil
	t.goOn()
}

// mend tears and mends.
func (t *tear) mend() {
	heat := hot * math.Pow(cold/hot, float64(t.cooled)/float64(t.cycle))
	t.cooled++
	t.pick()
	t.takeOut()
	r := rule{fair: t.chance.Below(3) > 0, chance: &t.chance, misses: overlooked * t.chance.Below(2), look: mostLooks}
	t.setKeys()
	t.serial(t.walk, t.out, &t.rank, &r)
	t.walk.refresh(t.changed)
	worth := t.walk.worth()
	if worse := worth - t.now; worse <= 0 || t.chance.Share() < math.Exp(-worse/heat) {
		t.now = worth
		t.keep()
		return
	}
	t.undo()
}

// undo puts back what was taken out.
func (t *tear) undo() {
	for _, u := range t.out {
		for _, i := range t.net.units[u].tasks {
			t.walk.take(i)
		}
	}
	at, place := 0, 0
	for _, u := range t.out {
		for _, i := range t.net.units[u].tasks {
			k := len(t.net.tasks[i].needs)
			copy(t.walk.try, t.places[place:place+k])
			t.walk.put(i, t.spots[at])
			at, place = at+1, place+k
		}
	}
	t.walk.refresh(t.changed)
}

// takeOut takes the units of out off the board and remembers where they were.
func (t *tear) takeOut() {
	t.spots, t.places, t.changed = t.spots[:0], t.places[:0], t.changed[:0]
	for _, u := range t.out {
		t.isOut[u] = false
		for _, i := range t.net.units[u].tasks {
			k := &t.net.tasks[i]
			t.spots = append(t.spots, t.walk.take(i))
			t.places = append(t.places, t.walk.try[:len(k.needs)]...)
			for _, o := range k.orders {
				if !t.touched[o] {
					t.touched[o] = true
					t.changed = append(t.changed, o)
				}
			}
		}
	}
	for _, o := range t.changed {
		t.touched[o] = false
	}
}

// setKeys is the order in which the torn units are put back: mostly nearly by when
// they must be done, else nearly as they were or order by order; an order that is
// hurried before all others, as a rule.
func (t *tear) setKeys() {
	kind := t.chance.Below(6)
	hurry := t.hurried >= 0 && t.chance.Below(4) > 0
	noise := float64(day) * float64(t.chance.Below(15))
	whole := map[int32]float64{}
	at := 0
	for _, u := range t.out {
		first := t.net.units[u].tasks[0]
		k := &t.net.tasks[first]
		key := t.chance.Share() * noise
		switch {
		case kind == 0:
			key += float64(t.spots[at].start)
		case kind < 5:
			key += float64(k.latest) - float64(k.usual)
		case len(k.orders) > 0:
			o := k.orders[0]
			if whole[o] == 0 {
				whole[o] = 1 + t.chance.Share()
			}
			key = whole[o]
		}
		if hurry && slices.Contains(k.orders, t.hurried) {
			key -= float64(never)
		}
		t.rank.key[u] = key
		at += len(t.net.units[u].tasks)
	}
}
