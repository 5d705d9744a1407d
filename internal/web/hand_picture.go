package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"image"
	"image/jpeg"
	"math"

	"urdir/draw"
	"urdir/internal/workshop"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// The picture of a cloth on a member's page, as it goes over a slow line: a
// photograph's kind of file, for the threads of a cloth are as hard to pack as a
// photograph, and a few kB of it show more.
const (
	handArea  = 30_000 // pixels
	handWide  = 520    // pixels at most along the cloth
	handBytes = 3_500
	thinSash  = 0.12 // of the length: narrower cloths are shown in part, as else nothing is seen
)

// jobSmall sends the picture.
func jobSmall(v *visit) error {
	j, err := v.jobPlan()
	if err != nil {
		return err
	}
	if j.Made.Failed() {
		return &workshop.Error{Code: workshop.NotFound}
	}
	body, err := packPicture(lying(j.Made.Plan))
	if err != nil {
		return err
	}
	v.w.Header().Set("Content-Type", "image/jpeg")
	v.w.Header().Set("Cache-Control", "no-store") // the worker keeps it until somebody signs out
	_, _ = v.w.Write(body)                        // the browser went away
	return nil
}

// lying draws a whole piece on its longer side, the beginning of weaving at the
// left; of a narrow one the part that shows most.
func lying(p plan.Plan) image.Image {
	aspect := draw.Aspect(p)
	if aspect < thinSash || aspect > 1/thinSash {
		s := surface.NewPNG(120, 40, 300)
		draw.Lens(s, surface.Box{W: 120, H: 40}, p)
		return s.Image()
	}
	w := math.Sqrt(handArea * aspect)
	if w/aspect > handWide {
		w = handWide * aspect
	}
	w = min(w, handWide)
	box := surface.Box{W: measure.MM(w), H: measure.MM(w / aspect)}
	s := surface.NewPNG(box.W, box.H, int(w))
	s.Rect(box, draw.Paper)
	draw.Cloth(s, box, p)
	if aspect > 1 {
		return s.Image()
	}
	return onItsSide(s.Image())
}

// onItsSide turns a picture so that its bottom is at the left.
func onItsSide(from *image.RGBA) image.Image {
	size := from.Bounds().Size()
	to := image.NewRGBA(image.Rect(0, 0, size.Y, size.X))
	for y := range size.Y {
		for x := range size.X {
			to.SetRGBA(size.Y-1-y, x, from.RGBAAt(x, y))
		}
	}
	return to
}

// packPicture packs a picture as well as it may be for its bytes.
func packPicture(img image.Image) ([]byte, error) {
	var b bytes.Buffer
	for quality := 80; quality >= 20; quality -= 12 {
		b.Reset()
		if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: quality}); err != nil {
			return nil, err
		}
		if b.Len() <= handBytes {
			break
		}
	}
	return b.Bytes(), nil
}

// pictureTag changes when the picture may have changed.
func pictureTag(m workshop.Planned) (string, error) {
	body, err := json.Marshal([]any{m.Plan.Yarns, m.Plan.Panels, m.Plan.Warps})
	sum := sha256.Sum256(body)
	return hex.EncodeToString(sum[:6]), err
}
