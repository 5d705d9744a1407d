package lots

import (
	"fmt"
	"slices"

	"urdir/check"
	"urdir/measure"
)

// Validate is everything that is wrong with the work; paths are those of its
// JSON, without units.
func (w Work) Validate() (ps check.Problems) {
	if len(w.Wants) > MaxWants {
		ps.Wrong("wants", "lots-too-many", check.Args{"n": len(w.Wants), "most": MaxWants})
	}
	w.checkHouse(&ps)
	recipes := map[string]*Recipe{}
	for i := range w.Recipes {
		r := &w.Recipes[i]
		at := fmt.Sprintf("recipes[%d]", i)
		if recipes[r.Key] != nil {
			ps.Wrong(at+".key", "lots-recipe-twice", check.Args{"recipe": r.Key})
			continue
		}
		recipes[r.Key] = r
		ps.Under(at, r.validate())
	}
	house := !ps.Failed()
	seen := map[string]bool{}
	var sound []int
	for i, want := range w.Wants {
		at := fmt.Sprintf("wants[%d]", i)
		if seen[want.Key] {
			ps.Wrong(at+".key", "lots-want-twice", check.Args{"want": want.Key})
		}
		seen[want.Key] = true
		own := want.validate(recipes)
		if ps.Under(at, own); !own.Failed() {
			sound = append(sound, i)
		}
	}
	if house {
		w.checkFit(sound, &ps)
	}
	return ps
}

// within is false for what is no number, too.
func within[T ~float64](v, over, most T) bool { return v > over && v <= most }

func (w Work) checkHouse(ps *check.Problems) {
	if len(w.Pots) == 0 || len(w.Pots) > MaxPots {
		ps.Wrong("pots", "lots-pots", check.Args{"n": len(w.Pots), "most": MaxPots})
	}
	seen := map[string]bool{}
	for i, p := range w.Pots {
		at := fmt.Sprintf("pots[%d]", i)
		if seen[p.Key] {
			ps.Wrong(at+".key", "lots-pot-twice", check.Args{"pot": p.Key})
		}
		seen[p.Key] = true
		if !within(p.Litres, 0, maxLitres) {
			ps.Wrong(at+".litres", "lots-litres", check.Args{"pot": p.Key, "most": measure.Count(maxLitres)})
		}
		if !within(p.Fill, 0, 1) {
			ps.Wrong(at+".fill", "lots-fill", check.Args{"pot": p.Key})
		}
	}
	if !within(w.Line, 0, MaxWants*maxMass) {
		ps.Wrong("line", "lots-line", nil)
	}
	for i, d := range w.Closed {
		if d < 0 || d > MaxDay {
			ps.Wrong(fmt.Sprintf("closed[%d]", i), "lots-day", check.Args{"day": d, "most": MaxDay})
		}
	}
}

func (r Recipe) validate() (ps check.Problems) {
	if !within(r.Liquor, 0.999, 1000) {
		ps.Wrong("liquor", "lots-liquor", check.Args{"recipe": r.Key})
	}
	if len(r.Stages) == 0 || len(r.Stages) > MaxStages {
		ps.Wrong("stages", "lots-stages", check.Args{"recipe": r.Key, "n": len(r.Stages), "most": MaxStages})
	}
	for i, s := range r.Stages {
		if s = s.settled(); i > 0 && (s.Min < 1 || s.Max < s.Min || s.Max > MaxWait) {
			ps.Wrong(fmt.Sprintf("stages[%d]", i), "lots-wait", check.Args{"recipe": r.Key, "stage": s.Key, "most": MaxWait})
		}
	}
	if r.Dry < 1 || r.Dry > MaxWait {
		ps.Wrong("dry", "lots-dry", check.Args{"recipe": r.Key, "most": MaxWait})
	}
	if r.Left < 0 || !(r.Left < 1) {
		ps.Wrong("left", "lots-left", check.Args{"recipe": r.Key})
	}
	return ps
}

// settled is the stage with its defaults.
func (s Stage) settled() Stage {
	if s.Min == 0 && s.Max == 0 {
		s.Min, s.Max = 1, 1
	}
	return s
}

func (w Want) validate(recipes map[string]*Recipe) (ps check.Problems) {
	args := check.Args{"want": w.Key, "recipe": w.Recipe, "fibre": w.Fibre}
	if r := recipes[w.Recipe]; r == nil {
		ps.Wrong("recipe", "lots-recipe", args)
	} else if len(r.Fibres) > 0 && !slices.Contains(r.Fibres, w.Fibre) {
		ps.Wrong("fibre", "lots-fibre", args)
	}
	if !within(w.Wanted, 0.0005, maxMass) {
		ps.Wrong("wanted", "lots-zero", check.Args{"want": w.Key, "most": measure.Gram(maxMass)})
	}
	if !within(w.Skein, 0.0005, maxMass) {
		ps.Wrong("skein", "lots-skein", check.Args{"want": w.Key, "most": measure.Gram(maxMass)})
	}
	if !within(w.Strength, 0.00005, maxStrength) {
		ps.Wrong("strength", "lots-strength", check.Args{"want": w.Key})
	}
	if w.From < 0 || w.From > MaxDay {
		ps.Wrong("from", "lots-day", check.Args{"day": w.From, "most": MaxDay})
	}
	if w.Due > MaxDay || w.Due < -MaxDay {
		ps.Wrong("due", "lots-day", check.Args{"day": w.Due, "most": MaxDay})
	} else if w.Due < 0 {
		ps.Look("due", "lots-past", check.Args{"want": w.Key, "days": -w.Due})
	}
	if w.Weight < 0 || w.Weight > MaxWeight {
		ps.Wrong("weight", "lots-weight", check.Args{"want": w.Key, "most": MaxWeight})
	}
	return ps
}

// checkFit looks at each sound want alone: whether all pots together and the line
// hold it, and whether it can be dry in time if it goes first.
func (w Work) checkFit(sound []int, ps *check.Problems) {
	of := w
	of.Wants = make([]Want, len(sound))
	for i, k := range sound {
		of.Wants[i] = w.Wants[k]
	}
	j := newJob(of)
	loads := make([]int64, MaxPots)
	for k := range j.wants {
		v := &j.wants[k]
		at := fmt.Sprintf("wants[%d]", sound[v.at])
		args := check.Args{"want": v.key, "mass": Milligram(v.mass).Gram()}
		one := []int32{int32(k)}
		if !j.fitsPots(j.groups[v.group].recipe, one, loads) {
			args["most"] = Milligram(j.mostOver(j.groups[v.group].recipe)).Gram()
			ps.Wrong(at+".wanted", "lots-over-pots", args)
		}
		if v.mass > j.line {
			args["line"] = w.Line
			ps.Wrong(at+".wanted", "lots-over-line", args)
		}
		if ready := j.soonest(v); v.due >= 0 && ready > v.due {
			ps.Look(at+".due", "lots-soon", check.Args{"want": v.key, "days": ready - v.due})
		}
	}
}
