package rates

import (
	"math"
	"slices"

	"urdir/check"
	"urdir/measure"
)

// far is how many standard deviations from the middle a record is asked about
// (Iglewicz and Hoaglin, How to Detect and Handle Outliers, 1993; NIST/SEMATECH
// e-Handbook of Statistical Methods, 1.3.5.17). enough is how many records a
// middle is taken from; our choice: of eight, three may be wrong.
const (
	far    = 3.5
	enough = 8
)

// mostOdds is one in so many, from where on it does not matter how many.
const mostOdds = 1e9

// What a record was compared with.
const (
	WithOwn      = "own"      // her own records of this kind
	WithWorkshop = "workshop" // all records of this kind, as she has few
	WithStart    = "start"    // the starting rate, as there are few
)

// Question is a record to be asked about.
type Question struct {
	Record   int            `json:"record"` // its place in the records
	With     string         `json:"compared_with"`
	Expected measure.Minute `json:"expected_min"`
	Low      measure.Minute `json:"low_min"` // from here to High nothing is asked
	High     measure.Minute `json:"high_min"`
	Times    float64        `json:"times_expected"` // near 60 or 1/60 it may be hours for minutes
	Odds     float64        `json:"odds_one_in"`    // of a right record being as far off, on either side
}

// Ask finds the records that are far from what is expected, in their order, but
// for those that are sure. The rule is the modified z-score of Iglewicz and
// Hoaglin on logarithms, of middles that wrong records hardly move. The odds take
// minutes for log-normal.
func Ask(records []Record, starts []Start) ([]Question, check.Problems) {
	ps := validate(records, starts)
	if ps.Failed() {
		return nil, ps
	}
	var qs []Question
	for _, s := range starts {
		qs = append(qs, newSample(records, s).ask()...)
	}
	slices.SortFunc(qs, func(a, b Question) int { return a.Record - b.Record })
	return qs, ps
}

// Robust is the median of x and a standard deviation that outliers hardly move:
// the median distance from the median over 0.6745, which is that of a normal
// distribution. A modified z-score is (x - median) / sd. There is one value at
// least.
func Robust(x []float64) (middle, sd float64) {
	middle = median(x)
	away := make([]float64, len(x))
	for i, v := range x {
		away[i] = math.Abs(v - middle)
	}
	return middle, median(away) / 0.6745
}

func median(x []float64) float64 {
	x = slices.Sorted(slices.Values(x))
	n := len(x)
	return (x[(n-1)/2] + x[n/2]) / 2
}

// sample is the records of a kind: the places of each member's, members in the
// order of their first.
type sample struct {
	start   Start
	records []Record
	members [][]int
	usual   []usual // of each member
}

// usual is what a member's record should be near, on the logarithmic scale.
type usual struct {
	with       string
	middle, sd float64
}

func newSample(records []Record, start Start) *sample {
	s := &sample{start: start, records: records}
	who := map[string]int{}
	for i, r := range records {
		if r.Kind != start.Kind {
			continue
		}
		at, known := who[r.Member]
		if !known {
			at = len(s.members)
			who[r.Member] = at
			s.members = append(s.members, nil)
		}
		s.members[at] = append(s.members[at], i)
	}
	s.compare()
	return s
}

func (s *sample) logs(at []int) []float64 {
	y := make([]float64, len(at))
	for i, k := range at {
		y[i] = s.records[k].log()
	}
	return y
}

// compare sets what each member's records are compared with. The noise is that
// of distances from own middles, with the starting noise for so many records. n
// records are nearer to their own middle than to the true one: by n/(n-0.8) for
// the median distance (Croux and Rousseeuw, Computational Statistics 1, 1992,
// 411-428; from memory).
func (s *sample) compare() {
	var all, away []float64
	for _, at := range s.members {
		y := s.logs(at)
		all = append(all, y...)
		if len(y) >= enough {
			middle, n := median(y), float64(len(y))
			for _, v := range y {
				away = append(away, (v-middle)*n/(n-0.8))
			}
		}
	}
	noise := s.start.Noise * s.start.Noise
	if n, a := float64(len(away)), float64(s.start.Tasks); n > 0 {
		_, sd := Robust(away)
		noise = (a*noise + n*sd*sd) / (a + n)
	}
	others := noise + s.start.Between*s.start.Between
	for _, at := range s.members {
		u := usual{WithStart, math.Log(float64(s.start.Minutes)), math.Sqrt(others + s.start.Doubt*s.start.Doubt)}
		switch {
		case len(at) >= enough:
			u = usual{WithOwn, median(s.logs(at)), math.Sqrt(noise)}
		case len(all) >= enough:
			u = usual{WithWorkshop, median(all), math.Sqrt(others)}
		}
		s.usual = append(s.usual, u)
	}
}

func (s *sample) ask() (qs []Question) {
	for m, at := range s.members {
		u := s.usual[m]
		for _, i := range at {
			r := s.records[i]
			z := (r.log() - u.middle) / u.sd
			if r.Sure || math.Abs(z) <= far {
				continue
			}
			unit := func(z float64) measure.Minute { return measure.Minute(r.Quantity) * minutes(u.middle+z*u.sd) }
			qs = append(qs, Question{Record: i, With: u.with, Expected: unit(0), Low: unit(-far), High: unit(far),
				Times: float64(r.Minutes / unit(0)), Odds: min(mostOdds, 1/tail(z))})
		}
	}
	return qs
}

// counted is the logarithms of the records of member m as they count: at the edge
// those that would be asked about.
func (s *sample) counted(m int) []float64 {
	y, u := s.logs(s.members[m]), s.usual[m]
	for i, k := range s.members[m] {
		if !s.records[k].Sure {
			y[i] = min(max(y[i], u.middle-far*u.sd), u.middle+far*u.sd)
		}
	}
	return y
}
