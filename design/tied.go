package design

import (
	"slices"

	"urdir/check"
	"urdir/plan"
	"urdir/warp/tie"
)

// Tie adds a mark to what is tied of a panel before dyeing. The marks are
// checked when the cloth is planned.
func Tie(c plan.Cloth, panel string, m tie.Mark) (plan.Cloth, check.Problems) {
	return changeTied(c, panel, func(t *plan.Tied) bool {
		t.Marks = append(t.Marks, m)
		return true
	})
}

// SetTie puts another mark in the place of one.
func SetTie(c plan.Cloth, panel string, i int, m tie.Mark) (plan.Cloth, check.Problems) {
	return changeTied(c, panel, func(t *plan.Tied) bool {
		if i < 0 || i >= len(t.Marks) {
			return false
		}
		t.Marks[i] = m
		return true
	})
}

// Untie takes a mark away. With the last of them the panel is no longer tied.
func Untie(c plan.Cloth, panel string, i int) (plan.Cloth, check.Problems) {
	return changeTied(c, panel, func(t *plan.Tied) bool {
		if i < 0 || i >= len(t.Marks) {
			return false
		}
		t.Marks = slices.Delete(t.Marks, i, i+1)
		return true
	})
}

// UntieAll takes every mark of a panel away.
func UntieAll(c plan.Cloth, panel string) (plan.Cloth, check.Problems) {
	return changeTied(c, panel, func(t *plan.Tied) bool {
		t.Marks = nil
		return true
	})
}

// SetTying changes how a panel is tied: everything but its marks.
func SetTying(c plan.Cloth, panel, undyed string, s tie.Setup) (plan.Cloth, check.Problems) {
	return changeTied(c, panel, func(t *plan.Tied) bool {
		t.Undyed, t.Setup = undyed, s
		return true
	})
}

// changeTied changes a copy of what is tied of a panel.
func changeTied(c plan.Cloth, panel string, change func(*plan.Tied) bool) (plan.Cloth, check.Problems) {
	var ps check.Problems
	i := slices.IndexFunc(c.Panels, func(p plan.Panel) bool { return p.Key == panel })
	t := plan.NewTied()
	if i >= 0 && c.Panels[i].Tied != nil {
		t = *c.Panels[i].Tied
	}
	t.Marks = slices.Clone(t.Marks)
	if i < 0 || !change(&t) {
		ps.Wrong("", "design-not-there", nil)
		return c, ps
	}
	c.Panels = slices.Clone(c.Panels)
	c.Panels[i].Tied = &t
	if len(t.Marks) == 0 {
		c.Panels[i].Tied = nil
	}
	return c, nil
}
