package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"urdir/internal/served"
)

// server starts the program as users have it: on a folder that is kept, to its first
// answer; and with the made-up workshop, of which the head opens every page that one
// comes to by links, up to walk: what the process then takes of memory.
func server(ctx context.Context, _ options, out both) error {
	dir, err := os.MkdirTemp("", "bench")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(dir) }() // temporary
	program, err := served.Build(ctx, dir)
	if err != nil {
		return err
	}
	fmt.Fprintln(out, "pkg: urdir/bench")
	var s *served.Server
	for range 2 { // the first makes the folder
		if s, err = served.Start(program, "--data", filepath.Join(dir, "kept")); err != nil {
			return err
		}
		if err = s.Stop(); err != nil {
			return err
		}
	}
	fmt.Fprintf(out, "BenchmarkServer/start 1 %d ns/op\n", s.Answered.Nanoseconds())
	if s, err = served.Start(program, "--demo"); err != nil {
		return err
	}
	pages, err := open(s, walk)
	if err != nil {
		return errors.Join(err, s.Stop())
	}
	resident, err := s.Resident()
	if err != nil {
		return errors.Join(err, s.Stop())
	}
	fmt.Fprintf(out, "BenchmarkServer/walked 1 %d pages %.1f MB\n", pages, resident)
	return s.Stop()
}

// walk is how many pages are opened.
const walk = 250

var (
	signed = regexp.MustCompile(`(?m)^Sign in as (\S+) / (.+)$`)
	linked = regexp.MustCompile(`href="(/[^"#]*)"`)
)

// open signs in to a made-up workshop and opens pages, each once, from the first on;
// it gives their number.
func open(s *served.Server, most int) (pages int, _ error) {
	login := signed.FindStringSubmatch(s.Said())
	if login == nil {
		return 0, errors.New("the demo does not say how to sign in")
	}
	jar, err := cookiejar.New(nil)
	if err != nil {
		return 0, err
	}
	c := &http.Client{Jar: jar}
	r, err := http.NewRequest("POST", s.At+"/signin", strings.NewReader(url.Values{"login": {login[1]}, "passphrase": {login[2]}, "to": {"/"}}.Encode()))
	if err != nil {
		return 0, err
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", s.At)
	answer, err := c.Do(r)
	if err != nil {
		return 0, err
	}
	if err = answer.Body.Close(); err != nil || answer.StatusCode != http.StatusOK {
		return 0, fmt.Errorf("signing in: %s", answer.Status)
	}
	todo, seen := []string{"/"}, map[string]bool{"/": true}
	for ; pages < most && len(todo) > 0; pages++ {
		answer, err := c.Get(s.At + todo[0])
		if err != nil {
			return 0, err
		}
		text, err := io.ReadAll(answer.Body)
		if err = errors.Join(err, answer.Body.Close()); err != nil {
			return 0, err
		}
		if answer.StatusCode != http.StatusOK {
			return 0, fmt.Errorf("%s: %s", todo[0], answer.Status)
		}
		todo = todo[1:]
		for _, m := range linked.FindAllSubmatch(text, -1) {
			to := string(bytes.ReplaceAll(m[1], []byte("&amp;"), []byte("&")))
			if !seen[to] {
				seen[to] = true
				todo = append(todo, to)
			}
		}
	}
	return pages, nil
}
