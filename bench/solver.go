package main

import (
	"context"
	_ "embed"
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"urdir/schedule"
	"urdir/schedule/bench"
)

//go:embed project.mzn
var model []byte

// compared is the instances that both search: those of the sample that others have
// compared solvers on, of 30, 60 and 120 activities.
var compared = []string{"j305_6", "j3029_8", "j609_8", "j6025_6", "j12011_4", "j12052_7"}

// solver gives a general-purpose constraint solver the same instances and the same
// seconds as the schedule's own search.
func solver(ctx context.Context, o options, out both) error {
	program, _ := exec.LookPath("minizinc") // none: said below
	if program == "" || o.schedule == "" {
		fmt.Fprintln(out, "no constraint solver: minizinc is not installed (Debian: minizinc), or no instances were given")
		return nil
	}
	folder := filepath.Join(o.schedule, "psplib")
	rows, err := known(filepath.Join(folder, "best_known.csv"))
	if err != nil {
		return err
	}
	fmt.Fprintln(out, "pkg: urdir/bench")
	for _, row := range rows {
		name, set, best := row[0], row[1], row[8]
		if !slices.Contains(compared, name) {
			continue
		}
		f, err := os.Open(filepath.Join(folder, set, name+".sm"))
		if err != nil {
			return err
		}
		p, err := bench.ReadSM(f)
		if err = errors.Join(err, f.Close()); err != nil {
			return err
		}
		ours, err := search(p, o.seconds)
		if err != nil {
			return err
		}
		theirs, err := solve(ctx, program, p, o.seconds)
		if err != nil {
			return err
		}
		fmt.Fprintf(out, "BenchmarkProject/%s 1 %d ends %d solver-ends %s best-known\n", name, ours, theirs, best)
	}
	return nil
}

// known is the table of best known ends.
func known(file string) ([][]string, error) {
	f, err := os.Open(file)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }() // only read
	return csv.NewReader(f).ReadAll()
}

// search is on what day a project ends after so long a search.
func search(p schedule.Problem, long time.Duration) (int64, error) {
	s, ps := schedule.New(p, 1)
	if ps.Failed() {
		return 0, ps
	}
	for began := time.Now(); time.Since(began) < long; {
		s.Run(100)
	}
	return s.Score().Late, nil
}

var ends = regexp.MustCompile(`ends (\d+)`)

// solve is on what day the best plan ends that the solver prints in its time.
func solve(ctx context.Context, program string, p schedule.Problem, long time.Duration) (int, error) {
	dir, err := os.MkdirTemp("", "bench")
	if err != nil {
		return 0, err
	}
	defer func() { _ = os.RemoveAll(dir) }() // temporary
	rules, data := filepath.Join(dir, "project.mzn"), filepath.Join(dir, "project.dzn")
	if err = errors.Join(os.WriteFile(rules, model, 0o600), os.WriteFile(data, []byte(instance(p)), 0o600)); err != nil {
		return 0, err
	}
	c := exec.CommandContext(ctx, program, "--solver", "Gecode", "--time-limit", strconv.FormatInt(long.Milliseconds(), 10), "-a", rules, data)
	text, err := c.CombinedOutput()
	if err != nil {
		return 0, fmt.Errorf("%w: %s", err, text)
	}
	best := 0
	for _, m := range ends.FindAllSubmatch(text, -1) {
		if best, err = strconv.Atoi(string(m[1])); err != nil {
			return 0, err
		}
	}
	return best, nil
}

// instance is a project as the solver reads data.
func instance(p schedule.Problem) string {
	place, number := map[string]int{}, map[string]int{}
	var capacity, long, from, to []int
	for i, q := range p.Places {
		place[q.Key] = i
		capacity = append(capacity, q.Capacity)
	}
	for i, s := range p.Steps {
		number[s.Key] = i + 1
	}
	takes := make([]int, len(p.Places)*len(p.Steps))
	for i, s := range p.Steps {
		long = append(long, int(s.Stand/(24*60)))
		for _, n := range s.Needs {
			takes[place[n.Place]*len(p.Steps)+i] = n.Amount
		}
		for _, a := range s.After {
			from, to = append(from, number[a.Step]), append(to, i+1)
		}
	}
	list := func(v []int) string { return strings.ReplaceAll(fmt.Sprint(v), " ", ", ") }
	return fmt.Sprintf("activities = %d; resources = %d; arrows = %d;\nlong = %s; capacity = %s;\ntakes = array2d(1..resources, 1..activities, %s);\nfrom = %s; to = %s;\n",
		len(p.Steps), len(p.Places), len(from), list(long), list(capacity), list(takes), list(from), list(to))
}
