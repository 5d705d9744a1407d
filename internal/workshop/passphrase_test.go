package workshop

import (
	"testing"

	"urdir/check"
)

// What guessers try first is refused (the first are of lists of the commonest
// passwords, from memory); phrases are not.
func TestPassphrase_common(t *testing.T) {
	own := []string{"rufina", "Rufina Salas Mar"}
	for _, s := range []string{"1234567890", "12345678901234567890", "0987654321", "password123", "Password2026!", "contraseña1", "CONTRASENA99", "qwertyuiop", "poiuytrewq",
		"asdfghjklasdfghjkl", "aaaaaaaaaa", "1212121212", "abcdefghijkl", "1q2w3e4r5t", "rufina1234", "Rufina Salas Mar", "iloveyou2026", "tequiero2027", "urdir 2026 !"} {
		var ps check.Problems
		if goodPassphrase(&ps, s, own...); len(ps) != 1 {
			t.Errorf("%q: %v, want it refused", s, ps)
		}
	}
	for _, s := range []string{"la marea sube despacio", "una frase nueva", "nueve garzas blancas", "Rufina teje por la tarde", "correct horse", "12 ovillos, 7 madejas", "contraseña que nadie sabe", "ñandú y pitangas"} {
		var ps check.Problems
		if goodPassphrase(&ps, s, own...); len(ps) != 0 {
			t.Errorf("%q: %v, want it taken", s, ps)
		}
	}
}
