// Package dyefile reads and writes a recipe file: the text, in YAML, in which a
// dyer keeps a recipe. docs/recipe-file.md describes it field by field. How such
// files are read is for internal/yamlfile; here stands what their fields mean.
//
// Read is pure: text in, dye.Recipe and problems out, all of them in one
// reading. A Source remembers where every field stands, so that what dye.Check
// finds later can be shown on its line. Write is the inverse of Read.
package dyefile
