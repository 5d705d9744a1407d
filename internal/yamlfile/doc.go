// Package yamlfile is what the files that people keep in YAML have in common,
// such as a cloth file and a recipe file: how they are read, with all problems
// found in one reading and each where it stands, and how they are written.
//
// Reading is pure: text in; values, places and problems out. A kind of file is
// a Kind with its limits, and for each mapping in it a table of Fields, which
// says into what each field is read:
//
//	yamlfile.Read(text, kind, yamlfile.Fields{
//		"orders": kind.CheckVersion,
//		"name":   yamlfile.ToText(&o.Name),
//		"width":  yamlfile.To(measure.ParseLength, &o.Width),
//		"seam":   yamlfile.Fields{"left": yamlfile.To(measure.ParseLength, &o.Left)}.Read,
//	}.Read)
//
// What is not a plain text, number, list or mapping is refused: anchors,
// aliases and tags are not for people. Writing is the inverse: Parts for a
// mapping, and for each reader To… a function that gives the value's text.
package yamlfile
