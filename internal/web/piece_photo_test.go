package web

import (
	"bytes"
	"encoding/binary"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"net/http"
	"strings"
	"testing"

	"urdir/internal/workshop"
)

// where is a text that only the metadata of a photograph holds.
const where = "GPS 12.3456 N 98.7654 W"

// taken is a photograph as a telephone takes it: turned by Exif (orientation 6, to be
// turned a quarter to the right), and saying where it was taken (Exif 2.32, 4.6: an
// IFD of tags in APP1; CIPA DC-008-2019).
func taken(tb testing.TB) []byte {
	tb.Helper()
	m := image.NewRGBA(image.Rect(0, 0, 40, 20))
	for x := range 40 {
		for y := range 20 {
			m.Set(x, y, color.RGBA{uint8(x * 6), uint8(y * 12), 90, 255})
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		tb.Fatal(err)
	}
	exif := []byte("Exif\x00\x00II*\x00\x08\x00\x00\x00\x01\x00\x12\x01\x03\x00\x01\x00\x00\x00\x06\x00\x00\x00\x00\x00\x00\x00" + where)
	segment := binary.BigEndian.AppendUint16([]byte{0xff, 0xe1}, uint16(len(exif)+2))
	return bytes.Join([][]byte{b.Bytes()[:2], segment, exif, b.Bytes()[2:]}, nil)
}

// drawn is a PNG with a remark in its file (PNG, third edition, 11.3.3: tEXt).
func drawn(tb testing.TB) []byte {
	tb.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 30, 10))); err != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}

// A photograph of a piece is kept only as what is seen of it: a real JPEG or PNG comes
// out as another file without where it was taken; what is none, or too big, is refused
// beside its field, and the photograph before it stays.
func TestPiece_photo(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	head, id := s.people["head"], s.ours["carded"]
	at := "/cards/" + id
	photo := func() string { return must(s.house.Piece(ctx, head, id)).Value.Photo }
	send := func(file []byte) answer {
		return s.sendPhoto(at+"/photo", "seller", pairs("revision", s.revision("piece", id)), file)
	}
	seen := func() image.Image {
		got := s.get("/p/"+s.ours["card"]+"/photo", "")
		s.want("photograph on the card", got, http.StatusOK)
		if strings.Contains(got.body, where) || strings.Contains(got.body, "Exif") {
			t.Error("the photograph says where it was taken")
		}
		return must(jpeg.Decode(strings.NewReader(got.body)))
	}
	s.want("JPEG", send(taken(t)), http.StatusSeeOther)
	if b := seen().Bounds(); b.Dx() != 20 || b.Dy() != 40 {
		t.Errorf("kept %v, want it upright: 20 x 40", b)
	}
	first := photo()
	for what, file := range map[string][]byte{
		"a text": []byte("no picture"), "a drawing of another kind": []byte(`<svg xmlns="http://www.w3.org/2000/svg"/>`),
		"half a picture": taken(t)[:200], "too big a file": make([]byte, maxPhoto+maxBody+1), "too many pixels": pixels(t, 8000, 6000),
	} {
		got := send(file)
		s.want(what, got, http.StatusUnprocessableEntity)
		if !strings.Contains(got.body, `id="w-photo"`) {
			t.Errorf("%s: nothing is said beside the field", what)
		}
		if photo() != first {
			t.Fatalf("%s: the photograph was changed", what)
		}
	}
	s.want("PNG", send(drawn(t)), http.StatusSeeOther)
	if b := seen().Bounds(); b.Dx() != 30 || b.Dy() != 10 || photo() == first {
		t.Errorf("kept %v", b)
	}
	if _, err := s.house.Picture(ctx, head, first); workshop.CodeOf(err) != workshop.NotFound {
		t.Errorf("the photograph before is still there: %v", err)
	}
	s.want("taken away", s.post(at+"/photo", "seller", pairs("revision", s.revision("piece", id))), http.StatusSeeOther)
	s.want("none on the card", s.get("/p/"+s.ours["card"]+"/photo", ""), http.StatusNotFound)
	s.noFaults()
}

// pixels is a PNG of so many pixels, which says little and is long to read.
func pixels(tb testing.TB, w, h int) []byte {
	tb.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewPaletted(image.Rect(0, 0, w, h), color.Palette{color.White})); err != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}
