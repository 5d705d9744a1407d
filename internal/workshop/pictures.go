package workshop

import (
	"context"

	"urdir/check"
	"urdir/internal/store"
)

// Picture is a photograph as it is kept: made small, and nothing in it but what
// is seen.
type Picture struct {
	Kind string // image/jpeg or image/png
	Body []byte
}

// maxPicture is what a picture may take; a telephone's, made small, takes a tenth.
const maxPicture = 4 << 20

// keepPicture keeps a picture and gives its name; "" for none.
func keepPicture(tx *store.Tx, pic *Picture) (string, error) {
	if pic == nil {
		return "", nil
	}
	if len(pic.Body) > maxPicture || (pic.Kind != "image/jpeg" && pic.Kind != "image/png") {
		return "", wrong("photo", "file-too-big", check.Args{"kilobytes": len(pic.Body) / 1024, "most": maxPicture / 1024})
	}
	id := newID()
	return id, tx.PutFile(id, pic.Kind, pic.Body)
}

// Picture gives a picture that is kept.
func (h *House) Picture(ctx context.Context, p Person, id string) (out Picture, err error) {
	err = h.view(ctx, p, "Picture", func(tx *store.Tx) error {
		if !plain(id) {
			return store.ErrNotFound
		}
		out.Kind, out.Body, err = tx.File(id)
		return err
	})
	return out, err
}
