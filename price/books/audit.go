package books

import (
	"iter"
	"maps"
	"slices"

	"urdir/check"
)

// Audit goes through all entries of the books as a store gives them and finds what
// cannot have come in by the front door: numbers that are missing or out of order,
// entries that do not balance, reversals that are not the other's mirror, closings
// that leave something. Problems are those of Check and Reversal, under entries[i];
// and entry-number, reversal-differs, closing-differs.
func Audit(entries iter.Seq[Entry], chart Chart) check.Problems {
	j, ps := New(chart)
	i := 0
	for e := range entries {
		path := at("entries", i)
		if i++; e.N != int64(i) {
			ps.Wrong(path+".n", "entry-number", check.Args{"n": int(e.N), "want": i})
		}
		if e.Reverses != 0 {
			ps.Under(path, j.auditReversal(e))
		}
		if e.Closes != "" && e.Reverses == 0 {
			ps.Under(path, j.auditClosing(e))
		}
		ps.Under(path, Check(e, j.State()))
		j.keep(e)
	}
	return ps
}

// auditReversal holds a reversal against the entry it undoes.
func (j *Journal) auditReversal(e Entry) (ps check.Problems) {
	if e.Reverses < 1 || e.Reverses > int64(len(j.entries)) {
		ps.Wrong("reverses", "entry-unknown", check.Args{"n": int(e.Reverses)})
		return ps
	}
	want, ps := Reversal(j.entries[e.Reverses-1], j.reversed[e.Reverses], j.State(), e.Date, e.Text)
	if !ps.Failed() && (want.Date != e.Date || want.Closes != e.Closes || want.Settles != e.Settles || !slices.EqualFunc(want.Lines, e.Lines, sameMove)) {
		ps.Wrong("lines", "reversal-differs", check.Args{"n": int(e.N), "of": int(e.Reverses)})
	}
	return ps
}

func sameMove(a, b Line) bool {
	return a.Account == b.Account && a.Amount == b.Amount && a.Item == b.Item && maps.Equal(a.Tags, b.Tags)
}

// auditClosing looks whether a closing leaves nothing in income and expenses.
func (j *Journal) auditClosing(e Entry) (ps check.Problems) {
	all := append(slices.Clone(j.entries), e)
	for _, b := range Balances(Until(slices.Values(all), e.Date), nil) {
		if a, _ := j.chart.Find(b.Account); a.result() && b.Sum().Minor != 0 {
			ps.Wrong("lines", "closing-differs", check.Args{"period": e.Closes, "account": b.Account, "amount": b.Sum()})
		}
	}
	return ps
}
