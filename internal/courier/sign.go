package courier

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"net/http"
	"strings"
	"time"
)

// component is a part of a message that is signed.
type component struct{ name, value string }

// base is what is signed (RFC 9421, 2.5): each part by name, and last how.
func base(parts []component, params string) string {
	var b strings.Builder
	for _, p := range parts {
		fmt.Fprintf(&b, "%q: %s\n", p.name, p.value)
	}
	fmt.Fprintf(&b, "%q: %s", "@signature-params", params)
	return b.String()
}

// params says which parts are signed, when, and with whose key.
func params(parts []component, created time.Time, key string) string {
	names := make([]string, len(parts))
	for i, p := range parts {
		names[i] = fmt.Sprintf("%q", p.name)
	}
	return fmt.Sprintf(`(%s);created=%d;keyid=%q`, strings.Join(names, " "), created.Unix(), key)
}

// mac signs (hmac-sha256 of RFC 9421, 3.3.3).
func mac(secret []byte, text string) string {
	m := hmac.New(sha256.New, secret)
	m.Write([]byte(text))
	return base64.StdEncoding.EncodeToString(m.Sum(nil))
}

// sign signs a request with each secret: the first under the name urdir, the one
// before it under urdir-former. The body is signed by its digest (RFC 9530).
func sign(r *http.Request, body []byte, secrets []string, key string, now time.Time) {
	sum := sha256.Sum256(body)
	r.Header.Set("Content-Digest", "sha-256=:"+base64.StdEncoding.EncodeToString(sum[:])+":")
	parts := []component{{"@method", r.Method}, {"@target-uri", r.URL.String()}, {"content-type", r.Header.Get("Content-Type")}, {"content-digest", r.Header.Get("Content-Digest")}}
	how := params(parts, now, key) + `;alg="hmac-sha256"`
	var inputs, signatures []string
	for i, secret := range secrets {
		name := [...]string{"urdir", "urdir-former"}[i]
		inputs = append(inputs, name+"="+how)
		signatures = append(signatures, name+"=:"+mac([]byte(secret), base(parts, how))+":")
	}
	r.Header.Set("Signature-Input", strings.Join(inputs, ", "))
	r.Header.Set("Signature", strings.Join(signatures, ", "))
}
