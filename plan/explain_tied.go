package plan

import "fmt"

// tied explains a number of what is tied; field is its path within that.
func (x *explaining) tied(in *Tied, at, field string) {
	room, rest := cutFirst(field)
	if _, i := index(room); i >= 0 {
		x.mark(in, fmt.Sprintf("%s.marks[%d]", at, i), i, rest)
		return
	}
	switch field {
	case "ties":
		x.how("how-ties")
	case "setup.waste_before_fraction":
		x.same(at+".before", in.Setup.Before)
	case "setup.shift_cm":
		x.same(at+".shift", in.Setup.Shift)
	case "setup.bundle_ends":
		x.same(at+".bundle", in.Setup.Bundle)
	}
}

// mark explains a number of a mark, which is as written.
func (x *explaining) mark(in *Tied, at string, i int, field string) {
	m := in.Marks[i]
	switch field {
	case "first_end":
		x.same(at+".ends", m.First)
	case "last_end":
		x.same(at+".ends", m.Last)
	case "from_cm":
		x.same(at+".from", m.From)
	case "to_cm":
		x.same(at+".to", m.To)
	case "every_cm":
		x.same(at+".every", m.Every)
	}
}
