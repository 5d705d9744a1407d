package photo_test

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"image"
	"image/color/palette"
	"image/gif"
	"image/jpeg"
	"image/png"
	"io"
	"slices"
	"testing"
	"testing/iotest"

	"github.com/google/go-cmp/cmp"

	"urdir/figure/photo"
)

// files is one picture, 16 x 9 cells of 8 pixels, in every kind but WebP.
func files(t testing.TB) map[string][]byte {
	t.Helper()
	img := painted(letters, 8)
	write := func(f func(io.Writer) error) []byte {
		var b bytes.Buffer
		if err := f(&b); err != nil {
			t.Fatal(err)
		}
		return b.Bytes()
	}
	return map[string][]byte{
		"png":  write(func(w io.Writer) error { return png.Encode(w, img) }),
		"jpeg": write(func(w io.Writer) error { return jpeg.Encode(w, img, &jpeg.Options{Quality: 90}) }),
		"gif": write(func(w io.Writer) error {
			p := image.NewPaletted(img.Rect, palette.WebSafe)
			for y := range img.Rect.Dy() {
				for x := range img.Rect.Dx() {
					p.Set(x, y, img.At(x, y))
				}
			}
			return gif.Encode(w, p, nil)
		}),
	}
}

// webp is one pixel: the least lossless file, by the WebP Lossless Bitstream
// Specification: head of 14-bit sizes less one, no transform, no cache, and five
// codes of one symbol each: green 0, red 0, blue 0, alpha 255, distance 0.
const webp = "UklGRhoAAABXRUJQVlA4TA0AAAAvAAAAEAcQERGIiP4HAA=="

func TestDecode_kinds(t *testing.T) {
	for kind, file := range files(t) {
		img, ps := photo.Decode(bytes.NewReader(file), photo.NewLimits())
		if len(ps) > 0 || img.Bounds().Dx() != 128 || img.Bounds().Dy() != 72 {
			t.Errorf("%s: %v", kind, ps)
			continue
		}
		same(t, kind, mustChart(t, img, yarns(16, 9)).String(), letters)
	}
	file, err := base64.StdEncoding.DecodeString(webp)
	if err != nil {
		t.Fatal(err)
	}
	if img, ps := photo.Decode(bytes.NewReader(file), photo.NewLimits()); len(ps) > 0 || img.Bounds().Dx() != 1 {
		t.Errorf("webp: %v", ps)
	}
}

// pngOf is the head of a PNG of any size, with a right checksum and, behind it,
// the data of a small one.
func pngOf(t testing.TB, width, height uint32) []byte {
	t.Helper()
	file := slices.Clone(files(t)["png"])
	head := file[12:29] // IHDR and its 13 bytes (PNG, W3C, section 11.2.1)
	binary.BigEndian.PutUint32(head[4:], width)
	binary.BigEndian.PutUint32(head[8:], height)
	binary.BigEndian.PutUint32(file[29:], crc32.ChecksumIEEE(head))
	return file
}

func TestDecode_refuses(t *testing.T) {
	all := files(t)
	with := func(file []byte, at int, b ...byte) []byte {
		return append(append(slices.Clone(file[:at]), b...), file[min(len(file), at+len(b)):]...)
	}
	broken := []string{"photo-damaged"}
	for _, c := range []struct {
		name string
		file []byte
		want []string
	}{
		{"nothing", nil, []string{"photo-file-empty"}},
		{"words", []byte("a photo of my cloth, sent by a friend"), []string{"photo-kind"}},
		{"an SVG", []byte("<svg xmlns='http://www.w3.org/2000/svg'/>"), []string{"photo-kind"}},
		{"a kind with nothing behind it", []byte("\x89PNG\r\n\x1a\n"), broken},
		{"a huge head", pngOf(t, 65_535, 65_535), []string{"photo-large"}},
		{"a head no number can hold", pngOf(t, 1<<31-1, 1<<31-1), broken},
		{"41 megapixels", pngOf(t, 8200, 5000), []string{"photo-large"}},
		{"a strip", pngOf(t, 30_001, 1), []string{"photo-large"}},
		{"a head that promises more than there is", pngOf(t, 4000, 4000), broken},
		{"no width", pngOf(t, 0, 9), broken},
		{"a PNG cut off", all["png"][:len(all["png"])/2], broken},
		{"a JPEG cut off", all["jpeg"][:len(all["jpeg"])/2], broken},
		{"a GIF cut off", all["gif"][:len(all["gif"])/2], broken},
		{"a PNG with a byte changed", with(all["png"], 60, 0, 0, 0), broken},
		{"a GIF of 65 535 squared", with(all["gif"], 6, 255, 255, 255, 255), []string{"photo-large"}},
		{"a GIF whose picture is larger than its head says", with(all["gif"], 6, 4, 0, 4, 0), broken},
		{"WebP with nothing in it", []byte("RIFF\x04\x00\x00\x00WEBP"), broken},
	} {
		img, ps := photo.Decode(bytes.NewReader(c.file), photo.NewLimits())
		if diff := cmp.Diff(c.want, codes(ps)); diff != "" || img != nil {
			t.Errorf("%s: picture %v (-want +got):\n%s", c.name, img != nil, diff)
		}
	}
}

// exif puts the head of a camera into a JPEG: one tag, the orientation, as Exif
// (CIPA DC-008) lays it out, in either order of bytes.
func exif(file []byte, order binary.AppendByteOrder, orientation uint16) []byte {
	tiff := []byte("II*\x00")
	if order == binary.AppendByteOrder(binary.BigEndian) {
		tiff = []byte("MM\x00*")
	}
	tiff = order.AppendUint32(tiff, 8)      // the list follows
	tiff = order.AppendUint16(tiff, 1)      // of one tag
	tiff = order.AppendUint16(tiff, 0x0112) // orientation
	tiff = order.AppendUint16(tiff, 3)      // 16 bits
	tiff = order.AppendUint32(tiff, 1)
	tiff = order.AppendUint16(tiff, orientation)
	tiff = append(tiff, 0, 0, 0, 0, 0, 0)
	part := append([]byte("Exif\x00\x00"), tiff...)
	head := binary.BigEndian.AppendUint16([]byte{0xff, 0xd8, 0xff, 0xe1}, uint16(len(part)+2))
	return slices.Concat(head, part, file[2:])
}

// Where row 0 and column 0 of the file are to be seen (Exif, tag 0x0112): 1 top,
// left; 2 top, right; 3 bottom, right; 4 bottom, left; 5 left, top; 6 right,
// top; 7 right, bottom; 8 left, bottom.
func TestDecode_turns(t *testing.T) {
	const stored = "xx..\nxxoo\n...."
	var file bytes.Buffer
	if err := jpeg.Encode(&file, painted(stored, 16), nil); err != nil {
		t.Fatal(err)
	}
	for orientation, want := range map[uint16]string{
		0: stored, 1: stored, 9: stored,
		2: "..xx\nooxx\n....",
		3: "....\nooxx\n..xx",
		4: "....\nxxoo\nxx..",
		5: "xx.\nxx.\n.o.\n.o.",
		6: ".xx\n.xx\n.o.\n.o.",
		7: ".o.\n.o.\n.xx\n.xx",
		8: ".o.\n.o.\nxx.\nxx.",
	} {
		for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
			img, ps := photo.Decode(bytes.NewReader(exif(file.Bytes(), order, orientation)), photo.NewLimits())
			if ps.Failed() {
				t.Fatalf("%d: %v", orientation, ps)
			}
			o := yarns(bytes.IndexByte([]byte(want), '\n'), 0)
			o.Ground = 0
			same(t, fmt.Sprintf("orientation %d, %v", orientation, order), mustChart(t, img, o).String(), want)
		}
	}
}

func TestDecode_limits(t *testing.T) {
	file := files(t)["png"]
	for _, c := range []struct {
		name   string
		limits photo.Limits
		want   []string
	}{
		{"as large as allowed", photo.Limits{Bytes: len(file), Pixels: 128 * 72}, nil},
		{"a byte more", photo.Limits{Bytes: len(file) - 1, Pixels: 128 * 72}, []string{"photo-file-large"}},
		{"a pixel more", photo.Limits{Bytes: len(file), Pixels: 128*72 - 1}, []string{"photo-large"}},
	} {
		if _, ps := photo.Decode(bytes.NewReader(file), c.limits); !cmp.Equal(codes(ps), c.want) {
			t.Errorf("%s: %q, want %q", c.name, codes(ps), c.want)
		}
	}
	if _, ps := photo.Decode(iotest.ErrReader(errors.New("gone")), photo.NewLimits()); !cmp.Equal(codes(ps), []string{"photo-unread"}) {
		t.Errorf("a reader that fails: %v", ps)
	}
}

// Any bytes are a picture that can become a chart, or a problem.
func FuzzDecode(f *testing.F) {
	for _, file := range files(f) {
		f.Add(file)
		f.Add(file[:len(file)/3])
	}
	f.Add(exif(files(f)["jpeg"], binary.BigEndian, 6))
	f.Add(pngOf(f, 1<<31-1, 1))
	f.Add([]byte("RIFF\x1a\x00\x00\x00WEBPVP8X"))
	if file, err := base64.StdEncoding.DecodeString(webp); err == nil {
		f.Add(file)
	}
	f.Fuzz(func(t *testing.T, file []byte) {
		img, ps := photo.Decode(bytes.NewReader(file), photo.Limits{Bytes: 1 << 20, Pixels: 1 << 16})
		if ps.Failed() != (img == nil) {
			t.Fatalf("picture %v, problems %v", img != nil, ps)
		}
		if img == nil {
			return
		}
		o := photo.NewOptions(7)
		o.Rows = 5
		mustChart(t, img, o)
	})
}
