// Package figure holds charts: brocade laid in with a supplementary weft, and
// figures picked up from the warp.
//
// A chart is drawn as plain text, one character a cell, as the finished figure
// looks: the bottom row is woven first. A full stop is ground. Parse reads it,
// Check looks for what would not wear, Place puts it on the ends of a band,
// Yarn reckons its figure weft and Read says it row by row.
//
// Brocade. A cell stands for so many ends by so many picks. On every pick of
// its row the figure weft lies over the ends of the cell and under the others,
// between two picks of ground weft that make the cloth. Woven each by itself
// (Each), every figure has its own butterfly of yarn for each colour, which
// turns at the figure's edges; woven across (Across), the figure weft runs the
// width of the band with every pick and lies on the back wherever it is not
// wanted.
//
// Pick-up. The warp alternates two yarns end by end; a cell stands for one such
// pair and one pick. In every pick one end of each pair is up. The first yarn's
// shed is open on odd picks, the second's on even ones, which gives the bars of
// the ground:
//
//	pick      1 2 3 4 5
//	ground    A B A B A     the end up, A the first yarn, B the second
//	B named   A B B B A     B named in pick 3: it floats over three picks
//
// Where the chart names a yarn, that yarn's end is up: if its shed is closed
// the weaver picks the end up from below and drops its neighbour (common
// practice). A chart that names a yarn in every cell has one face in the first
// yarn's colour where the other has the second's, and the open shed then only
// says which ends need no picking.
//
// Lengths are those on the loom. A float over n threads is taken as n/density
// long; the half spacing at each side where the thread dives is left out.
package figure
