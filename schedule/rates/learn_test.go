package rates_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"urdir/measure"
	"urdir/schedule/rates"
)

// start is a kind whose starting rate is two minutes.
var start = rates.Start{Kind: "weaving", Unit: "pick", Minutes: 2, Doubt: 0.5, Between: 0.25, Noise: 0.3, Members: 6, Tasks: 8}

func learn(t interface {
	Helper()
	Fatal(...any)
}, records []rates.Record) rates.Rates {
	t.Helper()
	r, ps := rates.Learn(records, []rates.Start{start})
	if ps.Failed() {
		t.Fatal(ps)
	}
	return r
}

func forecast(t *testing.T, r rates.Rates, member string, n measure.Count) rates.Forecast {
	t.Helper()
	f, ok := r.Forecast(member, "weaving", n)
	if !ok {
		t.Fatal("no forecast")
	}
	return f
}

// Without records there is the starting rate, with all its doubt:
// 0.5^2 + 0.25^2 = 0.3125, and 0.3^2 x 9/8 = 0.10125.
func TestLearn_nothing(t *testing.T) {
	f := forecast(t, learn(t, nil), "Ana", 30)
	near(t, "the median", float64(f.Median), 60, 1e-9)
	near(t, "the doubt", f.Known()*f.Known(), 0.3125, 1e-9)
	near(t, "what is doubted of all", f.Workshop, 0.5, 1e-9)
	near(t, "the noise", f.Task*f.Task, 0.10125, 1e-9)
}

// What a kind is not known by is no forecast, and no panic.
func TestForecast_unknownKind(t *testing.T) {
	if f, ok := learn(t, nil).Forecast("Ana", "singing", 3); ok {
		t.Errorf("a forecast: %+v", f)
	}
}

// Two records of one member by hand, 1 and e^0.6 minutes for a pick; nu = 9:
//
//	within = (8 x 0.09 + 2 x 0.3^2) / 9 = 0.1, v = 0.05; v + t2 = 0.1125
//	mean = (ln 2 / 0.25 + 0.3 / 0.1125) / (1/0.25 + 1/0.1125)
//	pull = 4/6 x 0.05/0.1125 = 0.296296
func TestLearn_byHand(t *testing.T) {
	r := learn(t, []rates.Record{
		{Member: "Ana", Kind: "weaving", Quantity: 10, Minutes: 10},
		{Member: "Ana", Kind: "weaving", Quantity: 100, Minutes: measure.Minute(100 * math.Exp(0.6))}})
	k := r.Kinds[0]
	mean := (math.Ln2/0.25 + 0.3/0.1125) / (1/0.25 + 1/0.1125)
	near(t, "the noise", k.Anyone.Task*k.Anyone.Task, 0.1*10/9, 1e-12)
	near(t, "the workshop", float64(k.Anyone.Median), math.Exp(mean), 1e-12)
	near(t, "her own", float64(k.Members[0].Own), math.Exp(0.3), 1e-12)
	near(t, "the pull", float64(k.Members[0].Pull), 0.2962962963, 1e-9)
	near(t, "what she shares", k.Members[0].Unit.Workshop, 0.2962962963/math.Sqrt(1/0.25+1/0.1125), 1e-9)
	near(t, "hers", math.Log(float64(forecast(t, r, "Ana", 1).Median)), 0.3+0.2962962963*(mean-0.3), 1e-9)
	near(t, "another's", float64(forecast(t, r, "Berta", 7).Median), 7*math.Exp(mean), 1e-9)
}

// made is records of members whose rates differ by 0.25 around the workshop's and
// tasks by 0.3; all on the scale of ln minutes a unit, as is the truth.
func made(chance *rand.Rand, workshop float64, members, each int) (records []rates.Record, truth []float64) {
	for m := range members {
		rate := workshop + 0.25*chance.NormFloat64()
		truth = append(truth, rate)
		for range each {
			n := 5 + chance.IntN(500)
			records = append(records, rates.Record{Member: fmt.Sprint("member ", m), Kind: "weaving", Quantity: measure.Count(n),
				Minutes: measure.Minute(float64(n) * math.Exp(rate+0.3*chance.NormFloat64()))})
		}
	}
	return records, truth
}

// Where workshops differ as the start doubts, what is enough with 80 % is enough
// for 80 of a hundred next tasks, with few records and with many, of members seen
// and unseen.
func TestLearn_forecastsHold(t *testing.T) {
	for _, test := range []struct{ members, each int }{{1, 1}, {3, 2}, {6, 3}, {8, 12}} {
		chance := rand.New(rand.NewPCG(5, uint64(test.members)))
		const rounds = 4000
		var seen, unseen int
		for range rounds {
			workshop := math.Log(2) + 0.5*chance.NormFloat64()
			records, truth := made(chance, workshop, test.members, test.each)
			r := learn(t, records)
			next := truth[0] + 0.3*chance.NormFloat64()
			if next <= math.Log(float64(forecast(t, r, "member 0", 1).Quantile(0.8))) {
				seen++
			}
			stranger := workshop + math.Hypot(0.25, 0.3)*chance.NormFloat64()
			if stranger <= math.Log(float64(forecast(t, r, "stranger", 1).Quantile(0.8))) {
				unseen++
			}
		}
		t.Logf("%d members, %d records each: seen %.3f, unseen %.3f", test.members, test.each, float64(seen)/rounds, float64(unseen)/rounds)
		near(t, "seen", float64(seen)/rounds, 0.8, 0.03)
		near(t, "unseen", float64(unseen)/rounds, 0.8, 0.03)
	}
}

// Members stand in the order of their first records, whoever is quick; the order
// of the rest changes no number.
func TestLearn_isNoRanking(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		records, _ := made(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0)), 1, rapid.IntRange(1, 9).Draw(t, "members"), rapid.IntRange(1, 7).Draw(t, "each"))
		other := rapid.Permutation(records).Draw(t, "order")
		var want, got []string
		for _, r := range other {
			if !slices.Contains(want, r.Member) {
				want = append(want, r.Member)
			}
		}
		a, b := learn(t, records), learn(t, other)
		for _, m := range b.Kinds[0].Members {
			got = append(got, m.Member)
			f, _ := a.Forecast(m.Member, "weaving", 100)
			g, _ := b.Forecast(m.Member, "weaving", 100)
			if math.Abs(float64(f.Median-g.Median)) > 1e-6 || math.Abs(f.Known()-g.Known()) > 1e-9 {
				t.Errorf("%s: %+v, in another order %+v", m.Member, f, g)
			}
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("order (-first records +result):\n%s", diff)
		}
	})
}

// More records make a member's rate better known, and draw it less.
func TestLearn_moreRecords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		chance := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		records, _ := made(chance, 1, 4, 3)
		few := learn(t, records).Kinds[0].Members[0]
		for range 40 {
			records = append(records, rates.Record{Member: "member 0", Kind: "weaving", Quantity: 1, Minutes: few.Own})
		}
		many := learn(t, records).Kinds[0].Members[0]
		if many.Pull >= few.Pull || many.Unit.Known() >= few.Unit.Known() || many.Records != few.Records+40 {
			t.Errorf("with 40 more %+v, before %+v", many, few)
		}
	})
}

// Every problem is found, in one go, each at its place.
func TestLearn_problems(t *testing.T) {
	bad := start
	bad.Minutes, bad.Noise, bad.Members = 0, math.NaN(), 0
	records := []rates.Record{
		{Member: "Ana", Kind: "weaving", Quantity: 0, Minutes: measure.Minute(math.NaN())},
		{Member: "Ana", Kind: "singing", Quantity: 1, Minutes: measure.Minute(math.Inf(1))},
		{Member: "Ana", Kind: "weaving", Quantity: 1, Minutes: 2},
	}
	want := []string{"starts[0].minutes rates-minutes", "starts[0] rates-spread", "starts[0] rates-counts", "starts[1].kind rates-kind-twice",
		"records[0].quantity rates-quantity", "records[0].minutes rates-minutes", "records[1].kind rates-kind", "records[1].minutes rates-minutes"}
	_, learned := rates.Learn(records, []rates.Start{bad, start})
	_, asked := rates.Ask(records, []rates.Start{bad, start})
	var got []string
	for _, p := range learned {
		got = append(got, p.Path+" "+p.Code)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("problems (-want +got):\n%s", diff)
	}
	if diff := cmp.Diff(learned, asked); diff != "" {
		t.Errorf("asked otherwise:\n%s", diff)
	}
}

// The starting rates are sound, and every named kind has one.
func TestStarts(t *testing.T) {
	if _, ps := rates.Learn(nil, rates.Starts()); len(ps) > 0 {
		t.Error(ps)
	}
	var got []string
	for _, s := range rates.Starts() {
		got = append(got, s.Kind)
	}
	want := []string{rates.Winding, rates.Warping, rates.Dressing, rates.Weaving, rates.Brocade, rates.PickUp, rates.Sewing, rates.Finishing,
		rates.Washing, rates.Scouring, rates.Mordanting, rates.Dyeing, rates.Rinsing}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("kinds (-named +started):\n%s", diff)
	}
	// 20 cm of plain cloth and 4 cm of brocade an hour at 6 picks/cm, within the
	// 20 to 50 and 2 to 10 that weavers tell of (from memory).
	near(t, "plain cm in an hour", 60/(6*float64(rates.Starts()[3].Minutes)), 20, 1e-9)
	near(t, "brocade cm in an hour", 60/(6*float64(rates.Starts()[4].Minutes)), 4, 1e-9)
}

// Two records of one member, against a start of half a minute for an end. By hand:
// her own middle is 0.7374 min, the workshop's 0.6586, and hers is drawn 0.2603 of
// the way to 0.7160; the variance is 0.0350 of the rate and 0.0889 of the task.
func ExampleLearn() {
	r, _ := rates.Learn([]rates.Record{
		{Member: "Ana", Kind: rates.Warping, Quantity: 240, Minutes: 180},
		{Member: "Ana", Kind: rates.Warping, Quantity: 400, Minutes: 290},
	}, rates.Starts())
	f, _ := r.Forecast("Ana", rates.Warping, 300)
	fmt.Printf("%.0f min in the middle, %.0f are enough four times of five\n", f.Median, f.Quantile(0.8))
	// Output: 215 min in the middle, 289 are enough four times of five
}
