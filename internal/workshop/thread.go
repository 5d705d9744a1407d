package workshop

import "urdir/internal/store"

// Stage is one knot of the thread from an order to what was learned.
type Stage string

// Stages is the whole thread, in order.
var Stages = []Stage{"order", "cloth", "yarn", "dye", "warp", "loom", "off", "finished", "delivered", "paid", "learned"}

// Knot is how far one stage is.
type Knot struct {
	Stage Stage
	Done  int
	Of    int
	State KnotState
	Block string // key of the words for what it waits for
}

// KnotState is whether a stage is done, at hand, or waits.
type KnotState string

const (
	KnotDone    KnotState = "done"
	KnotNow     KnotState = "now"
	KnotLoose   KnotState = "loose"
	KnotBlocked KnotState = "blocked"
)

// Thread is how far an order is.
type Thread []Knot

// Now is the first stage that is not done; ok is false when all are.
func (t Thread) Now() (k Knot, ok bool) {
	for _, k := range t {
		if k.State != KnotDone {
			return k, true
		}
	}
	return Knot{}, false
}

// threadOf reckons the thread from what happened. Nothing in it is kept.
func threadOf(o OrderView) Thread {
	t := tally{count: map[Stage][2]int{}, block: map[Stage]string{}}
	t.add("order", o.Value.Customer != "" && len(o.Value.Lines) > 0)
	if len(o.Value.Lines) == 0 {
		t.block["order"] = "block-no-lines"
	}
	for _, l := range o.Lines {
		t.line(l)
	}
	for _, j := range o.Jobs {
		t.job(j.Value)
	}
	for _, x := range o.Pieces {
		t.piece(x.Value)
	}
	return knots(t.count, t.block)
}

// tally counts what is done, and of how many, and keeps what holds it up.
type tally struct {
	count map[Stage][2]int
	block map[Stage]string
}

func (t tally) add(s Stage, done bool) {
	c := t.count[s]
	if done {
		c[0]++
	}
	c[1]++
	t.count[s] = c
}

func (t tally) line(l LineView) {
	t.add("cloth", l.Frozen)
	switch {
	case l.Made.Failed():
		t.block["cloth"] = "block-cloth-wrong"
	case !l.Frozen:
		t.block["cloth"] = "block-confirm"
	}
	for _, w := range l.Wants {
		if w.Need.Mass == 0 {
			continue
		}
		inDye := w.Lot.Value.Waiting && w.Lot.Value.Dye.Dyeing != "" // its yarn comes out of the bath
		t.add("yarn", w.Lot.ID != "" && (w.Enough || inDye))
		t.add("dye", w.Lot.ID != "" && !w.Lot.Value.Waiting && !w.Lot.Value.Dye.Unjudged && !w.Lot.Value.Dye.Rejected)
		_, wished := l.wish(w.Need)
		switch {
		case w.Lot.ID == "" && wished:
			t.block["yarn"] = "block-plan-dye"
		case inDye:
		case w.Lot.ID == "":
			t.block["yarn"] = "block-choose-lots"
		case !w.Enough:
			t.block["yarn"] = "block-yarn-short"
		}
		switch {
		case w.Lot.Value.Waiting:
			t.block["dye"] = "block-dye"
		case w.Lot.Value.Dye.Unjudged:
			t.block["dye"] = "block-judge"
		case w.Lot.Value.Dye.Rejected:
			t.block["dye"] = "block-dye-rejected"
		}
	}
}

func (t tally) job(j Job) {
	s := j.State()
	t.add("warp", s == OnFrame || s == OnLoom || s == Off)
	t.add("loom", s == OnLoom || s == Off)
	t.add("off", s == Off)
	t.add("paid", j.Paid() || s == Off && j.Pay().Minor == 0)
	switch s {
	case Waiting:
		t.block["warp"] = "block-give-out"
	case Given:
		t.block["warp"] = "block-lay"
	}
}

func (t tally) piece(x Piece) {
	s := x.State()
	t.add("finished", s == Finished || s == Delivered)
	t.add("delivered", s == Delivered)
	_, measured := x.Measured()
	t.add("learned", measured)
	if s == Returned {
		t.block["finished"] = "block-repair"
	}
}

// knots puts the counts in order and says which stage is at hand.
func knots(count map[Stage][2]int, block map[Stage]string) (out Thread) {
	open := false
	for _, s := range Stages {
		c := count[s]
		k := Knot{Stage: s, Done: c[0], Of: c[1], State: KnotLoose, Block: block[s]}
		switch {
		case c[1] > 0 && c[0] == c[1]:
			k.State, k.Block = KnotDone, ""
		case !open:
			k.State, open = KnotNow, true
			if k.Block == "block-yarn-short" || k.Block == "block-cloth-wrong" || k.Block == "block-dye" || k.Block == "block-dye-rejected" {
				k.State = KnotBlocked
			}
		}
		out = append(out, k)
	}
	return out
}

// settle keeps whether an order is done, after a fact was told of one of its
// warps or pieces.
func (h *House) settle(tx *store.Tx, id string) error {
	o, err := h.order(tx, id)
	if err != nil {
		return err
	}
	done := o.Thread.done("delivered") && o.Thread.done("paid")
	if done == (o.Value.Done != "") {
		return nil
	}
	o.Value.Done = ""
	if done {
		o.Value.Done = h.today()
	}
	_, err = orders.put(tx, o.Kept)
	return err
}
