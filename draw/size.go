package draw

import (
	"urdir/measure"
	"urdir/plan"
)

// Size is how wide and tall a piece is as Cloth draws it, its panels as they lie
// and its fringes with it.
func Size(p plan.Plan) (w, h measure.CM) {
	_, w, h = arrange(p)
	return w, h
}
