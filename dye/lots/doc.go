// Package lots combines the yarn that all open orders want dyed into a dye plan:
// which lots, in how many baths, in which pots, on which days, and which pale
// shade is dyed in the bath that a strong one leaves.
//
// # Model
//
// A Want is the yarn of one colour for one order line or group of pieces; its
// mass is rounded up to whole skeins. A colour is a recipe at a strength (of the
// weight of fibre). Wants of the same colour, fibre class and yarn kind may be
// dyed together; a lot is some of them, and every want lies whole in one lot, so
// that no stripe mixes lots. A lot goes into one bath or into several equal ones,
// each in a pot of its own, on the same day; they are equal to within a skein:
// skeins are dealt out, heaviest first, each to the lightest bath.
//
// A recipe is a row of stages (mordant, dye, ...), each a day of its own, with the
// least and the most days after the stage before. Days are whole numbers; 0 is
// the first on which anything can be dyed. In every stage each bath of a lot has
// a pot for the day, and need not be the same pot from stage to stage. A pot
// takes litres x fill / liquor ratio of dry yarn and one bath a day.
//
// After its last stage on day d a lot hangs on the line on days d to d+dry-1 and
// is dry on day d+dry, on which a warp can be laid. The line holds so much dry
// yarn a day; all of a lot hangs at once. No pot is lit on closed days; yarn dries
// and waits on them too.
//
// What a bath leaves is a share of its dye. A paler lot of the same recipe, fibre
// class and kind may be dyed in it, once: on the very next open day, in the same
// pots, if
//
//	strength of the paler <= share left x strength of the stronger
//	mass x strength of the paler <= share left x mass x strength of the stronger
//
// pot by pot. Its earlier stages (mordant) have baths of their own.
//
// # Objective
//
// First the lateness: days after the due day, each want times its weight, added
// up. Nothing buys a late order off. Among plans equally late the least work:
//
//	work = 3 x dye days + 2 x baths + 1 x fresh dye baths
//
// A dye day is the dyer's day and a fire lit; a bath is water, heat and lifting,
// and few baths are full pots; a fresh dye bath is one that is no afterbath, and
// costs dyestuff. The weights are our choice: an afterbath is worth having unless
// it asks for another bath, and an extra bath unless it asks for another day.
// They are added, not ranked, since ranked a single day saved would pay for any
// number of half-empty pots. Last, among plans of equal work, yarn is dry as
// early as can be (the sum of the days), which is slack for what goes wrong.
//
// # Method
//
// New gives a first answer: wants by due day, each put where it costs least.
// Improve takes a number of steps; each takes some lots out and puts their yarn
// back, and keeps the outcome by the rule of simulated annealing, with a known
// sequence of pseudo-random numbers. The same work, seed and number of steps
// give the same plan, however the steps are shared out over calls and in
// whatever order the input is written; Plan is there at any moment.
//
// Plan.Bound is a lateness and a work that no plan can be below, each by itself;
// Plan.Proven says that both are reached. The third aim is not bounded.
//
// # Limits
//
// Mordant baths are not shared between colours. Baths are equal even where pots
// are not. An afterbath is not used a second time. Nothing is known of a pot that
// two short baths could share in one day. A lot dyed early may keep a later order
// from joining it; plan again when orders come. The plan does not say how to dye:
// heat, mordants and dust are the recipe's cautions, and local rules come first.
package lots
