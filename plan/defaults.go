package plan

import (
	"strings"

	"urdir/cloth"
	"urdir/measure"
	"urdir/warp"
	"urdir/yarn"
)

// Figures used where a cloth does not say. The workshop's own are always
// better: docs/trade.md tells how to measure each.
const (
	DefaultShrink  measure.Ratio = 0.05 // from memory: cotton, washed warm
	DefaultSpare   measure.Ratio = 0.05 // common practice, no source
	DefaultCrimp   measure.Ratio = 0.01 // from memory: the weft lies nearly straight
	DefaultWaste   measure.CM    = 25   // from memory: 15 to 30 cm on a backstrap loom
	DefaultBetween measure.CM    = 3    // common practice, no source
	DefaultUnder   measure.CM    = 1    // common practice, no source
	DefaultCheck                 = 10   // common practice, no source
)

// defaultSource says where a default is from, by the last parts of its field:
// the key of the words for it. Explain shows it.
var defaultSource = map[string]string{
	"flatness":         "default-memory",
	"shrinkage.length": "default-memory",
	"shrinkage.width":  "default-memory",
	"spare":            "default-practice",
	"crimp":            "default-memory",
	"waste":            "default-memory",
	"between":          "default-practice",
	"heddle":           "default-memory",
	"check":            "default-practice",
	"under":            "default-practice",
	"balls":            "default-one",
	"strands":          "default-one",
	"count":            "default-one",
	"pieces":           "default-one",
	"upright":          "default-one",
	"volume":           "default-peirce",
	"tied.before":      "default-memory",
	"tied.shift":       "default-memory",
	"tied.bundle":      "default-memory",
}

// NewCloth is a cloth with every default in place; what a cloth file or a form
// says is written over it. Zero then means zero.
func NewCloth() Cloth {
	return Cloth{
		Pieces:   1,
		Shrink:   Shrinkage{Length: DefaultShrink, Width: DefaultShrink},
		Flatness: cloth.DefaultFlatness,
		Spare:    DefaultSpare,
		Crimp:    DefaultCrimp,
		Join:     JoinSide,
	}
}

// NewYarn is a yarn with its defaults.
func NewYarn(key string) Yarn {
	return Yarn{Key: key, Label: key, Spec: yarn.Spec{Strands: 1}}
}

// NewWarp is a warp with its defaults.
func NewWarp(key string) Warp {
	return Warp{
		Key: key, Balls: 1, Lay: LayTogether, Waste: DefaultWaste, Between: DefaultBetween,
		Heddle: warp.DefaultHeddleHeight, Check: DefaultCheck,
	}
}

// NewPanel is a panel with its defaults.
func NewPanel(key string) Panel { return Panel{Key: key, Count: 1} }

// NewBand is a band with its defaults.
func NewBand() Band { return Band{Under: DefaultUnder, Place: Placement{Upright: 1}} }

// DefaultSource is the key of the words that say where the default of a field
// of the cloth file is from.
func DefaultSource(field string) string {
	for name, source := range defaultSource {
		if field == name || strings.HasSuffix(field, "."+name) {
			return source
		}
	}
	return "default-none"
}
