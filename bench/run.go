package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime"
	"strconv"
	"strings"
	"time"
)

// both writes to the terminal and to what is kept.
type both struct{ kept io.Writer }

func (b both) Write(p []byte) (int, error) {
	if _, err := os.Stdout.Write(p); err != nil {
		return 0, err
	}
	return b.kept.Write(p)
}

// benchmarks runs those of all packages, one after the other so that none takes
// the processor from another.
func benchmarks(ctx context.Context, o options, out both) error {
	c := exec.CommandContext(ctx, "go", "test", "-p", "1", "-run", "^$", "-bench", ".", "-benchmem", "-timeout", "60m", "./...")
	c.Env = append(os.Environ(), "SCHEDULE="+o.schedule)
	c.Stdout, c.Stderr = out, out
	return c.Run()
}

// machine is a line on where and when.
func machine(now time.Time) string {
	cpu := runtime.GOARCH
	if f, err := os.Open("/proc/cpuinfo"); err == nil {
		defer func() { _ = f.Close() }() // only read
		for in := bufio.NewScanner(f); in.Scan(); {
			if name, value, ok := strings.Cut(in.Text(), ":"); ok && strings.TrimSpace(name) == "model name" {
				cpu = strings.TrimSpace(value)
				break
			}
		}
	}
	return fmt.Sprintf("machine: %s, %d × %s, %s/%s, %s", now.Format("2 January 2006"), runtime.NumCPU(), cpu, runtime.GOOS, runtime.GOARCH, runtime.Version())
}

// figures is everything measured: by package, benchmark and unit.
type figures struct {
	machine string
	values  map[string]float64
}

// of is one figure; ok is false if it was not measured.
func (f figures) of(key string) (v float64, ok bool) {
	v, ok = f.values[key]
	return v, ok
}

// read reads what go test -bench prints, in the Go benchmark data format
// (golang.org/design/14313-benchmark-format). A key is "package Name unit", without
// urdir/ and Benchmark, and without the number of processors at the end of a name.
func read(r io.Reader) (figures, error) {
	f := figures{values: map[string]float64{}}
	in := bufio.NewScanner(r)
	in.Buffer(nil, 1<<20)
	of := ""
	for in.Scan() {
		line := in.Text()
		if rest, ok := strings.CutPrefix(line, "machine: "); ok {
			f.machine = rest
		}
		if rest, ok := strings.CutPrefix(line, "pkg: urdir/"); ok {
			of = rest
		}
		words := strings.Fields(line)
		if len(words) < 4 || !strings.HasPrefix(words[0], "Benchmark") {
			continue
		}
		name := strings.TrimPrefix(words[0], "Benchmark")
		name = strings.TrimSuffix(name, "-"+strconv.Itoa(runtime.GOMAXPROCS(0)))
		for k := 2; k+1 < len(words); k += 2 {
			v, err := strconv.ParseFloat(words[k], 64)
			if err != nil {
				return f, fmt.Errorf("%q: %w", line, err)
			}
			f.values[of+" "+name+" "+words[k+1]] = v
		}
	}
	if in.Err() == nil && len(f.values) == 0 {
		return f, fmt.Errorf("no benchmark in what was kept")
	}
	return f, in.Err()
}
