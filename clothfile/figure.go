package clothfile

import (
	"strings"

	"urdir/check"
	"urdir/plan"
)

// ReadFigure reads a figure by itself: its fields as they stand under its key in
// a cloth file. What it gives is a cloth that has only this figure, or none when
// it cannot be read. It is checked as a figure of a cloth file is; whether there
// are yarns of the names its colours have is not.
func ReadFigure(key, text string) (plan.Cloth, check.Problems) {
	var b strings.Builder
	b.WriteString("urdir: 1\nname: x\nfigures:\n  " + key + ":\n")
	for line := range strings.Lines(text) {
		b.WriteString("    " + strings.TrimRight(line, "\n") + "\n")
	}
	c, _, ps := Read([]byte(b.String()))
	return c, ps
}

// WriteFigure is a figure's text as ReadFigure reads it.
func WriteFigure(f plan.Figure) string { return writeFigure(&f).Lines() + "\n" }
