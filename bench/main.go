// Command bench measures everything this machine can measure of Urdir, beside its
// aims, limits and rivals, and writes the page of figures. Run it from the top of
// the checkout when nothing else is running: make bench.
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"strings"
	"time"
)

func main() {
	o := options{}
	flag.StringVar(&o.schedule, "schedule", "", "folder of the open scheduling instances")
	flag.StringVar(&o.page, "page", "docs/speed.md", "the page to write; its pictures go into the folder pictures beside it")
	flag.StringVar(&o.kept, "kept", "bin/bench.txt", "where what go test prints is kept")
	flag.BoolVar(&o.old, "old", false, "measure nothing: write the page of what was kept")
	flag.DurationVar(&o.seconds, "seconds", 10*time.Second, "how long each rival may search one scheduling instance")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	err := run(ctx, o)
	stop()
	if err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(1)
	}
}

type options struct {
	schedule, page, kept string
	old                  bool
	seconds              time.Duration
}

// run measures, or takes what was kept, and writes the page.
func run(ctx context.Context, o options) error {
	if o.schedule != "" {
		path, err := filepath.Abs(o.schedule)
		if err != nil {
			return err
		}
		o.schedule = path
	}
	if !o.old {
		if err := takeAll(ctx, o); err != nil {
			return err
		}
	}
	text, err := os.ReadFile(o.kept)
	if err != nil {
		return err
	}
	found, err := read(strings.NewReader(string(text)))
	if err != nil {
		return err
	}
	return write(o.page, found)
}

// takeAll runs the benchmarks of all packages, one package after the other, and
// the rivals, which say what they found as benchmarks do.
func takeAll(ctx context.Context, o options) error {
	if err := os.MkdirAll(filepath.Dir(o.kept), 0o755); err != nil {
		return err
	}
	f, err := os.Create(o.kept)
	if err != nil {
		return err
	}
	defer func() { _ = f.Close() }() // closed below, where it counts
	out := both{f}
	fmt.Fprintln(out, machine(time.Now()))
	if err := benchmarks(ctx, o, out); err != nil {
		return err
	}
	for _, rival := range []func(context.Context, options, both) error{server, spreadsheet, solver} {
		if err := rival(ctx, o, out); err != nil {
			return err
		}
	}
	return f.Close()
}
