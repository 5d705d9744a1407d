// Package promise gives dates that can be promised, and tells how promises were
// kept.
//
// # A date
//
// Simulate runs the whole plan through many times, each time with other work: a
// step's minutes are drawn from its forecast, which is log-normal (package rates).
// What is not known of a rate is drawn once in a run for all steps of that kind, or
// of that kind and member; what differs from task to task for each step.
// schedule.Replay lets the steps happen, within all limits, as people do who keep to
// the plan's order. The day by which an order is ready in four of five runs is
// promised with 80 %.
//
// Chance is common to all simulations of one seed: a step has the same luck in run
// 17 whatever other steps there are, since its number is made of the seed, the run
// and its key. So two plans differ by what differs between them, and not by luck
// (common random numbers; Glasserman and Yao, Management Science 38, 1992, 884-908).
//
// A new order gives way: in every run it takes what all others leave, so no given
// promise becomes less sure by it. It is a careful date, since people will give it
// a little more than that.
//
// # What it does not know
//
// Standing times, hours and absences are as written. Yarn is there, and nobody
// falls ill. Orders that will come are not known; they give way. People keep to the
// plan; planning again from time to time does better.
// Whether promises are kept as often as they say is seen in Calibrate, and only
// there.
package promise
