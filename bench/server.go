package main

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"time"
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
	program := filepath.Join(dir, "urdir")
	text, err := exec.CommandContext(ctx, "go", "build", "-trimpath", "-o", program, "./cmd/urdir").CombinedOutput()
	if err != nil {
		return fmt.Errorf("%w: %s", err, text)
	}
	fmt.Fprintln(out, "pkg: urdir/bench")
	var s *process
	for range 2 { // the first makes the folder
		if s, err = start(ctx, program, "--data", filepath.Join(dir, "kept")); err != nil {
			return err
		}
		if err = s.stop(); err != nil {
			return err
		}
	}
	fmt.Fprintf(out, "BenchmarkServer/start 1 %d ns/op\n", s.answered.Nanoseconds())
	s, err = start(ctx, program, "--demo")
	if err != nil {
		return err
	}
	pages, err := s.walk(walk)
	if err != nil {
		return errors.Join(err, s.stop())
	}
	resident, err := s.resident()
	if err != nil {
		return errors.Join(err, s.stop())
	}
	fmt.Fprintf(out, "BenchmarkServer/walked 1 %d pages %.1f MB\n", pages, resident)
	return s.stop()
}

// walk is how many pages are opened.
const walk = 250

type process struct {
	*exec.Cmd
	at       string // its address
	login    [2]string
	answered time.Duration // from the start to the first answer
}

// start runs the program until it answers.
func start(ctx context.Context, program string, of ...string) (*process, error) {
	began := time.Now()
	s := &process{Cmd: exec.CommandContext(ctx, program, append([]string{"serve", "--lang", "en", "--listen", "127.0.0.1:0"}, of...)...)}
	said, err := s.StderrPipe()
	if err != nil {
		return nil, err
	}
	if err = s.Start(); err != nil {
		return nil, err
	}
	in := bufio.NewScanner(said)
	for wanted := 1; wanted > 0 && in.Scan(); {
		if m := addressed.FindStringSubmatch(in.Text()); m != nil {
			s.at = m[1]
			wanted--
			if of[0] == "--demo" {
				wanted++ // and the next line says how to sign in
			}
		}
		if m := signed.FindStringSubmatch(in.Text()); m != nil {
			s.login = [2]string{m[1], m[2]}
			wanted--
		}
	}
	go func() { _, _ = io.Copy(io.Discard, said) }() // or it would wait for a reader
	answer, err := http.Get(s.at + "/signin")
	if err != nil {
		return nil, errors.Join(err, s.stop())
	}
	s.answered = time.Since(began)
	return s, answer.Body.Close()
}

var (
	addressed = regexp.MustCompile(`(http://127\.0\.0\.1:\d+)`)
	signed    = regexp.MustCompile(`^Sign in as (\S+) / (.+)$`)
	linked    = regexp.MustCompile(`href="(/[^"#]*)"`)
)

func (s *process) stop() error {
	return errors.Join(s.Process.Signal(syscall.SIGTERM), s.Wait())
}

// walk opens pages, each once, from the first on, and gives their number.
func (s *process) walk(most int) (pages int, _ error) {
	jar, err := cookiejar.New(nil)
	if err != nil {
		return 0, err
	}
	c := &http.Client{Jar: jar}
	r, err := http.NewRequest("POST", s.at+"/signin", strings.NewReader(url.Values{"login": {s.login[0]}, "passphrase": {s.login[1]}, "to": {"/"}}.Encode()))
	if err != nil {
		return 0, err
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", s.at)
	answer, err := c.Do(r)
	if err != nil {
		return 0, err
	}
	if err = answer.Body.Close(); err != nil || answer.StatusCode != http.StatusOK {
		return 0, fmt.Errorf("signing in: %s", answer.Status)
	}
	todo, seen := []string{"/"}, map[string]bool{"/": true}
	for ; pages < most && len(todo) > 0; pages++ {
		answer, err := c.Get(s.at + todo[0])
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

// resident is what the process has of memory, in MB.
func (s *process) resident() (float64, error) {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", s.Process.Pid))
	if err != nil {
		return 0, err
	}
	_, rest, _ := strings.Cut(string(text), "VmRSS:")
	rest, _, _ = strings.Cut(strings.TrimSpace(rest), " ")
	kb, err := strconv.ParseFloat(rest, 64)
	return kb / 1000, err
}
