//go:build !js

package surface

import (
	"bytes"
	"fmt"

	"codeberg.org/go-pdf/fpdf"
)

// Picture lays a picture of pixels into a box. Unlike what is drawn, it can be
// looked at no closer than its pixels.
func (p *PDF) Picture(b Box, picture *PNG) error {
	b = b.within()
	var file bytes.Buffer
	if _, err := picture.WriteTo(&file); err != nil {
		return fmt.Errorf("picture for a PDF: %w", err)
	}
	p.pictures++
	name, kind := fmt.Sprintf("picture-%d", p.pictures), fpdf.ImageOptions{ImageType: "PNG"}
	p.doc.RegisterImageOptionsReader(name, kind, &file)
	p.doc.ImageOptions(name, float64(b.X), float64(b.Y), float64(b.W), float64(b.H), false, kind, 0, "")
	return nil
}
