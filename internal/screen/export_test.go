package screen

import (
	"maps"
	"slices"
)

// StrokeNames is everything that can be asked of a drawing.
func StrokeNames() []string { return slices.Sorted(maps.Keys(strokes)) }

// DrawingWordKeys is the words of a drawing, without "drawing-".
func DrawingWordKeys() []string { return drawingWords }

// Folds is folds.
var Folds = folds
