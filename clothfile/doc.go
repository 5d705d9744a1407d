// Package clothfile reads and writes a cloth file: the text, in YAML, in which a
// weaver says what a cloth is and how many pieces are wanted. docs/cloth-file.md
// describes it field by field. How such files are read is for internal/yamlfile;
// here stands what their fields mean.
//
// Read is pure: text in, plan.Cloth and problems out. All problems of a file
// are found in one reading, and a Source remembers the line and column of every
// field, so that problems found later, by plan.Make, can be shown where they
// were written. Write is its inverse: the cloth file of a cloth.
package clothfile
