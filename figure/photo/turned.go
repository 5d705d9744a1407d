package photo

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
)

// turned is a picture as it was taken, where the file has it lying on its side:
// telephones turn nothing, they write down how they were held. Orientation is 1
// to 8 (Exif, CIPA DC-008, tag 0x0112).
type turned struct {
	image.Image
	orientation int
}

// upright turns a picture.
func upright(img image.Image, orientation int) image.Image {
	if orientation < 2 || orientation > 8 {
		return img
	}
	return turned{img, orientation}
}

// Bounds begins at 0, 0; from 5 on, width and height are exchanged.
func (t turned) Bounds() image.Rectangle {
	w, h := t.Image.Bounds().Dx(), t.Image.Bounds().Dy()
	if t.orientation >= 5 {
		w, h = h, w
	}
	return image.Rect(0, 0, w, h)
}

func (t turned) At(x, y int) color.Color { return t.RGBA64At(x, y) }

// RGBA64At is for package draw, which is slow without it.
func (t turned) RGBA64At(x, y int) color.RGBA64 {
	b := t.Image.Bounds()
	if t.orientation >= 5 {
		x, y = y, x
	}
	right, down := b.Dx()-1-x, b.Dy()-1-y
	switch t.orientation {
	case 2, 8: // the first column of the file is the right side, or the bottom
		x = right
	case 3, 7:
		x, y = right, down
	case 4, 6:
		y = down
	}
	if fast, ok := t.Image.(image.RGBA64Image); ok {
		return fast.RGBA64At(b.Min.X+x, b.Min.Y+y)
	}
	r, g, bl, a := t.Image.At(b.Min.X+x, b.Min.Y+y).RGBA()
	return color.RGBA64{R: uint16(r), G: uint16(g), B: uint16(bl), A: uint16(a)}
}

func (t turned) ColorModel() color.Model { return color.RGBA64Model }

// orientation is what a JPEG says of how it was held; 1 where it says nothing
// that can be read.
func orientation(file []byte) int {
	at := 2 // after the mark that begins the file
	for at+4 <= len(file) && file[at] == 0xff && file[at+1] != 0xda {
		size := int(binary.BigEndian.Uint16(file[at+2:]))
		part := file[at+4 : min(len(file), max(at+4, at+2+size))]
		if exif, ok := bytes.CutPrefix(part, []byte("Exif\x00\x00")); ok && file[at+1] == 0xe1 {
			return tag(exif)
		}
		at += 2 + size
	}
	return 1
}

// tag looks for the orientation in the first list of a TIFF.
func tag(tiff []byte) int {
	var order binary.ByteOrder = binary.BigEndian
	switch {
	case len(tiff) < 8:
		return 1
	case bytes.HasPrefix(tiff, []byte("II*\x00")):
		order = binary.LittleEndian
	case !bytes.HasPrefix(tiff, []byte("MM\x00*")):
		return 1
	}
	const short = 3 // the type of the value: 16 bits
	first := int64(order.Uint32(tiff[4:]))
	if first+2 > int64(len(tiff)) {
		return 1
	}
	list := tiff[first+2:]
	for range order.Uint16(tiff[first:]) {
		if len(list) < 12 {
			break
		}
		if order.Uint16(list) == 0x0112 && order.Uint16(list[2:]) == short {
			return int(order.Uint16(list[8:]))
		}
		list = list[12:]
	}
	return 1
}
