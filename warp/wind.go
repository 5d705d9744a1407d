package warp

// Winding is the way one stripe is laid on the frame.
type Winding struct {
	Stripe int  `json:"stripe"` // index into Fitted.Stripes
	Ends   int  `json:"ends"`
	InHand int  `json:"balls_in_hand"` // threads laid at every pass
	Passes int  `json:"passes"`        // out is one, back is another
	Last   int  `json:"last_pass_balls"`
	Half   bool `json:"half_circuit"` // Passes is odd
	// Together says that the yarns of an alternation are held side by side,
	// one pattern a pass, and kept apart with the finger at the cross.
	Together bool `json:"together"`
	// Patterns is how many whole patterns of an alternation are laid.
	Patterns  int  `json:"patterns"`
	From      Peg  `json:"tie_at"` // where the stripe's thread is tied on
	SumEnds   int  `json:"running_ends"`
	SumPasses int  `json:"running_passes"`
	Even      bool `json:"-"` // the alternation can be laid circuit by circuit
}

// Peg tells the two pegs at which a thread can change.
type Peg string

const (
	AtStart Peg = "start"
	AtTurn  Peg = "turn"
)

// Wind gives the circuits of every stripe with balls threads held together.
// Two passes, out and back, are one circuit and lay two ends a ball.
//
// A plain stripe takes ends/balls passes; if that is not whole, its last pass
// carries fewer balls (Last). An alternation whose yarns come in even numbers
// is laid a whole circuit at a time. Any other is held together, one pattern a
// pass, whatever balls says.
func Wind(f Fitted, balls int) []Winding {
	out := make([]Winding, len(f.Stripes))
	passes, ends := 0, 0
	for i, s := range f.Stripes {
		w := Winding{Stripe: i, Ends: s.Ends, InHand: balls}
		if len(s.Yarns) > 1 {
			w.Even = evenLays(s.Yarns, balls)
			w.Together = !w.Even
			w.Patterns = s.Ends / s.period()
			if w.Together {
				w.InHand = s.period()
			}
		}
		w.Passes = (s.Ends + w.InHand - 1) / w.InHand
		w.Last = s.Ends - (w.Passes-1)*w.InHand
		w.Half = w.Passes%2 == 1
		w.From = AtStart
		if passes%2 == 1 {
			w.From = AtTurn
		}
		passes += w.Passes
		ends += s.Ends
		w.SumPasses, w.SumEnds = passes, ends
		out[i] = w
	}
	return out
}

// Circuits is the number of circuits, with a half where Half is set.
func (w Winding) Circuits() float64 { return float64(w.Passes) / 2 }

// SumCircuits is the running count of circuits.
func (w Winding) SumCircuits() float64 { return float64(w.SumPasses) / 2 }

func (s Laid) period() int { return Stripe{Yarns: s.Yarns}.Period() }

// evenLays says whether each yarn of an alternation comes in whole circuits.
func evenLays(lays []Lay, balls int) bool {
	for _, l := range lays {
		if l.Ends%(2*balls) != 0 {
			return false
		}
	}
	return true
}
