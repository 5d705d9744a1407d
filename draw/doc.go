// Package draw draws the parts of a plan: the cloth, true to its ends and
// picks; the stripe ruler; the frame with its path; the chart of a figure; the
// length plan. Each is drawn once, on a surface.Surface, whatever comes of it:
// a page of a sheet, a picture for a telephone, a file that scales.
//
// Every drawing takes the box it may fill and fits itself into it.
package draw
