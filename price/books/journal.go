package books

import (
	"iter"
	"maps"
	"slices"

	"urdir/check"
)

// Journal is books in memory. Entries are added at its end and never changed; what
// comes out of it are copies. The zero value has no accounts; use New.
type Journal struct {
	chart    Chart
	entries  []Entry
	reversed map[int64]bool
	settled  map[string]bool
	closed   []string // last days of closed periods
}

// New is an empty journal. Problems: those of Chart.Validate.
func New(chart Chart) (*Journal, check.Problems) {
	ps := chart.Validate()
	return &Journal{chart: slices.Clone(chart), reversed: map[int64]bool{}, settled: map[string]bool{}}, ps
}

// Entries is all entries by number.
func (j *Journal) Entries() iter.Seq[Entry] {
	return func(yield func(Entry) bool) {
		for _, e := range j.entries {
			if !yield(e.clone()) {
				return
			}
		}
	}
}

// State is what the next entry is checked against.
func (j *Journal) State() State {
	s := State{Chart: j.chart, Settled: func(name string) bool { return j.settled[name] }}
	if n := len(j.closed); n > 0 {
		s.ClosedTo = j.closed[n-1]
	}
	return s
}

// Post adds an entry and gives its number. Reversals and closings have their own
// ways in: e.N, e.Reverses and e.Closes are not used. Problems: those of Check.
func (j *Journal) Post(e Entry) (n int64, ps check.Problems) {
	e.Reverses, e.Closes = 0, ""
	return j.add(e)
}

// Reverse undoes an entry. Problems: entry-unknown, those of Reversal and Check.
func (j *Journal) Reverse(n int64, on, text string) (int64, check.Problems) {
	var ps check.Problems
	if n < 1 || n > int64(len(j.entries)) {
		ps.Wrong("reverses", "entry-unknown", check.Args{"n": int(n)})
		return 0, ps
	}
	e, ps := Reversal(j.entries[n-1], j.reversed[n], j.State(), on, text)
	if ps.Failed() {
		return 0, ps
	}
	return j.add(e)
}

// Close closes the books up to the end of a period. Problems: those of Closing.
func (j *Journal) Close(p Period, to string, carried []string) (int64, check.Problems) {
	e, ps := Closing(p, slices.Values(j.entries), j.State(), to, carried)
	if ps.Failed() {
		return 0, ps
	}
	return j.add(e)
}

// add checks an entry and adds it.
func (j *Journal) add(e Entry) (int64, check.Problems) {
	ps := Check(e, j.State())
	if ps.Failed() {
		return 0, ps
	}
	e.N = int64(len(j.entries)) + 1
	j.keep(e)
	return e.N, ps
}

// keep puts an entry at the end and notes what it changes for later ones.
func (j *Journal) keep(e Entry) {
	j.entries = append(j.entries, e.clone())
	switch {
	case e.Closes != "" && e.Reverses != 0 && len(j.closed) > 0:
		j.closed = j.closed[:len(j.closed)-1]
	case e.Closes != "" && e.Reverses == 0:
		j.closed = append(j.closed, e.Date)
	}
	if e.Reverses != 0 {
		j.reversed[e.Reverses] = true
	}
	if e.Settles != "" {
		j.settled[e.Settles] = e.Reverses == 0
	}
}

func (e Entry) clone() Entry {
	e.Lines = slices.Clone(e.Lines)
	for i := range e.Lines {
		e.Lines[i].Tags = maps.Clone(e.Lines[i].Tags)
	}
	return e
}
