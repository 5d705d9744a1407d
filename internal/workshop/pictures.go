package workshop

import (
	"context"
	"crypto/sha256"
	"encoding/hex"

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
	if err := pic.check(); err != nil {
		return "", err
	}
	id := newID()
	return id, tx.PutFile(id, pic.Kind, pic.Body)
}

func (pic *Picture) check() error {
	if len(pic.Body) > maxPicture || (pic.Kind != "image/jpeg" && pic.Kind != "image/png") {
		return wrong("photo", "file-too-big", check.Args{"kilobytes": len(pic.Body) / 1024, "most": maxPicture / 1024})
	}
	return nil
}

// LayPhoto lays a photograph ready on which a colour is to be measured, in place
// of the one the same person laid before, and gives its mark.
func (h *House) LayPhoto(ctx context.Context, p Person, pic Picture) (mark string, _ error) {
	err := h.update(ctx, p, "LayPhoto", func(tx *store.Tx) error {
		if err := pic.check(); err != nil {
			return err
		}
		mark = pic.mark()
		if err := tx.DropFile(laid(p)); err != nil {
			return err
		}
		return tx.PutFile(laid(p), pic.Kind, pic.Body)
	})
	return mark, err
}

// LaidPhoto gives the photograph a person laid ready; if it is not the one with
// this mark any more, it is to be sent again.
func (h *House) LaidPhoto(ctx context.Context, p Person, mark string) (out Picture, _ error) {
	err := h.view(ctx, p, "LaidPhoto", func(tx *store.Tx) (err error) {
		out.Kind, out.Body, err = tx.File(laid(p))
		if missing(err) || err == nil && out.mark() != mark {
			return wrong("photo", "photo-gone", nil)
		}
		return err
	})
	return out, err
}

// laid is the name of the one photograph a person has laid ready.
func laid(p Person) string { return "laid." + p.Account }

// mark tells one picture from another.
func (pic *Picture) mark() string {
	sum := sha256.Sum256(pic.Body)
	return hex.EncodeToString(sum[:8])
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
