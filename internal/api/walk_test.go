package api_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"urdir/internal/courier"
	"urdir/internal/workshop"
)

// block is an example of docs/api.md: what is typed, and some of what is answered.
type block struct{ typed, answered string }

// blocks are the examples of docs/api.md, in order.
func blocks(t *testing.T) (out []block) {
	t.Helper()
	parts := strings.Split(string(must(os.ReadFile("../../docs/api.md"))), "```")
	for i := 1; i < len(parts); i += 2 {
		kind, text, _ := strings.Cut(parts[i], "\n")
		switch {
		case kind == "sh":
			out = append(out, block{typed: text})
		case kind == "json" && len(out) > 0 && out[len(out)-1].answered == "":
			out[len(out)-1].answered = text
		}
	}
	return out
}

// within says where what is shown differs from what is there.
func within(at string, shown, there any) string {
	switch s := shown.(type) {
	case object:
		for k, v := range s {
			x, _ := there.(object)
			if why := within(at+"."+k, v, x[k]); why != "" {
				return why
			}
		}
		return ""
	case []any:
		x, _ := there.([]any)
		for i, v := range s {
			if i >= len(x) {
				return at + " is too short"
			}
			if why := within(fmt.Sprintf("%s[%d]", at, i), v, x[i]); why != "" {
				return why
			}
		}
		return ""
	}
	if shown != there {
		return fmt.Sprintf("%s is %v, not %v", at, there, shown)
	}
	return ""
}

// The walk of docs/api.md, typed into a shell as it stands there.
func TestWalk(t *testing.T) {
	s := newShop(t, file(t))
	all := blocks(t)
	walk, signature := all[:len(all)-1], all[len(all)-1]
	if len(walk) < 7 {
		t.Fatalf("only %d examples", len(walk))
	}
	dir := t.TempDir()
	env := append(os.Environ(), "URDIR="+s.url+"/api/v1", "TOKEN="+s.tokens[head], "LC_ALL=C")
	before := ""
	for i, b := range walk {
		c := exec.CommandContext(t.Context(), "sh", "-e", "-c", before+b.typed)
		c.Dir, c.Env = dir, env
		out, err := c.Output()
		if err != nil {
			t.Fatalf("example %d: %v\n%s", i, err, b.typed)
		}
		var shown, got any
		if err := json.Unmarshal([]byte(b.answered), &shown); err != nil {
			t.Fatalf("example %d: %v\n%s", i, err, b.answered)
		}
		if err := json.Unmarshal(out, &got); err != nil {
			t.Fatalf("example %d: %v\n%s", i, err, out)
		}
		if why := within("answer", shown, got); why != "" {
			t.Errorf("example %d: %s\n%s", i, why, out)
		}
		for line := range strings.Lines(b.typed) {
			if strings.HasPrefix(line, "id()") {
				before = line
			}
		}
	}
	checkSignature(t, s, dir, signature.typed)
}

// checkSignature has a message sent and its signature checked as the page says.
func checkSignature(t *testing.T, s *shop, dir, typed string) {
	t.Helper()
	var header http.Header
	receiver := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) {
		header = r.Header
		f := must(os.Create(filepath.Join(dir, "body.json")))
		_ = must(f.ReadFrom(r.Body))
		_ = f.Close()
	}))
	defer receiver.Close()
	k, secret, err := s.house.SaveHook(t.Context(), s.head, workshop.Kept[workshop.Hook]{Value: workshop.Hook{URL: receiver.URL + "/avisos"}})
	if err == nil {
		err = s.house.TryHook(t.Context(), s.head, k.ID)
	}
	if err == nil {
		err = courier.New(s.house, courier.Options{Private: true}).Send(t.Context(), s.head.Workshop)
	}
	if err != nil || header == nil {
		t.Fatalf("nothing was sent: %v", err)
	}
	c := exec.CommandContext(t.Context(), "sh", "-e", "-c", typed)
	c.Dir = dir
	c.Env = append(os.Environ(), "TARGET="+receiver.URL+"/avisos", "DIGEST="+header.Get("Content-Digest"), "SECRET="+secret,
		"PARAMS="+strings.TrimPrefix(header.Get("Signature-Input"), "urdir="))
	out, err := c.Output()
	if want := "urdir=:" + strings.TrimSpace(string(out)) + ":"; err != nil || header.Get("Signature") != want {
		t.Errorf("signature %s, by the page %s: %v", header.Get("Signature"), want, err)
	}
}
