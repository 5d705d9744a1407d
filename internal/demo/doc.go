// Package demo fills an empty database with a cooperative in the middle of its
// season, so that someone can look around before there is anything of her own.
//
// The cooperative, its valley and its people are invented. Nothing about how
// far its orders are is written down: a calendar of deeds (orders.go) is gone
// through day by day, with a clock of its own, by the calls that the pages use.
package demo
