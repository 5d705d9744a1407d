//go:build !js

// A browser reads its pictures itself.

package photo

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"image/gif"
	"image/jpeg"
	"image/png"
	"io"

	"golang.org/x/image/webp"

	"urdir/check"
)

// Limits are what Decode accepts.
type Limits struct {
	Bytes  int // of the file
	Pixels int // width x height
}

// level is for kinds that are kept as they are seen.
func level([]byte) int { return 1 }

// NewLimits is 20 MB and 40 megapixels: what telephones take, with room to
// spare.
func NewLimits() Limits { return Limits{Bytes: 20_000_000, Pixels: maxPixels} }

// format is a kind of file: how it begins, where a ? is any byte, and how it is
// read.
type format struct {
	begins string
	size   func(io.Reader) (image.Config, error)
	read   func(io.Reader) (image.Image, error)
	held   func([]byte) int // orientation
}

var formats = []format{
	{"\x89PNG\r\n\x1a\n", png.DecodeConfig, png.Decode, level},
	{"\xff\xd8\xff", jpeg.DecodeConfig, jpeg.Decode, orientation},
	{"GIF8?a", gif.DecodeConfig, gif.Decode, level},
	{"RIFF????WEBP", webp.DecodeConfig, webp.Decode, level},
}

// Decode reads a PNG, JPEG, GIF (its first picture) or WebP file. A JPEG is
// turned as it was taken. The size is read from the head of the file and refused before anything is made for it.
// Problems have no path.
//
// Codes: photo-unread, photo-file-large, photo-file-empty, photo-kind,
// photo-damaged, photo-empty, photo-large.
func Decode(r io.Reader, limits Limits) (image.Image, check.Problems) {
	var ps check.Problems
	file, err := io.ReadAll(io.LimitReader(r, int64(limits.Bytes)+1))
	switch {
	case err != nil:
		ps.Wrong("", "photo-unread", nil)
		return nil, ps
	case len(file) > limits.Bytes:
		ps.Wrong("", "photo-file-large", check.Args{"megabytes": float64(limits.Bytes) / 1e6})
		return nil, ps
	case len(file) == 0:
		ps.Wrong("", "photo-file-empty", nil)
		return nil, ps
	}
	f, ok := formatOf(file)
	if !ok {
		ps.Wrong("", "photo-kind", nil)
		return nil, ps
	}
	size, err := f.sizeOf(file)
	if err != nil {
		ps.Wrong("", "photo-damaged", nil)
		return nil, ps
	}
	if roomFor(size.Width, size.Height, limits.Pixels, &ps); ps.Failed() {
		return nil, ps
	}
	img, err := f.picture(file)
	if err == nil && (img.Bounds().Empty() || img.Bounds().Dx() > size.Width || img.Bounds().Dy() > size.Height) {
		err = errSize
	}
	if err != nil {
		ps.Wrong("", "photo-damaged", nil)
		return nil, ps
	}
	return upright(img, f.held(file)), ps
}

var errSize = errors.New("photo: not of the size its head says")

func formatOf(file []byte) (format, bool) {
	for _, f := range formats {
		if len(file) < len(f.begins) {
			continue
		}
		alike := true
		for i, b := range []byte(f.begins) {
			alike = alike && (b == '?' || b == file[i])
		}
		if alike {
			return f, true
		}
	}
	return format{}, false
}

func (f format) sizeOf(file []byte) (size image.Config, err error) {
	defer caught(&err)
	return f.size(bytes.NewReader(file))
}

func (f format) picture(file []byte) (img image.Image, err error) {
	defer caught(&err)
	return f.read(bytes.NewReader(file))
}

// caught makes an error of a decoder's panic: a file can be anything.
func caught(err *error) {
	if r := recover(); r != nil {
		*err = fmt.Errorf("photo: %v", r)
	}
}
