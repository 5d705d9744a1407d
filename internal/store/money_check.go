package store

import (
	"database/sql"
	"fmt"
	"slices"
)

// checkMoney compares what is kept beside the entries with their lines, and that
// no entry or line is missing.
func (t *Tx) checkMoney() (faults []string, err error) {
	sums, items := map[Sum][2]int64{}, map[Item]int64{}
	next := int64(1)
	err = t.EachPosting(func(e Posting) error {
		if e.Seq != next {
			faults = append(faults, fmt.Sprintf("entry %d stands where entry %d should", e.Seq, next))
		}
		next = e.Seq + 1
		off := map[string]int64{}
		for _, l := range e.Lines {
			off[l.Currency] += l.Minor
			for _, k := range sumKeys(e.Closes, l.Tags) {
				s := Sum{Account: k[0] + cut + l.Account + cut + e.Date, Value: k[1], Currency: l.Currency}
				sums[s] = [2]int64{sums[s][0] + max(0, l.Minor), sums[s][1] + max(0, -l.Minor)}
			}
			if l.Item != "" {
				items[Item{l.Account, l.Item, l.Currency, 0}] += l.Minor
			}
		}
		for code, minor := range off {
			if minor != 0 {
				faults = append(faults, fmt.Sprintf("entry %d is off by %d %s", e.Seq, minor, code))
			}
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	for _, check := range []func() ([]string, error){
		func() ([]string, error) { return t.checkSums(sums) },
		func() ([]string, error) { return t.checkItems(items) },
	} {
		more, err := check()
		if err != nil {
			return nil, err
		}
		faults = append(faults, more...)
	}
	slices.Sort(faults)
	return faults, nil
}

// checkSums compares the sums of days with those of the lines.
func (t *Tx) checkSums(want map[Sum][2]int64) (faults []string, err error) {
	kept, err := rows(t, func(r *sql.Rows) (s Sum, err error) {
		var tag, date string
		err = r.Scan(&tag, &s.Account, &s.Value, &s.Currency, &date, &s.Debit, &s.Credit)
		s.Account = tag + cut + s.Account + cut + date
		return s, err
	}, `SELECT tag, account, value, currency, date, debit, credit FROM sums WHERE workshop = $1`, t.workshop)
	for _, s := range kept {
		key := Sum{Account: s.Account, Value: s.Value, Currency: s.Currency}
		if w := want[key]; w != [2]int64{s.Debit, s.Credit} {
			faults = append(faults, fmt.Sprintf("%q %s: sums of %d and %d %s are kept; the lines make %d and %d", s.Account, s.Value, s.Debit, s.Credit, s.Currency, w[0], w[1]))
		}
		delete(want, key)
	}
	for s, w := range want {
		faults = append(faults, fmt.Sprintf("%q %s: no sums are kept; the lines make %d and %d %s", s.Account, s.Value, w[0], w[1], s.Currency))
	}
	return faults, err
}

// checkItems compares what is open of items with the lines.
func (t *Tx) checkItems(want map[Item]int64) (faults []string, err error) {
	kept, err := rows(t, func(r *sql.Rows) (i Item, err error) {
		err = r.Scan(&i.Account, &i.Item, &i.Currency, &i.Minor)
		return i, err
	}, `SELECT account, item, currency, minor FROM items WHERE workshop = $1`, t.workshop)
	for _, i := range kept {
		key := Item{i.Account, i.Item, i.Currency, 0}
		if want[key] != i.Minor {
			faults = append(faults, fmt.Sprintf("item %s of %s: %d %s are open by its total, %d by its lines", i.Item, i.Account, i.Minor, i.Currency, want[key]))
		}
		delete(want, key)
	}
	for i, minor := range want {
		if minor != 0 {
			faults = append(faults, fmt.Sprintf("item %s of %s: no total is kept; the lines make %d %s", i.Item, i.Account, minor, i.Currency))
		}
	}
	return faults, err
}

// checkNumbers looks for numbers that are missing, also the last ones.
func (t *Tx) checkNumbers() (faults []string, err error) {
	given, err := t.Numbers()
	if err != nil {
		return nil, err
	}
	have := map[string]int64{}
	for _, n := range given {
		name := n.counter()
		if have[name]++; have[name] != n.N {
			faults = append(faults, fmt.Sprintf("%s-%d-%04d stands where %04d should", n.Series, n.Year, n.N, have[name]))
			have[name] = n.N
		}
	}
	counted, err := rows(t, func(r *sql.Rows) (s Sum, err error) {
		err = r.Scan(&s.Value, &s.Debit)
		return s, err
	}, `SELECT name, last FROM counters WHERE workshop = $1 AND name >= 'number.' AND name < 'number/' ORDER BY name`, t.workshop)
	for _, c := range counted {
		if have[c.Value] != c.Debit {
			faults = append(faults, fmt.Sprintf("%s: the last is %d; %d were given out", c.Value, have[c.Value], c.Debit))
		}
		delete(have, c.Value)
	}
	for name := range have {
		faults = append(faults, fmt.Sprintf("%s: nothing says how many were given out", name))
	}
	return faults, err
}
