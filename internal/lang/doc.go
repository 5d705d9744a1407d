// Package lang holds every word a person reads, in Spanish and English, and the
// way numbers and dates are written. Calculation packages give keys and values;
// this package makes sentences of them.
//
// Words are in words/TOPIC.LANG.json. A new language is a new set of files, a
// line in Languages and a word in Detect; the tests say what is missing.
package lang
