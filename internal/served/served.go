// Package served starts the program as users have it, a process of its own that
// answers at an address, for tests and measurements.
package served

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"time"
)

// Build builds the program in a folder and gives its path.
func Build(ctx context.Context, dir string) (program string, err error) {
	program = filepath.Join(dir, "urdir")
	out, err := exec.CommandContext(ctx, "go", "build", "-trimpath", "-o", program, "urdir/cmd/urdir").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("building: %w\n%s", err, out)
	}
	return program, nil
}

// Server is a running program.
type Server struct {
	At       string        // its address, http://127.0.0.1:PORT
	Answered time.Duration // from its start to its first answer
	cmd      *exec.Cmd
	mu       sync.Mutex
	said     strings.Builder
	silent   chan struct{} // closed when it says no more
	ended    sync.Once
}

var addressLine = regexp.MustCompile(`http://127\.0\.0\.1:\d+`)

// patience is how long a server may take to answer.
const patience = 30 * time.Second

// Start starts the program with more flags of urdir serve, and waits until it answers
// and has its database.
func Start(program string, flags ...string) (*Server, error) {
	began := time.Now()
	s := &Server{silent: make(chan struct{})}
	s.cmd = exec.Command(program, append([]string{"--lang", "en", "serve", "--listen", "127.0.0.1:0"}, flags...)...)
	out, err := s.cmd.StderrPipe()
	if err != nil {
		return nil, err
	}
	if err := s.cmd.Start(); err != nil {
		return nil, err
	}
	at := make(chan string, 1)
	go func() {
		defer close(s.silent)
		defer close(at)
		found := false
		for lines := bufio.NewScanner(out); lines.Scan(); {
			s.mu.Lock()
			fmt.Fprintln(&s.said, lines.Text())
			s.mu.Unlock()
			if a := addressLine.FindString(lines.Text()); a != "" && !found {
				found = true
				at <- a
			}
		}
	}()
	select {
	case s.At = <-at:
	case <-time.After(patience):
	}
	if s.At == "" {
		return nil, fmt.Errorf("the server does not start: %s", s.Kill())
	}
	if err := s.Answers(); err != nil {
		return nil, err
	}
	s.Answered = time.Since(began)
	return s, nil
}

// Answers waits until the program answers and has its database; if it does not, it is
// killed.
func (s *Server) Answers() error {
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(2 * time.Millisecond) {
		got, err := http.Get(s.At + "/healthz")
		if err != nil {
			continue
		}
		_ = got.Body.Close() // nothing more is wanted of it
		if got.StatusCode == http.StatusOK {
			return nil
		}
	}
	return fmt.Errorf("the server does not answer: %s", s.Kill())
}

// Said is what the program wrote until now.
func (s *Server) Said() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.said.String()
}

// Kill ends the program as a power cut would, and gives what it had
// written; it may be killed again.
func (s *Server) Kill() string {
	_ = s.cmd.Process.Kill() // it may have ended
	_ = s.wait()             // it was killed
	return s.Said()
}

// Stop ends the program as its users do.
func (s *Server) Stop() error {
	return errors.Join(s.cmd.Process.Signal(syscall.SIGTERM), s.wait())
}

// wait waits for the end of the program, once.
func (s *Server) wait() (err error) {
	<-s.silent
	s.ended.Do(func() { err = s.cmd.Wait() })
	return err
}

// Resident is what the program has of memory, in MB of a million bytes, where the
// system tells it as Linux does.
func (s *Server) Resident() (float64, error) {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", s.cmd.Process.Pid))
	if err != nil {
		return 0, err
	}
	_, rest, _ := strings.Cut(string(text), "VmRSS:")
	rest, _, _ = strings.Cut(strings.TrimSpace(rest), " ")
	kib, err := strconv.ParseFloat(rest, 64)
	return kib * 1024 / 1e6, err
}
