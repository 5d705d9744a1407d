package promise

import (
	"math"
	"runtime"
	"slices"
	"sync"

	"urdir/check"
	"urdir/schedule"
	"urdir/schedule/rates"
)

// UsualRuns is how often a plan is run through unless said otherwise: the
// probability that is then promised is known to 2 in 100, as sqrt(0.8 x 0.2/500),
// which is less than what is unknown of the rates. Most is 100 times that.
const (
	UsualRuns = 500
	mostRuns  = 100 * UsualRuns
)

// Input is a plan and how long its steps may take.
type Input struct {
	Problem schedule.Problem // right, and the plan one of it
	Turns   []schedule.Turn  // of the plan, for each step of the problem
	Takes   func(step *schedule.Step, person string) rates.Forecast
	GiveWay []string // orders that take what the others leave: those that are asked about
	Runs    int      // zero: UsualRuns
	Seed    uint64
}

// Outcome is when orders were ready in the runs.
type Outcome struct {
	Orders []Order // as in the problem
	Broken float64 // waits longer than they may be, and steps without hours, in a run on average
}

// Order is when one order was ready, in each run.
type Order struct {
	Key     string
	ready   []schedule.Minutes // rising
	problem *schedule.Problem
}

// Simulate runs the plan through. The same input gives the same outcome on any
// number of processors; Takes is asked once for each step that is no class.
func Simulate(in Input) (Outcome, check.Problems) {
	var ps check.Problems
	if in.Runs == 0 {
		in.Runs = UsualRuns
	}
	if in.Runs < 1 || in.Runs > mostRuns {
		ps.Wrong("runs", "promise-runs", check.Args{"most": mostRuns})
		return Outcome{}, ps
	}
	replays := make([]*schedule.Replay, min(in.Runs, runtime.GOMAXPROCS(0)))
	for i := range replays {
		if replays[i], ps = schedule.NewReplay(&in.Problem, in.Turns, in.GiveWay); ps.Failed() {
			return Outcome{}, ps
		}
	}
	d := newDraw(&in)
	ready := make([][]schedule.Minutes, in.Runs)
	broken := make([]int, in.Runs)
	var all sync.WaitGroup
	for w, r := range replays {
		all.Go(func() {
			work := make([]schedule.Minutes, len(in.Problem.Steps))
			shared := make([]float64, len(d.shared))
			for run := w; run < in.Runs; run += len(replays) {
				ready[run] = make([]schedule.Minutes, len(in.Problem.Orders))
				d.run(run, shared, work)
				broken[run] = r.Run(work, ready[run])
			}
		})
	}
	all.Wait()
	return gather(&in, ready, broken), ps
}

func gather(in *Input, ready [][]schedule.Minutes, broken []int) Outcome {
	out := Outcome{Orders: make([]Order, len(in.Problem.Orders))}
	for o := range out.Orders {
		own := make([]schedule.Minutes, len(ready))
		for run := range ready {
			own[run] = ready[run][o]
		}
		slices.Sort(own)
		out.Orders[o] = Order{in.Problem.Orders[o].Key, own, &in.Problem}
	}
	for _, b := range broken {
		out.Broken += float64(b) / float64(len(broken))
	}
	return out
}

// draw is what the minutes of steps are drawn from.
type draw struct {
	seed   uint64
	steps  []drawn
	shared []uint64 // keys of kinds, and of members and kinds
}

type drawn struct {
	key          uint64
	kind, member int // in shared
	forecast     rates.Forecast
	sure         bool // a class, or nothing to do
}

func newDraw(in *Input) *draw {
	d := &draw{seed: in.Seed, steps: make([]drawn, len(in.Problem.Steps))}
	index := map[uint64]int{}
	share := func(key uint64) int {
		at, known := index[key]
		if !known {
			at = len(d.shared)
			index[key] = at
			d.shared = append(d.shared, key)
		}
		return at
	}
	for i := range d.steps {
		s, person := &in.Problem.Steps[i], in.Turns[i].Person
		if d.steps[i].sure = !s.At.IsZero(); d.steps[i].sure {
			continue
		}
		d.steps[i] = drawn{key: keyOf("step", s.Key), kind: share(keyOf("kind", s.Kind)), member: share(keyOf("member", person, s.Kind)),
			forecast: in.Takes(s, person)}
	}
	return d
}

// run draws the work of a run. Part of a minute is a minute.
func (d *draw) run(run int, shared []float64, work []schedule.Minutes) {
	for k, key := range d.shared {
		shared[k] = luck(d.seed, key, run)
	}
	for i := range d.steps {
		s := &d.steps[i]
		if s.sure || s.forecast.Median == 0 {
			continue
		}
		m := float64(s.forecast.At(shared[s.kind], shared[s.member], luck(d.seed, s.key, run)))
		work[i] = schedule.Minutes(math.Ceil(min(m, mostMinutes)))
	}
}

// mostMinutes is longer than any calendar is looked at.
const mostMinutes = 1 << 28
