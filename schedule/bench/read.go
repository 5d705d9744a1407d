// Package bench reads open benchmark instances as problems of package schedule,
// and invents workshops. One unit of time of an instance is a day, and the order
// is due at the beginning, so that the days it is late are the makespan.
package bench

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"urdir/schedule"
)

const day = 24 * 60

// begin is when an instance begins; it has no calendars, so any day will do.
var begin = time.Date(2030, 1, 1, 0, 0, 0, 0, time.UTC)

func instance() schedule.Problem {
	return schedule.Problem{Begin: begin, Orders: []schedule.Order{{Key: "all", Due: begin}}}
}

// ReadSM reads a single-mode instance of PSPLIB (Kolisch and Sprecher, EJOR 96,
// 1997): activities with durations, successors, and amounts of shared resources.
func ReadSM(r io.Reader) (schedule.Problem, error) {
	p := instance()
	part := ""
	in := bufio.NewScanner(r)
	for in.Scan() {
		line := strings.TrimSpace(in.Text())
		if head, ok := strings.CutSuffix(line, ":"); ok && head == strings.ToUpper(head) {
			part = head
			continue
		}
		numbers, ok := ints(line)
		if !ok {
			continue
		}
		if err := addSM(&p, part, numbers); err != nil {
			return p, fmt.Errorf("%s, %q: %w", part, line, err)
		}
	}
	if err := in.Err(); err != nil {
		return p, err
	}
	if len(p.Steps) == 0 || len(p.Places) == 0 {
		return p, fmt.Errorf("no activities or no resources")
	}
	return p, nil
}

func addSM(p *schedule.Problem, part string, n []int) error {
	switch part {
	case "PRECEDENCE RELATIONS":
		if len(n) < 3 || len(n) != 3+n[2] || n[1] != 1 || n[0] != len(p.Steps)+1 {
			return fmt.Errorf("not an activity of one mode and its successors")
		}
		p.Steps = append(p.Steps, schedule.Step{Key: strconv.Itoa(n[0]), Orders: []string{"all"}})
		for _, after := range n[3:] { // named before they are read: kept with the one they follow
			p.Steps[n[0]-1].Kind += strconv.Itoa(after) + " "
		}
	case "REQUESTS/DURATIONS":
		if len(n) < 3 || n[0] < 1 || n[0] > len(p.Steps) {
			return fmt.Errorf("no such activity")
		}
		s := &p.Steps[n[0]-1]
		s.Stand = schedule.Minutes(n[2] * day)
		for k, amount := range n[3:] {
			if amount > 0 {
				s.Needs = append(s.Needs, schedule.Need{Place: "R" + strconv.Itoa(k+1), Amount: amount})
			}
		}
	case "RESOURCEAVAILABILITIES":
		for k, most := range n {
			p.Places = append(p.Places, schedule.Place{Key: "R" + strconv.Itoa(k+1), Capacity: most, Shared: true})
		}
		return link(p)
	}
	return nil
}

// link turns successors into what comes before.
func link(p *schedule.Problem) error {
	for i := range p.Steps {
		after, _ := ints(p.Steps[i].Kind)
		p.Steps[i].Kind = ""
		for _, k := range after {
			if k < 1 || k > len(p.Steps) {
				return fmt.Errorf("activity %d has successor %d", i+1, k)
			}
			p.Steps[k-1].After = append(p.Steps[k-1].After, schedule.After{Step: p.Steps[i].Key})
		}
	}
	return nil
}

func ints(line string) (out []int, ok bool) {
	for f := range strings.FieldsSeq(line) {
		n, err := strconv.Atoi(f)
		if err != nil {
			return nil, false
		}
		out = append(out, n)
	}
	return out, len(out) > 0
}

// mostMachines is far above the largest published instance, so that a wrong number is
// refused rather than made room for.
const mostMachines = 10_000

// ReadFJS reads a flexible job shop (Brandimarte, Annals of OR 41, 1993): jobs and
// machines; for each job its operations, and for each operation the machines that
// may do it, counted from 0, with its time there. A machine is a person.
func ReadFJS(r io.Reader) (schedule.Problem, error) {
	p := instance()
	all, err := io.ReadAll(r)
	if err != nil {
		return p, err
	}
	head, rest, _ := strings.Cut(string(all), "\n")
	first, ok := ints(strings.TrimSpace(head))
	if !ok {
		var x float64 // some files add the mean number of machines
		first = make([]int, 2)
		if _, bad := fmt.Sscan(head, &first[0], &first[1], &x); bad != nil {
			return p, fmt.Errorf("first line %q: %w", head, bad)
		}
	}
	n, ok := ints(rest)
	if !ok || len(first) < 2 {
		return p, fmt.Errorf("not a flexible job shop")
	}
	if first[0] > len(n) || first[1] > mostMachines {
		return p, fmt.Errorf("more jobs than numbers, or more than %d machines", mostMachines)
	}
	for k := range first[1] {
		p.People = append(p.People, schedule.Person{Key: strconv.Itoa(k)})
	}
	take := func() (v int) {
		if len(n) == 0 {
			err = io.ErrUnexpectedEOF
			return 0
		}
		v, n = n[0], n[1:]
		return v
	}
	for job := range first[0] {
		for op := range min(take(), len(n)+1) { // one more, so that an end too early is told
			s := schedule.Step{Key: fmt.Sprint(job, ".", op), Orders: []string{"all"}}
			if op > 0 {
				s.After = []schedule.After{{Step: fmt.Sprint(job, ".", op-1)}}
			}
			for range min(take(), len(n)+1) { // one more, so that an end too early is told
				machine, days := take(), take()
				s.Who = append(s.Who, schedule.Hand{Person: strconv.Itoa(machine), Work: schedule.Minutes(days * day)})
			}
			p.Steps = append(p.Steps, s)
		}
	}
	if err == nil && len(p.Steps) == 0 {
		err = fmt.Errorf("no operations")
	}
	return p, err
}
