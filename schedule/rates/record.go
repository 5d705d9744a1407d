package rates

import (
	"fmt"
	"math"

	"urdir/check"
	"urdir/measure"
)

// mostMinutes and mostQuantity are more than any task; least is less than any.
const (
	mostMinutes  measure.Minute = 366 * measure.Day
	mostQuantity measure.Count  = 1e6
	least                       = 0.001
)

// Record is a task that was done.
type Record struct {
	Member   string         `json:"member"`
	Kind     string         `json:"kind"`
	Quantity measure.Count  `json:"quantity"` // in the kind's unit, as ends or picks
	Minutes  measure.Minute `json:"minutes"`  // of hands
	Sure     bool           `json:"sure"`     // someone was asked, and it is right
}

// log is ln of the minutes for a unit.
func (r Record) log() float64 { return math.Log(float64(r.Minutes) / float64(r.Quantity)) }

// Start is what is believed of a kind of work before there are records of it.
type Start struct {
	Kind    string         `json:"kind"`
	Unit    string         `json:"unit"`            // what Quantity counts
	Minutes measure.Minute `json:"minutes_a_unit"`  // median
	Doubt   float64        `json:"doubt_log_sd"`    // of the workshop's median: 0.5 is a factor of e^0.5 = 1.65, two times in three
	Between float64        `json:"between_log_sd"`  // from member to member
	Noise   float64        `json:"task_log_sd"`     // from task to task
	Members int            `json:"counts_members"`  // how many members Between counts for
	Tasks   int            `json:"counts_as_tasks"` // how many records Noise counts for
}

// Kinds of work that have a starting rate.
const (
	Winding    = "winding"   // skeins to balls
	Warping    = "warping"   // on the frame, the cross checked
	Dressing   = "dressing"  // warp to loom, heddles made
	Weaving    = "weaving"   // plain, warp-faced
	Brocade    = "brocade"   // a chart row with its ground pick
	PickUp     = "pick-up"   // a chart row with its pick
	Sewing     = "sewing"    // panels joined, hems
	Finishing  = "finishing" // mending, fringe, pressing
	Washing    = "washing"   // by hand
	Scouring   = "scouring"  // hands only, as in the three below; not the time yarn lies
	Mordanting = "mordanting"
	Dyeing     = "dyeing"
	Rinsing    = "rinsing"
)

// Starts is the starting rates. All are from memory, for work by hand at home;
// the doubt of a factor of 1.65 says how little that is worth, and a dozen
// records outweigh it. The speeds of weaving span what is told of warp-faced
// cloth (bands 20 to 50 cm an hour, brocade 2 to 10), at 6 picks/cm the slow end
// for plain cloth and the middle for brocade. Members differ by 0.25: between
// the 15 % of output in piece work (Schmidt and Hunter, J. Applied Psychology 68,
// 1983, 407-414) and the 32 % in work of middling difficulty (Hunter, Schmidt and
// Judiesch, the same 75, 1990, 28-42); both from memory. The noise is a guess.
func Starts() []Start {
	kind := func(name, unit string, minutes measure.Minute) Start {
		return Start{Kind: name, Unit: unit, Minutes: minutes, Doubt: 0.5, Between: 0.25, Noise: 0.3, Members: 6, Tasks: 8}
	}
	return []Start{
		kind(Winding, "g", 0.1),
		kind(Warping, "end", 0.5),
		kind(Dressing, "end", 0.3),
		kind(Weaving, "pick", 0.5),
		kind(Brocade, "row", 2.5),
		kind(PickUp, "row", 3),
		kind(Sewing, "cm", 0.6),
		kind(Finishing, "piece", 60),
		kind(Washing, "piece", 20),
		kind(Scouring, "bath", 40),
		kind(Mordanting, "bath", 45),
		kind(Dyeing, "bath", 75),
		kind(Rinsing, "bath", 30),
	}
}

// validate is what is wrong with the start itself.
func (s Start) validate() (ps check.Problems) {
	if !(s.Minutes >= least) || s.Minutes > mostMinutes {
		ps.Wrong("minutes", "rates-minutes", nil)
	}
	for _, v := range []float64{s.Doubt, s.Between, s.Noise} {
		if !(v > 0) || v > 5 {
			ps.Wrong("", "rates-spread", check.Args{"kind": s.Kind})
			break
		}
	}
	if s.Members < 3 || s.Tasks < 1 {
		ps.Wrong("", "rates-counts", check.Args{"kind": s.Kind})
	}
	return ps
}

// validate checks starts and records, all of them; starts are by kind.
func validate(records []Record, starts []Start) (ps check.Problems) {
	known := map[string]bool{}
	for i, s := range starts {
		at := fmt.Sprintf("starts[%d]", i)
		if known[s.Kind] {
			ps.Wrong(at+".kind", "rates-kind-twice", check.Args{"kind": s.Kind})
		}
		known[s.Kind] = true
		ps.Under(at, s.validate())
	}
	for i, r := range records {
		at := fmt.Sprintf("records[%d]", i)
		if !known[r.Kind] {
			ps.Wrong(at+".kind", "rates-kind", check.Args{"kind": r.Kind})
		}
		if !(r.Quantity >= least) || r.Quantity > mostQuantity {
			ps.Wrong(at+".quantity", "rates-quantity", check.Args{"most": mostQuantity})
		}
		if !(r.Minutes >= least) || r.Minutes > mostMinutes {
			ps.Wrong(at+".minutes", "rates-minutes", nil)
		}
	}
	return ps
}
