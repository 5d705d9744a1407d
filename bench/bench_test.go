package main

import (
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"urdir/plan"
	"urdir/schedule/bench"
)

const printed = `machine: 3 May 2026, 2 × some processor
goos: linux
pkg: urdir/plan
BenchmarkMake/without_a_frame 	   10000	    120000 ns/op	   78000 B/op
PASS
pkg: urdir/schedule/bench
BenchmarkWorkshop_growth/300_orders_80_people 	  1	 40000000 ns/op
BenchmarkWorkshop_growth/5000_orders_1000_people 	  1	 900000000 ns/op
BenchmarkPSPLIB/j30 	  1	 9 ns/op	 0.25 %over-best-5000
BenchmarkWorkshop/1 	  1	 9 ns/op	 104 late-after-2s	 100 late-after-1m0s
BenchmarkWorkshop/2 	  1	 9 ns/op	 106 late-after-2s	 100 late-after-1m0s
pkg: urdir/internal/store
BenchmarkUpdate/SQLite/store 	  100	 9 ns/op	 2000 writes/s
BenchmarkUpdate/SQLite/driver 	  100	 9 ns/op	 8000 writes/s
`

// The page has what was measured, says what missed its aim, and leaves out the rest.
func TestPage(t *testing.T) {
	f, err := read(strings.NewReader(printed))
	if err != nil {
		t.Fatal(err)
	}
	page := filepath.Join(t.TempDir(), "speed.md")
	if err = write(page, f); err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"3 May 2026, 2 × some processor",
		"no frame | 0.12 ms | at most 1 ms |",
		"0.25 % | at most 0.1 % (**missed**) |",
		"104 | 5 % over it | after a minute: 100 | 4 % over it |",
		"106 | 5 % over it (**missed**) | after a minute: 100 | 6 % over it |",
		"2000 /s |  | the bare driver's single inserts: 8000 /s | 0.25 of it |",
		"![300 open orders: 40 ms; 5000 open orders: 900 ms](pictures/speed-schedule.svg)",
	} {
		if !strings.Contains(string(got), want) {
			t.Errorf("not on the page: %s\n%s", want, got)
		}
	}
	if strings.Contains(string(got), "lens") {
		t.Error("the page has what was not measured")
	}
	if _, err := os.Stat(filepath.Join(filepath.Dir(page), "pictures", "speed-schedule.svg")); err != nil {
		t.Error(err)
	}
}

func TestRead_nothing(t *testing.T) {
	if _, err := read(strings.NewReader("FAIL\n")); err == nil {
		t.Error("no benchmark, and no error")
	}
}

// The formulas of plans, worked out by the reckoning of a spreadsheet library, come
// to what the plans say.
func TestWorkbook(t *testing.T) {
	t.Chdir("..")
	cloths, err := asked(2)
	if err != nil {
		t.Fatal(err)
	}
	p, ps := plan.Make(cloths[1])
	if ps.Failed() {
		t.Fatal(ps)
	}
	file := filepath.Join(t.TempDir(), "orders.xlsx")
	want, err := workbook(file, []plan.Plan{p})
	if err != nil || len(want) < 100 {
		t.Fatal(len(want), err)
	}
	book, err := excelize.OpenFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for i, w := range want {
		cell := "A" + strconv.Itoa(i+1)
		text, err := book.CalcCellValue("Sheet1", cell, excelize.Options{RawCellValue: true})
		if err != nil {
			t.Fatal(cell, err)
		}
		got, err := strconv.ParseFloat(text, 64)
		if err != nil || math.Abs(got-w) > 1e-6*math.Max(1, math.Abs(w)) {
			f, _ := book.GetCellFormula("Sheet1", cell)
			t.Errorf("%s = %s gives %q, want %v (%v)", cell, f, text, w, err)
		}
	}
}

// A project as the solver reads it.
func TestInstance(t *testing.T) {
	p, err := bench.ReadSM(strings.NewReader(small))
	if err != nil {
		t.Fatal(err)
	}
	const want = "activities = 3; resources = 1; arrows = 2;\nlong = [0, 4, 0]; capacity = [5];\ntakes = array2d(1..resources, 1..activities, [0, 2, 0]);\nfrom = [1, 2]; to = [2, 3];\n"
	if got := instance(p); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if got, err := search(p, 1); err != nil || got != 4 {
		t.Errorf("it ends on day %d, %v; want 4", got, err)
	}
}

const small = `PRECEDENCE RELATIONS:
jobnr.    #modes  #successors   successors
1 1 1 2
2 1 1 3
3 1 0
REQUESTS/DURATIONS:
jobnr. mode duration  R 1
1 1 0 0
2 1 4 2
3 1 0 0
RESOURCEAVAILABILITIES:
R 1
5
`
