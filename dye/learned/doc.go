// Package learned tells what a dye house learned from its baths: how far the
// colour reached lies from the colour expected, recipe by recipe, and whether the
// lot of plants, the moon or the water made a difference that is more than
// chance.
//
// # What is compared
//
// An Observation is one dyeing. Its offset is the colour reached less the colour
// expected, in CIELAB. How large offsets are is told by CIEDE2000; whether they
// have a direction is asked of the offsets themselves, as points in space.
//
// A recipe: is the mean of its offsets other than zero? Were it only chance, each
// offset could as well have fallen the other way, as far. So all signs are tried (Fisher,
// The Design of Experiments, 1935, section 21), and P is the share of them whose
// sum of offsets is at least as long as the real one.
//
// A factor, as the lot of plants: do groups of baths differ, once what the recipe
// does is taken out? Were it only chance, the baths of one recipe could as well
// have stood in each other's places. So the offsets, less the mean of their recipe,
// are dealt out anew among the baths of that recipe, and P is the share of deals
// that set the groups at least as far apart. How far is the pseudo-F of Anderson,
// Austral Ecology 26, 2001, 32-46, with Euclidean distances and the recipe as a
// block: the sum of squares that the groups explain beyond the recipes, for each
// degree of freedom, over that which is left:
//
//	F = (between / (groups - bound)) / (left / (baths - recipes - groups + bound))
//
// Bound is how many sets of groups no recipe joins: 1 if every recipe was dyed
// under several moons, as many as recipes if each has plants of its own. With one
// recipe this is Anderson's F, and with one axis of colour it is that of the
// analysis of variance.
//
// # Chance
//
// Where there are few arrangements all are tried, and P is exact. Otherwise many
// are drawn, from a known sequence of pseudo-random numbers, and P = (b + 1) / (m + 1)
// for b as extreme among m drawn, which is never zero (Phipson and Smyth, Stat.
// Appl. Genet. Mol. Biol. 9(1), 2010, article 39).
//
// Who asks much finds much by chance. The recipes are one family of questions,
// the factors another; in each, P is corrected by Holm, Scand. J. Stat. 6, 1979,
// 65-70, so that where nothing is at work no more than one dye house in twenty is
// told of anything. A question that could not be answered yes whatever colours
// came is TooFew, and is left out of that correction (Tarone, Biometrics 46, 1990,
// 515-522): which ones follows from how many baths there are, not from colours.
//
// # Limits
//
// More than chance is not because of. Plants, water and moon change with season,
// hands and yarn; a lot of plants is used up before the next is begun, so whatever
// drifted meanwhile looks like the lot. Dye the same recipe from both lots on one
// day to know.
//
// One observation is one dyeing: skeins of one bath, or pots of one mordant bath,
// went right or wrong together and count once. No more than chance does not say
// that there is no difference: see Chance.Least.
package learned
