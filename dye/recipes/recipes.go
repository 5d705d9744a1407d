// Package recipes holds the recipes that come with the program, one file each,
// named for its plant and its fibre: madder-cotton.yaml. They are a beginning:
// every one says to try a sample first.
package recipes

import "embed"

// Files is the recipe files; package dyefile reads them.
//
//go:embed *.yaml
var Files embed.FS
