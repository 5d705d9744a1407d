package dyefile

import (
	"urdir/check"
	"urdir/dye"
	"urdir/internal/yamlfile"
)

// MaxBytes is the most that a recipe file may have; the longest shipped one has
// 4 kB.
const MaxBytes = 1 << 16

// Version is the number a file gives in its first field, recipe.
const Version = 1

var fileKind = yamlfile.Kind{First: "recipe", Version: Version, Bytes: MaxBytes, Depth: 20, Entries: 1500, List: 200}

// Position is a place in the file, counted from 1.
type Position = yamlfile.Position

// Source knows where each field of a file stands.
type Source = yamlfile.Source

// fields says into what each field of a mapping is read.
type fields = yamlfile.Fields

// Read reads a recipe file. The Recipe is only good when the problems have not
// Failed; what it means is for dye.Check to judge.
func Read(text []byte) (dye.Recipe, Source, check.Problems) {
	var r dye.Recipe
	source, ps := yamlfile.Read(text, fileKind, toRecipe(&r))
	return r, source, ps
}
