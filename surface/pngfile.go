//go:build !js

package surface

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"io"
	"sync"
)

// The file is written here and not by image/png because that tries all five row
// filters on every row. Cloth repeats from pick to pick, so the difference to
// the row above (filter type 2 of the PNG specification) is the one that pays:
// a cloth takes half the time and is as small.

// WriteTo encodes the picture.
func (p *PNG) WriteTo(w io.Writer) (int64, error) {
	n := &counter{w: w}
	if err := writePNG(n, p.img, p.scale*1000); err != nil {
		return n.n, fmt.Errorf("write PNG: %w", err)
	}
	return n.n, nil
}

// packer keeps the compressor's memory from one picture to the next.
type packer struct {
	out bytes.Buffer
	zip *zlib.Writer
	row []byte
}

var packers = sync.Pool{New: func() any {
	p := &packer{}
	p.zip, _ = zlib.NewWriterLevel(&p.out, zlib.BestSpeed) // fails only for an unknown level
	return p
}}

// writePNG encodes an opaque picture as 8-bit RGB, with its resolution.
func writePNG(w io.Writer, img *image.RGBA, perMetre float64) error {
	p := packers.Get().(*packer)
	defer packers.Put(p)
	p.out.Reset()
	p.zip.Reset(&p.out)
	if err := p.rows(img); err != nil {
		return err
	}
	size := img.Bounds().Size()
	head := binary.BigEndian.AppendUint32(nil, uint32(size.X))
	head = binary.BigEndian.AppendUint32(head, uint32(size.Y))
	head = append(head, 8, 2, 0, 0, 0) // 8 bits, RGB, deflate, adaptive filters, not interlaced
	phys := binary.BigEndian.AppendUint32(nil, uint32(perMetre+0.5))
	phys = binary.BigEndian.AppendUint32(phys, uint32(perMetre+0.5))
	phys = append(phys, 1) // per metre
	if _, err := io.WriteString(w, "\x89PNG\r\n\x1a\n"); err != nil {
		return err
	}
	for _, c := range []struct {
		kind string
		data []byte
	}{{"IHDR", head}, {"pHYs", phys}, {"IDAT", p.out.Bytes()}, {"IEND", nil}} {
		if err := chunk(w, c.kind, c.data); err != nil {
			return err
		}
	}
	return nil
}

func (p *packer) rows(img *image.RGBA) error {
	size := img.Bounds().Size()
	above := make([]byte, size.X*4)
	if cap(p.row) < 1+size.X*3 {
		p.row = make([]byte, 1+size.X*3)
	}
	row := p.row[:1+size.X*3]
	row[0] = 2 // up
	for y := range size.Y {
		pix := img.Pix[y*img.Stride:][:len(above)]
		if bytes.Equal(pix, above) {
			clear(row[1:])
		} else {
			difference(row[1:], pix, above)
		}
		if _, err := p.zip.Write(row); err != nil {
			return err
		}
		above = pix
	}
	return p.zip.Close()
}

func difference(to, pix, above []byte) {
	for len(pix) >= 4 && len(above) >= 4 && len(to) >= 3 {
		to[0], to[1], to[2] = pix[0]-above[0], pix[1]-above[1], pix[2]-above[2]
		to, pix, above = to[3:], pix[4:], above[4:]
	}
}

func chunk(w io.Writer, kind string, data []byte) error {
	head := append(binary.BigEndian.AppendUint32(nil, uint32(len(data))), kind...)
	sum := crc32.Update(crc32.ChecksumIEEE(head[4:]), crc32.IEEETable, data)
	for _, part := range [][]byte{head, data, binary.BigEndian.AppendUint32(nil, sum)} {
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return nil
}

type counter struct {
	w io.Writer
	n int64
}

func (c *counter) Write(b []byte) (int, error) {
	n, err := c.w.Write(b)
	c.n += int64(n)
	return n, err
}
