// Package schedule says who does what when: it places the steps of all orders in
// time, with people and their hours, pots, the drying line, frames and looms.
//
// # Model
//
// Time is whole minutes from Problem.Begin. A Step is work of hands, which goes on
// in the hours there are and rests between them, and then standing by the clock (a
// soak, drying), which does not. It takes up its places from start to end, and its
// person from the first minute of work to the last: nights in between are hers,
// another step is not. Only a class at fixed hours is fitted into other work. Whole
// work does not stop in between. A step follows others after a least wait and
// before a longest one; it may be done by one of several people, who take
// different time; the steps of a Stay all stay with one. Hours are those of
// calendars by the wall clock, in a time zone the caller gives, and compiled once.
//
// # Objective
//
// Limits are always obeyed. Where what is fixed leaves no way to keep a wait, or
// hours run out, that is counted as broken and said. Then, each before the next:
//
//  1. lateness: days begun after the due time, each order times its weight
//  2. fairness of paid hours among those who want work: Fairness, in thousandths
//  3. lead time: days begun from when an order may begin to when it is ready
//  4. changes: steps done by another person, or a day off, than someone was told
//
// What has begun, what a person was told, and classes do not move, unless the
// caller frees them. Nothing that serves only a class begins more than two weeks
// before it would have to if nothing else were to do.
//
// # Method
//
// Serial schedule generation: steps one after the other, each as early as it fits
// (Kelley 1963; Kolisch, EJOR 90, 1996). Steps with a longest wait between them are
// placed together, and begun again later if one would lie too long. Three orders of
// steps give the first answer. Many orders are made better in a sketch that knows
// only when lots have their places and who has which warp after which (sketch.go),
// and by taking some out and putting them back (tear.go); one order by breeding and
// justifying (herd.go).
// Chance has a seed and schedules are counted, not timed: the same problem, seed
// and number give the same plan, and Plan is there at any moment.
//
// Bound is what no plan that keeps all waits can be below; bound.go says why.
//
// # Limits
//
// One person does a step; two pairs of hands are two steps, or one person's time.
// A long step is not laid aside for a short one. Who holds a class is settled
// before all else, by who has had least. Places of one kind and size are dealt out
// when a plan is written, so a new plan may exchange them unless someone was told.
package schedule
