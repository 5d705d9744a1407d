package web_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"go/scanner"
	gotoken "go/token"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

var built = flag.Bool("built", false, "make screen has just built the designer's program: write down of what")

const (
	screenSums    = "testdata/screen.sum"
	screenProgram = "static/screen.wasm.gz"

	// mostPacked is how large the program may be: on a line of 2 megabits a second
	// it comes in ten seconds, once.
	mostPacked = 2_500_000
)

// The designer's program in the repository is the one built of the sources
// beside it. It is not built here, which takes long and differs from one Go to
// the next: what it was built of is written down when it is built.
func TestScreen_isBuiltOfItsSources(t *testing.T) {
	program, err := os.ReadFile(screenProgram)
	if err != nil {
		t.Fatal(err)
	}
	if len(program) > mostPacked {
		t.Errorf("the designer's program is %d bytes packed; at most %d: find what it links in, or argue for more", len(program), mostPacked)
	}
	now := fmt.Sprintf("sources %x\nprogram %x\n", sourcesOf(t, "urdir/cmd/urdir-screen"), sha256.Sum256(program))
	if *built {
		if err = os.WriteFile(screenSums, []byte(now), 0o600); err != nil {
			t.Fatal(err)
		}
		return
	}
	was, err := os.ReadFile(screenSums)
	if err != nil {
		t.Fatal(err)
	}
	if string(was) != now {
		t.Errorf("the designer's program is not the one its sources make; run: make screen\n%s says\n%snow it is\n%s", screenSums, was, now)
	}
}

// sourcesOf sums up what a program for the browser is made of: the module's own
// Go files, their comments left out, with what they embed, and the versions of
// other modules. The version of Go is not among it.
func sourcesOf(t *testing.T, program string) []byte {
	t.Helper()
	c := exec.CommandContext(t.Context(), "go", "list", "-deps", "-json=ImportPath,Dir,Standard,Module,GoFiles,EmbedFiles", program)
	c.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	out, err := c.Output()
	if err != nil {
		if failed, ok := errors.AsType[*exec.ExitError](err); ok {
			t.Fatalf("go list: %s", failed.Stderr)
		}
		t.Fatal(err)
	}
	sum, others, files := sha256.New(), []string{}, 0
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p struct {
			ImportPath, Dir     string
			Standard            bool
			Module              struct{ Path, Version string }
			GoFiles, EmbedFiles []string
		}
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		switch {
		case p.Standard:
			continue
		case p.Module.Path != "urdir":
			others = append(others, p.Module.Path+" "+p.Module.Version)
			continue
		}
		for _, name := range append(p.GoFiles, p.EmbedFiles...) {
			b, err := os.ReadFile(filepath.Join(p.Dir, name))
			if err != nil {
				t.Fatal(err)
			}
			if strings.HasSuffix(name, ".go") {
				b = withoutRemarks(b)
			}
			fmt.Fprintf(sum, "%s/%s %x\n", p.ImportPath, name, sha256.Sum256(b))
			files++
		}
	}
	if files < 50 || len(others) == 0 {
		t.Fatalf("%d files and %d packages of other modules: that is not all of it", files, len(others))
	}
	slices.Sort(others)
	fmt.Fprintln(sum, slices.Compact(others))
	return sum.Sum(nil)
}

// withoutRemarks is a Go file word by word, its comments left out except those
// that tell the compiler something.
func withoutRemarks(file []byte) []byte {
	var s scanner.Scanner
	set := gotoken.NewFileSet()
	s.Init(set.AddFile("", set.Base(), len(file)), file, nil, scanner.ScanComments)
	var out []byte
	for {
		_, tok, text := s.Scan()
		switch {
		case tok == gotoken.EOF:
			return out
		case tok != gotoken.COMMENT || strings.HasPrefix(text, "//go:"):
			out = append(append(out, tok.String()+" "+text...), '\n')
		}
	}
}

func TestScreen_sumOverlooksRemarks(t *testing.T) {
	of := func(s string) string { return string(withoutRemarks([]byte(s))) }
	const a = "package a\n\n// One.\nvar x = 1 // y\n"
	if of(a) != of("package a\n\n// Two, and longer.\nvar x = 1\n") {
		t.Error("a comment counts")
	}
	for _, b := range []string{"package a\nvar x = 2\n", "package a\n//go:embed b\nvar x = 1\n"} {
		if of(a) == of(b) {
			t.Errorf("%q counts as %q", b, a)
		}
	}
}
