package courier

import "time"

// Public is for tests.
var Public = public

// Signed signs parts of a message, and gives the parameters and the signature.
func Signed(parts [][2]string, created time.Time, key string, secret []byte) (how, signature string) {
	of := make([]component, len(parts))
	for i, p := range parts {
		of[i] = component{p[0], p[1]}
	}
	how = params(of, created, key)
	return how, mac(secret, base(of, how))
}
