package label

import "slices"

// Fibre is a textile fibre by its generic name, as both rules want it. The keys of
// package yarn that are such names are the same here; "agave" and "mixed" are not, and
// a tag must say which it is.
type Fibre string

// Word is the key of the fibre's name.
func (f Fibre) Word() string { return "fibre-" + string(f) }

const (
	Cotton    Fibre = "cotton"
	Linen     Fibre = "linen"
	Hemp      Fibre = "hemp"
	Ramie     Fibre = "ramie"
	Jute      Fibre = "jute"
	Sisal     Fibre = "sisal"
	Henequen  Fibre = "henequen"
	Maguey    Fibre = "maguey"
	Wool      Fibre = "wool"
	Alpaca    Fibre = "alpaca"
	Llama     Fibre = "llama"
	Vicuna    Fibre = "vicuna"
	Mohair    Fibre = "mohair"
	Cashmere  Fibre = "cashmere"
	Silk      Fibre = "silk"
	Viscose   Fibre = "viscose"
	Lyocell   Fibre = "lyocell"
	Polyester Fibre = "polyester"
	Polyamide Fibre = "polyamide"
	Acrylic   Fibre = "acrylic"
	Elastane  Fibre = "elastane"
	Metal     Fibre = "metal"
	Others    Fibre = "others" // fibres too few to be named; only in a Content
)

// kind is how a fibre bears water, heat and rubbing.
type kind int

const (
	plant kind = iota
	hair       // sheep's wool and the hair of other animals, which the United States call wool too
	silk
	regenerated
	synthetic
	metal
)

// kinds is every fibre that can be named.
var kinds = map[Fibre]kind{
	Cotton: plant, Linen: plant, Hemp: plant, Ramie: plant, Jute: plant, Sisal: plant, Henequen: plant, Maguey: plant,
	Wool: hair, Alpaca: hair, Llama: hair, Vicuna: hair, Mohair: hair, Cashmere: hair, Silk: silk,
	Viscose: regenerated, Lyocell: regenerated,
	Polyester: synthetic, Polyamide: synthetic, Acrylic: synthetic, Elastane: synthetic, Metal: metal,
}

// Fibres is every fibre that can be named, by code.
func Fibres() []Fibre {
	out := make([]Fibre, 0, len(kinds))
	for f := range kinds {
		out = append(out, f)
	}
	slices.Sort(out)
	return out
}
