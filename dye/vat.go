package dye

import (
	"math"

	"urdir/measure"
)

// Defaults of a vat, from memory.
const (
	// DefaultPickup is the bath that fibre carries out of a vat, squeezed by hand.
	DefaultPickup measure.LPerKG = 1.5
	// DefaultWeakest is the strength below which dips give next to nothing.
	DefaultWeakest measure.PerLitre = 0.5
)

// Part is a share of a vat's stock: so many times the weight of its dye.
type Part struct {
	What   string
	Parts  measure.Count
	Source string
}

// Vat is dyeing by dips: a bath in which the dye is dissolved without oxygen,
// and air that brings its colour back on the fibre.
type Vat struct {
	Dye      string
	Strength measure.PerLitre // of dye, when the vat is made
	Stock    []Part
	Warm     measure.Celsius
	Dips     int
	Dip      measure.Minute // time in the vat
	Airing   measure.Minute // after each dip
	Pickup   measure.LPerKG // zero: DefaultPickup
	Source   string
}

// pickup is what the fibre carries out.
func (v Vat) pickup() measure.LPerKG {
	if v.Pickup > 0 {
		return v.Pickup
	}
	return DefaultPickup
}

// VatPlan is a vat made for a bath of fibre.
type VatPlan struct {
	Bath   measure.Litre      `json:"bath_l"`
	Dye    measure.Gram       `json:"dye_g"`
	Stock  []Weighed          `json:"stock"`
	Dips   int                `json:"dips"`
	After  []measure.PerLitre `json:"strength_after_g_per_l"` // each dip
	Taken  measure.Gram       `json:"taken_g"`                // by the fibre
	Share  measure.Ratio      `json:"taken_of_fibre_fraction"`
	Left   measure.PerLitre   `json:"left_g_per_l"`
	Time   measure.Minute     `json:"time_min"` // dips and airings
	Dip    measure.Minute     `json:"dip_min"`
	Airing measure.Minute     `json:"airing_min"`
	Warm   measure.Celsius    `json:"warm_c"`
}

// Make makes a vat of a volume for a mass of fibre and dips the fibre.
//
// Each dip the fibre carries bath out with it, pickup x mass, and the dye of
// that bath stays on it: taken = strength x pickup x mass. The vat is filled up
// with water of its own kind, so that n dips leave
// strength x (1 - pickup x mass / bath)^n. This counts no dye drawn to the fibre
// beyond what its bath holds: a low estimate.
func (v Vat) Make(bath measure.Litre, m measure.Gram) VatPlan {
	p := VatPlan{Bath: bath, Dye: measure.Gram(float64(v.Strength) * float64(bath)), Dips: v.Dips, Dip: v.Dip, Airing: v.Airing, Warm: v.Warm}
	for _, part := range v.Stock {
		p.Stock = append(p.Stock, Weighed{What: part.What, Mass: p.Dye * measure.Gram(part.Parts)})
	}
	if bath <= 0 {
		return p
	}
	out := min(1, float64(v.pickup().For(m))/float64(bath))
	c := v.Strength
	for range v.Dips {
		taken := c * measure.PerLitre(out)
		p.Taken += measure.Gram(float64(taken) * float64(bath))
		c -= taken
		p.After = append(p.After, c)
	}
	p.Left = c
	if m > 0 {
		p.Share = measure.Ratio(p.Taken / m)
	}
	p.Time = measure.Minute(v.Dips) * (v.Dip + v.Airing)
	return p
}

// DipsFor is how many dips give the fibre a share of its weight in dye, or 0
// where this vat cannot however often it is dipped.
func (v Vat) DipsFor(share measure.Ratio, bath measure.Litre, m measure.Gram) int {
	whole := float64(v.Strength) * float64(bath)
	need := float64(share) * float64(m)
	out := float64(v.pickup().For(m)) / float64(bath)
	if need <= 0 || need >= whole || out <= 0 {
		return 0
	}
	if out >= 1 {
		return 1
	}
	const hair = 1e-9 // a dip is not added for the last bit of a float
	return int(math.Ceil(math.Log(1-need/whole)/math.Log(1-out) - hair))
}
