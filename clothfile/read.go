package clothfile

import (
	"urdir/check"
	"urdir/internal/yamlfile"
	"urdir/plan"
	"urdir/warp"
)

// MaxBytes is the most that a cloth file may have. The largest cloth anyone has
// drawn is a few dozen kilobytes.
const MaxBytes = 1 << 20

// Version is the number a file gives in its first field, urdir.
const Version = 1

var fileKind = yamlfile.Kind{First: "urdir", Version: Version, Bytes: MaxBytes, Depth: 40, Entries: 10_000, List: warp.MaxStripes}

// Position is a place in the file, counted from 1.
type Position = yamlfile.Position

// Source knows where each field of a file stands.
type Source = yamlfile.Source

// fields says into what each field of a mapping is read.
type fields = yamlfile.Fields

// Read reads a cloth file. The Cloth is only good when the problems have not
// Failed; the Source is always good for locating problems.
func Read(text []byte) (plan.Cloth, Source, check.Problems) {
	c := plan.NewCloth()
	source, ps := yamlfile.Read(text, fileKind, toCloth(&c))
	if !source.Has("order.pieces") {
		c.Pieces = piecesUnsaid(c.Learners)
	}
	return c, source, ps
}

// piecesUnsaid is how many pieces are meant where the order does not say: in a
// class, one for each learner.
func piecesUnsaid(learners int) int {
	if learners > 0 {
		return learners
	}
	return plan.NewCloth().Pieces
}
