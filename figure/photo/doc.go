// Package photo makes a chart of a photo or a drawing.
//
//	Decode   a file, guarded -> picture
//	Colours  picture         -> its main colours and their shares
//	Chart    picture         -> cells, each of one colour
//
// A cell of a chart shows one colour where the picture has many, so light is
// added up before it is compared. Light adds up as it is, not as a file codes it
// (IEC 61966-2-1, the transfer of sRGB), and colours are compared where equal
// distances look about equally far apart: in Oklab (B. Ottosson, "A perceptual
// color space for image processing", 2020). Clear parts of a picture are white,
// as on paper.
//
// The main colours are the k means of the picture: those that leave the least
// sum of squared distances. They are begun as in k-means++ (D. Arthur and
// S. Vassilvitskii, SODA 2007) from fixed numbers, so that a picture has the
// same colours every time, and bettered point by point until no point would
// rather be in another group (J. A. Hartigan, Clustering Algorithms, 1975).
//
// Of what a picture has, little can be woven: a cell unlike all around it is
// dropped, and runs shorter than asked for are given to their neighbours.
package photo
