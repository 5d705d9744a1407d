// Package rates learns from records how long work takes, and says how sure that
// is: so many minutes for an end to be warped, a pick woven, a row of brocade.
//
// It is for planning each member's own time. It is never a ranking: nothing here
// sorts members by speed or compares two of them, and results stand in the order
// in which members first appear in the records.
//
// # Model
//
// A Record is a task that was done: member, kind of work, quantity, minutes.
// With y = ln(minutes / quantity), for the records of one kind
//
//	y of a record of member i ~ N(theta_i, s2)    from task to task
//	theta_i ~ N(mu, t2)                           from member to member
//	mu ~ N(ln of the starting rate, doubt2)       before there were records
//
// so minutes are log-normal. Each member's mean is drawn toward the workshop's,
// the more the fewer records she has: see Shrink for the estimator, which is
// Stein's where all have equally many, and for its sources. A kind without
// records has its starting rate, which is a guess: see Starts.
//
// A Forecast keeps apart what is not known of the workshop's rate, which is the same
// for everybody, of the member's, which is the same for all her tasks, and what
// differs from task to task. A simulation must draw the first once for a kind, the
// second once for a member and kind, and only the third for every task: long orders
// come out too sure otherwise, since independent errors even out and a wrong rate
// does not.
//
// # Records that look wrong
//
// Ask finds records far from what is expected, to be asked about. None is
// dropped; until someone has said that it is right (Record.Sure) it counts as if
// it stood at the edge of what is expected.
//
// # Limits
//
// Minutes are proportional to quantity, and a short task varies as much as a long
// one. Nobody gets quicker: leave out records that are too old. Only the kind
// matters, not the cloth: a kind may be told apart further by its name, at the
// price of fewer records for each.
package rates
