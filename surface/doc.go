// Package surface is paper: lines, fills and words in millimetres, from the top
// left corner down. One drawing is drawn once and comes out as PDF, SVG or PNG.
// It knows nothing of cloth.
//
// Rect is the fast way and the only one that may be called a million times.
// Edges are blended by how much of a pixel they cover, and a later rectangle
// lies over an earlier one. Neighbouring areas are therefore drawn without a
// seam by letting each reach a little under the next: see Lap. Bars and Columns
// are many rectangles at once.
//
// In a browser there is PNG alone, its pixels without a file, and no words: pages
// write their own.
package surface
