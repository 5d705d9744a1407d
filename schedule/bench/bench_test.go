package bench_test

import (
	"encoding/csv"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"
	"time"

	"urdir/schedule"
	"urdir/schedule/bench"
)

// rows is the best known values of a set of instances in the folder that
// make bench SCHEDULE=folder names.
func rows(b *testing.B, set string) (dir string, out [][]string) {
	dir = os.Getenv("SCHEDULE")
	if dir == "" {
		b.Skip("SCHEDULE=folder not given, so no open instances")
	}
	f, err := os.Open(filepath.Join(dir, set, "best_known.csv"))
	if err != nil {
		b.Skip("no open instances: ", err)
	}
	defer f.Close()
	out, err = csv.NewReader(f).ReadAll()
	if err != nil {
		b.Fatal(err)
	}
	return filepath.Join(dir, set), out[1:]
}

func number(b *testing.B, s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		b.Fatal(err)
	}
	return v
}

// budgets is after how many schedules it is looked.
var budgets = []int{1000, 5000, 50000}

// solve gives the makespan of an instance after each budget, and its bound.
func solve(b *testing.B, name string, read func(io.Reader) (schedule.Problem, error)) (spans []float64, bound float64) {
	f, err := os.Open(name)
	if err != nil {
		b.Fatal(err)
	}
	defer f.Close()
	p, err := read(f)
	if err != nil {
		b.Fatal(name, err)
	}
	s, ps := schedule.New(p, 1)
	if ps.Failed() {
		b.Fatal(name, ps)
	}
	for _, most := range budgets {
		s.Run(most - s.Schedules())
		plan := s.Plan()
		inspect(b, p, plan)
		spans = append(spans, float64(plan.Score.Late))
	}
	return spans, float64(s.Bound().Late)
}

// inspect goes through a plan day by day: what comes before, capacities, machines.
func inspect(b *testing.B, p schedule.Problem, plan schedule.Plan) {
	const day = 24 * 60
	job := map[string]schedule.Job{}
	used := map[string]map[schedule.Minutes]int{}
	take := func(what string, j schedule.Job, amount int) {
		if used[what] == nil {
			used[what] = map[schedule.Minutes]int{}
		}
		for m := j.Start; m < j.End; m += day {
			used[what][m] += amount
		}
	}
	for _, j := range plan.Jobs {
		job[j.Step] = j
	}
	end := schedule.Minutes(0)
	for _, s := range p.Steps {
		j, ok := job[s.Key]
		long := s.Stand
		if k := slices.IndexFunc(s.Who, func(h schedule.Hand) bool { return h.Person == j.Person }); k >= 0 {
			long = s.Who[k].Work
			take("machine "+j.Person, j, 1)
		}
		if !ok || j.Start%day != 0 || j.End-j.Start != long || len(s.Who) > 0 && j.Person == "" {
			b.Fatalf("%+v of %+v", j, s)
		}
		for _, n := range s.Needs {
			take(n.Place, j, n.Amount)
		}
		for _, a := range s.After {
			if j.Start < job[a.Step].End {
				b.Fatalf("%+v comes after %+v", j, job[a.Step])
			}
		}
		end = max(end, j.End)
	}
	for what, days := range used {
		most := 1
		if k := slices.IndexFunc(p.Places, func(q schedule.Place) bool { return q.Key == what }); k >= 0 {
			most = p.Places[k].Capacity
		}
		for m, n := range days {
			if n > most {
				b.Fatalf("%d of %s on day %d; there is %d", n, what, m/day, most)
			}
		}
	}
	if plan.Score.Late != int64(end/day) {
		b.Fatalf("%+v ends on day %d", plan.Score, end/day)
	}
}

func BenchmarkPSPLIB(b *testing.B) {
	dir, all := rows(b, "psplib")
	for _, set := range []string{"j30", "j60", "j120"} {
		b.Run(set, func(b *testing.B) {
			for b.Loop() {
				over, gaps := make([]float64, 3), make([]float64, 3)
				n, below := 0.0, 0.0
				from := time.Now()
				for _, row := range all {
					if row[1] != set {
						continue
					}
					spans, bound := solve(b, filepath.Join(dir, set, row[0]+".sm"), bench.ReadSM)
					if best := number(b, row[7]); spans[2] < best || bound > number(b, row[8]) {
						b.Fatalf("%s: %v, bound %v; proven %v", row[0], spans, bound, best)
					}
					n++
					below += 1 - bound/number(b, row[7])
					for k := range budgets {
						over[k] += spans[k]/number(b, row[6]) - 1
						gaps[k] += spans[k]/number(b, row[8]) - 1
					}
				}
				b.ReportMetric(n*50000/time.Since(from).Seconds(), "schedules/s")
				b.ReportMetric(100*below/n, "%bound-below-best-bound")
				for k, most := range budgets {
					b.ReportMetric(100*gaps[k]/n, "%over-best-"+strconv.Itoa(most))
					b.ReportMetric(100*over[k]/n, "%over-path-"+strconv.Itoa(most))
				}
			}
		})
	}
}

func BenchmarkFJSP(b *testing.B) {
	dir, all := rows(b, "fjsp")
	for b.Loop() {
		sum := make([]float64, 3)
		n := 0.0
		for _, row := range all {
			spans, bound := solve(b, filepath.Join(dir, row[1]), bench.ReadFJS)
			b.Logf("%s: %v, bound %v; best known %s to %s", row[0], spans, bound, row[7], row[8])
			if row[0] == "k4" { // two sources give two optima
				continue
			}
			n++
			for k := range budgets {
				sum[k] += spans[k]/number(b, row[8]) - 1
			}
		}
		for k, most := range budgets {
			b.ReportMetric(100*sum[k]/n, "%over-best-"+strconv.Itoa(most))
		}
	}
}
