package schedule

import (
	"math"
	"slices"
)

// sketch is a plan in rough lines: when the lots have their places, and who has which
// stints one after the other. What else there is to people and places is left out, so
// that a change is reckoned in about a hundredth of the time that it takes on the
// board; what has become of it is then drawn there in full. It is made better by
// simulated annealing (Kirkpatrick, Gelatt and Vecchi, Science 1983).
type sketch struct {
	net     *net
	walk    *walk
	lots    []lot
	stints  []stint
	queues  [][]int32 // of stints, by person
	orders  []rough
	lotOf   []int32           // by unit, or -1
	through map[int32]awaited // of steps between lots and stints
	line    []int32           // lots that use the same places, by when
	fixed   [][]span
	fair    balance
	done    int // changes tried
	most    int // to be tried

	spoilt  []int32 // persons whose queue is to be reckoned anew
	touched []int32 // orders of which the cost is
	ends    []int32 // of the steps after, of the order that is reckoned
	before  memory
}

// lot is a unit that uses places. Lots that use the same may have each other's times.
type lot struct {
	unit   int32
	group  int32 // of places
	mark   int   // its last step in them
	at     int32 // when that begins
	place  int   // in line
	least  int32 // and may at the soonest, whatever other lots do
	waits  []wait
	ends   []int32 // of its steps from the mark on
	keeps  bool    // waits between these
	stints []int32 // that wait for it
	next   []int32 // lots that wait for it
}

// wait is for a step of a lot to have ended so long before.
type wait struct {
	lot  int32
	step int
	lag  int32
}

// stint is steps that stay with one person, done one after the other.
type stint struct {
	parts   []part
	plain   bool // as good as one long step
	option  int32
	person  int32
	options []option // of the first step
	orders  []int32
	free    int32 // when the person had done what she has before it
	spoilt  bool  // a lot that it waits for has another time
	start   int32
	end     int32
	stand   int32 // from when her hands are done to the end
}

type part struct {
	task int32
	lag  int32 // after the end of the part before it
	awaited
}

// rough is what is known of an order: its lots, its stints, and the steps after.
type rough struct {
	lots, stints []int32
	after        []after
	cost         float64
	touched      bool
}

// after is a step that comes after stints, which any who may will do at once.
type after struct {
	task  int32
	least int32
	waits []afterWait
}

// afterWait is for a stint, or if that is -1, for a step before it in after.
type afterWait struct {
	stint, after int32
	lag          int32
}

// balance is how fairly hours are shared, as Fairness has it.
type balance struct {
	given               []float64
	sum, squares, wants float64
}

// memory is what a change overwrites.
type memory struct {
	stints []oldStint
	costs  []oldCost
}

type oldStint struct {
	stint            int32
	free, start, end int32
}

type oldCost struct {
	order int32
	cost  float64
}

// newSketch outlines the plan that is on the walk.
func newSketch(w *walk, most int) *sketch {
	n := w.net
	k := &sketch{net: n, walk: w, most: most, queues: make([][]int32, len(n.people)), orders: make([]rough, len(n.orders)), lotOf: make([]int32, len(n.units)), through: map[int32]awaited{}}
	k.findLots()
	k.findStints()
	k.findFixed()
	k.findAfters()
	k.weigh()
	for p := range k.queues {
		k.spoil(int32(p))
	}
	for o := range k.orders {
		k.touch(int32(o))
	}
	k.settle()
	return k
}

// weigh begins the balance.
func (k *sketch) weigh() {
	b := &k.fair
	b.given = make([]float64, len(k.net.people))
	for p, q := range k.net.people {
		if q.wants > 0 {
			b.wants += float64(q.wants)
			b.give(k.net, int32(p), float64(k.walk.given[p]))
		}
	}
}

// give gives a person more hours, or less.
func (b *balance) give(n *net, p int32, minutes float64) {
	wants := float64(n.people[p].wants)
	if wants == 0 {
		return
	}
	g := b.given[p]
	b.given[p] = g + minutes
	b.sum += minutes
	b.squares += float64((g+minutes)*(g+minutes))/wants - float64(g*g)/wants
}

// cost is in the unit of worth.
func (b *balance) cost() float64 {
	if b.sum <= 0 || b.squares <= 0 {
		return 0
	}
	return permilleUnfair * 1000 * (1 - float64(b.sum*b.sum)/float64(b.wants*b.squares))
}

// lateOrder is the first late order from one on, or the one.
func (k *sketch) lateOrder(from int) int {
	n := len(k.orders)
	for x := range n {
		if o := (from + x) % n; k.isLate(&k.orders[o]) {
			return o
		}
	}
	return from
}

// isLate reports whether an order is late, be it by a minute.
func (k *sketch) isLate(o *rough) bool { return o.cost >= (1-byMinute)*dayLate }

// costOf is what an order costs: a day late is dear, a day of lead is cheap. Late days
// are counted for the greater part as they are in a score, begun days, and for the rest
// by the minute, so that a change for the better is one before a whole day is won.
func (k *sketch) costOf(o int32) float64 {
	d, end := &k.net.orders[o], k.endOf(o)
	sum := float64(end-d.from) / day
	if end > d.due {
		late := float64(end-d.due) / day
		sum += float64(dayLate * float64(d.weight) * (float64(byMinute*late) + float64((1-byMinute)*math.Ceil(late))))
	}
	return sum
}

// byMinute is measured; our choice.
const byMinute = 0.25

// spoil has the queue of a person reckoned anew.
func (k *sketch) spoil(p int32) {
	if !slices.Contains(k.spoilt, p) {
		k.spoilt = append(k.spoilt, p)
	}
}

func (k *sketch) touch(o int32) {
	if !k.orders[o].touched {
		k.orders[o].touched = true
		k.touched = append(k.touched, o)
	}
}
