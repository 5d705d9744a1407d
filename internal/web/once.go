package web

import (
	"context"
	"crypto/rand"
	"crypto/sha256"
	"encoding/hex"

	"urdir/internal/workshop"
)

// Fresh is a key for a form that pays or books something, so that a second push of its
// button, or a page sent again, does not do so twice.
func (v *visit) Fresh() string { return rand.Text() }

// once does what a form asks for, which gives the name of what was made. The same form
// sent again is answered with that name and changes nothing; one that was changed after
// going back is another.
func (v *visit) once(f *form, do func(ctx context.Context) (string, error)) (string, error) {
	a := workshop.Asker{Workshop: v.Person.Workshop, Account: v.Person.Account}
	if f.text("once") != "" {
		sum := sha256.Sum256([]byte(v.r.URL.Path + "?" + v.r.PostForm.Encode()))
		a.Key = hex.EncodeToString(sum[:])
	}
	made, err := v.s.house.Once(v.r.Context(), a, func(ctx context.Context) (workshop.Reply, error) {
		name, err := do(ctx)
		return workshop.Reply{Body: name}, err
	})
	return made.Body, err
}
