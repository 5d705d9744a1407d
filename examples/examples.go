// Package examples holds the example cloths of an invented cooperative. They are
// also what a new cloth file starts from.
package examples

import "embed"

// Files is the cloth files, each named for its kind: scarf.yaml.
//
//go:embed *.yaml
var Files embed.FS

// Kinds is the kinds of cloth there is an example of.
var Kinds = []string{"scarf", "runner", "sash", "tunic", "bag", "blanket", "shawl", "class"}
