package rates

import (
	"math"

	"urdir/check"
	"urdir/measure"
)

// Rates is what the records say, by kind in the order of the starts.
type Rates struct {
	Kinds []Learned `json:"kinds"`
	index map[string]int
}

// Learned is what the records say of a kind.
type Learned struct {
	Start    Start          `json:"start"`
	Records  int            `json:"records"`
	Anyone   Forecast       `json:"anyone_a_unit"`  // of one unit, for a member without records: the workshop's rate
	Between  float64        `json:"between_log_sd"` // from member to member
	Members  []Member       `json:"members"`        // in the order of their first records
	position map[string]int // in Members
}

// Member is what the records of a kind say of one member.
type Member struct {
	Member  string         `json:"member"`
	Records int            `json:"records"`
	Own     measure.Minute `json:"own_minutes_a_unit"` // by her records alone; the forecast is drawn toward the workshop's
	Unit    Forecast       `json:"a_unit"`             // of one unit
	Pull    measure.Ratio  `json:"pull_fraction"`      // how far it is drawn: 0 her own, 1 the workshop's
}

// Learn learns every kind of the starts from its records. But for rounding the
// order of the records matters to nothing but the order of members.
func Learn(records []Record, starts []Start) (Rates, check.Problems) {
	ps := validate(records, starts)
	if ps.Failed() {
		return Rates{}, ps
	}
	r := Rates{Kinds: make([]Learned, len(starts)), index: map[string]int{}}
	for i, s := range starts {
		r.index[s.Kind] = i
		r.Kinds[i] = learn(newSample(records, s))
	}
	return r, ps
}

// Forecast is how long so much work of a kind takes a member; one without records
// of it is a member like any other. It is false for a kind without a start.
func (r Rates) Forecast(member, kind string, quantity measure.Count) (Forecast, bool) {
	i, ok := r.index[kind]
	if !ok {
		return Forecast{}, false
	}
	k := &r.Kinds[i]
	if at, has := k.position[member]; has {
		return k.Members[at].Unit.Times(quantity), true
	}
	return k.Anyone.Times(quantity), true
}

// learn fits the model to the records of a kind. The variance within members is
// pooled over them and the starting noise, by degrees of freedom nu. A forecast
// widens it by (1 + 1/nu), with which a normal quantile agrees with Student's t
// at one standard deviation, where promises are made: t = z + (z^3+z)/(4 nu) + ...
// (Abramowitz and Stegun, Handbook of Mathematical Functions, 26.7.5). Student's
// t itself has no use here, since its exponential has no mean.
//
// What is wrong with the workshop's mean is wrong for all who are drawn toward it,
// as far as they are drawn: pull^2 var(mean) of a member's variance is shared.
func learn(s *sample) Learned {
	groups := make([]Group, len(s.members))
	nu, squares := float64(s.start.Tasks), float64(s.start.Tasks)*s.start.Noise*s.start.Noise
	n := 0
	for i := range s.members {
		y := s.counted(i)
		groups[i] = Group{N: len(y), Mean: mean(y)}
		for _, v := range y {
			squares += (v - groups[i].Mean) * (v - groups[i].Mean)
		}
		nu, n = nu+float64(len(y)-1), n+len(y)
	}
	within := squares / nu
	p := Shrink(groups, within, Prior{Mean: math.Log(float64(s.start.Minutes)), Doubt: s.start.Doubt,
		Between: s.start.Between * s.start.Between, Members: s.start.Members})
	task := math.Sqrt(within * (1 + 1/nu))
	l := Learned{Start: s.start, Records: n, Between: math.Sqrt(p.Between), Members: make([]Member, len(groups)), position: map[string]int{},
		Anyone: Forecast{Median: minutes(p.Mean), Workshop: math.Sqrt(p.MeanVar), Member: math.Sqrt(p.Between), Task: task}}
	for i, m := range p.Members {
		name := s.records[s.members[i][0]].Member
		l.position[name] = i
		shared := m.Pull * m.Pull * p.MeanVar
		l.Members[i] = Member{Member: name, Records: groups[i].N, Own: minutes(groups[i].Mean), Pull: measure.Ratio(m.Pull),
			Unit: Forecast{Median: minutes(m.Mean), Workshop: math.Sqrt(shared), Member: math.Sqrt(m.Var - shared), Task: task}}
	}
	return l
}

func minutes(log float64) measure.Minute { return measure.Minute(math.Exp(log)) }

func mean(y []float64) float64 {
	sum := 0.0
	for _, v := range y {
		sum += v
	}
	return sum / float64(len(y))
}
