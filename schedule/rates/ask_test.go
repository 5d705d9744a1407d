package rates_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"

	"urdir/measure"
	"urdir/schedule/rates"
)

// An example of Iglewicz and Hoaglin (How to Detect and Handle Outliers, 1993;
// from memory): two values far from eight, which by plain z-scores hide each
// other. By hand: median 2.45, distances' median 0.15, so 8.2 has the score
// 0.6745 x 5.75 / 0.15 = 25.86.
func TestRobust_iglewiczHoaglin(t *testing.T) {
	x := []float64{2.1, 2.6, 2.4, 2.5, 2.3, 2.1, 2.3, 2.6, 8.2, 8.3}
	middle, sd := rates.Robust(x)
	near(t, "the middle", middle, 2.45-0.05, 0.1)
	mean, plain := stat.MeanStdDev(x, nil)
	for _, v := range x {
		if score := math.Abs(v-middle) / sd; (score > 3.5) != (v > 8) {
			t.Errorf("%v has the score %v", v, score)
		}
		if math.Abs(v-mean)/plain > 3 {
			t.Errorf("the plain z-score finds %v: no example of hiding", v)
		}
	}
}

// For a normal sample the robust deviation is the deviation: 0.6745 is z(0.75).
func TestRobust_normal(t *testing.T) {
	var x []float64
	for i := range 9999 {
		x = append(x, 5+2*distuv.UnitNormal.Quantile(float64(i+1)/10000))
	}
	middle, sd := rates.Robust(x)
	near(t, "the middle", middle, 5, 1e-9)
	near(t, "the deviation", sd, 2, 1e-3)
}

// told is picks woven at about 3 minutes each.
func told(member string, minutesOf100 ...float64) (records []rates.Record) {
	for _, m := range minutesOf100 {
		records = append(records, rates.Record{Member: member, Kind: "weaving", Quantity: 100, Minutes: measure.Minute(m)})
	}
	return records
}

func ask(t *testing.T, records []rates.Record) []rates.Question {
	t.Helper()
	qs, ps := rates.Ask(records, []rates.Start{start})
	if ps.Failed() {
		t.Fatal(ps)
	}
	return qs
}

func TestAsk(t *testing.T) {
	ana := told("Ana", 300, 280, 310, 330, 290, 305, 300, 295)
	for _, test := range []struct {
		name    string
		records []rates.Record
		want    map[int]string
	}{
		{"nothing odd", ana, nil},
		{"hours for minutes", append(told("Ana", 5), ana...), map[int]string{0: rates.WithOwn}},
		{"a digit too many, twice", append(told("Ana", 3000, 3100), ana...), map[int]string{0: rates.WithOwn, 1: rates.WithOwn}},
		{"a new member, slow", append(told("Berta", 600), ana...), nil},
		{"a new member, ten times", append(told("Berta", 3000), ana...), map[int]string{0: rates.WithWorkshop}},
		{"the first of all, slow", told("Ana", 600), nil},
		{"the first of all, hours for minutes", told("Ana", 3), map[int]string{0: rates.WithStart}},
	} {
		t.Run(test.name, func(t *testing.T) {
			got := map[int]string{}
			for _, q := range ask(t, test.records) {
				got[q.Record] = q.With
				r := test.records[q.Record]
				if r.Minutes >= q.Low && r.Minutes <= q.High || q.Expected <= q.Low || q.Expected >= q.High {
					t.Errorf("%v is asked about: %+v", r, q)
				}
			}
			if test.want == nil {
				test.want = map[int]string{}
			}
			if diff := cmp.Diff(test.want, got); diff != "" {
				t.Errorf("asked (-want +got):\n%s", diff)
			}
		})
	}
}

// The odds by hand, for a first record: against two minutes with the deviation
// sqrt(0.09 + 0.0625 + 0.25) = 0.63443, e^2.5 times is 3.9405 of them.
func TestAsk_odds(t *testing.T) {
	qs := ask(t, told("Ana", 200*math.Exp(2.5)))
	if len(qs) != 1 {
		t.Fatalf("%d questions", len(qs))
	}
	near(t, "the odds", qs[0].Odds, 1/(2*distuv.UnitNormal.Survival(2.5/math.Sqrt(0.4025))), 1e-3)
	near(t, "the expected", float64(qs[0].Expected), 200, 1e-9)
	near(t, "the times", qs[0].Times, math.Exp(2.5), 1e-9)
}

// A record that is asked about is not dropped and does not run away with the
// rate; once it is sure it counts, and is not asked about again.
func TestLearn_unansweredCountsAtTheEdge(t *testing.T) {
	ana := told("Ana", 300, 280, 310, 330, 290, 305, 300, 295)
	odd := func(minutes float64, sure bool) (rates.Member, int) {
		records := append(told("Ana", minutes), ana...)
		records[0].Sure = sure
		return learn(t, records).Kinds[0].Members[0], len(ask(t, records))
	}
	far, n := odd(30_000, false)
	farther, _ := odd(300_000, false)
	sure, none := odd(30_000, true)
	near(t, "one unanswered record, whatever it says", float64(far.Own), float64(farther.Own), 1e-9)
	if far.Records != 9 || far.Own < 3.05 || far.Own > 4 || n != 1 {
		t.Errorf("unanswered: %+v, %d questions", far, n)
	}
	near(t, "hers when it is sure", float64(sure.Own), math.Exp((math.Log(300)+math.Log(3*2.8*3.1*3.3*2.9*3.05*3*2.95))/9), 1e-9)
	if none != 0 {
		t.Error("asked again")
	}
}

// Right records are asked about one in some thousand times: 3.5 deviations are one
// in 2,149 where the deviation is known, and it is not.
func TestAsk_falseAlarms(t *testing.T) {
	for _, each := range []int{2, 7, 8, 30} {
		chance := rand.New(rand.NewPCG(6, uint64(each)))
		asked, all := 0, 0
		for range 400 {
			records, _ := made(chance, math.Log(3), 6, each)
			asked, all = asked+len(ask(t, records)), all+len(records)
		}
		t.Logf("%d records each: %d of %d asked about", each, asked, all)
		if share := float64(asked) / float64(all); share > 0.004 {
			t.Errorf("%d records each: %v of right ones asked about", each, share)
		}
	}
}

func ExampleAsk() {
	records := []rates.Record{{Member: "Ana", Kind: rates.Warping, Quantity: 240, Minutes: 10}}
	qs, _ := rates.Ask(records, rates.Starts())
	fmt.Printf("expected about %.0f min; a right record is so far off one time in %.0f\n", qs[0].Expected, qs[0].Odds)
	// Output: expected about 120 min; a right record is so far off one time in 11143
}
