package main

import (
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"time"

	"urdir/clothfile"
	"urdir/measure"
	"urdir/plan"
)

const orders = 500

// spreadsheet has a general-purpose spreadsheet reckon the plans of 500 orders from
// the formulas that the plans are explained by, and compares every number and the
// time. A plan is more than its formulas (the way round the frame, the fitting of
// stripes and figures are searches), so the spreadsheet has the easier half.
func spreadsheet(ctx context.Context, _ options, out both) error {
	program, err := exec.LookPath("soffice")
	if err != nil {
		fmt.Fprintln(out, "no spreadsheet: soffice is not installed (Debian: libreoffice-calc)")
		return nil
	}
	dir, err := os.MkdirTemp("", "bench")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(dir) }() // temporary
	cloths, err := asked(orders)
	if err != nil {
		return err
	}
	began := time.Now()
	plans := make([]plan.Plan, len(cloths))
	for i, c := range cloths {
		p, ps := plan.Make(c)
		if ps.Failed() {
			return ps
		}
		plans[i] = p
	}
	ours := time.Since(began)
	took := [2]time.Duration{}
	numbers := 0
	for k, some := range [][]plan.Plan{plans[:1], plans} {
		file := filepath.Join(dir, fmt.Sprintf("orders-%d.xlsx", len(some)))
		want, err := workbook(file, some)
		if err != nil {
			return err
		}
		began := time.Now()
		c := exec.CommandContext(ctx, program, "-env:UserInstallation=file://"+dir+"/profile", "--headless", "--convert-to", "csv", "--outdir", dir, file)
		if text, err := c.CombinedOutput(); err != nil {
			return fmt.Errorf("%w: %s", err, text)
		}
		took[k] = time.Since(began)
		if err := compare(filepath.Join(dir, fmt.Sprintf("orders-%d.csv", len(some))), want); err != nil {
			return err
		}
		numbers = len(want)
	}
	fmt.Fprintf(out, "pkg: urdir/bench\nBenchmarkOrders 1 %d ms-plans %d ms-spreadsheet-one %d ms-spreadsheet-all %d numbers\n",
		ours.Milliseconds(), took[0].Milliseconds(), took[1].Milliseconds(), numbers)
	return nil
}

// asked is so many orders of one example cloth, each of another size.
func asked(n int) ([]plan.Cloth, error) {
	text, err := os.ReadFile("examples/runner.yaml")
	if err != nil {
		return nil, err
	}
	c, _, ps := clothfile.Read(text)
	if ps.Failed() {
		return nil, ps
	}
	out := make([]plan.Cloth, n)
	for i := range out {
		out[i] = c
		out[i].Pieces = 1 + i%3
		out[i].Panels = append([]plan.Panel(nil), c.Panels...)
		out[i].Panels[0].Length += measure.CM(i % 40)
	}
	return out, nil
}

// compare holds what the spreadsheet reckoned against the plans' numbers.
func compare(file string, want []float64) error {
	f, err := os.Open(file)
	if err != nil {
		return err
	}
	defer func() { _ = f.Close() }() // only read
	in := csv.NewReader(f)
	in.FieldsPerRecord = -1
	rows, err := in.ReadAll()
	if err != nil {
		return err
	}
	if len(rows) != len(want) {
		return fmt.Errorf("the spreadsheet has %d rows, want %d", len(rows), len(want))
	}
	for i, row := range rows {
		got, err := strconv.ParseFloat(row[0], 64)
		if err != nil {
			return errors.Join(fmt.Errorf("row %d", i+1), err)
		}
		if math.Abs(got-want[i]) > 1e-6*math.Max(1, math.Abs(want[i])) {
			return fmt.Errorf("row %d: the spreadsheet has %v, the plan %v", i+1, got, want[i])
		}
	}
	return nil
}
