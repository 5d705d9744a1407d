// Package label reckons what stands on a piece's tag by the labelling rules: fibres
// in whole per cents (Content), care in the order and steps of ISO 3758 as words and
// not as symbols, which are registered marks in many countries (Care), and what a
// tag must not lack (Tag.Check).
//
// Rules are those of the European Union (Regulation 1007/2011) and of the United
// States (16 CFR 300, 303 and 423), as far as a hand weaver meets them; figures in
// them are from memory where the comment says so. Local rules come first: the
// package helps to keep to them and does not replace reading them.
//
// It holds no sentences; fibres and care are codes, which internal/lang puts into
// words.
package label
