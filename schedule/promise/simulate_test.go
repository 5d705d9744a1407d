package promise_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/check"
	"urdir/measure"
	"urdir/schedule"
	"urdir/schedule/promise"
	"urdir/schedule/rates"
)

// chain is one order of one person's steps, one after the other, day and night.
func chain(forecasts ...rates.Forecast) promise.Input {
	in := promise.Input{Problem: schedule.Problem{Begin: begin, Orders: []schedule.Order{{Key: "scarf"}}, People: []schedule.Person{{Key: "Ana"}}}}
	by := map[string]rates.Forecast{}
	for i, f := range forecasts {
		s := schedule.Step{Key: fmt.Sprint("step ", i), Kind: "weaving", Orders: []string{"scarf"}, Who: []schedule.Hand{{Person: "Ana"}}}
		if i > 0 {
			s.After = []schedule.After{{Step: fmt.Sprint("step ", i-1)}}
		}
		by[s.Key] = f
		in.Problem.Steps = append(in.Problem.Steps, s)
		in.Turns = append(in.Turns, schedule.Turn{Person: "Ana", Start: schedule.Minutes(i)})
	}
	in.Takes = func(s *schedule.Step, _ string) rates.Forecast { return by[s.Key] }
	return in
}

func simulate(t interface {
	Helper()
	Fatal(...any)
}, in promise.Input) promise.Outcome {
	t.Helper()
	out, ps := promise.Simulate(in)
	if ps.Failed() {
		t.Fatal(ps)
	}
	return out
}

// minutes is when an order is ready with a probability, in minutes.
func minutes(t interface {
	Helper()
	Fatal(...any)
}, o *promise.Order, p float64) float64 {
	t.Helper()
	d, ps := o.By(p)
	if ps.Failed() {
		t.Fatal(ps)
	}
	return d.When.Sub(begin).Minutes()
}

// moments is the mean and the standard deviation of when an order is ready, from
// its quantiles.
func moments(t *testing.T, o *promise.Order, runs int) (mean, sd float64) {
	t.Helper()
	squares := 0.0
	for k := range runs {
		m := minutes(t, o, (float64(k)+0.5)/float64(runs))
		mean, squares = mean+m/float64(runs), squares+m*m/float64(runs)
	}
	return mean, math.Sqrt(squares - mean*mean)
}

// A single step is ready by its log-normal quantiles: the closed form.
func TestSimulate_oneStep(t *testing.T) {
	f := rates.Forecast{Median: 3000, Workshop: 0.1, Member: 0.2, Task: 0.3}
	in := chain(f)
	in.Runs = 20_000
	out := simulate(t, in)
	for _, p := range []float64{0.05, 0.5, 0.8, 0.95} {
		d, ps := out.Orders[0].By(p)
		if ps.Failed() {
			t.Fatal(ps)
		}
		near(t, fmt.Sprint("ready with ", p), d.When.Sub(begin).Minutes(), float64(f.Quantile(p)), 4*d.StandardError.Minutes()+1)
	}
}

// What is not known of the rate does not even out over ten steps, what differs
// from task to task does. For log-normal minutes with mean m each, closed:
//
//	variance = m^2 (10 e^(k+s) + 90 e^k - 100),  k = 0.2^2 + 0.1^2, s = 0.3^2
func TestSimulate_ratesAreShared(t *testing.T) {
	f := rates.Forecast{Median: 1000, Workshop: 0.1, Member: 0.2, Task: 0.3}
	in := chain(slices.Repeat([]rates.Forecast{f}, 10)...)
	in.Runs = 20_000
	mean, sd := moments(t, &simulate(t, in).Orders[0], in.Runs)
	m, k, s := float64(f.Mean()), 0.05, 0.09
	want := m * math.Sqrt(10*math.Exp(k+s)+90*math.Exp(k)-100)
	near(t, "the mean", mean/(10*m), 1, 0.01)
	near(t, "the deviation", sd/want, 1, 0.03)
}

// The critical path A-B-C-E-F-J-L-N of the example "Reliable Construction" in
// Hillier and Lieberman (Introduction to Operations Research, chapter on project
// management with PERT): optimistic, likely and pessimistic weeks, expected 44
// with variance 9, and by the normal distribution 0.8413 within 47. Here each is
// log-normal with its mean (a+4m+b)/6 and deviation (b-a)/6.
func TestSimulate_reliableConstruction(t *testing.T) {
	const week = 10_000 // minutes, to round little
	var forecasts []rates.Forecast
	for _, w := range [][3]float64{{1, 2, 3}, {2, 3.5, 8}, {6, 9, 18}, {1, 4.5, 5}, {4, 4, 10}, {3, 9, 9}, {1, 5.5, 7}, {5, 5.5, 9}} {
		mean, sd := (w[0]+4*w[1]+w[2])/6, (w[2]-w[0])/6
		s2 := math.Log(1 + sd*sd/(mean*mean))
		forecasts = append(forecasts, rates.Forecast{Median: measure.Minute(week * mean / math.Exp(s2/2)), Task: math.Sqrt(s2)})
	}
	in := chain(forecasts...)
	in.Runs = 20_000
	out := simulate(t, in)
	mean, sd := moments(t, &out.Orders[0], in.Runs)
	near(t, "weeks", mean/week, 44, 0.1)
	near(t, "their deviation", sd/week, 3, 0.1)
	day := begin.Add(47*week*time.Minute).AddDate(0, 0, -1) // its end is within a day of it
	y, m, d := day.Date()
	near(t, "within 47 weeks", out.Orders[0].Chance(schedule.Date{Year: y, Month: m, Day: d}), 0.8413, 0.02)
}

// Hours, by hand: 600 minutes from Saturday at 8 are 480 on Saturday and 120 on
// Monday. The wall clock is that of the workshop, and so is the day.
func TestOrder_By_day(t *testing.T) {
	in := chain(rates.Forecast{Median: 600})
	in.Problem.Begin = time.Date(2026, 3, 7, 8, 0, 0, 0, time.FixedZone("", -5*3600))
	in.Problem.In = in.Problem.Begin.Location()
	in.Problem.Calendars = []schedule.Calendar{week()}
	in.Problem.People[0].Calendars = []string{"week"}
	in.Runs = 10
	o := &simulate(t, in).Orders[0]
	d, ps := o.By(0.8)
	if ps.Failed() {
		t.Fatal(ps)
	}
	if want := time.Date(2026, 3, 9, 10, 0, 0, 0, in.Problem.In); !d.When.Equal(want) || d.Day != (schedule.Date{Year: 2026, Month: 3, Day: 9}) {
		t.Errorf("ready at %v, on %v; want %v", d.When, d.Day, want)
	}
	near(t, "reached", float64(d.Reached), 10.0/11, 1e-12) // ten runs cannot tell more
	near(t, "by the day before", o.Chance(schedule.Date{Year: 2026, Month: 3, Day: 8}), 0, 0)
}

// Given orders are ready as if an order that gives way were not there, in every
// run; and what a step takes does not depend on what else there is.
func TestSimulate_givesWay(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := newSeason(rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 3)), rapid.IntRange(2, 6).Draw(rt, "orders"))
		with := s.input(t)
		with.Runs, with.Seed = 20, rapid.Uint64().Draw(rt, "luck")
		without := with
		n := len(s.orders) - 1
		without.Problem.Orders = with.Problem.Orders[:n]
		without.Problem.Steps, without.Turns, without.GiveWay = with.Problem.Steps[:4*n], with.Turns[:4*n], nil
		a, b := simulate(rt, with), simulate(rt, without)
		for o := range n {
			for k := range 20 {
				if p := (float64(k) + 0.5) / 20; minutes(rt, &a.Orders[o], p) != minutes(rt, &b.Orders[o], p) {
					rt.Errorf("order %d: %v with the new one, %v without, at %v", o, minutes(rt, &a.Orders[o], p), minutes(rt, &b.Orders[o], p), p)
				}
			}
		}
	})
}

// More is promised later, and the chance of the day is what was asked for at
// least.
func TestOrder_By_rises(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := newSeason(rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 4)), 3)
		in := s.input(t)
		in.Runs = rapid.IntRange(1, 60).Draw(rt, "runs")
		o := &simulate(rt, in).Orders[1]
		p := rapid.Float64Range(0.01, 0.97).Draw(rt, "p")
		low, ps := o.By(p)
		high, more := o.By(p + 0.02)
		if ps.Failed() || more.Failed() || low.When.After(high.When) {
			rt.Errorf("%v at %v, later %v; %v %v", low, p, high, ps, more)
		}
		if most := float64(in.Runs) / float64(in.Runs+1); float64(low.Reached) < min(p, most)-1e-9 {
			rt.Errorf("%v reached, %v asked for", low.Reached, p)
		}
	})
}

// Day by day the runs are told once each, no day between is left out, and together
// they are the chance of the day.
func TestOrder_Days(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := newSeason(rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 6)), 3)
		in := s.input(t)
		in.Runs = rapid.IntRange(1, 60).Draw(rt, "runs")
		o := &simulate(rt, in).Orders[1]
		days, never := o.Days()
		seen, before := 0, time.Time{}
		for i, d := range days {
			at := time.Date(d.Day.Year, d.Day.Month, d.Day.Day, 0, 0, 0, 0, time.UTC)
			if i > 0 && !at.Equal(before.AddDate(0, 0, 1)) {
				rt.Errorf("%v comes after %v", at, before)
			}
			before = at
			seen += d.Runs
			if want := min(float64(seen)/float64(in.Runs), float64(in.Runs)/float64(in.Runs+1)); math.Abs(o.Chance(d.Day)-want) > 1e-12 {
				rt.Errorf("by %v: %v, counted %v", d.Day, o.Chance(d.Day), want)
			}
		}
		if seen+never != in.Runs || len(days) > 0 && (days[0].Runs == 0 || days[len(days)-1].Runs == 0) {
			rt.Errorf("%d runs and %d never, of %d: %v", seen, never, in.Runs, days)
		}
	})
}

// The outcome depends on the seed and not on the number of processors.
func TestSimulate_isTheSame(t *testing.T) {
	s := newSeason(rand.New(rand.NewPCG(5, 5)), 5)
	in := s.input(t)
	in.Runs = 101
	dates := func(seed uint64, processors int) (out []float64) {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(processors))
		in.Seed = seed
		o := simulate(t, in)
		for i := range o.Orders {
			out = append(out, minutes(t, &o.Orders[i], 0.8))
		}
		return out
	}
	if diff := cmp.Diff(dates(1, 1), dates(1, 3)); diff != "" {
		t.Errorf("three processors (-one +three):\n%s", diff)
	}
	if cmp.Equal(dates(1, 1), dates(2, 1)) {
		t.Error("another seed changes nothing")
	}
}

// The standard error is how far dates of other seeds lie apart.
func TestOrder_By_standardError(t *testing.T) {
	in := chain(rates.Forecast{Median: 20_000, Task: 0.4})
	in.Runs = 400
	var sum, squares, said float64
	const seeds = 300
	for k := range seeds {
		in.Seed = uint64(k)
		d, ps := simulate(t, in).Orders[0].By(0.8)
		if ps.Failed() {
			t.Fatal(ps)
		}
		m := d.When.Sub(begin).Minutes()
		sum, squares, said = sum+m/seeds, squares+m*m/seeds, said+d.StandardError.Minutes()/seeds
	}
	near(t, "the error said over the error seen", said/math.Sqrt(squares-sum*sum), 1, 0.15)
	near(t, "the date", sum, 20_000*math.Exp(0.4*rates.Normal(0.8)), 200)
}

// What cannot be promised is said, with where.
func TestSimulate_problems(t *testing.T) {
	closed := chain(rates.Forecast{Median: 60})
	closed.Problem.Calendars = []schedule.Calendar{{Key: "none"}}
	closed.Problem.People[0].Calendars = []string{"none"}
	if _, ps := simulate(t, closed).Orders[0].By(0.8); len(ps) != 1 || ps[0].Code != "promise-never" || ps[0].Path != "orders.scarf" {
		t.Errorf("without hours: %v", ps)
	}
	closed.Turns = make([]schedule.Turn, 1) // the plan found no hours either
	closed.Turns[0].Start = schedule.Never
	if _, ps := simulate(t, closed).Orders[0].By(0.8); len(ps) != 1 || ps[0].Code != "promise-never" {
		t.Errorf("without a turn: %v", ps)
	}
	open := chain(rates.Forecast{Median: 60})
	for _, p := range []float64{0, 1, math.NaN(), 80} {
		if _, ps := simulate(t, open).Orders[0].By(p); len(ps) != 1 || ps[0].Code != "promise-probability" {
			t.Errorf("with %v: %v", p, ps)
		}
	}
	open.Runs = -1
	_, few := promise.Simulate(open)
	open.Runs = 0
	open.Turns[0].Person = "Berta"
	_, who := promise.Simulate(open)
	want := check.Problems{{Severity: check.Error, Path: "runs", Code: "promise-runs", Args: check.Args{"most": 50_000}},
		{Severity: check.Error, Path: "steps[0]", Code: "schedule-turn", Args: check.Args{"step": "step 0", "person": "Berta"}}}
	if diff := cmp.Diff(want, append(few, who...)); diff != "" {
		t.Errorf("problems (-want +got):\n%s", diff)
	}
}

// A plan of the search can be run through. With the work that was planned it breaks
// no wait, and orders are ready about when they were to be: 20 plans of 8 orders
// within a day, on average.
func TestSimulate_aPlan(t *testing.T) {
	const plans = 20
	off := 0.0
	for seed := range uint64(plans) {
		s := newSeason(rand.New(rand.NewPCG(seed, 6)), 8)
		in := s.input(t)
		in.GiveWay, in.Runs = nil, 1
		in.Takes = func(step *schedule.Step, _ string) rates.Forecast {
			return rates.Forecast{Median: measure.Minute(step.Work)}
		}
		search, ps := schedule.New(in.Problem, seed)
		if ps.Failed() {
			t.Fatal(ps)
		}
		search.Run(200)
		plan := search.Plan()
		in.Turns = plan.Turns(&in.Problem)
		out := simulate(t, in)
		if out.Broken != 0 {
			t.Errorf("%v broken", out.Broken)
		}
		for o := range out.Orders {
			off += (minutes(t, &out.Orders[o], 0.5) - float64(plan.Orders[o].End)) / 1440 / 8 / plans
		}
	}
	near(t, "days after the plan", off, 0, 1)
	t.Logf("%.2f days after the plan", off)
}

// The order of a scarf that is woven tomorrow, and how sure that is.
func ExampleSimulate() {
	in := promise.Input{
		Problem: schedule.Problem{
			Begin:  time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC),
			People: []schedule.Person{{Key: "Ana"}},
			Orders: []schedule.Order{{Key: "scarf"}},
			Steps:  []schedule.Step{{Key: "weave", Kind: rates.Weaving, Orders: []string{"scarf"}, Who: []schedule.Hand{{Person: "Ana"}}}},
		},
		Turns: []schedule.Turn{{Person: "Ana"}},
		Takes: func(*schedule.Step, string) rates.Forecast {
			return rates.Forecast{Median: 20 * measure.Hour, Member: 0.2, Task: 0.3}
		},
	}
	out, _ := promise.Simulate(in)
	d, _ := out.Orders[0].By(0.8)
	fmt.Printf("%s: by %d-%02d-%02d\n", d.Order, d.Day.Year, d.Day.Month, d.Day.Day)
	// Output: scarf: by 2026-03-03
}
