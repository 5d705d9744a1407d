package sheet

import (
	"errors"

	"github.com/piglig/go-qr"

	"urdir/measure"
	"urdir/surface"
)

// ErrAddress is an address too long for a QR code that can still be read at the
// size it is printed.
var ErrAddress = errors.New("the address is too long for a QR code of this size")

const (
	// quiet is the blank around a QR code, in modules (ISO/IEC 18004).
	quiet = 4
	// leastModule is the smallest module that a label printer of 203 dots an inch
	// prints clean and a telephone reads: three dots (common practice, no source).
	leastModule measure.MM = 3 * 25.4 / 203
)

// drawQR draws a text as a QR code (ISO/IEC 18004) that fills a square, its quiet
// zone in it.
func drawQR(s surface.Surface, b surface.Box, text string) error {
	code, err := go_qr.EncodeText(text, go_qr.Medium)
	if err != nil {
		return errors.Join(ErrAddress, err)
	}
	module := b.W / measure.MM(code.Size()+2*quiet)
	if module < leastModule {
		return ErrAddress
	}
	var path surface.Path // one path: in a filled path neighbours leave no seam
	for y := range code.Size() {
		for x := 0; x < code.Size(); x++ {
			from := x
			for code.Module(x, y) { // false outside
				x++
			}
			if x > from {
				left, top := b.X+measure.MM(from+quiet)*module, b.Y+measure.MM(y+quiet)*module
				right := left + measure.MM(x-from)*module
				path.MoveTo(left, top).LineTo(right, top).LineTo(right, top+module).LineTo(left, top+module).Close()
			}
		}
	}
	s.Path(&path, surface.Fill(surface.Black))
	return nil
}
