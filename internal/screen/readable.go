package screen

import (
	"strings"

	"urdir/check"
	"urdir/clothfile"
	"urdir/plan"
)

// unreadable says what the reader of cloth files would refuse of a cloth in
// which something was typed: what cannot be opened again must not be kept. Other
// deeds only move what was readable before, and the hand that drags does not
// wait for the reader.
func unreadable(do string, c plan.Cloth) (ps check.Problems) {
	if !strings.HasPrefix(do, "set-") {
		return nil
	}
	if _, _, all := clothfile.Read(clothfile.Write(c)); all.Failed() {
		for _, p := range all {
			if p.Severity != check.Caution {
				ps = append(ps, p)
			}
		}
	}
	return ps
}
