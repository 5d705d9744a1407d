// Package figure holds charts: brocade laid in with a supplementary weft, and
// figures picked up from the warp.
//
// A chart is drawn as plain text, one character a cell, as the finished figure
// looks: the bottom row is woven first. A full stop is ground.
//
// Brocade. A cell stands for so many ends by so many picks. On every pick of
// its row the figure weft passes over the ends of the cell and under the
// others. Woven in parts (Each), every figure has its own butterfly of yarn for
// each colour, which turns at the figure's edges; woven across (Across), the
// figure weft runs the width of the band with every pick.
//
// Pick-up. The warp alternates two yarns end by end; a cell stands for one such
// pair and one pick. The first yarn's shed is open on odd picks, the second's
// on even ones, which gives the bars of the ground. Where the chart names a
// yarn, that yarn's end is brought up instead and its neighbour let down
// (common practice). An end brought up between two picks on which its own shed
// is open floats over three picks.
package figure
