package dye

import (
	"slices"

	"urdir/measure"
)

// Hazard is a key for a caution, which internal/lang has in words.
type Hazard string

const (
	NeverFood  Hazard = "never-food" // dye pots are never cooked in again
	Apart      Hazard = "apart"      // children, animals and the pregnant keep away
	HotBath    Hazard = "hot-bath"
	Steam      Hazard = "steam" // a closed room fills with it
	Smoke      Hazard = "smoke" // wood fire: smoke, sparks
	Gas        Hazard = "gas"   // gas flame in a closed room
	Lifting    Hazard = "lifting"
	Dust       Hazard = "dust"
	Stains     Hazard = "stains"
	AlumCare   Hazard = "alum"
	IronCare   Hazard = "iron"
	TanninCare Hazard = "tannin"
	Alkali     Hazard = "alkali" // lime, lye, soda ash
	Acid       Hazard = "acid"
	Reducing   Hazard = "reducing" // vat chemicals that take oxygen up
	Poison     Hazard = "poison"
	HeavyMetal Hazard = "heavy-metal"
	Slippery   Hazard = "slippery"
)

// Hazards is every one, in the order cautions are read.
var Hazards = []Hazard{NeverFood, Apart, HeavyMetal, Poison, Alkali, Acid, Reducing, HotBath, Steam, Smoke, Gas, Lifting, Dust, AlumCare, IronCare,
	TanninCare, Stains, Slippery}

// Waste is where the bath goes when it is spent. Local rules and licensed
// practice come first.
type Waste string

const (
	Drain      Waste = "drain"      // as household water goes
	Soil       Waste = "soil"       // on soil, away from wells and streams
	Neutralise Waste = "neutralise" // brought to pH 6 to 9 first
	Reuse      Waste = "reuse"      // used again until it is spent, then neutralised
	Collect    Waste = "collect"    // never poured out: collected as hazardous waste
)

// Wastes is every way, the mildest first; where a bath holds several, the
// strictest counts.
var Wastes = []Waste{Drain, Soil, Neutralise, Reuse, Collect}

// From here a bath scalds and steams (ISO 13732-1 puts the burn threshold of
// hot water near 50 °C for a long touch; from memory), and from here a full pot
// is heavy: 15 kg is a common limit for repeated lifting by one person (from
// memory; local rules differ).
const (
	scalds measure.Celsius = 50
	heavy  measure.Litre   = 15
)

// cautions gathers the hazards of a step from what is in its bath, how hot and
// how much it is, and what its recipe says.
func (r Recipe) cautions(s Step, hottest measure.Celsius, bath measure.Litre, fuel FuelKind) []Hazard {
	found := slices.Clone(s.Hazards)
	for _, a := range s.Amounts {
		found = append(found, r.careOf(a.What)...)
	}
	if s.Vat != nil {
		found = append(found, r.careOf(s.Vat.Dye)...)
		for _, p := range s.Vat.Stock {
			found = append(found, r.careOf(p.What)...)
		}
	}
	if s.Kind.wet() {
		found = append(found, NeverFood, Apart, Slippery)
	}
	if hottest >= scalds {
		found = append(found, HotBath, Steam)
	}
	if hottest > 0 && len(s.Heat) > 0 {
		found = append(found, Smoke)
		if fuel == LPG {
			found[len(found)-1] = Gas
		}
	}
	if bath >= heavy {
		found = append(found, Lifting)
	}
	return inOrder(found)
}

// careOf is the hazards of a substance or material.
func (r Recipe) careOf(what string) []Hazard {
	if sub := SubstanceOf(what); sub != nil {
		return sub.Hazards
	}
	if m := r.Material(what); m != nil && m.Toxic {
		return []Hazard{Stains, Dust, Poison}
	}
	return []Hazard{Stains, Dust}
}

// inOrder is the hazards once each, in the order of Hazards.
func inOrder(found []Hazard) (out []Hazard) {
	for _, h := range Hazards {
		if slices.Contains(found, h) {
			out = append(out, h)
		}
	}
	return out
}

// waste is the strictest way of what is in a bath and what the step says.
func (s Step) waste() Waste {
	worst := max(0, slices.Index(Wastes, s.Waste))
	add := func(what string) {
		if sub := SubstanceOf(what); sub != nil {
			worst = max(worst, slices.Index(Wastes, sub.Waste))
		} else {
			worst = max(worst, slices.Index(Wastes, Soil))
		}
	}
	for _, a := range s.Amounts {
		add(a.What)
	}
	if s.Vat != nil {
		add(s.Vat.Dye)
		for _, p := range s.Vat.Stock {
			add(p.What)
		}
	}
	return Wastes[worst]
}
