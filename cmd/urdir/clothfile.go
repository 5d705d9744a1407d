package main

import (
	"cmp"
	"errors"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"

	"urdir/check"
	"urdir/clothfile"
	"urdir/plan"
)

// planned is a cloth file, read and planned.
type planned struct {
	file   string
	source clothfile.Source
	plan   plan.Plan
	found  []located // cautions
}

// planFile reads a cloth file and plans it; "-" is what is typed or piped in.
// The error is a stopped with every problem and caution found.
func (a *app) planFile(name string) (planned, error) {
	text, err := a.read(name)
	if err != nil {
		return planned{}, err
	}
	return a.planText(name, text)
}

// planText plans what a cloth file says.
func (a *app) planText(name string, text []byte) (planned, error) {
	c, source, ps := clothfile.Read(text)
	out := planned{file: name, source: source}
	if ps.Failed() {
		ps = append(ps, notDueTo(ps, plan.Check(c))...)
	} else {
		var more check.Problems
		out.plan, more = plan.Make(c)
		ps = append(ps, more...)
	}
	out.found = locate(name, source, ps)
	if ps.Failed() {
		return out, stopped(out.found)
	}
	return out, nil
}

// notDueTo leaves out problems that only follow from others: those of a field
// in which something could not be read.
func notDueTo(read, found check.Problems) (out check.Problems) {
	for _, p := range found {
		follows := slices.ContainsFunc(read, func(r check.Problem) bool {
			return r.Path == p.Path || strings.HasPrefix(r.Path, p.Path+".") || strings.HasPrefix(r.Path, p.Path+"[")
		})
		if !follows {
			out = append(out, p)
		}
	}
	return out
}

// read reads a file up to a little more than a cloth file may have, so that a
// wrong file is refused by its size and not first read whole.
func (a *app) read(name string) ([]byte, error) {
	in := a.in
	if name != "-" {
		f, err := os.Open(name)
		if err != nil {
			return nil, unreadable(name, err)
		}
		defer func() { _ = f.Close() }() // only read
		in = f
	}
	text, err := io.ReadAll(io.LimitReader(in, clothfile.MaxBytes+1))
	if err != nil {
		return nil, unreadable(name, err)
	}
	return text, nil
}

// unreadable says why a file cannot be read.
func unreadable(name string, err error) error {
	if errors.Is(err, fs.ErrNotExist) {
		return mistake("", "file-not-found", check.Args{"file": name})
	}
	reason := err
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		reason = p.Err
	}
	return mistake("", "file-unreadable", check.Args{"file": name, "reason": reason.Error()})
}

// locate finds the line of each problem, and puts them in the order of lines.
func locate(file string, source clothfile.Source, ps check.Problems) []located {
	out := make([]located, len(ps))
	for i, p := range ps {
		out[i] = located{File: file, Problem: p}
		if at, ok := source.Locate(p.Path); ok {
			out[i].Line, out[i].Column = at.Line, at.Column
		}
	}
	slices.SortStableFunc(out, func(a, b located) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return out
}
