package web

import (
	"bytes"
	"errors"
	"image/jpeg"
	"net/http"
	"strings"

	"urdir/check"
	"urdir/figure/photo"
	"urdir/internal/workshop"
)

// bodyLimit is how much may be sent to an address.
func bodyLimit(path string) int64 {
	stage := strings.HasPrefix(path, "/dye/") && strings.HasSuffix(path, "/stage")
	piece := strings.HasPrefix(path, "/cards/") && strings.HasSuffix(path, "/photo")
	if stage || piece || path == photoPath || strings.HasSuffix(path, laidPath) {
		return maxPhoto + maxBody // and the fields beside it
	}
	if _, table := importKinds[path]; table {
		return tableRoom
	}
	return maxBody
}

// longestKept is the longer side of a photograph that is kept, and keptQuality
// how well. A square of mere noise, the worst there can be, takes 2 MB so; the
// workshop keeps twice that.
const (
	longestKept = 1600
	keptQuality = 85
)

// photo is a photograph that came with a form, as it is kept: only what is seen,
// made small. There is none if none was chosen.
func (f *form) photo(field string) *workshop.Picture {
	file, _, err := f.v.r.FormFile(field)
	if err != nil {
		return nil // a browser sends an empty file where none was chosen, a program nothing
	}
	defer func() { _ = file.Close() }() // only read
	f.v.s.pictures.Lock()               // one at a time: each may fill a good part of a small computer
	defer f.v.s.pictures.Unlock()
	img, ps := photo.Decode(file, photo.Limits{Bytes: maxPhoto, Pixels: maxPixels})
	if len(ps) == 1 && ps[0].Code == "photo-file-empty" {
		return nil
	}
	f.ps.Under(field, ps)
	if ps.Failed() {
		return nil
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, shrunk(img, longestKept), &jpeg.Options{Quality: keptQuality}); err != nil {
		f.ps.Wrong(field, "photo-damaged", nil)
		return nil
	}
	return &workshop.Picture{Kind: "image/jpeg", Body: b.Bytes()}
}

// tooBig makes a problem of a photograph that was too big to be sent with a
// form; what else was typed came with it and was not read.
func (v *visit) tooBig(f *form, err error, field string) (*form, error) {
	if _, ok := errors.AsType[*http.MaxBytesError](err); !ok {
		return f, err
	}
	f = &form{v: v}
	f.ps.Wrong(field, "photo-file-large", check.Args{"megabytes": float64(maxPhoto >> 20)})
	return f, nil
}

// picturePage sends a photograph that is kept. It is shown as a picture and
// nothing else, whatever may be in it.
func picturePage(v *visit) error {
	pic, err := v.s.house.Picture(v.r.Context(), v.Person, v.r.PathValue("id"))
	if err != nil {
		return err
	}
	v.sendPicture(pic)
	return nil
}

func (v *visit) sendPicture(pic workshop.Picture) {
	h := v.w.Header()
	h.Set("Content-Type", pic.Kind)
	h.Set("Content-Security-Policy", "default-src 'none'; sandbox")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Content-Disposition", "inline")
	h.Set("Cache-Control", "private, max-age=3600") // a picture never changes
	_, _ = v.w.Write(pic.Body)                      // the browser went away
}
