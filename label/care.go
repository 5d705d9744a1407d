package label

import (
	"slices"

	"urdir/check"
)

// Care is how a piece is looked after, in the order of ISO 3758: washing, bleaching,
// drying, ironing, professional care. Each is a code whose words say what to do. An
// empty one is not said.
type Care struct {
	Wash, Bleach, Dry, Iron, Clean Treatment
}

// Treatment is one step of care: a code that internal/lang puts into words.
type Treatment string

// Treatments of ISO 3758 (the steps; temperatures are the most it may be), the
// strongest first. Hand washing is said as 30 °C, since national versions differ
// between 30 and 40.
const (
	Wash95       Treatment = "care-wash-95"
	Wash70       Treatment = "care-wash-70"
	Wash60       Treatment = "care-wash-60"
	Wash60Mild   Treatment = "care-wash-60-mild"
	Wash50       Treatment = "care-wash-50"
	Wash50Mild   Treatment = "care-wash-50-mild"
	Wash40       Treatment = "care-wash-40"
	Wash40Mild   Treatment = "care-wash-40-mild"
	Wash40Gentle Treatment = "care-wash-40-gentle"
	Wash30       Treatment = "care-wash-30"
	Wash30Mild   Treatment = "care-wash-30-mild"
	Wash30Gentle Treatment = "care-wash-30-gentle"
	WashByHand   Treatment = "care-wash-hand"
	WashNot      Treatment = "care-wash-not"

	BleachAny    Treatment = "care-bleach-any"
	BleachOxygen Treatment = "care-bleach-oxygen"
	BleachNot    Treatment = "care-bleach-not"

	TumbleNormal  Treatment = "care-tumble-normal" // 80 °C at the outlet
	TumbleLow     Treatment = "care-tumble-low"    // 60 °C
	Line          Treatment = "care-dry-line"
	LineShade     Treatment = "care-dry-line-shade"
	DripLine      Treatment = "care-dry-drip"
	DripLineShade Treatment = "care-dry-drip-shade"
	Flat          Treatment = "care-dry-flat"
	FlatShade     Treatment = "care-dry-flat-shade"

	Iron200 Treatment = "care-iron-200"
	Iron150 Treatment = "care-iron-150"
	Iron110 Treatment = "care-iron-110" // without steam
	IronNot Treatment = "care-iron-not"

	CleanDry       Treatment = "care-clean-dry" // perchloroethylene and hydrocarbons
	CleanDryMild   Treatment = "care-clean-dry-mild"
	CleanHydro     Treatment = "care-clean-hydro" // hydrocarbons only
	CleanHydroMild Treatment = "care-clean-hydro-mild"
	CleanWet       Treatment = "care-clean-wet"
	CleanWetMild   Treatment = "care-clean-wet-mild"
	CleanWetGentle Treatment = "care-clean-wet-gentle"
	CleanNot       Treatment = "care-clean-not"
)

// treatmentGroups is washing, bleaching, drying, ironing and professional care.
const treatmentGroups = 5

// ladders is the treatments of each group, the strongest first. Of what is not
// stronger or gentler but other (line or flat), the one that spares more is later.
var ladders = [treatmentGroups][]Treatment{
	{Wash95, Wash70, Wash60, Wash60Mild, Wash50, Wash50Mild, Wash40, Wash40Mild, Wash40Gentle, Wash30, Wash30Mild, Wash30Gentle, WashByHand, WashNot},
	{BleachAny, BleachOxygen, BleachNot},
	{TumbleNormal, TumbleLow, Line, DripLine, Flat, LineShade, DripLineShade, FlatShade},
	{Iron200, Iron150, Iron110, IronNot},
	{CleanDry, CleanDryMild, CleanHydro, CleanHydroMild, CleanWet, CleanWetMild, CleanWetGentle, CleanNot},
}

// Treatments is every treatment of a group, 0 for washing to 4 for professional
// care, the strongest first.
func Treatments(group int) []Treatment {
	if group < 0 || group >= treatmentGroups {
		return nil
	}
	return slices.Clone(ladders[group])
}

func (c *Care) fields() [treatmentGroups]*Treatment {
	return [...]*Treatment{&c.Wash, &c.Bleach, &c.Dry, &c.Iron, &c.Clean}
}

// Words is what the tag says, in order.
func (c Care) Words() (out []Treatment) {
	for _, t := range c.fields() {
		if *t != "" {
			out = append(out, *t)
		}
	}
	return out
}

// And is the care that spares both of two materials: of each group the gentler. What
// one of them does not say, the other does.
func (c Care) And(o Care) Care {
	mine, theirs := c.fields(), o.fields()
	for i, ladder := range ladders {
		if slices.Index(ladder, *theirs[i]) > slices.Index(ladder, *mine[i]) {
			*mine[i] = *theirs[i]
		}
	}
	return c
}

// Check is everything that is wrong with care for a piece of some fibres. Problems:
// care-unknown; the cautions care-strong, for what is stronger than is usual for the
// fibres, and care-missing, for washing that is not said.
func (c Care) Check(of []Fibre, plantDyed bool) (ps check.Problems) {
	usual := Usual(of, plantDyed)
	most := usual.fields()
	paths := [treatmentGroups]string{"wash", "bleach", "dry", "iron", "clean"}
	for i, t := range c.fields() {
		at := slices.Index(ladders[i], *t)
		switch {
		case *t != "" && at < 0:
			ps.Wrong(paths[i], "care-unknown", check.Args{"text": string(*t)})
		case *t == "" && i == 0:
			ps.Look(paths[i], "care-missing", nil)
		case *t != "" && at < slices.Index(ladders[i], *most[i]):
			ps.Look(paths[i], "care-strong", nil)
		}
	}
	return ps
}

// Usual is the care that is usually right for a hand-woven piece of some fibres; a
// piece that is dyed with plants is kept out of hot water, bleach and the sun. It is
// common practice, no source, and no test: whoever sells a piece with it should have
// washed one like it first (16 CFR 423 asks for a reasonable basis).
func Usual(of []Fibre, plantDyed bool) (c Care) {
	for _, f := range of {
		c = c.And(usual[kinds[f]])
	}
	if plantDyed {
		c = c.And(Care{Wash: Wash30Gentle, Bleach: BleachNot, Dry: LineShade, Iron: Iron150, Clean: CleanNot})
	}
	return c
}

var usual = map[kind]Care{
	plant:       {Wash40Mild, BleachNot, Line, Iron200, CleanDry},
	hair:        {WashByHand, BleachNot, Flat, Iron150, CleanDryMild},
	silk:        {WashByHand, BleachNot, LineShade, Iron110, CleanDryMild},
	regenerated: {Wash30Mild, BleachNot, Line, Iron150, CleanDry},
	synthetic:   {Wash30Mild, BleachNot, Line, Iron110, CleanDryMild},
	metal:       {WashByHand, BleachNot, Flat, Iron110, CleanNot},
}
